"""Places the devices of a rule set in a fully described scene.

Gives the same Placement as the simple model, with sight distances and warnings from the
sight engine, plus what a drawing or a class needs beside it. Every lane that a driver may
come in is an observer, and the worst lane counts; see :mod:`forty_paces.geometry.scene_view`.
Contains no regulatory figure.

Stopping sight distance uses the mean grade over the braking distance before the vehicle,
because the work of gravity depends only on the change in elevation.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import TypeAlias

from forty_paces.geometry import placement
from forty_paces.geometry.cautions import caution
from forty_paces.geometry.footway import first_stop
from forty_paces.geometry.heavy_vehicle import stopping_parts
from forty_paces.geometry.records import Device, Placement, RuleSet, Stop, Toward
from forty_paces.geometry.road import Point
from forty_paces.geometry.scene import Eye, Scene, keeps_side, station_ft
from forty_paces.geometry.scene_view import SceneView, offset_ft
from forty_paces.geometry.sight import (
    DEVICE_TARGET_FT,
    Target,
    Viewer,
    hidden_intervals,
    remembering_viewers,
    vehicle_target,
    viewers,
)
from forty_paces.geometry.stopping import CannotStop, friction_and_head_ft, needed_sight_ft
from forty_paces.geometry.walk import walking_order

_LONGEST_BRAKING_FT = 20_000
_ROLL_STEP_FT = 10.0
_ALIKE_FT = 0.05
"Sight distances are accurate to 0.01 ft: warnings closer than this are treated as equal."
_ROLL_LIMIT_FT = 1_000.0

Observers: TypeAlias = Callable[[Scene, Toward], tuple[Viewer, ...]]
"Whoever looks at a scene from one direction: one for each lane, the lane nearest to the vehicle first."


@dataclass(frozen=True, slots=True)
class WarningPoint:
    """One point of the warning curve: a device tried at a distance."""

    distance_ft: float
    sight_ft: float
    "Distance before the device from which it is first seen, within its detection range; 0 if not counted."
    warning_ft: float
    "Measured to the vehicle; 0 where the device is not counted."
    hidden_by: str | None
    "The obstruction that hides it from farther away; None where only the detection range limits."


@dataclass(frozen=True, slots=True)
class SightLine:
    """A straight line of sight, for plan and profile drawings."""

    eye_station_ft: float
    target_station_ft: float
    eye: Point
    target: Point
    eye_elevation_ft: float
    target_elevation_ft: float


@dataclass(frozen=True)
class SideSight:
    """What drivers in one approach direction see of the scene."""

    view: SceneView = field(repr=False)
    toward: Toward
    detection_ft: float
    grade_pct: float
    "Mean grade over their braking distance, downhill negative."
    hidden_ft: float
    "Available sight distance to the vehicle; inf where nothing hides it."
    hidden_by: str | None
    hidden: tuple[tuple[float, float], ...]
    "Stretches from which the vehicle is hidden, as distances from it; nearest first."
    tried: tuple[tuple[float, str], ...] = field(repr=False)
    "Device positions for the warning curve: distance, and position across the road."
    vehicle_line: SightLine
    "At the first sight of the vehicle, detection range applied."
    warning_line: SightLine
    "At the first sight of whatever gives the longest warning."
    warned_by: int | None
    "Number of the device that gives the longest warning; None where the vehicle itself does."

    @cached_property
    def curve(self) -> tuple[WarningPoint, ...]:
        """The warning for a device tried at each position; computed on first access."""
        return tuple(_warning_point(self.view, *tried) for tried in self.tried)


@dataclass(frozen=True, slots=True)
class LocatedDevice:
    """A device at its position on the road."""

    number: int
    "In walking order, from 1."
    device: Device
    station_ft: float
    offset_ft: float
    x: float
    y: float
    sight: WarningPoint | None
    """Available sight distance and warning of the device; None if no traffic approaches from that side, or
    nobody can walk there.
    """


@dataclass(frozen=True, slots=True)
class ScenePlacement:
    """A solved scene."""

    scene: Scene
    placement: Placement
    sides: tuple[SideSight, ...]
    "In the order of placement.approaches."
    devices: tuple[LocatedDevice, ...]
    "In walking order."
    roll_ft: float | None
    """How far the vehicle must roll on for ample warning in every direction; None where it need not,
    cannot, or rolling on does not help.
    """

    def side(self, toward: Toward) -> SideSight | None:
        """Return that approach direction, or None where no traffic comes from there."""
        return next((side for side in self.sides if side.toward is toward), None)


def place_in_scene(
    rules: RuleSet, scene: Scene, left_s: float | None = None, observers: Observers = viewers
) -> ScenePlacement:
    """Place the devices in a scene and compute all sight distances, as ``observers`` see them.

    ``LookupError`` where the rule set lacks this kind of road or visibility class,
    ``CannotStop`` where no driver could stop on that grade and surface.
    """
    solved, views = solve(rules, scene, left_s, observers)
    numbered = list(enumerate(walking_order(solved.devices), start=1))
    devices = tuple(_placed(scene, views, number, device) for number, device in numbered)
    sides = tuple(_side(rules, solved, view, devices) for view in views.values())
    return ScenePlacement(scene, solved, sides, devices, _roll_ft(rules, scene, solved))


def solve(
    rules: RuleSet, scene: Scene, left_s: float | None = None, observers: Observers = viewers
) -> tuple[Placement, dict[Toward, SceneView]]:
    """Return the placement alone and the views it is based on; errors as in :func:`place_in_scene`.

    ``left_s`` is the time left of what the rule gives; None where it is not known.
    """
    layout = rules.layout(scene.kind, scene.speed_mph)
    views: dict[Toward, SceneView] = {}
    answered = []
    stops = walking_stops(rules, scene)
    ends = {stop.toward: stop.distance_ft for stop in stops}
    for toward in placement.streams(scene.kind):
        needed, needed_by = need(rules, scene, toward)
        views[toward] = scene_view(rules, scene, toward, needed, observers(scene, toward))
        view, reach_ft = views[toward], ends.get(toward, math.inf)
        answered.append(
            placement.place_side(rules, layout, toward, scene.speed_mph, needed, view, needed_by, reach_ft)
        )
    assembled = placement.assemble(
        rules,
        layout,
        answered,
        detection_ft=detection_ft(rules, scene),
        reflecting_ft=reflecting_ft(rules, scene),
        surface=scene.surface,
        stops=stops,
        left_s=left_s,
    )
    keeps = keeps_side(scene)
    if keeps is not None and keeps != rules.traffic_keeps:
        other_side = caution("other-side", keeps=keeps, wanted=rules.traffic_keeps)
        assembled = replace(assembled, cautions=(*assembled.cautions, other_side))
    return assembled, views


def walking_stops(rules: RuleSet, scene: Scene) -> tuple[Stop, ...]:
    """Return where the walk to the farthest device that the rule may ask for must end, in each direction."""
    farthest_ft = rules.layout(scene.kind, scene.speed_mph).farthest_ft(rules.hidden)
    stops = (first_stop(scene, toward, farthest_ft[toward]) for toward in farthest_ft)
    return tuple(stop for stop in stops if stop is not None)


def detection_ft(rules: RuleSet, scene: Scene) -> float:
    """Return the detection range in force: the scene's own, else its class's, else the rule set's default."""
    return scene.detection_ft if scene.detection_ft is not None else rules.detection_ft(scene.visibility)


