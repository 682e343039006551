"""One approach direction of a scene from the driver's seat: its settings, frames, view and endings.

A frame stands for one position of the eye, counted from the vehicle. A device or the vehicle is in view in a
frame where the sight engine finds its line of sight free and it lies within the detection range of the light.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from forty_paces.drawing.approach import ApproachFrames
from forty_paces.drawing.schematic import markings
from forty_paces.geometry import placement, units
from forty_paces.geometry.heavy_vehicle import stopping_parts
from forty_paces.geometry.records import RuleSet, Spot, Toward
from forty_paces.geometry.scene import Scene, station_ft
from forty_paces.geometry.scene_view import LaneView, offset_ft
from forty_paces.geometry.sight import DEVICE_TARGET_FT, Target, hidden_by, vehicle_target
from forty_paces.geometry.solver import ScenePlacement, braking_grade_pct, need, solve_scene
from forty_paces.geometry.stopping import (
    CannotStop,
    StoppingSight,
    impact_speed,
    metric_stopping_sight,
    stopping_sight,
)
from forty_paces.outputs.classroom import how_many
from forty_paces.outputs.classroom.exercise import reach_of
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.placing_tasks import variants

FAR_STEP_FT, NEAR_STEP_FT = 20, 10
"From one frame to the next, beyond :data:`NEAR_FROM_FT` and within it."
NEAR_FROM_FT = 120
LAST_FT = 30
"The last frame."
SPARE_SHARE, SPARE_FT = 1.35, 100.0
"A run begins so much before the stopping distance, so that there is something to wait for."
LONGEST_FT = 1000.0


@dataclass(frozen=True)
class SeatSide:
    """One approach direction of a scene, with everything that its runs need."""

    rules: RuleSet
    scene: Scene
    toward: Toward

    @cached_property
    def lengths(self) -> LengthFormat:
        """Lengths in the rule set's unit."""
        return LengthFormat(self.rules)

    @cached_property
    def by_setting(self) -> dict[tuple[float, str | None], ScenePlacement]:
        """The scene solved at each speed in each light, by speed in mph and visibility class.

        Settings in which no devices are asked for or nobody could stop are left out.
        """
        found = {}
        for variant in variants(self.rules, self.scene):
            try:
                found[variant.speed_mph, variant.visibility] = solve_scene(self.rules, variant)
            except (LookupError, CannotStop):
                continue
        return found

    @cached_property
    def speeds_mph(self) -> list[float]:
        """Posted speeds, each in every light."""
        return sorted({speed for speed, _ in self.by_setting})

    @cached_property
    def lights(self) -> list[str | None]:
        """Visibility classes, the scene's own first."""
        return list(dict.fromkeys(light for _, light in self.by_setting))

    @cached_property
    def own(self) -> ScenePlacement:
        """The scene as its author wrote it, or the setting nearest to it."""
        speed = min(self.speeds_mph, key=lambda one: abs(one - self.scene.speed_mph))
        return self.by_setting[speed, self.lights[0]]

    @cached_property
    def lane(self) -> int:
        """The lane of the eye: that in which the devices warn latest."""
        side = self.own.side(self.toward)
        assert side is not None, "only sides that traffic comes from are driven"
        lanes = side.view.lanes
        return min(range(len(lanes)), key=lambda index: lanes[index].warning_ft(self._spots(self.own)))

    def view(self, light: str | None) -> LaneView:
        """What is seen from that lane in a light."""
        side = self.by_setting[self.own.scene.speed_mph, light].side(self.toward)
        assert side is not None
        return side.view.lanes[self.lane]

    def _spots(self, solved: ScenePlacement) -> list[Spot]:
        return [
            (placed.device.distance_ft, placed.device.across)
            for placed in solved.devices
            if placed.device.toward is self.toward and placed.device.reached
        ]

    @cached_property
    def frames(self) -> ApproachFrames:
        """The frames."""
        watch = self.view(self.lights[0]).watch
        return ApproachFrames(self.scene, self.toward, watch, markings(self.rules))

    @cached_property
    def eyes_ft(self) -> list[int]:
        """The positions of the eye, from far to near, in feet before the vehicle."""
        needed_ft = max(need(self.rules, solved.scene, self.toward)[0] for solved in self.by_setting.values())
        least_ft = self.lengths.ft(reach_of(self.rules)) + SPARE_FT
        start_ft = min(LONGEST_FT, max(least_ft, SPARE_SHARE * needed_ft + SPARE_FT))
        start = int(units.whole_up(start_ft, FAR_STEP_FT))
        return [
            *range(start, NEAR_FROM_FT, -FAR_STEP_FT),
            *range(NEAR_FROM_FT, LAST_FT - 1, -NEAR_STEP_FT),
        ]

    @cached_property
    def across(self) -> str | None:
        """Where across the road the outermost device stands; None where none can stand on this side."""
        spots = self._spots(self.own)
        layout = self.rules.layout(self.scene.kind, self.own.scene.speed_mph)
        asked = placement.nearest_first(layout, self.toward)
        return asked[-1].across if asked and len(spots) == len(asked) else None

    @cached_property
    def places_ft(self) -> list[float]:
        """The distances at which the outermost device can be tried."""
        step = self.lengths.step
        if self.across is None:
            return []
        return [self.lengths.ft(count) for count in range(step, reach_of(self.rules) + 1, step)]

    @cached_property
    def inner(self) -> list[Spot]:
        """Every place of a nearer device in any setting."""
        if self.across is None:
            return []
        return list(
            dict.fromkeys(spot for solved in self.by_setting.values() for spot in self._inner(solved))
        )

    def _inner(self, solved: ScenePlacement) -> list[Spot]:
        outermost = max(self._spots(solved), default=None)
        return [spot for spot in self._spots(solved) if spot != outermost]

    # what is in view

    def target(self, spot: Spot | None) -> Target:
        """The device at a place, or the vehicle."""
        if spot is None:
            return vehicle_target(self.scene, self.toward)
        station = station_ft(self.scene, self.toward, spot[0])
        return Target(station, offset_ft(self.scene, spot[1]), DEVICE_TARGET_FT)

    def free(self, spot: Spot | None) -> list[bool]:
        """For each frame whether nothing stands between the eye and a device, or the vehicle."""
        target, watch = self.target(spot), self.frames.watch
        ahead_ft = [eye - (spot[0] if spot else 0.0) for eye in self.eyes_ft]
        return [ahead > 0 and hidden_by(watch, target, ahead) is None for ahead in ahead_ft]

    def in_view(self, spot: Spot | None, light: str | None, free: Sequence[bool]) -> list[bool]:
        """For each frame whether a device, or the vehicle, is in view in a light."""
        at_ft = spot[0] if spot else 0.0
        reach_ft = self.view(light).made_out_ft(at_ft)
        return [shown and eye - at_ft <= reach_ft for eye, shown in zip(self.eyes_ft, free, strict=True)]

    # how a run ends

    def parts(self, speed_mph: float) -> StoppingSight:
        """The stopping distance of this side's drivers, in feet: until the brakes act, and braking."""
        scene = replace(self.scene, speed_mph=speed_mph)
        _, by = need(self.rules, scene, self.toward)
        if by == "truck":
            truck = stopping_parts(speed_mph).rounded_up()
            before_ft = truck.perception_ft + truck.reaction_ft + truck.lag_ft
            return StoppingSight(reaction=before_ft, braking=truck.braking_ft)
        grade_pct = braking_grade_pct(scene, self.toward, metric=self.rules.metric)
        if not self.rules.metric:
            return stopping_sight(speed_mph, grade_pct, scene.surface)
        metric = metric_stopping_sight(units.mph_to_kmh(speed_mph), grade_pct, scene.surface)
        return StoppingSight(units.m_to_ft(metric.reaction), units.m_to_ft(metric.braking))

    def end(self, speed_mph: float, distance_ft: float) -> int:
        """How a run ends whose driver sees the danger at a distance, in the rule set's units.

        Above 0 the speed at which the vehicle is hit, rounded up; else, negative, what is left of the road,
        rounded down.
        """
        parts, lengths = self.parts(speed_mph), self.lengths
        if lengths.up(parts.total) <= lengths.down(distance_ft):
            return lengths.up(parts.total) - lengths.down(distance_ft)
        hit_mph = impact_speed(distance_ft, speed_mph, parts)
        own = units.mph_to_kmh(hit_mph) if self.rules.posted_in == "km/h" else hit_mph
        return max(1, int(units.whole_up(own)))

    def compared(self, speed_mph: float, light: str | None) -> list[int]:
        """The rule's distance of the outermost device, then the moved one, each with warning and end."""
        solved = self.by_setting.get((speed_mph, light))
        spots = self._spots(solved) if solved else []
        side = solved.side(self.toward) if solved else None
        if solved is None or side is None or self.across is None or not spots:
            return []
        layout = self.rules.layout(self.scene.kind, speed_mph)
        base_ft = placement.nearest_first(layout, self.toward)[-1].distance_ft
        outermost_ft, across = max(spots)
        inner = self._inner(solved)
        found: list[int] = []
        for distance_ft in dict.fromkeys((base_ft, outermost_ft)):
            warning_ft = self.rules.down_ft(side.view.warning_ft([*inner, (distance_ft, across)]))
            found += [
                self.lengths.up(distance_ft),
                self.lengths.down(warning_ft),
                self.end(speed_mph, warning_ft),
            ]
        return found

    def stops(self, speed_mph: float, light: str | None) -> list[list[int]]:
        """How many of a hundred drivers can stop, at the rule's distance and the moved one; else nothing.

        As :func:`.how_many.values` gives it.
        """
        solved = self.by_setting.get((speed_mph, light))
        if solved is None or self.across is None:
            return []
        pairs = (pair for pair in how_many.compared(solved, self.rules) if pair[0].toward is self.toward)
        return next((how_many.values(pair, self.lengths) for pair in pairs), [])
