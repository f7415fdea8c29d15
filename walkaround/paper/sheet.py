"""A template in, PDF bytes out; nothing is fetched on the way."""

import contextlib
from collections.abc import Callable

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from walkaround import places

STYLES = "paper.css"
NOWHERE = "https://paper.invalid/"  # RFC 6761: nobody's; so a relative address is refused

Gettext = Callable[[str], str]


class NotPrinted(Exception):
    """A page to print asked for something from outside, and was not printed."""


def pdf(template: str, language: str, gettext: Gettext, **values: object) -> bytes:
    """Return a template of templates/paper, filled in and printed; raise NotPrinted."""
    page = _environment(gettext).get_template(f"paper/{template}")
    html = page.render(language=language, **values)
    return printed(html, [(places.static() / "css" / STYLES).read_text("utf-8")])


def printed(html: str, styles: list[str]) -> bytes:
    """Return HTML as PDF/UA-1 bytes; raise NotPrinted if it loads anything from outside."""
    from weasyprint import CSS, HTML  # 0.4 s: not for those who print nothing

    from walkaround.paper.fetcher import NotOnPaper, PaperFetcher

    inside = PaperFetcher()
    pdf = b""
    with contextlib.suppress(NotOnPaper):
        sheets = [CSS(string=css, base_url=NOWHERE, url_fetcher=inside) for css in styles]
        page = HTML(string=html, base_url=NOWHERE, url_fetcher=inside)
        pdf = page.write_pdf(stylesheets=sheets, pdf_variant="pdf/ua-1")
    if inside.refused:
        raise NotPrinted(f"a page to print may not load {', '.join(inside.refused)}")
    return pdf


def _environment(gettext: Gettext) -> Environment:
    """Return a new one each time: its words are in one language, and requests run side by side."""
    made = Environment(
        loader=FileSystemLoader(places.templates()),
        extensions=["jinja2.ext.i18n"],
        autoescape=True,
        undefined=StrictUndefined,
    )
    made.install_gettext_callables(  # type: ignore[attr-defined]
        gettext, lambda one, many, count: gettext(one if count == 1 else many), newstyle=True
    )
    return made
