"""All printed cards of an edition, and the page that lists them.

These are card sets, wallet cards, posters and test sheets. HTML is always written. PDF is added where
WeasyPrint is available; otherwise one log line says what to install. If any face does not fit, nothing is
printed.
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
"Number of documents from which starting a process pool pays."


@dataclass(frozen=True, slots=True)
class CatalogEntry:
    """A document as listed on the page of cards."""

    printed: PrintDocument
    kind: str
    "faces, sheets, fold, test or poster."
    size: str
    paper: str
    owner: str
    "Vehicle id, 'all', or empty."


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """All files below cards/. Raises :class:`ContentFault` if a face does not fit."""
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
    """Card sets for all vehicles, and for each vehicle of a small fleet, at every size including wallet.

    Raises one :class:`ContentFault` with the findings of all misfits.
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
    """The first finding for each face: the set for all vehicles is first, and never shorter than others."""
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
    """The documents of one card set.

    For all vehicles: single faces, and sheets for every paper. For one vehicle: sheets for the fleet's paper
    only. The command ``fortypaces cards`` makes the others on demand, because an edition with all of them
    would be too large for tablets to carry.
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
    """PDF of each document, in order; uses several processes if there are enough cores and documents."""
    jobs = list(printed)
    yield from track(_made(jobs), len(jobs), watch)


def _made(jobs: Sequence[PrintDocument]) -> Iterator[bytes]:
    workers = min(os.cpu_count() or 1, len(jobs))
    if workers < 2 or len(jobs) < _WORTH_A_POOL:
        yield from map(_pdf, jobs)
        return
    # "spawn": forking a process that has threads (mkdocs serve has some) may hang
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(_pdf, jobs)


def _pdf(printed: PrintDocument) -> bytes:
    return pdf.to_pdf(printed.html, pages=printed.pages)


def index_page(context: BuildContext, sets: Iterable[CardSet], listed: Iterable[CatalogEntry]) -> str:
    """The page that lists the printable documents and the current versions, as Markdown."""
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
