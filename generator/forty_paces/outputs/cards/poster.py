"""The wall poster: where the devices go, a page for each kind of road."""

from __future__ import annotations

from forty_paces.drawing.formats import Size
from forty_paces.drawing.typeface import load_typeface
from forty_paces.messages.cards import POSTER
from forty_paces.outputs.cards.placement_faces import PlacementFace, placement_faces
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces, short_date, sized, view_box
from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import measure
from forty_paces.outputs.paper.sheets import PaperDocument, PaperSize, PrintDocument, document_html

MARGIN_MM = 14.0
FAR_PT = 40.0
"""Type read at 2 m: its capitals, 0.668 em high, are 9.4 mm, 16 minutes of arc.

The least angle by NUREG-0700, 1.3.1. The drawing's own labels and the lines at the foot are read from nearer.
"""
NEAR_PT = 16.0
_STYLES = {
    "poster": BoxStyle(size_pt=FAR_PT, lead_pt=FAR_PT * 1.2, bold=False),
    "poster-title": BoxStyle(size_pt=FAR_PT + 2, lead_pt=(FAR_PT + 2) * 1.2, bold=True),
    "poster-name": BoxStyle(size_pt=FAR_PT, lead_pt=FAR_PT * 1.3, bold=True, below_mm=2.0),
    "poster-leg": BoxStyle(above_mm=1.5, left_mm=14.0),
    "poster-foot": BoxStyle(size_pt=NEAR_PT, lead_pt=NEAR_PT * 1.3, above_mm=4.0),
    "poster-mark": BoxStyle(size_pt=12.0, lead_pt=15.6, above_mm=1.0),
    "aside": BoxStyle(display="aside"),
    "bold": BoxStyle(bold=True),
}
_SPARE_MM = 1.0
"Left free at the foot of a page."


def poster_document(context: BuildContext, paper: PaperSize, path: str) -> PrintDocument | None:
    """A page for every road of the rule set in force, its drawing as large as its words leave room for.

    Returns None if the rule set requires devices on no road.
    """
    rules = context.library.rules[context.library.fleet.rules].rule_set
    faces = placement_faces(rules, Size.CARD)
    roads = [face for face in faces if face.kind == "placement" and face.drawing]
    if not roads:
        return None
    more = next((face.code for face in faces if face.kind == "lookout"), "")
    title = POSTER["document"].format(carrier=context.library.fleet.carrier)
    shown = [_page(context, face, paper, more, len(roads)) for face in roads]
    body = f'<main aria-label="{title}">{"".join(shown)}</main>'
    style = f"{style_sheet(_STYLES, '.poster', root='poster')}\n.page{{padding:{MARGIN_MM:g}mm}}"
    document = PaperDocument(
        title, paper, html_with_no_break_spaces(body), style=style, sheets=("cards.css",)
    )
    return PrintDocument(path, title, document_html(context, document), len(shown))


def _page(context: BuildContext, face: PlacementFace, paper: PaperSize, more: str, roads: int) -> str:
    width = paper.width_mm - 2 * MARGIN_MM
    words = _words(context, face, "", more, roads)
    used = measure(words, _STYLES, width, load_typeface(context.fonts)).height_mm
    across, down = view_box(face.drawing)
    room = paper.height_mm - 2 * MARGIN_MM - used - _SPARE_MM
    drawing = sized(face.drawing, min(width, room * across / down))
    return f'<section class="page">{_words(context, face, drawing, more, roads)}</section>'


def _words(context: BuildContext, face: PlacementFace, drawing: str, more: str, roads: int) -> str:
    library = context.library
    limit_s = face.rules.time_limit_s
    return context.render(
        "cards/poster.html.j2",
        face=face,
        drawing=drawing,
        more=more,
        roads=roads,
        limit_min=round(limit_s / 60) if limit_s else None,
        edition_day=short_date(library.edition.date),
        review_day=short_date(min(procedure.next_review for procedure in library.procedures)),
        words=POSTER,
    )
