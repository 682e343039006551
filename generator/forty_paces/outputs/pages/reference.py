"""Reference tables: stopping, sight on grades, following gap, hydroplaning and headlights.

Every figure is computed by ``geometry``, and every formula is named with its limits. Totals that rest on
different assumptions are never mixed. Lengths and speeds are in the units of the rule set in force.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Self

from forty_paces.drawing.bars import draw_gap, draw_stopping
from forty_paces.geometry import heavy_vehicle, stopping, units
from forty_paces.geometry.heavy_vehicle import BrakeSystem, StoppingParts
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.stopping import CannotStop, StoppingSight
from forty_paces.messages.pages import SITE
from forty_paces.messages.quantities import (
    QUANTITIES,
    SPANS,
    length,
    length_down,
    length_up,
    meters,
    number,
    posted_speed,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact

GRADES_PCT = (-9, -6, -3, 0, 3, 6, 9)
"""Columns of the grade table, downhill negative."""

KPA_IN_A_PSI = 6.894757
"""A pound-force per square inch, to seven digits (NIST Special Publication 811, appendix B.8)."""


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of the tables in the units of one rule set."""

    speeds: tuple[int, ...]
    "Of the speed tables, as in the published tables."
    shown_speed: int
    "Of the drawn examples."
    lengths: tuple[int, ...]
    "Vehicle lengths in the following-gap table."
    shown_length: int
    "Vehicle of the drawn gap."
    short_length: int
    "The one whose gap is compared with its stopping distance."
    reaches: tuple[int, ...]
    "Beam reaches in the headlight table."
    pressures: tuple[int, ...]
    "Tire pressures in the hydroplaning check: cars, then trucks."
    per_second: int
    "Length of vehicle for each second of the following gap."
    extra_above: int
    "Speed above which the gap is a second longer."


FEET = Rows(
    speeds=tuple(range(15, 85, 5)),
    shown_speed=55,  # as in the handbook
    lengths=(20, 30, 40, 50, 60, 70, 80, 100),
    shown_length=60,
    short_length=20,
    reaches=(150, 200, 250, 300, 350, 450, 500),
    pressures=(20, 25, 30, 60, 75, 90, 100, 110, 120),
    per_second=10,
    extra_above=40,
)
METERS = Rows(
    speeds=tuple(range(20, 140, 10)),
    shown_speed=90,
    lengths=(6, 9, 12, 15, 18, 21, 24, 30),
    shown_length=18,
    short_length=6,
    reaches=(30, 45, 60, 75, 90, 110, 150),
    pressures=(140, 170, 210, 410, 520, 620, 690, 760, 830),
    per_second=3,
    extra_above=60,
)
"""A second for each 3 m and above 60 km/h: both a little stricter than the handbook's 10 ft and 40 mph."""

