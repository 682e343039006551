"""Convert self-contained HTML documents to tagged PDF with WeasyPrint, or lay out pieces of documents.

Fonts are embedded, nothing is fetched, and the same HTML gives the same bytes. WeasyPrint comes with the
extra ``pdf`` and needs Pango from the operating system. Where either is missing, :func:`missing` says in one
line what to install; the HTML can still be printed from any browser.
"""

from __future__ import annotations

import gc
import io
import json
import logging
import multiprocessing
import os
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import astuple, dataclass
from functools import lru_cache
from typing import Any

from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener, track
from forty_paces.outputs.paper import layout_cache
from forty_paces.outputs.paper.sheets import PrintDocument

_WORTH_A_POOL = 3
"Number of documents from which starting a process pool pays."


class PdfUnavailable(Exception):
    """PDF cannot be made on this machine; the message says what to install."""


class AsksOutside(Exception):
    """The document refers to an outside resource; the message names it."""


class PageCountWrong(Exception):
    """Content overflowed: the PDF has more or fewer pages than were composed."""

    def __init__(self, title: str, composed: int, made: int) -> None:
        super().__init__(title, composed, made)  # all three, so that it can be pickled across processes
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
    """What to install before PDF can be made, in one line; empty if nothing is missing."""
    return _engine()[1]


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A heading and its place on a page, in CSS pixels from the top left corner."""

    level: int
    label: str
    x_px: float
    y_px: float


@dataclass(frozen=True, slots=True)
class LayoutJob:
    """A document whose pages are pieces of others (:mod:`.assembly`)."""

    html: str
    pages: int
    "Number of pages composed."
    tagged: bool = True
    "False for what is no content, such as crop marks."
    whole_fonts: bool = True
    "True where other jobs have the same fonts, which documents of pieces of several jobs then hold once."
    complete: bool = False
    "True for a document as it is handed out, which claims PDF/UA-1."


@dataclass(frozen=True, slots=True)
class Layout:
    """The laid-out pages of a job as PDF."""

    data: bytes
    bookmarks: tuple[tuple[Bookmark, ...], ...]
    "Of each page."


def to_pdf(html: str, *, pages: int | None = None) -> bytes:
    """The document as a tagged PDF (PDF/UA-1).

    ``pages`` is the number of pages composed. Raises :class:`PageCountWrong` if the PDF has another number of
    pages, :class:`PdfUnavailable` if WeasyPrint or Pango is missing, and :class:`AsksOutside` if the document
    is not self-contained.
    """
    written = io.BytesIO()
    with _uncollected():
        _rendered(html, pages).write_pdf(written, pdf_variant="pdf/ua-1", pdf_tags=True)
    return written.getvalue()


def layout(job: LayoutJob) -> Layout:
    """Lay out the pages of a job. Raises what :func:`to_pdf` raises."""
    if job.complete:
        return Layout(to_pdf(job.html, pages=job.pages), ())
    written = io.BytesIO()
    with _uncollected():
        document = _rendered(job.html, job.pages)
        document.write_pdf(written, pdf_tags=job.tagged, full_fonts=job.whole_fonts)
    bookmarks = tuple(
        tuple(Bookmark(level, label, *place) for level, label, place, *_ in page.bookmarks)
        for page in document.pages
    )
    return Layout(written.getvalue(), bookmarks)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Without garbage collection, which takes a quarter of the time among a document's many boxes."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def _rendered(html: str, pages: int | None) -> Any:
    """The laid-out document of WeasyPrint."""
    weasyprint, why = _engine()
    if weasyprint is None:
        raise PdfUnavailable(why)
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError

    source = weasyprint.HTML(string=html, url_fetcher=_fetcher(), base_url="about:blank")
    # A configuration of its own: a shared one keeps the fonts of earlier documents, which have the same name
    # but other letters, and what is embedded would depend on what this process laid out before.
    fonts = FontConfiguration()
    try:
        document = source.render(font_config=fonts)
    except FatalURLFetchingError as refused:  # not an Exception: passes through every handler on its way up
        raise AsksOutside(str(refused)) from None
    if pages is not None and len(document.pages) != pages:
        raise PageCountWrong(document.metadata.title or "", pages, len(document.pages))
    return document


def pdfs(printed: Iterable[PrintDocument], watch: ProgressListener = NO_PROGRESS) -> Iterator[bytes]:
    """PDF of each document, in order; uses several processes if there are enough cores and documents."""
    jobs = [LayoutJob(one.html, one.pages, complete=True) for one in printed]
    yield from (done.data for done in layouts(jobs, watch))


def layouts(
    jobs: Sequence[LayoutJob], watch: ProgressListener = NO_PROGRESS, *, processes: int | None = None
) -> Iterator[Layout]:
    """The layout of each job, in order: from an earlier build, or else laid out now and kept.

    By default what is laid out takes several processes, if there are enough cores and documents.
    """
    yield from track(_each(jobs, processes), len(jobs), watch)


def _each(jobs: Sequence[LayoutJob], processes: int | None) -> Iterator[Layout]:
    if _engine()[0] is None:
        yield from map(layout, jobs)  # which says what is missing
        return
    state = _engine_state()
    keys = [layout_cache.key_of(state, *map(str, astuple(job))) for job in jobs]
    found = [layout_cache.read(key) for key in keys]
    fresh = _worked([job for job, known in zip(jobs, found, strict=True) if known is None], processes)
    for key, known in zip(keys, found, strict=True):
        if known is None:
            done = next(fresh)
            layout_cache.keep(
                key, done.data, json.dumps([list(map(astuple, page)) for page in done.bookmarks])
            )
            yield done
        else:
            data, notes = known
            yield Layout(data, tuple(tuple(Bookmark(*mark) for mark in page) for page in json.loads(notes)))
    layout_cache.forget_oldest()


def _worked(jobs: Sequence[LayoutJob], processes: int | None) -> Iterator[Layout]:
    workers = min(processes or os.cpu_count() or 1, len(jobs))
    if workers < 2 or len(jobs) < _WORTH_A_POOL:
        yield from map(layout, jobs)
        return
    # "spawn": forking a process that has threads (mkdocs serve has some) may hang
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(layout, jobs)


@lru_cache(maxsize=1)
def _engine_state() -> str:
    from weasyprint.text.ffi import pango

    return layout_cache.engine_state(pango.pango_version())


def joining_library() -> Any:
    """The library pikepdf, which comes with the extra ``pdf`` as WeasyPrint does."""
    import pikepdf

    return pikepdf


@lru_cache(maxsize=1)
def _engine() -> tuple[Any, str]:
    """WeasyPrint and an empty text, or None and what to install."""
    try:
        import weasyprint

        joining_library()
    except ImportError:
        return None, _EXTRA
    except OSError:  # cffi did not find Pango
        return None, _PANGO
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    logging.getLogger("fontTools").setLevel(logging.ERROR)
    return weasyprint, ""


def _fetcher() -> Any:
    """A fetcher that accepts data: URLs only."""
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols=("data",), fail_on_errors=True)
