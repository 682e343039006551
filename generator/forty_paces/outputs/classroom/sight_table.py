"""The roads of the sight explorer, bends and crests, and the precomputed answer to each of its settings.

Each row is a scene, solved by the sight engine with vehicle and devices where they
are across the road. Figures are whole feet, or whole meters under a rule set written in meters: warnings
rounded down, needs up. The road has two lanes; the vehicle stands on its shoulder, where the bend or the
crest ends behind its rear. The page's script only looks up rows and joins precomputed points.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, NamedTuple

from forty_paces.geometry import placement, solver, units
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import DeviceRule, RoadKind, RuleSet, Toward, VisibilityClass
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import Light, Scene, Stands, StoppedVehicle, Strip
from forty_paces.geometry.sight import Viewer, viewers
from forty_paces.messages.classroom import TASK
from forty_paces.messages.placement import REASONS, text
from forty_paces.messages.quantities import length
from forty_paces.outputs.classroom.lengths import LengthFormat

FINDINGS = tuple(REASONS)
NOT_HIDDEN = -1
"Stands for an unlimited sight distance in a row."

SPEEDS = {"mph": tuple(range(25, 75, 5)), "km/h": tuple(range(40, 130, 10))}
"Posted speeds, by unit."

RADII = {
    "ft": (250, 350, 500, 700, 1000, 1400, 2000, 2800),
    "m": (75, 100, 150, 200, 300, 400, 600, 850),
}

OFFSETS = {"ft": (18, 22, 26, 30, 40, 50), "m": (6, 7, 8, 9, 12, 15)}
"Offset of the rock from the center of the lane; the nearest is 2 ft or more beyond a 10 ft shoulder."

GRADES_PCT = (2, 3, 4, 5, 6, 8)
"Uphill before the crest, and as much downhill after it."

CURVES = {"ft": (100, 200, 400, 600, 900, 1200), "m": (30, 60, 120, 180, 270, 360)}
"Length of the vertical curve between the two grades."

REACH = {"ft": 1000, "m": 300}
"How far back the drawings reach, by unit."

LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT = 12.0, 10.0, 6.0

VEHICLE = StoppedVehicle(70.0, 8.5, LANE_FT / 2 + SHOULDER_FT / 2, Stands.SHOULDER)

PAST_FT = 110.0
"Length of road ahead of the vehicle's rear."

ROCK_PAST_FT = 30.0
"The rock goes on this far past the end of the bend."


class SightLimit(StrEnum):
    """What hides the vehicle."""

    BEND = "bend"
    CREST = "crest"


@dataclass(frozen=True, slots=True)
class ExplorerRoad:
    """One road of the explorer, in the rule set's own units: two measures, by cause."""

    cause: SightLimit
    first: int
    "Radius at the center of the lane, or the grade in percent."
    second: int
    "Offset of the rock from the center of the lane, or the length of the vertical curve."


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
        """Offsets of the rock from the center of the lane."""
        return OFFSETS[self.lengths.unit]

    @property
    def curves(self) -> tuple[int, ...]:
        """Lengths of the crest's vertical curve."""
        return CURVES[self.lengths.unit]

    @property
    def reach(self) -> int:
        """How far back the drawings reach."""
        return REACH[self.lengths.unit]

    @property
    def step(self) -> int:
        """Distance from one precomputed point of a drawn road to the next."""
        return self.lengths.step

    @property
    def settings(self) -> tuple[ExplorerRoad, ...]:
        """Every road: bends by radius and offset, then crests by grade and length."""
        bends = [
            ExplorerRoad(SightLimit.BEND, radius, offset) for radius in self.radii for offset in self.offsets
        ]
        crests = [
            ExplorerRoad(SightLimit.CREST, grade, curve) for grade in GRADES_PCT for curve in self.curves
        ]
        return (*bends, *crests)

    def scene(self, setting: ExplorerRoad, speed_mph: float, seen: VisibilityClass) -> Scene:
        """The scene of one setting at a posted speed, in a visibility class of the rule set."""
        ft = self.lengths.ft
        rock: tuple[Strip, ...] = ()
        if setting.cause is SightLimit.BEND:
            length_ft = self.bend_ft(setting.first)
            line = Alignment(-length_ft, (Arc(length_ft, ft(setting.first), Turn.RIGHT), Tangent(PAST_FT)))
            road = Road(line, carriageways=two_lane(LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT))
            rock = (Strip(TASK["explorer-rock"], -length_ft, ROCK_PAST_FT, ft(setting.second)),)
        else:
            curve_ft = ft(setting.second)
            crest = Profile(setting.first, (Pvi(-curve_ft / 2, -setting.first, curve_ft),))
            road = Road(profile=crest, carriageways=two_lane(LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT))
        scene = Scene(
            id=f"{setting.cause}-{setting.first}-{setting.second}",
            title=TASK["explorer-road"],
            place="nowhere",
            position=0,
            teaching_point="",
            kind=RoadKind.TWO_LANE,
            road=road,
            vehicle=VEHICLE,
            speed_mph=speed_mph,
            blockers=rock,
            light=Light.DAY if seen.reflecting_ft is None else Light.NIGHT,
            visibility=seen.id,
        )
        return scene.mirrored() if self.lengths.rules.traffic_keeps == "left" else scene

    def bend_ft(self, radius: int) -> float:
        """Length of a bend in feet: a quarter of a circle, or as far back as the drawing reaches."""
        return min(math.pi / 2 * self.lengths.ft(radius), self.lengths.ft(self.reach))

    def scenes(self, speed_mph: float, seen: VisibilityClass) -> Iterator[Scene]:
        """The scene of every setting."""
        return (self.scene(setting, speed_mph, seen) for setting in self.settings)


