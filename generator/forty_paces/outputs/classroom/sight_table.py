"""Precompute the answer to every setting of the sight explorer.

For each speed, obstruction and light, the table has the placement of the outermost device, and the warning
distance with and without moving it, in whole feet, or in whole meters under a rule set written in meters. The
page's script only looks up rows and joins precomputed points.

The road has two lanes. The vehicle is on its shoulder, just past the end of a right bend, or on a straight
where something else hides it. In the bend, the available sight distance is the closed form 2R·acos(1 - M/R),
with R the radius of the lane and M the offset of the obstruction inside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from forty_paces.geometry import explanation, placement, units
from forty_paces.geometry.closed_forms import arc_sight_ft
from forty_paces.geometry.records import DeviceRule, RoadKind, RuleSet, Toward, VisibilityClass
from forty_paces.geometry.simple_view import SimpleView
from forty_paces.geometry.stopping import needed_sight_ft
from forty_paces.outputs.classroom.lengths import LengthFormat

SPEEDS = {"mph": tuple(range(25, 75, 5)), "km/h": tuple(range(40, 130, 10))}
"Posted speeds, by unit."
RADII = {
    "ft": (250, 350, 500, 700, 1000, 1400, 2000, 2800),
    "m": (75, 100, 150, 200, 300, 400, 600, 850),
}
OFFSETS = {"ft": (18, 22, 26, 30, 40, 50), "m": (6, 7, 8, 9, 12, 15)}
"Offset of the obstruction from the center of the lane; the nearest is 2 ft or more beyond a 10 ft shoulder."
HIDDEN = {
    "ft": (50, 100, 150, 200, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000),
    "m": (15, 30, 45, 60, 75, 90, 105, 120, 135, 150, 180, 210, 240, 300),
}
REACH = {"ft": 1000, "m": 300}
"How far back the drawings reach, by unit."
FINDINGS = tuple(explanation.REASONS)


@dataclass(frozen=True, slots=True)
class Choices:
    """The settings available under one rule set, in its own units."""

    lengths: LengthFormat
    speeds: tuple[int, ...]
    "Posted speeds at which the rule set requires a device behind on a two-lane road."

    @property
    def speeds_mph(self) -> list[float]:
        """The same speeds in mph, for computation."""
        kmh = self.lengths.rules.posted_in == "km/h"
        return [units.kmh_to_mph(speed) if kmh else speed for speed in self.speeds]

    @property
    def radii(self) -> tuple[int, ...]:
        """Radii of the bend, at the center of the lane."""
        return RADII[self.lengths.unit]

    @property
    def offsets(self) -> tuple[int, ...]:
        """Offsets of the obstruction from the center of the lane."""
        return OFFSETS[self.lengths.unit]

    @property
    def hidden(self) -> tuple[int, ...]:
        """Distances from the vehicle to where an obstruction other than a bend stops hiding it."""
        return HIDDEN[self.lengths.unit]

    @property
    def reach(self) -> int:
        """How far back the drawings reach."""
        return REACH[self.lengths.unit]

    @property
    def step(self) -> int:
        """Distance from one precomputed point of a drawing to the next."""
        return self.lengths.step

    def hiding_places_ft(self) -> tuple[float, ...]:
        """Sight distance for every obstruction: bends by radius and offset, then plain distances."""
        ft = self.lengths.ft
        bends = [arc_sight_ft(ft(radius), ft(offset)) for radius in self.radii for offset in self.offsets]
        return (*bends, *(float(ft(count)) for count in self.hidden))


@dataclass(frozen=True, slots=True)
class Answer:
    """The result of one setting, in whole units of the rule set."""

    distance: int
    moved: bool
    warning: int
    base_warning: int
    ample: bool
    finding: str
    reason: str
    look: str
    "The text of the look-back check; empty if no device moved."


def choices(rules: RuleSet) -> Choices:
    """The settings available under a rule set; without speeds if it moves no device there."""
    loose = Choices(LengthFormat(rules), SPEEDS[rules.posted_in])
    speeds = zip(loose.speeds, loose.speeds_mph, strict=True)
    asked = [
        speed for speed, mph in speeds if placement.asks_for(rules, RoadKind.TWO_LANE, Toward.BEHIND, mph)
    ]
    return Choices(loose.lengths, tuple(asked))


def answer(rules: RuleSet, speed_mph: float, hidden_ft: float, seen: VisibilityClass) -> Answer:
    """Place the outermost device behind the vehicle on a level two-lane road."""
    lengths, layout = LengthFormat(rules), rules.layout(RoadKind.TWO_LANE, speed_mph)
    view = SimpleView(hidden_ft, seen.detection_ft, speed_mph, seen.reflecting_ft)
    needed = needed_sight_ft(speed_mph, metric=rules.metric)
    side = placement.place_side(rules, layout, Toward.BEHIND, speed_mph, needed, view)
    outermost = side.devices[-1]
    return Answer(
        distance=lengths.up(outermost.distance_ft),
        moved=outermost.moved,
        warning=lengths.down(side.approach.warning_ft),
        base_warning=lengths.down(side.base_warning_ft),
        ample=side.approach.ample,
        finding=side.finding,
        reason=outermost.reason,
        look=explanation.REASONS[side.look].format(**side.slots) if side.look else "",
    )


def _whole(rules: RuleSet, place_ft: float) -> int:
    """Where the view ends, in whole units, rounded as by :func:`.explanation.hidden_length`."""
    beyond = rules.hidden is not None and place_ft > rules.hidden.within_ft
    return LengthFormat(rules).up(place_ft) if beyond else LengthFormat(rules).down(place_ft)


def table(rules: RuleSet) -> dict[str, Any]:
    """The explorer's data as plain values for JSON.

    ``rows`` holds, nested by light, speed and obstruction, the six numbers [distance, warning, warning
    unmoved, ample, finding, look-back sentence]. ``reasons`` are the sentences of the findings with unfilled
    slots. ``base`` and ``slots`` are lists, one item for each speed, where the rule's own distance depends on
    the speed.
    """
    told, lengths = choices(rules), LengthFormat(rules)
    places = told.hiding_places_ft()
    looks = {"": 0}
    outermost = [_outermost(rules, mph) for mph in told.speeds_mph]
    farthest = max(lengths.up(_farthest_ft(rules, rule)) for rule in outermost)
    return {
        **lengths.for_script(max(*told.radii, *told.hidden, farthest)),
        "speeds": list(told.speeds),
        "radii": list(told.radii),
        "offsets": list(told.offsets),
        "hidden": list(told.hidden),
        "lights": [[light.title, lengths.down(light.detection_ft)] for light in rules.visibility],
        "places": [_whole(rules, place) for place in places],
        "needed": [lengths.up(needed_sight_ft(mph, metric=rules.metric)) for mph in told.speeds_mph],
        "alone": [
            [lengths.down(min(place, light.detection_ft)) for place in places] for light in rules.visibility
        ],
        "rows": [
            number for light in rules.visibility for row in _rows(rules, told, light, looks) for number in row
        ],
        "looks": list(looks),
        "reasons": [explanation.REASONS[finding] for finding in FINDINGS],
        "slots": _one_or_each([_slots(rules, rule) for rule in outermost]),
        "base": _one_or_each([lengths.up(rule.distance_ft) for rule in outermost]),
        **({} if rules.metric else {"paces": _paces(rules, max(500, farthest))}),
    }


def _paces(rules: RuleSet, farthest_ft: int) -> list[int]:
    """Paces for each step in feet. For meters, ``measure`` has the paces of every whole meter."""
    step_ft = LengthFormat(rules).step
    return [units.paces(distance_ft, rules.pace_ft) for distance_ft in range(0, farthest_ft + 1, step_ft)]


def _outermost(rules: RuleSet, speed_mph: float) -> DeviceRule:
    return placement.nearest_first(rules.layout(RoadKind.TWO_LANE, speed_mph), Toward.BEHIND)[-1]


def _farthest_ft(rules: RuleSet, rule: DeviceRule) -> float:
    return max(rule.at_most_ft or rule.distance_ft, rules.hidden.to_ft if rules.hidden else 0.0)


def _slots(rules: RuleSet, rule: DeviceRule) -> dict[str, str]:
    """Values for the slots of the reasons that do not depend on the setting, and the rule's own remark."""
    low_ft, high_ft = rule.distance_ft, rule.at_most_ft or rule.distance_ft
    if rules.hidden:
        low_ft, high_ft = rules.hidden.from_ft, rules.hidden.to_ft
    said = {
        "base": explanation.length(rules, rule.distance_ft),
        "low": explanation.length(rules, low_ft),
        "high": explanation.length(rules, high_ft),
        "limit": explanation.length(rules, rules.hidden.within_ft) if rules.hidden else "",
    }
    return {**said, "remark": rule.remark} if rule.remark else said


def _one_or_each(found: list[Any]) -> Any:
    return found[0] if all(one == found[0] for one in found) else found


def _rows(rules: RuleSet, told: Choices, seen: VisibilityClass, looks: dict[str, int]) -> Iterator[list[int]]:
    for speed_mph in told.speeds_mph:
        for place in told.hiding_places_ft():
            found = answer(rules, speed_mph, place, seen)
            finding = FINDINGS.index(found.finding)
            look = looks.setdefault(found.look, len(looks))
            yield [found.distance, found.warning, found.base_warning, int(found.ample), finding, look]
