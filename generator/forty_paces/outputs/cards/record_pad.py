"""The record of an event as a pad to write on: two sheets of one record, numbered alike."""

from __future__ import annotations

from forty_paces.authoring.findings import ContentFault, Finding, Place
from forty_paces.drawing.typeface import load_typeface
from forty_paces.messages.cards import PAD
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import measure
from forty_paces.outputs.paper.sheets import (
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

SHEETS = 2
_LEAST_MM, _MOST_MM = 8.0, 26.0
"""Room to write in below each question: a line of handwriting at least, three at most."""
_STYLES = {
    "pad": BoxStyle(size_pt=11.0, lead_pt=14.3, bold=False),
    "pad-title": BoxStyle(size_pt=16.0, lead_pt=20.8, bold=True),
    "pad-fill": BoxStyle(above_mm=5.0),
    "pad-ask": BoxStyle(above_mm=1.2),
    "pad-hint": BoxStyle(size_pt=10.0, lead_pt=13.0),
    "bold": BoxStyle(bold=True),
}
_HAIR_MM = 2.0


def pad_document(context: BuildContext, paper: PaperSize, path: str) -> PrintDocument | None:
    """Each question of the record once, with room to write, on two sheets that share the room evenly.

    Returns None if the content has no record. Raises :class:`ContentFault` where a question would have less
    than a line.
    """
    after = context.library.after_event
    if after is None:
        return None
    middle = (len(after.record) + 1) // SHEETS
    parts = (after.record[:middle], after.record[middle:])
    width = paper.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
    height = paper.height_mm - SHEET_MARGINS.top_mm - SHEET_MARGINS.bottom_mm - _HAIR_MM
    title = PAD["title"].format(carrier=context.library.fleet.carrier)
    shown, rooms = [], []
    for number, items in enumerate(parts, 1):
        words = context.render(
            "cards/record.html.j2", title=title, items=items, number=number, sheets=SHEETS, words=PAD
        )
        shown.append(words)
        used = measure(words, _STYLES, width, load_typeface(context.fonts)).height_mm
        rooms.append((height - used) / max(1, len(items)))
    if min(rooms) < _LEAST_MM:
        wrong = PAD["too-long"].format(sheets=SHEETS)
        place = Place("content/after_event.yml", 1, 1)
        raise ContentFault([Finding(place, wrong, ("record",), PAD["shorten"], "card-fits")])
    style = "\n".join(
        [
            style_sheet(_STYLES, ".pad", root="pad"),
            ".pad .pad-room{border-bottom:.25mm solid #111}",
            *(
                f".pad-{number} .pad-room{{height:{min(room, _MOST_MM):.2f}mm}}"
                for number, room in enumerate(rooms, 1)
            ),
        ]
    )
    body = html_with_no_break_spaces(f'<main aria-label="{title}">{"".join(shown)}</main>')
    document = PaperDocument(title, paper, body, SHEET_MARGINS, style)
    return PrintDocument(path, title, document_html(context, document), SHEETS)
