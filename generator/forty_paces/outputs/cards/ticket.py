"""The papers of a print run: the ticket that says what to make, and the register of who has which set."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from forty_paces.messages.cards import RUN
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.imposition import Imposition, impose, impose_whole
from forty_paces.outputs.paper.sheets import (
    PAPERS,
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

_Row = TypeVar("_Row")

TICKET_ROWS, REGISTER_ROWS = 9, 14
"""Rows on one page, where a row of the ticket may take three lines and one of the register is written in."""
_BEGIN_FORMULAS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins with one of these for a formula: OWASP, CSV Injection."""

_STYLE = """
.run h1{font-size:20pt;line-height:26pt}
.run p{padding-top:2mm}
.run table{margin-top:4mm}
.run th,.run td{padding:1.2mm 2mm 1.2mm 0;border-bottom:.25mm solid #111;vertical-align:top}
.run .to-write td,.run .to-write th{height:11mm}
.run .line{padding-top:9mm;border-bottom:.25mm solid #111}
"""


@dataclass(frozen=True, slots=True)
class Making:
    """What making copies of one set takes."""

    cards: CardSet
    plan: Imposition
    copies: int

    @property
    def leaves(self) -> tuple[int, ...]:
        """The leaves to print, by number."""
        return tuple(sorted({leaf_of(face.number) for face in self.cards.faces}))

    @property
    def sheets(self) -> int:
        """Sheets of paper for one set, without the one printed first to check the printer."""
        return -(-len(self.leaves) // self.plan.cards_a_sheet)

    @property
    def cuts(self) -> int:
        """Straight cuts through a sheet, or through a stack of them."""
        if self.plan.whole:
            return self.plan.columns + self.plan.rows - 2
        return 2 * (self.plan.columns + self.plan.rows)

    @property
    def stem(self) -> str:
        """What set numbers begin with: the unit, or what the set is for."""
        vehicle = self.cards.vehicle
        owner = (vehicle.unit or vehicle.id) if vehicle else self.cards.owner
        return f"{owner}-wallet" if self.cards.size == WALLET_SIZE else owner

    def numbers(self, edition: str) -> Iterator[str]:
        """The number of each copy."""
        for copy in range(1, self.copies + 1):
            yield f"{self.stem}-{edition}-{copy:03}"


def making(cards: CardSet, paper: PaperSize, copies: int | None) -> Making:
    """On sheets that the cards cover where there are such, else on sheets with one card or few."""
    wallet = cards.size == WALLET_SIZE
    whole = None if wallet else impose_whole(cards.card.paper, paper)
    return Making(cards, whole or impose(cards.card.paper, paper, folded=wallet), copies or 1)


def run_document(
    context: BuildContext, makings: Sequence[Making], paper: PaperSize, path: str, *, with_register: bool
) -> PrintDocument:
    """Ticket and register, each on as many pages as it needs; leaves printed again make no new sets."""
    tickets = _paged(makings, TICKET_ROWS)
    register = _paged(tuple(register_rows(context, makings)) if with_register else (), REGISTER_ROWS)
    edition = context.library.edition
    carrier = context.library.fleet.carrier
    title = RUN["title"].format(carrier=carrier, edition=edition.id, signature=edition.signature)
    body = context.render(
        "cards/run.html.j2", title=title, tickets=tickets, register=register, words=RUN, papers=PAPERS
    )
    document = PaperDocument(title, paper, html_with_no_break_spaces(body), SHEET_MARGINS, _STYLE)
    return PrintDocument(path, title, document_html(context, document), len(tickets) + len(register))


def register_rows(context: BuildContext, makings: Sequence[Making]) -> Iterator[tuple[str, ...]]:
    """One row for each copy: its number, unit, edition and cover; the rest is written in by hand."""
    edition = context.library.edition.id
    for one in makings:
        vehicle = one.cards.vehicle
        unit = (vehicle.unit or vehicle.title) if vehicle else ""
        cover = one.cards.faces[0].leaf
        for number in one.numbers(edition):
            yield (number, unit, edition, cover, "", "", "")


def register_csv(context: BuildContext, makings: Sequence[Making]) -> str:
    """The register as CSV (RFC 4180), every cell quoted and none that a spreadsheet would compute."""
    written = io.StringIO()
    sheet = csv.writer(written, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    sheet.writerow([RUN[name] for name in REGISTER_COLUMNS])
    sheet.writerows([_safe(cell) for cell in row] for row in register_rows(context, makings))
    return written.getvalue()


REGISTER_COLUMNS = ("number", "unit", "edition", "cover", "handed-to", "date", "destroyed")
"""The columns of the register, by the ids of their headings."""


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_BEGIN_FORMULAS) else cell


def _paged(rows: Sequence[_Row], on_a_page: int) -> list[Sequence[_Row]]:
    return [rows[first : first + on_a_page] for first in range(0, len(rows), on_a_page)]
