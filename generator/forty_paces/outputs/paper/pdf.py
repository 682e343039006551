"""Printed pages as PDF, where the machine can make them.

In: one HTML file that asks nothing of anyone. Out: the bytes of a tagged PDF with
its fonts inside, the same bytes for the same HTML. Refuses to know what is printed
and to fetch anything.

WeasyPrint comes with the extra ``pdf`` and needs Pango from the operating system.
Where either is missing, :func:`missing` says in one line what to install, and the
HTML prints alike from any browser.
"""

from __future__ import annotations

import io
import logging
from functools import lru_cache
from typing import Any


class PdfUnavailable(Exception):
    """No PDF can be made here; the message says what to install."""


class AsksOutside(Exception):
    """The page names something outside itself; the message says what."""


class PageCountWrong(Exception):
    """A page ran over: the PDF has more or fewer pages than were composed."""

    def __init__(self, title: str, composed: int, made: int) -> None:
        super().__init__(title, composed, made)  # all three, so that it crosses from one process to another
        self.composed = composed
        self.made = made

    def __str__(self) -> str:
        title, composed, made = self.args
        pages = f"{composed} page{'s' * (composed != 1)}"
        return f'"{title}" was composed on {pages} but fills {made}: something is taller than its page'


_EXTRA = "no PDF: install the extra with  pip install 'forty-paces[pdf]'"
_PANGO = (
    "no PDF: WeasyPrint needs Pango from the operating system "
    "(Debian and Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0; macOS: brew install pango; "
    "Windows: MSYS2, pacman -S mingw-w64-x86_64-pango)"
)


def missing() -> str:
    """What to install before PDF can be made, in one line; empty where nothing is missing."""
    return _engine()[1]


def to_pdf(html: str, *, pages: int | None = None) -> bytes:
    """The document as a tagged PDF.

    ``pages`` is how many pages were composed: :class:`PageCountWrong` where it comes to another
    number. Raises :class:`PdfUnavailable` where WeasyPrint or Pango is missing, :class:`AsksOutside`
    where the page is not whole in itself.
    """
    weasyprint, why = _engine()
    if weasyprint is None:
        raise PdfUnavailable(why)
    from weasyprint.urls import FatalURLFetchingError

    source = weasyprint.HTML(string=html, url_fetcher=_fetcher(), base_url="about:blank")
    try:
        document = source.render(font_config=_fonts())
    except FatalURLFetchingError as refused:  # no Exception: it would pass every handler on its way up
        raise AsksOutside(str(refused)) from None
    if pages is not None and len(document.pages) != pages:
        raise PageCountWrong(document.metadata.title or "", pages, len(document.pages))
    written = io.BytesIO()
    document.write_pdf(written, pdf_variant="pdf/ua-1", pdf_tags=True)
    return written.getvalue()


@lru_cache(maxsize=1)
def _engine() -> tuple[Any, str]:
    """WeasyPrint and nothing missing, or None and what to install."""
    try:
        import weasyprint
    except ImportError:
        return None, _EXTRA
    except OSError:  # cffi found no Pango
        return None, _PANGO
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    logging.getLogger("fontTools").setLevel(logging.ERROR)
    return weasyprint, ""


@lru_cache(maxsize=1)
def _fonts() -> Any:
    """One font configuration a process: embedded faces are unpacked once."""
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


def _fetcher() -> Any:
    """A fetcher that knows data: addresses and nothing else."""
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols=("data",), fail_on_errors=True)
