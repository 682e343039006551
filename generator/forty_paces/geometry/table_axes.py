"""The axes of a lookup table, and the worked examples that lie on its grid.

Speeds, grades and available sight distances to choose from, in the units of the rule set.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from forty_paces.geometry import units
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import RoadKind, RuleSet, Situation, Surface, Toward

GRADES_PCT = (-6.0, -3.0, 0.0, 3.0, 6.0)
SPEEDS_MPH = tuple(float(speed) for speed in range(15, 81, 5))
SPEEDS_KMH = tuple(float(speed) for speed in range(20, 131, 10))
HIDDEN_FT = (math.inf, *(float(ft) for ft in (*range(50, 501, 50), *range(600, 1001, 100))))
HIDDEN_M = (math.inf, *(float(m) for m in (*range(15, 151, 15), *range(180, 301, 30))))


@dataclass(frozen=True, slots=True)
class Axes:
    """The values to choose from."""

    speeds_mph: tuple[float, ...]
    grades_pct: tuple[float, ...]
    "Every grade is listed together with its opposite."
    hidden_ft: tuple[float, ...]
    "inf first: nothing hides the vehicle."

    def speed_texts(self, rules: RuleSet) -> list[str]:
        """Each speed in the unit it is posted in."""
        if rules.posted_in == "mph":
            return [f"{units.number(speed)} mph" for speed in self.speeds_mph]
        return [f"{units.number(units.mph_to_kmh(speed))} km/h" for speed in self.speeds_mph]

    def grade_texts(self) -> list[str]:
        """Each grade as approaching drivers travel it."""
        return [
            "level" if not grade else f"{abs(grade):g} percent {'uphill' if grade > 0 else 'downhill'}"
            for grade in self.grades_pct
        ]


@dataclass(frozen=True, slots=True)
class TableExample:
    """A worked example, computed by hand."""

    id: str
    situation: Situation
    devices: tuple[tuple[Toward, float, bool], ...]
    "Toward, feet, moved; behind before ahead, nearest first."
    sides: tuple[tuple[Toward, float | None, float | None, bool], ...]
    "Toward, feet needed, feet of warning, ample; None where not worked out."


def axes_for(rules: RuleSet) -> Axes:
    """Return the default axes in the units of the rule set."""
    speeds = SPEEDS_MPH if rules.posted_in == "mph" else tuple(map(units.kmh_to_mph, SPEEDS_KMH))
    hidden = tuple(map(units.m_to_ft, HIDDEN_M)) if rules.metric else HIDDEN_FT
    return Axes(speeds, GRADES_PCT, hidden)


def places(rules: RuleSet, axes: Axes, situation: Situation) -> list[int] | None:
    """Return the indexes of road, speed, grade, visibility, hidden behind, hidden ahead; None off the grid.

    The grid holds situations in which both ends of the obstruction are unknown.
    """
    if situation.surface is not Surface.NORMAL:
        return None
    if situation.hidden_from_ft is not None or situation.hidden_to_ft is not None:
        return None
    found = [
        list(RoadKind).index(situation.road),
        _place(axes.speeds_mph, situation.speed_mph),
        _place(axes.grades_pct, situation.grade_pct),
        next(
            (
                place
                for place, seen in enumerate(rules.visibility)
                if (seen.detection_ft, seen.reflecting_ft)
                == (situation.detection_ft, situation.reflecting_ft)
            ),
            None,
        ),
        _place(axes.hidden_ft, situation.hidden_behind_ft),
        _place(axes.hidden_ft, situation.hidden_ahead_ft),
    ]
    places_found = [place for place in found if place is not None]
    return places_found if len(places_found) == len(found) else None


def located(rules: RuleSet, axes: Axes, example: TableExample) -> dict[str, Any] | None:
    """Return the example as table indexes and lengths in the rule set's own unit; None off the grid."""
    at = places(rules, axes, example.situation)
    if at is None:
        return None
    with_traffic = streams(example.situation.road)
    ordered = sorted(example.devices, key=lambda device: device[0] not in with_traffic)
    return {
        "id": example.id,
        "at": at,
        "devices": [[str(toward), own(rules, ft), int(moved)] for toward, ft, moved in ordered],
        "sides": {
            str(toward): [own(rules, needed), own(rules, warning), int(ample)]
            for toward, needed, warning, ample in example.sides
        },
    }


def own(rules: RuleSet, length_ft: float | None) -> float | None:
    """Return a length in the rule set's own unit, to a tenth."""
    if length_ft is None:
        return None
    return round(units.ft_to_m(length_ft) if rules.metric else length_ft, 1)


def _place(choices: Sequence[float], wanted: float) -> int | None:
    """Return the index of a value, ignoring float noise."""
    return next(
        (
            place
            for place, choice in enumerate(choices)
            if choice == wanted or abs(choice - wanted) < units.FUZZ
        ),
        None,
    )
