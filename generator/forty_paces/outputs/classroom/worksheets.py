"""Matched tests on paper, for placing devices by hand, and their answer keys, as separate documents.

Each test is a form of :mod:`.forms`; a number always gives the same sheets, byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from markupsafe import escape

from forty_paces.drawing.profile import ProfileDrawing, shows_crest
from forty_paces.drawing.scene_blank import SHEET, blank_plan, blank_profile, rises_and_falls, solved_plan
from forty_paces.drawing.scene_plan import ScenePlan
from forty_paces.drawing.typeface import Typeface, load_typeface
from forty_paces.drawing.view_ends import draw_view_ends
from forty_paces.geometry import units
from forty_paces.geometry.records import HiddenBy, RuleSet
from forty_paces.messages.classroom import TASK
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.terms import capital
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.placing_slides import device_words, margin_words, needed_words, right_words
from forty_paces.outputs.classroom.placing_tasks import Task
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import (
    break_overlong,
    html_with_no_break_spaces,
    sized,
    view_box,
    with_no_break_spaces,
)
from forty_paces.outputs.paper.box_style import BoxStyle
from forty_paces.outputs.paper.flow import measure
from forty_paces.outputs.paper.sheets import (
    INCH_MM,
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

HEAD_MM = 12.5
HOW_MM = 13.5
ENDS_MM = 116.0
"Width of the sketches of what to look for, below what is to be done; their words are beside them."
ENDS_BELOW_MM = 2.5
SITUATION_MM = 52.2
"""Height of title, three device lines, the look back and one line to write on, without the given text and
drawing."""
BETWEEN_MM = 3.5
"Space between two drawings."
WHY_MM = 8.5
"Height of a line to write on."
MOST_LINES = 5
"Maximum number of lines to write on, where a page has space."
WORDS = {"words": BoxStyle(size_pt=11.0, lead_pt=14.4), "scale": BoxStyle(bold=True)}
LINE_MM = 5.1
SLACK_MM = 0.5
"Left free at the end of a line of text."
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One learner's worksheet."""

    number: int
    variant: int
    "From 0; printed as a letter."
    tasks: tuple[Task, ...]

    @property
    def name(self) -> str:
        """'7 B', as printed on the sheet and on its key."""
        return f"{self.number} {LETTERS[self.variant]}"

    @property
    def stem(self) -> str:
        """'7-b', for ids."""
        return f"{self.number}-{LETTERS[self.variant].lower()}"

    def placed(self) -> Iterator[tuple[int, Task]]:
        """Each task with its place on the sheet, from 1."""
        return enumerate(self.tasks, start=1)


@dataclass(frozen=True, slots=True)
class PaperSituation:
    """One situation as laid out on paper."""

    place: int
    "From 1."
    task: Task
    rows: tuple[tuple[str, str], ...]
    """The given text line by line, as plain text and bold text; the last line states the drawing's scale.

    The lines are not wrapped by the layout engine, so they cannot wrap otherwise than measured.
    """
    drawing: str
    height_mm: float
    "Height of text and drawing, at the width between the margins."
    margin: str = ""
    profile: str = ""
    "Drawing from the side: on a worksheet if the road rises or falls, on a key if a crest hides the vehicle."
    lines: int = 1
    "Number of lines for writing the reason."


def rules_of(context: BuildContext) -> RuleSet:
    """The fleet's rule set."""
    return context.library.rules[context.library.fleet.rules].rule_set


def worksheet_body(context: BuildContext, sheet: Worksheet, paper: PaperSize) -> tuple[str, int]:
    """The pages of a worksheet, and their number."""
    rules, typeface = rules_of(context), load_typeface(context.fonts)
    situations = []
    for place, task in sheet.placed():
        words = f"{situation_words(task)} {needed_words(task, rules)}"
        situations.append(_blank(rules, task, words, sheet.stem, place, paper, typeface))
    pages = list(_pages(situations, paper, rules))
    across = list(dict.fromkeys(device.across for layout in rules.layouts for device in layout.devices))
    body = context.render(
        "classroom/worksheet.html.j2",
        sheet=sheet,
        pages=pages,
        across=across,
        unit=LengthFormat(rules).unit,
        ends=sized(_ends(rules, sheet), ENDS_MM),
    )
    return body, len(pages)


def key_body(context: BuildContext, sheet: Worksheet, paper: PaperSize) -> tuple[str, int]:
    """The pages of an answer key, and their number."""
    rules, typeface = rules_of(context), load_typeface(context.fonts)
    solved = [
        _solved(rules, task, situation_words(task), sheet.stem, place, paper, typeface)
        for place, task in sheet.placed()
    ]
    words = {"device_words": device_words, "right_words": right_words}
    body = context.render("classroom/key.html.j2", sheet=sheet, situations=solved, **words)
    return body, len(solved)


def printed(
    context: BuildContext, title: str, body: str, paper: PaperSize, path: str, pages: int
) -> PrintDocument:
    """A classroom document of ``pages`` pages composed by hand."""
    edition = context.library.edition
    document = PaperDocument(
        title=title,
        paper=paper,
        body=html_with_no_break_spaces(body),
        margins=SHEET_MARGINS,
        sheets=("drawing.css", "worksheets.css"),
        foot=TASK["foot"].format(
            carrier=context.library.fleet.carrier,
            edition=edition.id,
            signature=edition.signature,
            title=title,
        ),
    )
    return PrintDocument(path, title, document_html(context, document), pages)


