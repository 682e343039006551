"""The roads of the sight explorer: bends with rock inside them, and crests, each a scene.

The road has two lanes. The vehicle stands on its shoulder, where the bend or the crest ends behind its rear.
Each setting is one :class:`~forty_paces.geometry.scene.Scene`: the table solves it and the drawing shows it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from forty_paces.geometry import placement, units
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import RoadKind, RuleSet, Toward, VisibilityClass
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import Light, Scene, Stands, StoppedVehicle, Strip
from forty_paces.outputs.classroom.lengths import LengthFormat

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


class Cause(StrEnum):
    """What hides the vehicle."""

    BEND = "bend"
    CREST = "crest"


@dataclass(frozen=True, slots=True)
class Setting:
    """One road of the explorer, in the rule set's own units: two measures, by cause."""

    cause: Cause
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
    def settings(self) -> tuple[Setting, ...]:
        """Every road: bends by radius and offset, then crests by grade and length."""
        bends = [Setting(Cause.BEND, radius, offset) for radius in self.radii for offset in self.offsets]
        crests = [Setting(Cause.CREST, grade, curve) for grade in GRADES_PCT for curve in self.curves]
        return (*bends, *crests)

    def scene(self, setting: Setting, speed_mph: float, seen: VisibilityClass) -> Scene:
        """The scene of one setting at a posted speed, in a visibility class of the rule set."""
        ft = self.lengths.ft
        rock: tuple[Strip, ...] = ()
        if setting.cause is Cause.BEND:
            length_ft = self.bend_ft(setting.first)
            line = Alignment(-length_ft, (Arc(length_ft, ft(setting.first), Turn.RIGHT), Tangent(PAST_FT)))
            road = Road(line, carriageways=two_lane(LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT))
            rock = (Strip("the rock", -length_ft, ROCK_PAST_FT, ft(setting.second)),)
        else:
            curve_ft = ft(setting.second)
            crest = Profile(setting.first, (Pvi(-curve_ft / 2, -setting.first, curve_ft),))
            road = Road(profile=crest, carriageways=two_lane(LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT))
        scene = Scene(
            id=f"{setting.cause}-{setting.first}-{setting.second}",
            title="The explorer's road",
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
