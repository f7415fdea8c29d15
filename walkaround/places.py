"""Where templates, styles and lists are: beside the package in a checkout, inside it in a wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def templates() -> Path:
    """Return the folder of the pages."""
    return _folder("templates")


def static() -> Path:
    """Return the folder of styles, scripts and signs."""
    return _folder("static")


def checklists() -> Path:
    """Return the folder of the shipped checklists."""
    return _folder("checklists")


def demo() -> Path:
    """Return the folder that describes the invented site."""
    return _folder("demo")


def languages() -> Path:
    """Return the folder of the translations."""
    return _PACKAGE / "languages"


def _folder(name: str) -> Path:
    in_a_checkout = (_PACKAGE.parent / "pyproject.toml").is_file()
    return (_PACKAGE.parent if in_a_checkout else _PACKAGE) / name
