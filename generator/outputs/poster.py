"""The wall poster: where the devices go, a road under another.

In: a press and a large paper. Out: one page to print. Refuses to compute any distance.
"""

from __future__ import annotations

from generator.drawing.formats import Size
from generator.outputs.card_documents import Printed
from generator.outputs.paper import Paper, PaperDocument, document_html
from generator.outputs.pictures import sized
from generator.outputs.placement_faces import placement_faces
from generator.outputs.press import Press
from generator.outputs.templates import day_short

MARGIN_MM = 15.0


def poster_document(press: Press, paper: Paper, path: str) -> Printed:
    """The drawings of every road of the rule set in force, as large as the paper takes them."""
    rules = press.library.rules[press.library.fleet.rules].rule_set
    roads = [face for face in placement_faces(rules, Size.WIDE) if face.drawing]
    title = f"{press.library.fleet.carrier}: where the warning devices go"
    width = paper.width_mm - 2 * MARGIN_MM
    room = paper.height_mm - 2 * MARGIN_MM - _HEAD_MM - _FOOT_MM
    each = room / max(1, len(roads)) - _HEADING_MM
    body = press.render(
        "cards/poster.html.j2",
        title="Stopped? Put the devices out.",
        roads=[(face, _fitting(face.drawing, width, each)) for face in roads],
        time_limit_min=rules.time_limit_s / 60 if rules.time_limit_s else None,
        edition_day=day_short(press.library.edition.date),
        label=title,
    )
    style = (
        f".poster{{padding:{MARGIN_MM:g}mm;width:{paper.width_mm:g}mm;height:{paper.height_mm - 0.05:g}mm}}"
        f".poster-foot{{bottom:{MARGIN_MM:g}mm;left:{MARGIN_MM:g}mm;right:{MARGIN_MM:g}mm}}"
    )
    document = PaperDocument(title, paper, body, style=style, sheets=("cards.css",))
    return Printed(path, title, document_html(press, document), 1)


_HEAD_MM = 34.0
"Room for the title and the line under it."
_FOOT_MM = 26.0
_HEADING_MM = 16.0
"Room for the name of a road and what stands between it and the drawing above."


def _fitting(drawing: str, width_mm: float, height_mm: float) -> str:
    """The drawing as wide as the poster, or less where it would be too tall."""
    full = sized(drawing, width_mm)
    tall = float(full.partition('height="')[2].partition("mm")[0])
    return full if tall <= height_mm else sized(drawing, width_mm * height_mm / tall)
