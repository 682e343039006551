"""The pages of scenarios, and their printed booklets.

A page needs no server. With scripts off it is the booklet: every choice leads to a number.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from forty_paces.outputs.classroom.lessons import lesson_context
from forty_paces.outputs.classroom.scenario_view import ScenarioView, entries, scenario_views
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

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
