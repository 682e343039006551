"""The wall poster: where the devices go on each kind of road, as one page."""

from __future__ import annotations

import math
from collections.abc import Sequence

from forty_paces.drawing.formats import Size
from forty_paces.outputs.cards.placement_faces import PlacementFace, placement_faces
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces, short_date, sized, view_box
from forty_paces.outputs.paper.sheets import PaperDocument, PaperSize, PrintDocument, document_html

MARGIN_MM = 14.0
BESIDE_SHARE = 0.55
"Share of the width for drawings with the walking order beside them."
PAIR_SHARE = 0.48
"Share of the width for drawings in pairs, for a rule set with many roads; without the walking order."
MOST_WITH_WALK = 3
_HEAD_MM = 44.0
"Height of the title and the lines below it."
_FOOT_MM = 28.0
_HEADING_MM = 24.0
"Height of a road's heading and the spacing to the drawing above."


def poster_document(context: BuildContext, paper: PaperSize, path: str) -> PrintDocument | None:
    """The drawings of every road of the rule set in force, as large as the paper allows.

    Returns None if the rule set requires devices on no road.
    """
    rules = context.library.rules[context.library.fleet.rules].rule_set
    faces = placement_faces(rules, Size.CARD)
    roads = [face for face in faces if face.kind == "placement" and face.drawing]
    if not roads:
        return None
    in_row = 1 if len(roads) <= MOST_WITH_WALK else 2
    rows = [roads[start : start + in_row] for start in range(0, len(roads), in_row)]
    share = BESIDE_SHARE if in_row == 1 else PAIR_SHARE
    scale = _scale(rows, paper, share)
    title = f"{context.library.fleet.carrier}: where the warning devices go"
    body = context.render(
        "cards/poster.html.j2",
        title="Stopped? Put the devices out.",
        rows=[
            [(face, sized(face.drawing, view_box(face.drawing)[0] * scale)) for face in row] for row in rows
        ],
        with_walk=in_row == 1,
        more=next((face.code for face in faces if face.kind == "lookout"), ""),
        time_limit_min=rules.time_limit_s / 60 if rules.time_limit_s else None,
        edition_day=short_date(context.library.edition.date),
        label=title,
    )
    style = f".poster{{padding:{MARGIN_MM:g}mm}}.poster-drawing{{width:{share * 100:g}%}}"
    document = PaperDocument(
        title, paper, html_with_no_break_spaces(body), style=style, sheets=("cards.css",)
    )
    return PrintDocument(path, title, document_html(context, document), 1)


def _scale(rows: Sequence[Sequence[PlacementFace]], paper: PaperSize, share: float) -> float:
    """Millimeters for each drawing unit, the same for all drawings; limited by the page's size."""
    boxes = [[view_box(face.drawing) for face in row] for row in rows]
    width = (paper.width_mm - 2 * MARGIN_MM) * share / max(box[0] for row in boxes for box in row)
    room = paper.height_mm - 2 * MARGIN_MM - _HEAD_MM - _FOOT_MM - _HEADING_MM * len(rows)
    return min(width, room / math.fsum(max(box[1] for box in row) for row in boxes))
