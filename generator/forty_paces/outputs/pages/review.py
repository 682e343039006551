"""The review sheet: state, sources, waivers, signature lines and route of every procedure on one page.

One Markdown artifact, to be read on a screen or printed and signed. It counts no days, because a built page
must read the same on every day: overdue reviews are reported by ``fortypaces review`` and by the build.
Only the content files record that a review took place.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from forty_paces.authoring.models.procedure import DecisionRow, Procedure
from forty_paces.drawing.formats import Size
from forty_paces.drawing.route import Route, RouteBlock, RouteRow, draw_route
from forty_paces.messages.pages import SITE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.procedure_view import condition_words
from forty_paces.outputs.pages.review_report import ReviewSheet, questions, review_report, watch_words

SIZES = (Size.TALL, Size.WIDE)
"""A route is drawn for phones, and for tablets and paper; the style sheet shows one of the two."""

WALKERS = 3
"""Drivers who walk a procedure before it counts as validated (common practice of usability rounds)."""

MISSED_PCT = 6
"""Largest share of critical steps that they may miss together: what surgical teams with a checklist missed
in 106 simulated crises, against 23 % without (Arriaga and others 2013, read in summary)."""

RATERS = 2
"""People who score the page independently, so that their differences can be discussed."""


@dataclass(frozen=True, slots=True)
class RoutePicture:
    """One drawing of a route."""

    size: str
    svg: str


@dataclass(frozen=True, slots=True)
class SheetView:
    """A procedure's sheet with its route."""

    sheet: ReviewSheet
    pictures: tuple[RoutePicture, ...]
    critical: int
    "Number of steps that can cost a life if missed."

    @property
    def may_miss(self) -> int:
        """Number of critical steps that all walkers together may miss."""
        return WALKERS * self.critical * MISSED_PCT // 100


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page ``review.html``."""
    report = review_report(context.library, context.library.edition.date)
    titles = {procedure.id: procedure.title for procedure in context.library.procedures}
    views = tuple(_view(sheet, titles) for sheet in report.sheets)
    yield context.page(
        "review",
        "pages/review",
        views=views,
        questions=questions(),
        watch_words=watch_words,
        walkers=WALKERS,
        missed_pct=MISSED_PCT,
        raters=RATERS,
    )


def _view(sheet: ReviewSheet, titles: Mapping[str, str]) -> SheetView:
    procedure = sheet.procedure
    critical = sum(step.critical for block in procedure.blocks for step in block.steps)
    return SheetView(sheet, _pictures(procedure, titles), critical)


def route_of(procedure: Procedure, titles: Mapping[str, str]) -> Route:
    """The route to draw for a procedure; ``titles`` are those of procedures that its decision may open."""
    decision = procedure.decision
    return Route(
        cues=procedure.cues,
        by_heart=tuple(
            f"{condition_words(line.when)}: {line.do}" if line.when else line.do
            for line in procedure.by_heart
        ),
        stopped=procedure.stopped,
        blocks=tuple(
            RouteBlock(block.title, len(block.steps), sum(step.critical for step in block.steps))
            for block in procedure.blocks
        ),
        finished=procedure.finished,
        question=decision.title if decision else "",
        rows=tuple(RouteRow(row.see, row.do, _opened(row, titles)) for row in decision.rows)
        if decision
        else (),
    )


def _opened(row: DecisionRow, titles: Mapping[str, str]) -> str:
    return "; ".join(titles[opened] for opened in row.opens)


def _pictures(procedure: Procedure, titles: Mapping[str, str]) -> tuple[RoutePicture, ...]:
    route = route_of(procedure, titles)
    title = SITE["drawn-route"].format(title=procedure.title)
    return tuple(
        RoutePicture(
            size.value,
            draw_route(route, prefix=f"route-{size.value}-{procedure.id}", title=title, size=size),
        )
        for size in SIZES
    )