def choices(rules: RuleSet) -> Choices:
    """The settings available under a rule set; without speeds if it requires no device behind."""
    loose = Choices(LengthFormat(rules), SPEEDS[rules.posted_in])
    speeds = zip(loose.speeds, loose.speeds_mph, strict=True)
    asked = [
        speed for speed, mph in speeds if placement.asks_for(rules, RoadKind.TWO_LANE, Toward.BEHIND, mph)
    ]
    return replace(loose, speeds=tuple(asked))


class Row(NamedTuple):
    """The numbers of one setting, in whole units of the rule set."""

    distance: int
    "From the vehicle to the outermost device."
    warning: int
    base_warning: int
    "The warning with the device at the distance that the rule sets."
    ample: int
    "1 or 0."
    finding: int
    "Index into :data:`FINDINGS`."
    look: int
    "Index of the look-back sentence; 0 where no device moved."
    needed: int
    hidden: int
    "From where the vehicle is first seen by geometry alone; :data:`NOT_HIDDEN` where nothing hides it."
    alone: int
    "The warning that the vehicle itself gives."
    seen: int
    "From the vehicle to where the outermost device is first seen; 0 where it is not counted."


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
    needed: int
    hidden: int
    alone: int
    seen: int


def answer(rules: RuleSet, scene: Scene, observers: tuple[Viewer, ...] = ()) -> Answer:
    """Place the devices behind the vehicle in a scene; ``observers`` as in :func:`.solver.scene_view`."""
    lengths, layout = LengthFormat(rules), rules.layout(scene.kind, scene.speed_mph)
    needed_ft, needed_by = solver.need(rules, scene, Toward.BEHIND)
    view = solver.scene_view(rules, scene, Toward.BEHIND, needed_ft, observers)
    side = placement.place_side(rules, layout, Toward.BEHIND, scene.speed_mph, needed_ft, view, needed_by)
    outermost = side.devices[-1]
    spot = (outermost.distance_ft, outermost.across)
    seen_ft = min(lane.seen_from_ft(*spot) for lane in view.lanes)
    return Answer(
        distance=lengths.up(outermost.distance_ft),
        moved=outermost.moved,
        warning=lengths.down(side.approach.warning_ft),
        base_warning=lengths.down(side.base_warning_ft),
        ample=side.approach.ample,
        finding=side.finding,
        reason=text(rules, outermost.reason),
        look=text(rules, side.look),
        needed=lengths.up(needed_ft),
        hidden=_whole(rules, view.hidden_ft),
        alone=lengths.down(side.approach.vehicle_only_ft),
        seen=lengths.down(outermost.distance_ft + seen_ft) if seen_ft else 0,
    )


def _whole(rules: RuleSet, hidden_ft: float) -> int:
    """Where the view ends, in whole units, rounded as by :func:`.quantities.hidden_length`."""
    if math.isinf(hidden_ft):
        return NOT_HIDDEN
    beyond = rules.hidden is not None and hidden_ft > rules.hidden.within_ft
    return LengthFormat(rules).up(hidden_ft) if beyond else LengthFormat(rules).down(hidden_ft)


