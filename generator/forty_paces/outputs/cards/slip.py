"""The slip that comes with leaves printed again: what to take out of a set, and what to put in."""

from __future__ import annotations

from forty_paces.outputs.cards.card_set import CardSet, leaf_of
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.sheets import (
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

ROWS_A_PAGE = 8
"""Leaves on one page of the slip, where each may take three lines."""

_STYLE = """
.slip h1{font-size:20pt;line-height:26pt}
.slip p{padding-top:3mm}
.slip table{margin-top:5mm}
.slip th,.slip td{padding:1.5mm 2mm 1.5mm 0;border-bottom:.25mm solid #111}
.slip th:first-child,.slip td:first-child{width:22mm}
.slip th:last-child,.slip td:last-child{width:14mm}
.slip .box{display:block;width:5mm;height:5mm;border:.4mm solid #111}
.slip .line{padding-top:9mm;border-bottom:.25mm solid #111}
"""


def slip_document(
    context: BuildContext, cards: CardSet, title: str, paper: PaperSize, path: str
) -> PrintDocument:
    """One row for each leaf of ``cards``, which are the leaves of a set that are printed again."""
    leaves = sorted({leaf_of(face.number) for face in cards.faces})
    rows = [(leaf, [face for face in cards.faces if leaf_of(face.number) == leaf]) for leaf in leaves]
    pages = [rows[first : first + ROWS_A_PAGE] for first in range(0, len(rows), ROWS_A_PAGE)]
    body = context.render(
        "cards/slip.html.j2",
        title=title,
        pages=pages,
        leaves=leaf_of(cards.faces[0].of),
        since=cards.since,
    )
    document = PaperDocument(title, paper, html_with_no_break_spaces(body), SHEET_MARGINS, _STYLE)
    return PrintDocument(path, title, document_html(context, document), len(pages))
