"""Reference tables: stopping, sight on grades, following gap, hydroplaning and headlights.

Every figure is computed by ``geometry``, and every formula is named with its limits. Totals that rest on
different assumptions are never mixed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.drawing.bars import draw_gap, draw_stopping
from forty_paces.geometry import heavy_vehicle, stopping
from forty_paces.geometry.heavy_vehicle import BrakeSystem, StoppingParts
from forty_paces.geometry.stopping import CannotStop, StoppingSight
from forty_paces.geometry.units import mph_to_fps
from forty_paces.messages.pages import SITE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact

SPEEDS_MPH = tuple(range(15, 85, 5))
"""Rows of the speed tables, as in the published tables."""

GRADES_PCT = (-9, -6, -3, 0, 3, 6, 9)
"""Columns of the grade table, downhill negative."""

LENGTHS_FT = (20, 30, 40, 50, 60, 70, 80, 100)
"""Vehicle lengths in the following-gap table."""

PRESSURES_PSI = (20, 25, 30, 60, 75, 90, 100, 110, 120)
"""Tire pressures in the hydroplaning check: cars, then trucks."""

SHOWN_MPH = 55
"""Speed of the drawn examples, as in the handbook."""

SHOWN_LENGTH_FT, SHORT_LENGTH_FT = 60, 20
"""Vehicle of the drawn gap, and the one whose gap is compared with its stopping distance."""

REACHES_FT = (150, 200, 250, 300, 350, 450, 500)
"""Beam reaches in the headlight table."""


@dataclass(frozen=True, slots=True)
class GradeRow:
    """Stopping sight distance at one speed on each grade; None where no vehicle can stop."""

    speed_mph: int
    design_ft: tuple[int | None, ...]


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """All pages below reference/."""
    yield _page(
        context,
        "stopping",
        parts=tuple((v, stopping.stopping_sight(v)) for v in SPEEDS_MPH),
        grades=GRADES_PCT,
        by_grade=tuple(grade_row(v) for v in SPEEDS_MPH),
    )
    yield _page(
        context,
        "heavy-stopping",
        rows=heavy_rows(),
        ratios=((2, 4), (3, 9)),
        shown_mph=SHOWN_MPH,
        drawing=draw_stopping(
            _shown_parts(),
            prefix="stop",
            title=SITE["drawn-stop"].format(speed=SHOWN_MPH),
        ),
    )
    yield _page(
        context,
        "following-gap",
        rows=tuple(
            (ft, heavy_vehicle.following_gap_s(ft, 40), heavy_vehicle.following_gap_s(ft, 55))
            for ft in LENGTHS_FT
        ),
        shown_ft=SHOWN_LENGTH_FT,
        shown_mph=SHOWN_MPH,
        drawing=draw_gap(
            heavy_vehicle.following_gap_s(SHOWN_LENGTH_FT, SHOWN_MPH),
            prefix="gap",
            title=SITE["drawn-gap"].format(length=SHOWN_LENGTH_FT, speed=SHOWN_MPH),
        ),
        short=short_gap(),
    )
    yield _page(
        context,
        "hydroplaning",
        rows=tuple((p, heavy_vehicle.hydroplaning_mph(p)) for p in PRESSURES_PSI),
    )
    yield _page(
        context, "headlights", rows=tuple((ft, heavy_vehicle.headlight_speed_mph(ft)) for ft in REACHES_FT)
    )


def navigation() -> list[dict[str, str] | str]:
    """The pages in reading order."""
    return [
        {SITE["stopping"]: "reference/stopping.md"},
        {SITE["heavy-stopping"]: "reference/heavy-stopping.md"},
        {SITE["following-gap"]: "reference/following-gap.md"},
        {SITE["hydroplaning"]: "reference/hydroplaning.md"},
        {SITE["headlights"]: "reference/headlights.md"},
    ]


def heavy_rows() -> tuple[tuple[int, StoppingParts, float], ...]:
    """Speed in mph, parts with air brakes as the handbook rounds them, and their total in feet."""
    rows = []
    for speed_mph in SPEEDS_MPH:
        parts = heavy_vehicle.stopping_parts(speed_mph, BrakeSystem.AIR).rounded_up()
        rows.append((speed_mph, parts, parts.total_ft))
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class ShortGap:
    """A following gap that is shorter than the stopping distance."""

    length_ft: int
    seconds: int
    gap_ft: float
    "How far the vehicle travels in that time."
    stopping_ft: float


def short_gap() -> ShortGap:
    """The following gap of a short vehicle at the drawn speed, and its stopping distance."""
    seconds = heavy_vehicle.following_gap_s(SHORT_LENGTH_FT, SHOWN_MPH)
    gap_ft = mph_to_fps(SHOWN_MPH) * seconds
    return ShortGap(SHORT_LENGTH_FT, seconds, gap_ft, _shown_parts().total_ft)


def _shown_parts() -> StoppingParts:
    return heavy_vehicle.stopping_parts(SHOWN_MPH, BrakeSystem.AIR).rounded_up()


def grade_row(speed_mph: int) -> GradeRow:
    """One row of the grade table."""

    def on(grade_pct: int) -> int | None:
        try:
            return _design(stopping.stopping_sight(speed_mph, grade_pct))
        except CannotStop:
            return None

    return GradeRow(speed_mph, tuple(on(grade_pct) for grade_pct in GRADES_PCT))


def _design(sight: StoppingSight) -> int:
    return sight.design


def _page(context: BuildContext, name: str, **names: object) -> Artifact:
    return Artifact(
        f"reference/{name}.md", context.render(f"pages/reference/{name}.md.j2", **names).lstrip("\n")
    )
