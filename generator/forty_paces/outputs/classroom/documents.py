"""The printed classroom documents: tests, keys, recall cards, yard plan, names and sign-off sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from forty_paces.messages.classroom import TASK
from forty_paces.messages.forms import FORM
from forty_paces.messages.quantities import length
from forty_paces.outputs.classroom import yard_plan
from forty_paces.outputs.classroom.forms import forms
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.recall_cards import recall_document
from forty_paces.outputs.classroom.slides import Deck
from forty_paces.outputs.classroom.worksheets import (
    Worksheet,
    key_body,
    printed,
    rules_of,
    worksheet_body,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PaperSize, PrintDocument

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
