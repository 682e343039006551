"""The printed classroom documents: tests, keys, recall cards, yard plan, names and sign-off sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from forty_paces.messages.cards import WORDS
from forty_paces.messages.classroom import FORM, TASK
from forty_paces.messages.quantities import length
from forty_paces.outputs.classroom import yard_plan
from forty_paces.outputs.classroom.forms import forms
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.lesson_view import Deck, Slide, SlideKind
from forty_paces.outputs.classroom.worksheets import (
    Worksheet,
    key_body,
    printed,
    rules_of,
    worksheet_body,
)
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

FOLDER = "classroom/sheets"
CLASS_SIZE = 36
"Numbers on the list of names; a larger class takes a second sheet."
LANE_GAP_FT = 6.0
"From the marks to the chalked lane edge: about the middle of a 12 ft shoulder (common practice, no source)."


def class_papers(
    context: BuildContext, paper: PaperSize, *, number: int, variants: int, folder: str = FOLDER
) -> Iterator[PrintDocument]:
    """The matched tests of a number for a whole class in one file, and all answer keys in another.

    :class:`.forms.NoForm` under a rule set that moves no device.
    """
    made = forms(rules_of(context), number, variants)
    sheets = [Worksheet(number, n, tasks) for n, tasks in enumerate(made)]
    for body_of, title, name in (
        (worksheet_body, FORM["class"].format(number=number, count=variants), f"test-{number}-class"),
        (key_body, FORM["class-keys"].format(number=number, count=variants), f"test-{number}-keys"),
    ):
        parts = [context.kept(body_of, sheet, paper) for sheet in sheets]
        body, pages = "\n".join(part for part, _ in parts), sum(count for _, count in parts)
        yield printed(context, title, body, paper, f"{folder}/{name}", pages)


def recall_papers(context: BuildContext, decks: Sequence[Deck], paper: PaperSize) -> Iterator[PrintDocument]:
    """The recall cards of every lesson."""
    for deck in decks:
        yield context.kept(recall_document, deck, paper, f"{FOLDER}/recall-{deck.lesson.id}")


def yard_paper(context: BuildContext, paper: PaperSize) -> PrintDocument:
    """The yard plan, with the table for each driver's own pace length."""
    return printed(context, TASK["yard-plan"], context.kept(_yard), paper, f"{FOLDER}/yard-plan", 2)


def _yard(context: BuildContext) -> str:
    rules = rules_of(context)
    own = yard_plan.own_paces(rules)
    return context.render(
        "classroom/yard.html.j2",
        drawing=yard_plan.draw_yard(rules, prefix="yard"),
        marks=yard_plan.yard_marks(rules),
        own=own,
        names=[name for name in own[0] if name != "count"],
        rules=rules,
        rule_pace=LengthFormat(rules).pace(),
        stretch=length(rules, yard_plan.paced_ft(rules)),
        step=length(rules, rules.hidden.step_ft) if rules.hidden else "",
        lane_gap=length(rules, LANE_GAP_FT),
    )


def names_paper(context: BuildContext, paper: PaperSize) -> PrintDocument:
    """The list of names and numbers, which only the trainer has."""
    body = context.render("classroom/names.html.j2", numbers=range(1, CLASS_SIZE + 1))
    return printed(context, TASK["names"], body, paper, f"{FOLDER}/names", 1)


def signoff_paper(context: BuildContext, paper: PaperSize) -> PrintDocument:
    """The sign-off sheet for the training file, one for each driver."""
    library = context.library
    unreviewed = [procedure.code for procedure in library.procedures if procedure.review.safety_lead is None]
    body = context.render(
        "classroom/signoff.html.j2", lessons=tuple(library.lessons.values()), unreviewed=unreviewed
    )
    return printed(context, TASK["sign-off"], body, paper, f"{FOLDER}/sign-off", 1)


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