def table(rules: RuleSet) -> dict[str, Any]:
    """The explorer's data as plain values for JSON.

    ``rows`` holds the numbers of a :class:`Row` for each setting, nested by light, speed and road.
    ``reasons`` are the sentences of the findings with unfilled slots. ``base`` and ``slots`` are lists, one
    item for each speed, where the rule's own distance depends on the speed.
    """
    options, lengths = choices(rules), LengthFormat(rules)
    looks = {"": 0}
    rows = list(_rows(rules, options, looks))
    outermost = [_outermost(rules, mph) for mph in options.speeds_mph]
    longest = max(
        [*options.radii, *options.curves, *(row.seen for row in rows), *(row.distance for row in rows)]
    )
    unit = lengths.unit
    return {
        **lengths.for_script(longest),
        "speeds": list(options.speeds),
        "causes": {
            SightLimit.BEND: {"first": 0, "axes": ["radius", "offset"]},
            SightLimit.CREST: {
                "first": len(options.radii) * len(options.offsets),
                "axes": ["grade", "curve"],
            },
        },
        "labels": {
            "radius": [f"{count} {unit}" for count in options.radii],
            "offset": [f"{count} {unit}" for count in options.offsets],
            "grade": [TASK["percent"].format(grade=grade) for grade in GRADES_PCT],
            "curve": [f"{count} {unit}" for count in options.curves],
        },
        "lights": [[light.title, lengths.down(light.detection_ft)] for light in rules.visibility],
        "places": len(options.settings),
        "numbers": list(Row._fields),
        "rows": [number for row in rows for number in row],
        "looks": list(looks),
        "reasons": [REASONS[finding] for finding in FINDINGS],
        "slots": _one_or_each([_slots(rules, rule) for rule in outermost]),
        "base": _one_or_each([lengths.up(rule.distance_ft) for rule in outermost]),
        **({} if rules.metric else {"paces": _paces(rules, rows)}),
    }


def _paces(rules: RuleSet, rows: list[Row]) -> dict[int, int]:
    """Paces for each distance at which a device is placed, in feet. For meters ``measure`` has them all."""
    return {count: units.paces(count, rules.pace_ft) for count in sorted({row.distance for row in rows})}


def _outermost(rules: RuleSet, speed_mph: float) -> DeviceRule:
    return placement.nearest_first(rules.layout(RoadKind.TWO_LANE, speed_mph), Toward.BEHIND)[-1]


def _slots(rules: RuleSet, rule: DeviceRule) -> dict[str, str]:
    """Values for the slots of the reasons that do not depend on the setting, and the rule's own remark."""
    low_ft, high_ft = rule.distance_ft, rule.at_most_ft or rule.distance_ft
    if rules.hidden:
        low_ft, high_ft = rules.hidden.from_ft, rules.hidden.to_ft
    slots = {
        "base": length(rules, rule.distance_ft),
        "low": length(rules, low_ft),
        "high": length(rules, high_ft),
        "limit": length(rules, rules.hidden.within_ft) if rules.hidden else "",
    }
    return {**slots, "remark": rule.remark} if rule.remark else slots


def _one_or_each(values: list[Any]) -> Any:
    return values[0] if all(one == values[0] for one in values) else values


def _rows(rules: RuleSet, options: Choices, looks: dict[str, int]) -> Iterator[Row]:
    observers = [_observers(rules, options, index) for index in range(len(options.settings))]
    for seen in rules.visibility:
        for speed_mph in options.speeds_mph:
            for scene, watching in zip(options.scenes(speed_mph, seen), observers, strict=True):
                result = answer(rules, scene, watching)
                yield Row(
                    result.distance,
                    result.warning,
                    result.base_warning,
                    int(result.ample),
                    FINDINGS.index(result.finding),
                    looks.setdefault(result.look, len(looks)),
                    result.needed,
                    result.hidden,
                    result.alone,
                    result.seen,
                )


def _observers(rules: RuleSet, options: Choices, index: int) -> tuple[Viewer, ...]:
    """The observers of one road, which remember what they saw from one speed and light to the next."""
    scene = options.scene(options.settings[index], options.speeds_mph[0], rules.visibility[0])
    farthest_ft = max(max(light.detection_ft, light.reflecting_ft or 0.0) for light in rules.visibility)
    return tuple(replace(watch, remember_ft=farthest_ft + 1) for watch in viewers(scene, Toward.BEHIND))