def reflecting_ft(rules: RuleSet, scene: Scene) -> float | None:
    """Return the detection range of reflecting devices; None where one range applies to everything."""
    return None if scene.detection_ft is not None else rules.reflecting_ft(scene.visibility)


def scene_view(
    rules: RuleSet, scene: Scene, toward: Toward, needed: float, observers: tuple[Viewer, ...] = ()
) -> SceneView:
    """Return the view in one approach direction, over every lane that a driver may come in.

    ``observers`` are those of the same road, met before at another speed or detection range.
    """
    detection, reflecting = detection_ft(rules, scene), reflecting_ft(rules, scene)
    reach = (rules.hidden.within_ft, rules.hidden.to_ft) if rules.hidden else ()
    horizon = max(detection, reflecting or 0.0, needed, *reach)
    return SceneView(scene, toward, detection, reflecting, horizon, observers)


def need(rules: RuleSet, scene: Scene, toward: Toward) -> tuple[float, str]:
    """Return the stopping distance drivers from one side need, in feet, and whose it is: 'car' or 'truck'.

    Stopping sight distance on the mean grade of the braking distance. Where the observer is a truck
    driver, the larger of that and a heavy vehicle's stopping distance by parts.
    """
    grade_pct = braking_grade_pct(scene, toward, metric=rules.metric)
    car_ft = needed_sight_ft(scene.speed_mph, grade_pct, scene.surface, metric=rules.metric)
    truck_ft = stopping_parts(scene.speed_mph).rounded_up().total_ft if scene.eye is Eye.TRUCK else 0.0
    return (truck_ft, "truck") if truck_ft > car_ft else (car_ft, "car")


def needed_ft(rules: RuleSet, scene: Scene, toward: Toward) -> float:
    """Return only the distance of :func:`need`."""
    return need(rules, scene, toward)[0]


def braking_grade_pct(scene: Scene, toward: Toward, *, metric: bool = False) -> float:
    """Return the mean grade over the distance in which drivers from one side brake to a stop at the vehicle.

    The shortest stretch that is long enough on its own mean grade: the grade formula of the Green Book,
    multiplied out, asks for friction times length plus the rise over it. ``CannotStop`` where none is.
    """
    profile = scene.road.profile
    end_ft = station_ft(scene, toward, 0.0)
    forward = toward is Toward.BEHIND
    if not profile.pvis:
        return profile.first_grade_pct if forward else -profile.first_grade_pct
    friction, head_ft = friction_and_head_ft(scene.speed_mph, scene.surface, metric=metric)
    length_ft = profile.braking_length_ft(
        end_ft, friction, head_ft, forward=forward, limit_ft=_LONGEST_BRAKING_FT
    )
    step = -1.0 if forward else 1.0
    if length_ft is None:
        grade_pct = profile.mean_grade_pct(end_ft + step * _LONGEST_BRAKING_FT, end_ft)
        raise CannotStop(round(grade_pct, 1), scene.surface)
    return profile.mean_grade_pct(end_ft + step * length_ft, end_ft)


