"""What the card PDFs of a fleet cost with every face laid out once, beside each document laid out whole.

Both are made by one process from the same card sets; a first small layout loads the engine.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from forty_paces.authoring.library import load_library
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.cards import pieces
from forty_paces.outputs.cards.documents import CatalogEntry
from forty_paces.outputs.cards.print_run import card_sets, documents
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf

from tests.bench.measuring import PROJECT, Table

_Made = TypeVar("_Made")


def tables(rounds: int) -> Iterator[Table]:
    """One table; ``rounds`` does not apply, as one round takes minutes."""
    context = BuildContext(load_library(PROJECT, symbols=NAMES), PROJECT / "site_overrides")
    pdf.to_pdf('<html lang="en"><title>T</title><p>Words.')
    sets, measured_s = _timed(lambda: card_sets(context))
    entries = tuple(documents(context, sets))
    jobs = _jobs(entries)
    assembled, once_s = _timed(lambda: list(pieces.card_pdfs(context, entries, processes=1)))
    peak_once = _peak_mb()
    whole, whole_s = _timed(
        lambda: [pdf.to_pdf(entry.printed.html, pages=entry.printed.pages) for entry in entries]
    )
    rows = [
        (
            "faces measured and set",
            f"{sum(len(cards.faces) for cards in sets)}",
            f"{measured_s:.1f}",
            "",
            "",
            "",
        ),
        _row("each document laid out whole", _pages(entries), whole_s, whole, whole_s, _peak_mb()),
        _row("pieces laid out once, documents assembled", jobs, once_s, assembled, whole_s, peak_once),
    ]
    head = ("what", "pages laid out", "processor s", "whole = 1", "MB written", "peak memory so far, MB")
    yield Table(f"{len(entries)} card documents of the real content", head, rows)


def _timed(work: Callable[[], _Made]) -> tuple[_Made, float]:
    begin = time.process_time()
    made = work()
    return made, time.process_time() - begin


def _row(
    name: str, pages: int, taken_s: float, made: Sequence[bytes], whole_s: float, peak_mb: float
) -> tuple[str, ...]:
    written = sum(map(len, made)) / 1e6
    return (
        name,
        f"{pages}",
        f"{taken_s:.1f}",
        f"{taken_s / whole_s:.2f}",
        f"{written:.1f}",
        f"{peak_mb:.0f}",
    )


def _pages(entries: Sequence[CatalogEntry]) -> int:
    return sum(entry.printed.pages for entry in entries)


def _jobs(entries: Sequence[CatalogEntry]) -> int:
    """How many pages the pieces take; the documents that are laid out as they are counted too."""
    shown = [page for entry in entries if entry.cards for page in pieces._pages(entry)]
    distinct = sum(len(some) for some in pieces._pieces(shown).values())
    return distinct + _pages([entry for entry in entries if entry.cards is None])


def _peak_mb() -> float:
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6