def _ends(rules: RuleSet, sheet: Worksheet | None = None) -> str:
    prefix = "view-ends" if sheet is None else f"view-ends-{sheet.stem}"
    return draw_view_ends(rules, tuple(HiddenBy), prefix=prefix)


def _pages(
    situations: Sequence[PaperSituation], paper: PaperSize, rules: RuleSet
) -> Iterator[list[PaperSituation]]:
    """As many situations on each page as fit, in order, at least one; remaining height gets lines."""
    room_mm = paper.height_mm - SHEET_MARGINS.top_mm - SHEET_MARGINS.bottom_mm - HEAD_MM
    wide, high = view_box(_ends(rules))
    left_mm = room_mm - HOW_MM - ENDS_MM * high / wide - ENDS_BELOW_MM
    page: list[PaperSituation] = []
    for situation in situations:
        needed_mm = SITUATION_MM + situation.height_mm
        if page and needed_mm > left_mm:
            yield _with_lines(page, left_mm)
            page, left_mm = [], room_mm
        page.append(situation)
        left_mm -= needed_mm
    if page:
        yield _with_lines(page, left_mm)


def _with_lines(page: Sequence[PaperSituation], left_mm: float) -> list[PaperSituation]:
    more = max(0, int(left_mm / WHY_MM / len(page)))
    return [replace(situation, lines=min(MOST_LINES, 1 + more)) for situation in page]


@cached_by_language(maxsize=64)  # a preview builds again after every edit; few edits change rules or scenes
def _blank(
    rules: RuleSet, task: Task, words: str, stem: str, place: int, paper: PaperSize, typeface: Typeface
) -> PaperSituation:
    plan = blank_plan(task.solved, rules, prefix=f"sheet-{stem}-{place}", room=SHEET)
    answer = solved_plan(task.solved, rules, prefix=f"key-{stem}-{place}", room=SHEET)
    rows, drawing, height_mm = _on_paper(rules, typeface, plan, answer, words, paper)
    side = ""
    if rises_and_falls(task.scene):
        side = blank_profile(task.solved, rules, prefix=f"side-{stem}-{place}")
        wide, high = view_box(side)
        height_mm += high / wide * _column_mm(paper) + BETWEEN_MM
    return PaperSituation(place, task, rows, drawing, height_mm, profile=side)


@cached_by_language(maxsize=64)
def _solved(
    rules: RuleSet, task: Task, words: str, stem: str, place: int, paper: PaperSize, typeface: Typeface
) -> PaperSituation:
    plan = solved_plan(task.solved, rules, prefix=f"key-{stem}-{place}", room=SHEET)
    asked = blank_plan(task.solved, rules, prefix=f"sheet-{stem}-{place}", room=SHEET)
    side = (
        ProfileDrawing(task.solved, rules, f"side-{stem}-{place}", SHEET.along).draw()
        if shows_crest(task.solved)
        else ""
    )
    rows, drawing, height_mm = _on_paper(rules, typeface, plan, asked, words, paper)
    return PaperSituation(place, task, rows, drawing, height_mm, margin_words(task, rules), side)


def situation_words(task: Task) -> str:
    """Place, kind of road, posted speed and light, in words."""
    scene = task.scene
    road = capital(TASK[f"road-{scene.kind}"])
    return TASK["situation"].format(place=scene.place, road=road, speed=task.posted, light=task.light)


def _on_paper(
    rules: RuleSet, typeface: Typeface, plan: ScenePlan, other: ScenePlan, words: str, paper: PaperSize
) -> tuple[tuple[tuple[str, str], ...], str, float]:
    """The lines of given text, the drawing, and the height of both between the margins.

    ``other`` is the plan of the same scene with its answer, or without it: the wider one fills the width, and
    both have its scale, so that a key can be laid over its worksheet.
    """
    column_mm = _column_mm(paper)
    mm_to_the_unit = column_mm / max(plan.page.width, other.page.width)
    scale = _scale_words(1 / mm_to_the_unit / plan.frame.scale, rules)
    given = break_overlong(with_no_break_spaces(words))
    rows = tuple(_rows(given, with_no_break_spaces(scale), column_mm, typeface))
    drawing = sized(plan.draw(), plan.page.width * mm_to_the_unit)
    return rows, drawing, plan.page.height * mm_to_the_unit + LINE_MM * len(rows)


def _scale_words(feet_to_the_mm: float, rules: RuleSet) -> str:
    if rules.metric:
        return TASK["scale-metric"].format(length=f"{units.ft_to_m(10 * feet_to_the_mm):.1f}")
    return TASK["scale"].format(length=f"{INCH_MM * feet_to_the_mm:.0f}")


def _column_mm(paper: PaperSize) -> float:
    return paper.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm


def _rows(words: str, scale: str, column_mm: float, typeface: Typeface) -> Iterator[tuple[str, str]]:
    """The text, then the scale in bold, broken into lines that fit the column."""
    html = f'<p class="words">{escape(words)} <span class="scale">{escape(scale)}</span></p>'
    (paragraph,) = measure(html, WORDS, column_mm, typeface, slack_mm=SLACK_MM).paragraphs
    plain = len(words)
    for line in paragraph.lines:
        yield line[:plain].strip(), line[plain:].strip()
        plain = max(0, plain - len(line) - 1)
