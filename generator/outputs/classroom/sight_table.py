"""Why the outermost device moves: every setting of the sight explorer, answered beforehand.

In: a rule set. Out: the explorer's table: for each speed, hiding place and light
the placement of the outermost device and the warning with and without moving it;
and for each bend a picture with the page point of every tenth foot. Refuses to
know HTML. The script of the page looks rows up and joins ready points, nothing
else.

The road is a two-lane one with the vehicle on its shoulder, just past the end of
a right bend, or on a straight with something else that hides it. In the bend the
hiding place is the closed form 2R·acos(1 - M/R), with R the radius of the lane
and M the offset of the obstruction inside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from generator.geometry import explanation, placement, units
from generator.geometry.closed_forms import arc_sight_ft
from generator.geometry.records import RoadKind, RuleSet, Toward
from generator.geometry.stopping import stopping_sight_ft

SPEEDS_MPH = tuple(range(25, 75, 5))
RADII_FT = (250, 350, 500, 700, 1000, 1400, 2000, 2800)
OFFSETS_FT = (18, 22, 26, 30, 40, 50)
"Of the obstruction, from the center of the lane; the nearest stands 2 ft beyond a 10 ft shoulder."
HIDDEN_FT = (50, 100, 150, 200, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000)
REACH_FT = 1000
"How far back the pictures go."
STEP_FT = 10
FINDINGS = tuple(explanation.REASONS)


@dataclass(frozen=True, slots=True)
class Answer:
    """What one setting gives."""

    distance_ft: int
    moved: bool
    warning_ft: int
    base_warning_ft: int
    ample: bool
    finding: str
    reason: str


def hiding_places_ft() -> tuple[float, ...]:
    """Every hiding place: bends by radius and offset, then the plain distances."""
    bends = [arc_sight_ft(radius, offset) for radius in RADII_FT for offset in OFFSETS_FT]
    return (*bends, *map(float, HIDDEN_FT))


def answer(rules: RuleSet, speed_mph: float, hidden_ft: float, detection_ft: float) -> Answer:
    """The outermost device behind the vehicle on a level two-lane road."""
    layout = rules.layout(RoadKind.TWO_LANE, speed_mph)
    view = placement.SimpleView(hidden_ft, detection_ft)
    needed = stopping_sight_ft(speed_mph, 0.0)
    side = placement.place_side(rules, layout, Toward.BEHIND, speed_mph, needed, view)
    outermost = side.devices[-1]
    return Answer(
        distance_ft=int(outermost.distance_ft),
        moved=outermost.moved,
        warning_ft=int(units.whole_down(side.approach.warning_ft)),
        base_warning_ft=int(units.whole_down(side.base_warning_ft)),
        ample=side.approach.ample,
        finding=side.finding,
        reason=outermost.reason,
    )


def _whole_ft(rules: RuleSet, place_ft: float) -> int:
    """Where a view ends in whole feet, rounded as :func:`.explanation.hidden_length` rounds it."""
    beyond = rules.hidden is not None and place_ft > rules.hidden.within_ft
    return int(units.whole_up(place_ft) if beyond else units.whole_down(place_ft))


def speeds_mph(rules: RuleSet) -> list[int]:
    """The speeds to choose from: those at which the rule set asks for a device behind on a two-lane road."""
    asked = (RoadKind.TWO_LANE, Toward.BEHIND)
    return [speed for speed in SPEEDS_MPH if placement.asks_for(rules, *asked, speed)]


def needed_ft(speed_mph: float) -> int:
    """What a driver needs, as it is printed: whole feet, rounded up."""
    return int(units.whole_up(stopping_sight_ft(speed_mph, 0.0)))


def table(rules: RuleSet) -> dict[str, Any]:
    """The explorer's numbers as plain values for JSON.

    ``rows`` holds for light, speed and hiding place, in that nesting, the five numbers
    [distance, warning, warning unmoved, ample, finding]. ``reasons`` are the sentences of
    the findings with their slots unfilled.
    """
    places, speeds = hiding_places_ft(), speeds_mph(rules)
    base = placement.nearest_first(rules.layout(RoadKind.TWO_LANE, speeds[0]), Toward.BEHIND)[-1].distance_ft
    return {
        "speeds": speeds,
        "radii": list(RADII_FT),
        "offsets": list(OFFSETS_FT),
        "hidden": list(HIDDEN_FT),
        "lights": [[light.title, int(light.detection_ft)] for light in rules.visibility],
        "places": [_whole_ft(rules, place) for place in places],
        "needed": [needed_ft(speed) for speed in speeds],
        "alone": [
            [int(units.whole_down(min(place, light.detection_ft))) for place in places]
            for light in rules.visibility
        ],
        "rows": [
            number for light in rules.visibility for row in _rows(rules, light.detection_ft) for number in row
        ],
        "reasons": [explanation.REASONS[finding] for finding in FINDINGS],
        "slots": {
            "base": explanation.length(rules, base),
            "low": explanation.length(rules, rules.hidden.from_ft) if rules.hidden else "",
            "high": explanation.length(rules, rules.hidden.to_ft) if rules.hidden else "",
            "limit": explanation.length(rules, rules.hidden.within_ft) if rules.hidden else "",
        },
        "base": int(base),
        "paces": [units.paces(distance, rules.pace_ft) for distance in range(0, 510, STEP_FT)],
    }


def _rows(rules: RuleSet, detection_ft: float) -> Iterator[list[int]]:
    for speed in speeds_mph(rules):
        for place in hiding_places_ft():
            found = answer(rules, speed, place, detection_ft)
            finding = FINDINGS.index(found.finding)
            yield [found.distance_ft, found.warning_ft, found.base_warning_ft, int(found.ample), finding]
