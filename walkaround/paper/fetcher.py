"""What paper may load: what its page holds already, and nothing else.

Import this inside the function that prints: WeasyPrint takes 0.4 s and memory to import.
"""

from collections.abc import Mapping

from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse


class NotOnPaper(FatalURLFetchingError):  # type: ignore[misc]
    """The page asked for something from outside. It ends the printing, for a gap would be silent.

    Not an Exception, for WeasyPrint passes over those: `sheet.printed` turns it into one.
    """


class PaperFetcher(URLFetcher):  # type: ignore[misc]
    """Knows `data:` alone; no file, no network, no redirect."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=("data",), allow_redirects=False, fail_on_errors=True)
        self.refused: list[str] = []  # pictures inside SVG swallow even NotOnPaper

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        """Return what a `data:` address holds; raise NotOnPaper for any other."""
        try:
            if url[:5].lower() != "data:":
                raise ValueError("only what the page holds itself is printed")
            return super().fetch(url, headers)
        except Exception as error:
            self.refused.append(url[:80])
            raise NotOnPaper(url[:80]) from error
