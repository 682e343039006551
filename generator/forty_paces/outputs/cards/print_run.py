"""The printed side of an edition: card sets, wallet cards, poster, test sheets, and the page that lists them.

In: a press. Out: artifacts below cards/. HTML always; PDF beside it where the machine
can make it, else one line in the log says what to install. Refuses to print a set of
which one face does not fit.
"""

from __future__ import annotations

import json
import logging
import multiprocessing
import os
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from forty_paces.authoring.findings import ContentFault, Finding
from forty_paces.outputs.cards.card_set import CardSet, finding, try_set
from forty_paces.outputs.cards.documents import (
    PrintDocument,
    dry_run_document,
    faces_document,
    sheets_document,
)
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.cards.status import RECORD, face_record
from forty_paces.outputs.common.artifact import Artifact
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener, track
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, PaperSize

log = logging.getLogger("mkdocs.forty-paces.cards")

SHEET_PAPERS = ("letter", "a4")
POSTER_PAPERS = ("tabloid", "a3")
_WORTH_A_POOL = 3
"From so many documents on, starting further processes pays."


@dataclass(frozen=True, slots=True)
class CatalogEntry:
    """A document as the page of cards lists it."""

    printed: PrintDocument
    kind: str
    "faces, sheets, fold, test or poster."
    size: str
    paper: str
    owner: str
    "Vehicle id, 'all', or empty."


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """Everything below cards/. Raises :class:`ContentFault` where a face does not fit."""
    sets = card_sets(context)
    listed = tuple(documents(context, sets))
    yield Artifact("cards/index.md", index_page(context, sets, listed).lstrip("\n"))
    yield Artifact(
        f"cards/{RECORD}", json.dumps(face_record(context, sets), indent=1, ensure_ascii=False) + "\n"
    )
    for one in listed:
        yield Artifact(f"{one.printed.path}.html", one.printed.html)
    if why := pdf.missing():
        log.warning("%s; the cards print from their HTML pages", why)
        return
    wanted = [one.printed for one in listed]
    for printed, data in zip(wanted, pdfs(wanted, context.watch), strict=True):
        yield Artifact(f"{printed.path}.pdf", data)


def card_sets(context: BuildContext) -> tuple[CardSet, ...]:
    """For all vehicles and for each of a small fleet, at every size of the fleet and the wallet.

    One fault tells of all misfits.
    """
    fleet = context.library.fleet
    sets: list[CardSet] = []
    faults: list[Finding] = []
    for size in (*(size.value for size in fleet.card_sizes), WALLET_SIZE):
        for vehicle in (None, *context.vehicles_in_site):
            found, misfits = try_set(context, size, vehicle)
            sets.append(found)
            faults += [finding(misfit) for misfit in misfits]
    if faults:
        raise ContentFault(_once(faults))
    return tuple(sets)


def _once(faults: Iterable[Finding]) -> Iterator[Finding]:
    """The worst of the same face's faults: a set for one vehicle is never longer than that for all."""
    seen: set[tuple[str, tuple[str, ...]]] = set()
    for fault in faults:
        key = (fault.place.path, fault.trail)
        if key not in seen:
            seen.add(key)
            yield fault


def documents(context: BuildContext, sets: Iterable[CardSet]) -> Iterator[CatalogEntry]:
    """Every printable document of the edition."""
    for cards in sets:
        if not cards.faces:
            continue
        yield from _set_documents(context, cards)
    sizes = dict.fromkeys(cards.size for cards in sets)
    for size in sizes:
        one = next(cards for cards in sets if cards.size == size)
        for paper in _papers(SHEET_PAPERS):
            path = f"cards/test-sheet-{size}-{paper.id}"
            yield CatalogEntry(dry_run_document(context, one, paper, path), "test", size, paper.id, "")
    for paper in _papers(POSTER_PAPERS):
        printed = poster_document(context, paper, f"cards/poster-{paper.id}")
        if printed is not None:
            yield CatalogEntry(printed, "poster", "", paper.id, "")


def _set_documents(context: BuildContext, cards: CardSet) -> Iterator[CatalogEntry]:
    """For all vehicles: faces one by one, and sheets for every paper. For one: sheets for the fleet's paper.

    The command ``fortypaces cards`` makes the others on demand; an edition that holds them all would be
    larger than tablets should have to carry.
    """
    wallet = cards.size == WALLET_SIZE
    stem = f"cards/{'wallet' if wallet else cards.size}-{cards.owner}"
    kind = "fold" if wallet else "sheets"
    papers = [context.library.fleet.paper.value]
    if cards.vehicle is None:
        yield CatalogEntry(faces_document(context, cards, stem), "faces", cards.size, "", cards.owner)
        papers = list(SHEET_PAPERS)
    for paper in _papers(papers):
        printed = sheets_document(context, cards, paper, f"{stem}-{kind}-{paper.id}", folded=wallet)
        yield CatalogEntry(printed, kind, cards.size, paper.id, cards.owner)


def _papers(ids: Iterable[str]) -> Iterator[PaperSize]:
    return (PAPERS[id] for id in ids)


def pdfs(printed: Iterable[PrintDocument], watch: ProgressListener = NO_PROGRESS) -> Iterator[bytes]:
    """PDF of each document, in order; in several processes where there are cores and documents enough."""
    jobs = list(printed)
    yield from track(_made(jobs), len(jobs), watch)


def _made(jobs: Sequence[PrintDocument]) -> Iterator[bytes]:
    workers = min(os.cpu_count() or 1, len(jobs))
    if workers < 2 or len(jobs) < _WORTH_A_POOL:
        yield from map(_pdf, jobs)
        return
    # "spawn": a fork of a process with threads (mkdocs serve has some) may hang
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(_pdf, jobs)


def _pdf(printed: PrintDocument) -> bytes:
    return pdf.to_pdf(printed.html, pages=printed.pages)


def index_page(context: BuildContext, sets: Iterable[CardSet], listed: Iterable[CatalogEntry]) -> str:
    """The page that lists what can be printed and which versions are current, as Markdown."""
    everything = tuple(listed)
    return context.render(
        "pages/cards.md.j2",
        sets=tuple(sets),
        listed=everything,
        faces=next(iter(sets)).faces if sets else (),
        papers=PAPERS,
        vehicles_in_site=context.vehicles_in_site,
        has_pdf=not pdf.missing(),
    )