def _side(
    rules: RuleSet, solved: Placement, view: SceneView, devices: tuple[LocatedDevice, ...]
) -> SideSight:
    scene, toward = view.scene, view.toward
    lane = view.worst_lane([(p.device.distance_ft, p.device.across) for p in devices if p.sight])
    target = vehicle_target(scene, toward)
    vehicle_line = _line(view, lane.watch, target, lane.vehicle_ft)
    warners = [placed for placed in devices if placed.device.toward is toward and placed.sight]
    best = max(warners, key=lambda placed: placed.sight.warning_ft if placed.sight else 0.0, default=None)
    if best is None or best.sight is None or best.sight.warning_ft <= lane.vehicle_ft + _ALIKE_FT:
        warned_by, warning_line = None, vehicle_line
    else:
        aim = Target(best.station_ft, best.offset_ft, DEVICE_TARGET_FT)
        warned_by, warning_line = best.number, _line(view, lane.watch, aim, best.sight.sight_ft)
    return SideSight(
        view=view,
        toward=toward,
        detection_ft=view.detection_ft,
        grade_pct=braking_grade_pct(scene, toward, metric=rules.metric),
        hidden_ft=view.hidden_ft,
        hidden_by=lane.vehicle.hidden_by,
        hidden=hidden_intervals(lane.watch, target, view.horizon_ft),
        tried=_tried(rules, solved, toward),
        vehicle_line=vehicle_line,
        warning_line=warning_line,
        warned_by=warned_by,
    )


def _tried(rules: RuleSet, solved: Placement, toward: Toward) -> tuple[tuple[float, str], ...]:
    """Return every whole step out to the rule's farthest distance, and each device's own position.

    A device tried at a step is placed across the road where the outermost device is.
    """
    used = {device.distance_ft: device.across for device in solved.devices if device.toward is toward}
    across = used[max(used)] if used else ""
    step = rules.hidden.step_ft if rules.hidden else 4 * rules.pace_ft
    farthest = max([*used, rules.hidden.to_ft if rules.hidden else 0.0])
    steps = (step * count for count in range(1, math.floor(farthest / step + 1e-9) + 1))
    return tuple(sorted({**dict.fromkeys(steps, across), **used}.items()))


def _warning_point(view: SceneView, distance_ft: float, across: str) -> WarningPoint:
    lane = view.worst_lane([(distance_ft, across)])
    seen_from = lane.seen_from_ft(distance_ft, across)
    return WarningPoint(
        distance_ft,
        seen_from,
        distance_ft + seen_from if seen_from else 0.0,
        lane.device_sight(distance_ft, across).hidden_by,
    )


def _placed(scene: Scene, views: Mapping[Toward, SceneView], number: int, device: Device) -> LocatedDevice:
    station = station_ft(scene, device.toward, device.distance_ft)
    offset = offset_ft(scene, device.across)
    view = views.get(device.toward) if device.reached else None
    point = _warning_point(view, device.distance_ft, device.across) if view else None
    return LocatedDevice(number, device, station, offset, *scene.road.position(station, offset), point)


def _line(view: SceneView, watch: Viewer, target: Target, distance_ft: float) -> SightLine:
    road = view.scene.road
    station = watch.station(target, distance_ft)
    return SightLine(
        eye_station_ft=station,
        target_station_ft=target.station_ft,
        eye=road.position(station, watch.offset_ft),
        target=road.position(target.station_ft, target.offset_ft),
        eye_elevation_ft=road.elevation_ft(station) + watch.height_ft,
        target_elevation_ft=road.elevation_ft(target.station_ft) + target.height_ft,
    )


def _roll_ft(rules: RuleSet, scene: Scene, solved: Placement) -> float | None:
    if not scene.can_roll or all(approach.ample for approach in solved.approaches):
        return None
    for count in range(1, int(_ROLL_LIMIT_FT / _ROLL_STEP_FT) + 1):
        moved, _ = solve(rules, scene.rolled_on(count * _ROLL_STEP_FT))
        if all(approach.ample for approach in moved.approaches):
            return count * _ROLL_STEP_FT
    return None


@lru_cache(maxsize=1024)  # a classroom solves each scene at several speeds and in several lights
def solve_scene(rules: RuleSet, scene: Scene) -> ScenePlacement:
    """As :func:`place_in_scene`, with its errors; equal arguments are solved once."""
    return place_in_scene(rules, scene, observers=remembering_viewers)
