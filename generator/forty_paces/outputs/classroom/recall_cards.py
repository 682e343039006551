"""Recall cards for spaced practice: questions on fronts, answers on backs, imposed on sheets."""

from __future__ import annotations

from dataclasses import dataclass, replace

from forty_paces.messages.cards import WORDS
from forty_paces.messages.classroom import TASK
from forty_paces.outputs.classroom.slides import Deck, Slide, SlideKind
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.imposition import (
    Imposition,
    SheetSide,
    cell_class,
    impose,
    marks_html,
    sheet_css,
)
from forty_paces.outputs.paper.rulers import rulers
from forty_paces.outputs.paper.sheets import PAPERS, PaperDocument, PaperSize, PrintDocument, document_html

CARD = PAPERS["3x5"]
ASKED = (SlideKind.BY_HEART, SlideKind.QUESTION, SlideKind.WHICH)
"""Kinds of slides that become cards; placing examples stay on worksheets."""


@dataclass(frozen=True, slots=True)
class RecallCard:
    """One card: its number, the number of cards, and its slide."""

    number: int
    count: int
    slide: Slide


def recall_cards(shown: Deck) -> tuple[RecallCard, ...]:
    """A card for every question of the lesson, in order. The situation is repeated on each card."""
    slides = [slide for slide in shown.slides if slide.kind in ASKED]
    return tuple(RecallCard(number, len(slides), slide) for number, slide in enumerate(slides, start=1))


def recall_document(context: BuildContext, shown: Deck, paper: PaperSize, path: str) -> PrintDocument:
    """The lesson's cards imposed on sheets, each back behind its front."""
    plan = replace(impose(CARD, paper), metric=context.metric)
    cards = recall_cards(shown)
    faces = [_face(context, shown, card, side) for card in cards for side in ("front", "back")]
    sides = plan.sides(len(faces))
    title = TASK["recall"].format(title=shown.lesson.title)
    body = context.render(
        "classroom/recall.html.j2",
        title=title,
        sheets=[_sheet(plan, side, faces) for side in sides],
        turn=plan.turn,
        last=sides[-1].sheet,
        check=WORDS["rulers-metric" if plan.metric else "rulers"],
    )
    left, top = plan.origin_mm
    edges = (
        f".edge-top{{left:{left:g}mm;right:{left:g}mm;top:{max(4.0, top - 14):g}mm}}"
        f".edge-bottom{{left:{left + 82:g}mm;right:8mm;bottom:{max(3.0, top - 18.5):g}mm}}"
        f".rulers{{left:{left - 1:g}mm;bottom:{max(1.0, top - 19.5):g}mm}}"
    )
    document = PaperDocument(
        title,
        plan.paper,
        html_with_no_break_spaces(body),
        style=f"{sheet_css(plan)}\n{edges}",
        sheets=("worksheets.css",),
    )
    return PrintDocument(path, title, document_html(context, document), len(sides))


@dataclass(frozen=True, slots=True)
class RecallSheetSide:
    """One side of one sheet, ready to render."""

    side: SheetSide
    name: str
    marks: str
    rulers: str
    cells: tuple[tuple[str, str], ...]
    "CSS class and HTML of each face."


def _sheet(plan: Imposition, side: SheetSide, faces: list[str]) -> RecallSheetSide:
    name = f"sheet-{side.sheet}-{'back' if side.back else 'front'}"
    cells = tuple((cell_class(cell), faces[cell.face]) for cell in side.cells)
    return RecallSheetSide(side, name, marks_html(plan), rulers(name, metric=plan.metric), cells)


def _face(context: BuildContext, shown: Deck, card: RecallCard, side: str) -> str:
    return context.render("classroom/recall_face.html.j2", card=card, lesson=shown.lesson, side=side)
