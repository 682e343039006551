"""The papers of a print run: the ticket that says what to make, and the register of who has which set."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from markupsafe import escape

from forty_paces.drawing.typeface import load_typeface
from forty_paces.messages.cards import RUN
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.box_style import BoxStyle
from forty_paces.outputs.paper.imposition import Imposition, impose, impose_whole
from forty_paces.outputs.paper.sheets import (
    PAPERS,
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)
from forty_paces.outputs.paper.tables import Table

_BEGIN_FORMULAS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins with one of these for a formula: OWASP, CSV Injection."""

_COLUMNS = {
    "ticket": BoxStyle(display="row", shares=(0.25, 0.14, 0.1, 0.21, 0.12, 0.09, 0.09)),
    "register": BoxStyle(display="row", shares=(0.27, 0.13, 0.13, 0.21, 0.11, 0.15)),
}
_TICKET = ("set", "leaves", "copies", "sheets", "cuts", "film", "rings")


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
    edition = context.library.edition
    carrier = context.library.fleet.carrier
    title = RUN["title"].format(carrier=carrier, edition=edition.id, signature=edition.signature)
    macros: Any = context.templates.get_template("cards/run.html.j2").module

    def table(kind: str, names: Sequence[str], rows: Iterable[str], last: str = "") -> Table:
        def head(page: int, pages: int) -> str:
            what = RUN["page"].format(what=RUN[f"the-{kind}"], page=page, pages=pages)
            return str(macros.head(title, what))

        return Table(_COLUMNS, head, macros.names(kind, names, RUN), tuple(rows), last=last)

    tables = [
        table("ticket", _TICKET, (macros.ticket(one, RUN, PAPERS) for one in makings), macros.after(RUN))
    ]
    if with_register:
        shown = ([row[at] for at in _ON_PAPER] for row in register_rows(context, makings))
        names = [REGISTER_COLUMNS[at] for at in _ON_PAPER]
        tables.append(table("register", names, map(macros.register, shown)))
    pages = list(chain.from_iterable(one.pages(paper, load_typeface(context.fonts)) for one in tables))
    body = f'<main aria-label="{escape(title)}">{"".join(pages)}</main>'
    document = PaperDocument(title, paper, html_with_no_break_spaces(body), SHEET_MARGINS, tables[0].css)
    return PrintDocument(path, title, document_html(context, document), len(pages))


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
_ON_PAPER = (0, 1, 3, 4, 5, 6)
"Those on paper, where the head of each page names the edition."


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_BEGIN_FORMULAS) else cell