TRUCK_TIRES_PSI = 55.0
"""Between the pressures of car tires in the table and those of truck tires."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Computes the tables in the units of one rule set: lengths in its unit, speeds as posted."""

    rules: RuleSet
    rows: Rows
    "For lengths."
    speeds: Rows
    "For speeds: signs may be in another system than lengths."

    @classmethod
    def of(cls, rules: RuleSet) -> Self:
        """The tables under a rule set."""
        kmh = rules.posted_in == "km/h"
        return cls(rules, METERS if rules.metric else FEET, METERS if kmh else FEET)

    def mph(self, speed: float) -> float:
        """A posted speed in miles per hour."""
        return units.kmh_to_mph(speed) if self.rules.posted_in == "km/h" else float(speed)

    def ft(self, count: float) -> float:
        """A length of the rule set's units, in feet."""
        return units.m_to_ft(count) if self.rules.metric else float(count)

    def speed(self, speed: float) -> str:
        """A posted speed with its unit."""
        return posted_speed(self.rules, self.mph(speed))

    def length(self, count: float, decimals: int = 0) -> str:
        """A length of the rule set's units, with its unit."""
        return QUANTITIES["meters" if self.rules.metric else "feet"].format(n=number(count, decimals))

    def sight(self, speed: float, grade_pct: float = 0.0) -> StoppingSight:
        """Stopping sight distance in the rule set's unit, by the formula for it."""
        if self.rules.metric:
            return stopping.metric_stopping_sight(units.mph_to_kmh(self.mph(speed)), grade_pct)
        return stopping.stopping_sight(self.mph(speed), grade_pct)

    def stopping_row(self, speed: int) -> tuple[str, ...]:
        """Speed, design value, the same in meters where it is in feet, reacting, braking and sum of both."""
        sight = self.sight(speed)
        parts = (sight.reaction, sight.braking, sight.total)
        return (
            self.speed(speed),
            *self._in_both(self.ft(sight.design)),
            *(self.length(part, 1) for part in parts),
        )

    def grade_row(self, speed: int) -> tuple[str, tuple[str, ...]]:
        """Speed, and the design value on each grade without its unit; empty where no vehicle can stop."""

        def on(grade_pct: int) -> str:
            try:
                return number(self.sight(speed, grade_pct).design)
            except CannotStop:
                return ""

        return self.speed(speed), tuple(on(grade_pct) for grade_pct in GRADES_PCT)

    def parts(self, speed: int) -> StoppingParts:
        """A heavy vehicle's stop with air brakes, each part rounded up to a whole unit."""
        parts = heavy_vehicle.stopping_parts(self.mph(speed), BrakeSystem.AIR)
        return parts.rounded_up(self.ft(1))

    def heavy_row(self, speed: int) -> tuple[str, ...]:
        """Speed, total, the same in meters where it is in feet, and parts of a heavy vehicle's stop."""
        parts = self.parts(speed)
        each = (parts.perception_ft, parts.reaction_ft, parts.lag_ft, parts.braking_ft)
        return (
            self.speed(speed),
            *self._in_both(parts.total_ft),
            *(length(self.rules, part) for part in each),
        )

    def _in_both(self, length_ft: float) -> tuple[str, str]:
        return length(self.rules, length_ft), "" if self.rules.metric else meters(length_ft)

    def gap_s(self, count: int, *, fast: bool) -> int:
        """Following gap in seconds of a vehicle of that many units: one for each ``per_second`` begun."""
        speed = self.speeds.shown_speed if fast else self.speeds.extra_above
        return heavy_vehicle.following_gap_s(self.ft(count), self.mph(speed))

    def short_gap(self) -> dict[str, str]:
        """The gap of a short vehicle at the drawn speed, and its stopping distance, in words."""
        count, speed = self.rows.short_length, self.speeds.shown_speed
        seconds = self.gap_s(count, fast=True)
        return {
            "length": self.length(count),
            "seconds": str(seconds),
            "speed": self.speed(speed),
            "gap": length_down(self.rules, units.mph_to_fps(self.mph(speed)) * seconds),
            "stopping": length_up(self.rules, self.parts(speed).total_ft),
        }

    def beam_row(self, reach: int) -> tuple[str, str]:
        """Reach of a beam, and the speed as posted that stops within it, rounded down."""
        if self.rules.metric:
            kmh = stopping.max_speed_kmh(reach)
            fastest = kmh if self.rules.posted_in == "km/h" else units.kmh_to_mph(kmh)
        else:
            mph = heavy_vehicle.headlight_speed_mph(reach)
            fastest = units.mph_to_kmh(mph) if self.rules.posted_in == "km/h" else mph
        return self.length(reach), f"{number(units.whole_down(fastest))} {self.rules.posted_in}"

    def water_row(self, pressure: int) -> tuple[str, str, bool]:
        """Tire pressure, what the formula gives for it, and whether it is that of a truck tire."""
        psi = pressure / KPA_IN_A_PSI if self.rules.metric else float(pressure)
        mph = heavy_vehicle.hydroplaning_mph(psi)
        given = units.mph_to_kmh(mph) if self.rules.posted_in == "km/h" else mph
        written = SPANS["kilopascals" if self.rules.metric else "psi"].format(n=number(pressure))
        return written, f"{number(given, 1)} {self.rules.posted_in}", psi > TRUCK_TIRES_PSI


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """All pages below reference/."""
    rule_file = context.library.rules[context.library.fleet.rules]
    tables = Figures.of(rule_file.rule_set)
    rows, speeds = tables.rows, tables.speeds
    shown = tables.speed(speeds.shown_speed)
    own = {
        "metric": rule_file.rule_set.metric,
        "kmh": rule_file.rule_set.posted_in == "km/h",
        "american": rule_file.country in (None, "us"),
    }

    def page(name: str, **names: object) -> Artifact:
        texts = tuple(text for text in rule_file.texts if text.page == name)
        return context.page(f"reference/{name}", f"pages/reference/{name}", texts=texts, **own, **names)

    yield page(
        "stopping",
        parts=tuple(tables.stopping_row(speed) for speed in speeds.speeds),
        grades=GRADES_PCT,
        by_grade=tuple(tables.grade_row(speed) for speed in speeds.speeds),
    )
    yield page(
        "heavy-stopping",
        rows=tuple(tables.heavy_row(speed) for speed in speeds.speeds),
        ratios=((2, 4), (3, 9)),
        shown=shown,
        drawing=draw_stopping(
            tables.parts(speeds.shown_speed),
            prefix="stop",
            title=SITE["drawn-stop"].format(speed=shown),
            metric=rule_file.rule_set.metric,
        ),
    )
    yield page(
        "following-gap",
        rows=tuple(
            (tables.length(count), tables.gap_s(count, fast=False), tables.gap_s(count, fast=True))
            for count in rows.lengths
        ),
        shown_length=tables.length(rows.shown_length),
        shown=shown,
        per_second=tables.length(rows.per_second),
        extra_above=tables.speed(speeds.extra_above),
        drawing=draw_gap(
            tables.gap_s(rows.shown_length, fast=True),
            prefix="gap",
            title=SITE["drawn-gap"].format(length=tables.length(rows.shown_length), speed=shown),
        ),
        short=tables.short_gap(),
    )
    yield page("hydroplaning", rows=tuple(tables.water_row(pressure) for pressure in rows.pressures))
    yield page("headlights", rows=tuple(tables.beam_row(reach) for reach in rows.reaches))


def navigation() -> list[dict[str, str] | str]:
    """The pages in reading order."""
    return [
        {SITE["stopping"]: "reference/stopping.md"},
        {SITE["heavy-stopping"]: "reference/heavy-stopping.md"},
        {SITE["following-gap"]: "reference/following-gap.md"},
        {SITE["hydroplaning"]: "reference/hydroplaning.md"},
        {SITE["headlights"]: "reference/headlights.md"},
    ]
