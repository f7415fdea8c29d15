"""The house's own rules: floors, sizes, what nobody uses, which addresses there are."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

TOP = Path(__file__).resolve().parent.parent
FLOORS = ["rules", "store", "actions", "web"]
BANNED_IN_RULES = ("flask", "sqlalchemy", "wtforms", "yaml", "ruamel", "pydantic", "babel")
BANNED_NAMES = re.compile(r"(^|_)(utils?|common|misc|managers?|helpers?)($|_)")

# A smoke alarm that went off and was looked at: the file, and why it stays as it is.
LONG_FILES: dict[str, str] = {}
LONG_FUNCTIONS: dict[str, str] = {
    "walkaround/store/migrations/versions/0001_the_first_tables.py:upgrade": "all tables at once",
}
LONG_VIEWS: dict[str, str] = {}


def python_files(*folders: str) -> list[Path]:
    return sorted(path for folder in folders for path in (TOP / folder).rglob("*.py"))


def named(path: Path) -> str:
    return path.relative_to(TOP).as_posix()


def imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{named(path)} imports relatively"
            yield node.module or ""


@pytest.mark.parametrize("floor", FLOORS)
def test_a_floor_imports_only_from_below(floor: str):
    above = FLOORS[FLOORS.index(floor) + 1 :] + ["app", "cli"]
    banned = tuple(f"walkaround.{name}" for name in above)
    banned += BANNED_IN_RULES if floor == "rules" else ()

    for path in python_files(f"walkaround/{floor}"):
        assert not [name for name in imports_of(path) if name.startswith(banned)], named(path)


def test_rules_ask_no_clock_and_touch_nothing():
    for path in python_files("walkaround/rules"):
        found = re.findall(r"\b(time\.time|datetime\.now|utcnow|open\(|random\.)", path.read_text())

        assert not found, f"{named(path)}: {found}"


def test_only_actions_commit():
    for path in python_files("walkaround/store", "walkaround/web", "walkaround/rules"):
        assert ".commit()" not in path.read_text(), named(path)


def test_files_are_small():
    for path in python_files("walkaround"):
        lines = len(path.read_text().splitlines())
        alarm = 200 if "rules" in path.parts else 300
        known = "migrations" in path.parts or named(path) in LONG_FILES

        assert lines <= alarm or known, f"{named(path)} has {lines} lines"


@pytest.mark.parametrize(
    ("folder", "suffix", "alarm"),
    [("templates", "*.html", 80), ("static/css", "*.css", 200), ("static/js", "*.js", 120)],
)
def test_templates_styles_and_scripts_are_small(folder: str, suffix: str, alarm: int):
    for path in sorted((TOP / folder).rglob(suffix)):
        lines = len(path.read_text().splitlines())

        assert lines <= alarm or named(path) in LONG_FILES, f"{named(path)} has {lines} lines"


def test_functions_are_small():
    for path in python_files("walkaround"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.FunctionDef):
                name, lines = f"{named(path)}:{node.name}", length(node)

                assert lines <= 25 or name in LONG_FUNCTIONS, f"{name} has {lines} lines"


def test_views_are_small():
    for path in python_files("walkaround/web"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.FunctionDef) and is_view(node):
                name, lines = f"{named(path)}:{node.name}", length(node)

                assert lines <= 15 or name in LONG_VIEWS, f"{name} has {lines} lines"


def test_modules_below_the_web_say_what_they_are():
    for path in python_files("walkaround/rules", "walkaround/store", "walkaround/actions"):
        if "versions" not in path.parts:
            assert ast.get_docstring(ast.parse(path.read_text())), named(path)


def test_no_name_says_nothing():
    for path in python_files("walkaround", "tests"):
        assert not BANNED_NAMES.search(path.stem), named(path)


def test_every_template_is_used():
    sources = [p.read_text() for p in python_files("walkaround")]
    sources += [p.read_text() for p in (TOP / "templates").rglob("*.html")]
    whole = "\n".join(sources)

    for path in sorted((TOP / "templates").rglob("*.html")):
        name = path.relative_to(TOP / "templates").as_posix()
        assert f'"{name}"' in whole or f'"{path.name}"' in whole, f"nobody renders {name}"


def test_every_macro_is_used():
    texts = {path: path.read_text() for path in (TOP / "templates").rglob("*.html")}
    whole = "\n".join(texts.values())

    for path, text in texts.items():
        for macro in re.findall(r"{%-? macro (\w+)\(", text):
            assert len(re.findall(rf"\b{macro}\(", whole)) > 1, (
                f"nobody uses {macro} of {named(path)}"
            )


def test_adding_or_removing_an_address_is_a_deliberate_act(app: Flask):
    found = sorted(
        {
            f"{rule.rule} {' '.join(sorted(rule.methods - {'HEAD', 'OPTIONS'}))}"
            for rule in app.url_map.iter_rules()
        }
    )

    assert found == (TOP / "tests" / "routes.txt").read_text().splitlines()


def length(node: ast.FunctionDef) -> int:
    """Return a function's lines without its docstring."""
    doc = node.body[0] if ast.get_docstring(node) else None
    return (
        (node.end_lineno or 0)
        - node.lineno
        + 1
        - (doc.end_lineno - doc.lineno + 1 if doc and doc.end_lineno else 0)
    )


def is_view(node: ast.FunctionDef) -> bool:
    return any("bp." in ast.unparse(decorator) for decorator in node.decorator_list)
