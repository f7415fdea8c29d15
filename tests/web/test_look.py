"""Contrast by the formula of WCAG 2.2, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio."""

import re
from pathlib import Path

import pytest

from walkaround.web import assets

CSS = Path(__file__).parents[2] / "static" / "css"
STATES = ("tagged_out", "not_checked", "ok_with_restrictions", "ok_to_run", "laid_up")
SHEETS = sorted(path for name in assets.SHEETS for path in CSS.glob(f"{name}.css"))
DARK = "@media (prefers-color-scheme: dark)"


def luminance(color: str) -> float:
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def colors(theme: str) -> dict[str, str]:
    day, night = (CSS / "tokens.css").read_text().split(DARK)
    named = dict(re.findall(r"--([\w-]+): ([^;]+);", day))
    if theme == "dark":
        named |= dict(re.findall(r"--([\w-]+): ([^;]+);", night))
    return {
        name: named[value[6:-1]] if value.startswith("var(--") else value
        for name, value in named.items()
        if name.startswith("color-")
    }


@pytest.mark.parametrize(
    ("color", "ratio"),
    [("#767676", 4.5422), ("#777777", 4.4781), ("#949494", 3.0335), ("#595959", 7.0047)],
)
def test_the_formula_finds_the_known_edges_on_white(color, ratio):
    # computed apart from this file, with the formula that the standard prints
    assert contrast(color, "#ffffff") == pytest.approx(ratio, abs=0.00005)


def test_black_on_white_is_21_to_1():
    # WCAG 2.2: "Contrast ratios can range from 1 to 21"
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("state", STATES)
def test_a_verdict_reads_at_7_to_1_on_its_plate(state, theme):
    named = colors(theme)

    ink = named.get(f"color-on-{state}", named["color-on-plate"])
    assert contrast(named[f"color-{state}"], ink) >= 7


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "quiet"])
@pytest.mark.parametrize("ground", ["paper", "surface"])
def test_words_and_answers_read_at_7_to_1(ground, ink, theme):
    named = colors(theme)

    assert contrast(named[f"color-{ground}"], named[f"color-{ink}"]) >= 7


def test_a_sign_does_not_change_at_night():
    day, night = colors("light"), colors("dark")

    assert all(day[f"color-{state}"] == night[f"color-{state}"] for state in STATES)


def test_only_plates_take_the_colours_of_verdicts():
    taking = {
        path.name
        for path in CSS.rglob("*.css")
        if re.search(
            rf"var\(--(color-(on-)?({'|'.join(STATES)})|red|blue|yellow|green)\)", path.read_text()
        )
    }

    assert taking <= {"tokens.css", "plate.css", "paper.css", "pdf.css"}


@pytest.mark.parametrize("name", [*STATES, "in_order", "defect", "no_worse", "not_fitted",
                                  "could_not_check"])  # fmt: skip
def test_every_state_and_answer_has_a_sign_of_its_own(name):
    others = [path for path in (assets.ROOT / "signs").glob("*.svg") if path.stem != name]

    assert assets.sign(name).startswith('<svg aria-hidden="true"')
    assert assets.sign(name) not in [assets.sign(path.stem) for path in others]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_a_sheet_keeps_to_the_house(path):
    text = path.read_text()

    assert "@layer" in text[:60]
    assert not re.search(r"^\s*#[\w-]+[\s,.:{]", text, re.MULTILINE), "no ids"
    assert "!important" not in text or path.name == "print.css"
    assert not re.search(r"(margin|padding|border)-(left|right|top|bottom)", text), "logical"
