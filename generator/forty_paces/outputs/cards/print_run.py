"""All printed cards of an edition, and the page that lists them.

These are card sets, wallet cards, posters and test sheets. HTML is always written. PDF is added where
WeasyPrint is available; otherwise one log line says what to install. If any face does not fit, nothing is
printed.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from forty_paces.authoring.findings import ContentFault, Finding
from forty_paces.outputs.cards.card_set import CardSet, Face, finding, try_set
from forty_paces.outputs.cards.documents import CatalogEntry, dry_run_document, set_documents
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.cards.record_pad import pad_document
from forty_paces.outputs.cards.status import RECORD, face_record
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

log = logging.getLogger("mkdocs.forty-paces.cards")

SHEET_PAPERS = ("letter", "a4")
POSTER_PAPERS = ("tabloid", "a3")


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """All files below cards/. Raises :class:`ContentFault` if a face does not fit."""
    sets = card_sets(context)
    listed = tuple(documents(context, sets))
    yield Artifact("cards/index.md", index_page(context, sets, listed).lstrip("\n"))
    yield Artifact(
        f"cards/{RECORD}", json.dumps(face_record(context, sets), indent=1, ensure_ascii=False) + "\n"
    )
    for entry in listed:
        yield Artifact(f"{entry.printed.path}.html", entry.printed.html)
    if why := pdf.missing():
        log.warning("%s; the cards print from their HTML pages", why)
        return
    for entry, data in zip(listed, card_pdfs(context, listed, context.watch), strict=True):
        yield Artifact(f"{entry.printed.path}.pdf", data)


def card_sets(context: BuildContext) -> tuple[CardSet, ...]:
    """Card sets for all vehicles, and for each vehicle of a small fleet, at every size including wallet.

    Raises one :class:`ContentFault` with the findings of all misfits.
    """
    fleet = context.library.fleet
    sets: list[CardSet] = []
    faults: list[Finding] = []
    for size in (*(size.value for size in fleet.card_sizes), WALLET_SIZE):
        for vehicle in (None, *context.vehicles_in_site):
            cards, misfits = try_set(context, size, vehicle)
            sets.append(cards)
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


def documents(context: BuildContext, sets: Sequence[CardSet]) -> Iterator[CatalogEntry]:
    """Every printable document of the edition.

    A set for all vehicles has single faces, and sheets for every paper; a set for one vehicle has sheets for
    the fleet's paper only. The command ``fortypaces cards`` makes the others on demand, because an edition
    with all of them would be too large for tablets to carry.
    """
    for cards in sets:
        for_all = cards.vehicle is None
        papers = SHEET_PAPERS if for_all else (context.library.fleet.paper.value,)
        yield from set_documents(context, cards, papers, folder="cards/", faces=for_all, one_up=for_all)
    first_of_size: dict[str, CardSet] = {}
    for cards in sets:
        if cards.size != WALLET_SIZE:  # printed on one side, with rulers on every sheet
            first_of_size.setdefault(cards.size, cards)
    for size, cards in first_of_size.items():
        for paper in SHEET_PAPERS:
            printed = dry_run_document(context, cards, PAPERS[paper], f"cards/test-sheet-{size}-{paper}")
            yield CatalogEntry(printed, "test", size, paper, "")
    for paper in SHEET_PAPERS:
        pad = pad_document(context, PAPERS[paper], f"cards/record-{paper}")
        if pad is not None:
            yield CatalogEntry(pad, "record", "", paper, "")
    for paper in POSTER_PAPERS:
        poster = poster_document(context, PAPERS[paper], f"cards/poster-{paper}")
        if poster is not None:
            yield CatalogEntry(poster, "poster", "", paper, "")


class LeafRow(NamedTuple):
    """A card in the table of leaves."""

    code: str
    versions: tuple[str, ...]
    "Of its leaf in each set; empty where a set lacks the card."


@dataclass(frozen=True, slots=True)
class LeafTable:
    """The leaves in force of every set of one size."""

    size: str
    sets: tuple[CardSet, ...]
    families: tuple[tuple[str, tuple[LeafRow, ...]], ...]
    "The title of each family, and its cards. The cover and the card of numbers have none."


def leaf_tables(sets: Sequence[CardSet]) -> Iterator[LeafTable]:
    """One table for each size, in the order of the sets."""
    for size in dict.fromkeys(cards.size for cards in sets):
        shown = tuple(cards for cards in sets if cards.size == size)
        versions = [{face.code: face.leaf for face in cards.faces} for cards in shown]
        rows = tuple(
            (
                title,
                tuple(LeafRow(face.code, tuple(of.get(face.code, "") for of in versions)) for face in some),
            )
            for title, some in by_family(face for cards in shown for face in cards.faces)
        )
        yield LeafTable(size, shown, rows)


def by_family(faces: Iterable[Face]) -> tuple[tuple[str, tuple[Face, ...]], ...]:
    """Each card's first face, below the title of its family, in the order in which they come first."""
    found: dict[str, dict[str, Face]] = {}
    for face in faces:
        found.setdefault(face.family, {}).setdefault(face.code, face)
    return tuple((title, tuple(some.values())) for title, some in found.items())


def index_page(context: BuildContext, sets: Iterable[CardSet], listed: Iterable[CatalogEntry]) -> str:
    """The page that lists the printable documents and the current versions, as Markdown."""
    everything, everything_sets = tuple(listed), tuple(sets)
    return context.render(
        "pages/cards.md.j2",
        sets=everything_sets,
        listed=everything,
        families=by_family(everything_sets[0].faces if everything_sets else ()),
        papers=PAPERS,
        leaves=tuple(leaf_tables(everything_sets)),
        vehicles_in_site=context.vehicles_in_site,
        has_pdf=not pdf.missing(),
    )
