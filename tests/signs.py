"""All signs of items side by side: python -m tests.signs > signs.html, then open that."""

import sys
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent / "static" / "signs" / "items"
STYLE = """
  body { margin: 0; font: 600 12px system-ui }
  section { display: flex; flex-wrap: wrap; gap: 16px; padding: 16px }
  div { inline-size: 140px }
  .light { background: #f4f2ec; color: #14130f }
  .dark { background: #101214; color: #eceae4 }
"""


def drawn(name: str, size: str) -> str:
    """Return a sign to be put into a page, that large."""
    text = (FOLDER / f"{name}.svg").read_text()
    return text.replace("<svg ", f'<svg width="{size}" height="{size}" ', 1)


def names() -> list[str]:
    """Return the names of all files."""
    return sorted(path.stem for path in FOLDER.glob("*"))


def sheet() -> str:
    """Return a page with every sign at 96 and 32 px, on light and on dark."""
    cells = [f"<div>{drawn(one, '96')}{drawn(one, '32')}<br>{one}</div>" for one in names()]
    parts = (f"<section class={ground}>{''.join(cells)}</section>" for ground in ("light", "dark"))
    return f"<!doctype html><meta charset=utf-8><style>{STYLE}</style>{''.join(parts)}"


if __name__ == "__main__":
    sys.stdout.write(sheet())
