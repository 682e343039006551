"""The slip that comes with leaves printed again: what to take out of a set, and what to put in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import escape

from forty_paces.drawing.typeface import load_typeface
from forty_paces.messages.cards import SLIP
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet, Face
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.box_style import BoxStyle
from forty_paces.outputs.paper.sheets import (
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)
from forty_paces.outputs.paper.tables import Table

_COLUMNS = {
    "slip": BoxStyle(display="row", shares=(0.12, 0.28, 0.52, 0.08)),
    "box": BoxStyle(height_mm=5.0),
}
_BOX = ".slip .box{width:5mm;border:.4mm solid #111}"


@dataclass(frozen=True, slots=True)
class SlipRow:
    """A leaf: what is taken out of the ring, and what comes in its place."""

    leaf: int
    old: tuple[str, ...]
    "Codes of the cards on the old leaf; empty if there is none, or if the record did not note it."
    version: str
    "Of the old leaf; empty as above."
    new: Sequence[Face]
    "The faces of the new one; empty where the leaf goes."
    is_added: bool = False
    "Whether the old set has no such leaf."


def slip_rows(cards: CardSet) -> list[SlipRow]:
    """The leaves printed again in order, then those that go."""
    rows = []
    for leaf in sorted({leaf_of(face.number) for face in cards.faces}):
        new = [face for face in cards.faces if leaf_of(face.number) == leaf]
        old = [one for one in cards.kept if leaf_of(one.number) == leaf]
        codes = tuple(dict.fromkeys(one.code for one in (old or new)))
        version = old[0].leaf if old else ""
        rows.append(SlipRow(leaf, codes, version, new, is_added=bool(cards.kept) and not old))
    for gone in cards.gone:
        version = next(one.leaf for one in cards.kept if leaf_of(one.number) == gone.number)
        rows.append(SlipRow(gone.number, gone.codes, version, ()))
    return rows


def slip_document(
    context: BuildContext, cards: CardSet, title: str, paper: PaperSize, path: str
) -> PrintDocument:
    """One row for each leaf of ``cards``, which are the leaves of a set that are printed again.

    Then one for each leaf that is taken out and not replaced.
    """
    rows = slip_rows(cards)
    leaves = leaf_of(cards.faces[0].of) if cards.faces else 0
    macros: Any = context.templates.get_template("cards/slip.html.j2").module
    table = Table(
        _COLUMNS,
        lambda page, pages: str(macros.head(title, page, pages, cards.since, SLIP)),
        macros.names(SLIP),
        [macros.leaf(row, leaves, SLIP) for row in rows],
        every=macros.after(SLIP),
    )
    pages = table.pages(paper, load_typeface(context.fonts))
    body = f'<main aria-label="{escape(title)}">{"".join(pages)}</main>'
    style = f"{table.css}\n{_BOX}"
    document = PaperDocument(title, paper, html_with_no_break_spaces(body), SHEET_MARGINS, style)
    return PrintDocument(path, title, document_html(context, document), len(pages))
