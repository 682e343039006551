"""The pages of scenarios, and their printed booklets.

A page needs no server. With scripts off it is the booklet: every choice leads to a number, and the best path
stands apart from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from markupsafe import Markup, escape

from forty_paces.drawing.typeface import Typeface, load_typeface
from forty_paces.messages.classroom import PAPER
from forty_paces.outputs.classroom.lessons import lesson_context
from forty_paces.outputs.classroom.scenario_view import (
    ChoiceView,
    EndView,
    MomentView,
    ScenarioView,
    entries,
    scenario_views,
)
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json
from forty_paces.outputs.common.typesetting import break_overlong, html_with_no_break_spaces, in_english
from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import measure
from forty_paces.outputs.paper.sheets import (
    SHEET_MARGINS,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

MODULES = ("classroom/scenario_state.js", "classroom/scenario.js")


def views(context: BuildContext) -> tuple[ScenarioView, ...]:
    """The scenarios that the site shows, in order."""
    return scenario_views(context.library, lesson_context(context))


def artifacts(context: BuildContext, shown: Sequence[ScenarioView]) -> Iterator[Artifact]:
    """A page for each scenario."""
    for view in shown:
        yield Artifact(f"classroom/scenario-{view.id}.html", scenario_html(context, view))


def scenario_html(context: BuildContext, view: ScenarioView) -> str:
    """The complete page."""
    procedures = (context.library.procedure(name) for name in view.scenario.lines_of)
    unreviewed = [one.code for one in procedures if one is not None and one.review.safety_lead is None]
    return context.kept(_page, view, unreviewed)


def _page(context: BuildContext, view: ScenarioView, unreviewed: list[str]) -> str:
    places = {moment.id: f"moment-{moment.id}" for moment in view.moments}
    places |= {end.id: f"end-{end.id}" for end in view.ends}
    return standalone_page(
        context,
        "classroom/scenario.html.j2",
        styles=("css/classroom.css", "css/scenario.css"),
        modules=MODULES,
        view=view,
        parts=tuple(entries(view)),
        places=places,
        unreviewed=unreviewed,
        data_json=inline_json(view.for_script()),
    )


STYLES = {
    "booklet__title": BoxStyle(size_pt=16.0, lead_pt=20.0, bold=True),
    "entry": BoxStyle(size_pt=12.0, lead_pt=15.6, below_mm=4.2),
    "entry__number": BoxStyle(size_pt=14.0, lead_pt=18.0, bold=True),
    "entry__ask": BoxStyle(bold=True, above_mm=0.8),
    "entry__choice": BoxStyle(above_mm=0.8, left_mm=5.0),
    "entry__go": BoxStyle(bold=True, above_mm=0.8),
    "entry__where": BoxStyle(size_pt=10.0, lead_pt=13.0, left_mm=5.0),
}
"""From which both the height of an entry and its style sheet are made."""

BELOW_TITLE_MM = 12.0
"The line for a name or for the trainer, and the rule below it."
SLACK_MM = 0.5
"Left free at the end of a line of text."


def booklet_document(context: BuildContext, view: ScenarioView, paper: PaperSize, path: str) -> PrintDocument:
    """The booklet, and on pages of its own the best path with its reasons."""
    title = PAPER["booklet"].format(title=view.title)
    body, pages = context.kept(_body, view, paper)
    library = context.library
    document = PaperDocument(
        title=title,
        paper=paper,
        body=body,
        margins=SHEET_MARGINS,
        sheets=("worksheets.css",),
        style=style_sheet(STYLES, ".booklet"),
        foot=PAPER["foot"].format(
            carrier=library.fleet.carrier,
            edition=library.edition.id,
            signature=library.edition.signature,
            title=title,
        ),
    )
    return PrintDocument(path, title, document_html(context, document), pages)


def _body(context: BuildContext, view: ScenarioView, paper: PaperSize) -> tuple[str, int]:
    """The pages and their number."""
    typeface = load_typeface(context.fonts)
    column_mm = paper.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
    how = break_overlong(PAPER["how"].format(story=view.story))
    how_html = html_with_no_break_spaces(f"<p>{escape(how)}</p>")
    first_mm = _height_mm(f'<div class="entry">{how_html}</div>', column_mm, typeface)
    shown = break_overlong(view.title)
    head = f'<p class="booklet__title">{escape(shown)}</p>'
    head_mm = _height_mm(head, column_mm, typeface) + BELOW_TITLE_MM
    room_mm = paper.height_mm - SHEET_MARGINS.top_mm - SHEET_MARGINS.bottom_mm - head_mm
    printed = [_entry(number, part) for number, _, part in entries(view)]
    pages = list(_pages(printed, room_mm, first_mm, column_mm, typeface))
    answers = list(_pages(_answers(view), room_mm, 0.0, column_mm, typeface))
    body = context.render(
        "classroom/booklet.html.j2",
        view=view,
        title=shown,
        how=how,
        pages=pages,
        answers=answers,
    )
    return html_with_no_break_spaces(body), len(pages) + len(answers)


def _pages(
    printed: Iterable[Markup], room_mm: float, first_mm: float, column_mm: float, typeface: Typeface
) -> Iterator[list[Markup]]:
    """As many entries on each page as fit; none is divided."""
    page: list[Markup] = []
    left_mm = room_mm - first_mm
    for entry in printed:
        needed_mm = _height_mm(html_with_no_break_spaces(str(entry)), column_mm, typeface)
        if page and needed_mm > left_mm:
            yield page
            page, left_mm = [], room_mm
        page.append(entry)
        left_mm -= needed_mm
    if page:
        yield page


def _height_mm(html: str, column_mm: float, typeface: Typeface) -> float:
    return measure(html, STYLES, column_mm, typeface, slack_mm=SLACK_MM).height_mm


def _entry(number: int, part: MomentView | ChoiceView | EndView) -> Markup:
    lines = [("number", str(number))]
    if isinstance(part, MomentView):
        lines += [("text", part.meets), ("ask", part.ask)]
        lines += [
            ("choice", PAPER["choice"].format(letter=one.letter, do=one.do, number=one.number))
            for one in part.choices
        ]
    elif isinstance(part, ChoiceView):
        lines += [("text", part.then), ("go", PAPER["go-on"].format(number=part.to_number))]
    else:
        lines += [("text", part.text), ("go", PAPER["end"].format(outcome=part.outcome_words))]
    return _marked(lines)


def _answers(view: ScenarioView) -> Iterator[Markup]:
    yield _marked([("number", PAPER["best-path"])])
    for moment in view.best_path():
        best = moment.best
        lines = [("ask", PAPER["best"].format(number=moment.number, letter=best.letter, do=best.do))]
        lines += [("text", best.then), ("text", moment.why)]
        yield _marked([*lines, ("where", PAPER["line"].format(line=best.line.text, where=best.line.where))])
    yield _marked([("text", view.best_end().text)])
    others = [moment for moment in view.moments if moment not in view.best_path()]
    if others:
        yield _marked([("number", PAPER["off-path"])])
    for moment in others:
        best = moment.best
        words = PAPER["best"].format(number=moment.number, letter=best.letter, do=best.do)
        yield _marked([("ask", words), ("text", moment.why)])
    if view.scenario.teacher:
        yield _marked(
            [("ask", PAPER["teacher"]), ("text", in_english(break_overlong(view.scenario.teacher)))]
        )


def _marked(lines: Iterable[tuple[str, str]]) -> Markup:
    inner = Markup("").join(
        Markup('<p class="entry__{}">{}</p>').format(
            name, text if isinstance(text, Markup) else break_overlong(text)
        )
        for name, text in lines
    )
    return Markup('<div class="entry">{}</div>').format(inner)
