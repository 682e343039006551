"""A road described in full with a vehicle stopped on it, for the classroom and the solver.

Holds the road, the obstructions beside it, the vehicle and the approaching driver, and
converts distances from the vehicle to stations, offsets and plan points. What a driver
sees is computed in ``sight``, the placement in ``solver``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from forty_paces.geometry.records import RoadKind, Surface, Toward
from forty_paces.geometry.road import Lane, Point, Road


class Eye(StrEnum):
    """The kind of vehicle that the approaching driver's eye height belongs to."""

    CAR = "car"
    TRUCK = "truck"


class Light(StrEnum):
    """Light conditions to depict; the detection range decides what is seen."""

    DAY = "day"
    NIGHT = "night"
    FOG = "fog"


class Stands(StrEnum):
    """The part of the pavement that the vehicle occupies."""

    SHOULDER = "shoulder"
    LANE = "lane"


@dataclass(frozen=True, slots=True)
class Strip:
    """An obstruction that follows the road at a constant offset: a hedge, a cut slope, a parapet."""

    title: str
    "Its name as used within a sentence: 'the cut slope'."
    from_ft: float
    to_ft: float
    offset_ft: float
    height_ft: float = math.inf
    "Above the road surface beside it; inf where the line of sight never passes over it."


@dataclass(frozen=True, slots=True)
class Outline:
    """An obstruction with straight faces between corners: a building, a parked truck, a rock face."""

    title: str
    corners: tuple[tuple[float, float], ...]
    "(station, offset) pairs, two or more."
    closed: bool = True
    "True where the last corner is joined to the first."
    height_ft: float = math.inf


Blocker = Strip | Outline


@dataclass(frozen=True, slots=True)
class StoppedVehicle:
    """The stopped vehicle, its rear at station 0."""

    length_ft: float
    width_ft: float
    offset_ft: float
    "Offset of its centerline from the center of the travel lane."
    stands: Stands
    trailer_ft: float | None = None
    "Length of its trailer, used as a unit of measure; None without a trailer."


@dataclass(frozen=True, slots=True)
class Scene:
    """A complete scene. ``ValueError`` where its parts are inconsistent."""

    id: str
    title: str
    place: str
    "Where it is, with invented names."
    position: int
    "Its position in the list of scenes."
    teaching_point: str
    kind: RoadKind
    road: Road
    vehicle: StoppedVehicle
    speed_mph: float
    "Posted speed."
    blockers: tuple[Blocker, ...] = ()
    surface: Surface = Surface.NORMAL
    eye: Eye = Eye.CAR
    light: Light = Light.DAY
    visibility: str | None = None
    "A visibility class of the rule set; None: ``detection_ft`` or the rule set's default applies."
    detection_ft: float | None = None
    "How far away anything can be detected, measured along the road."
    can_roll: bool = False
    "Whether the vehicle can still roll to a better place."
    lane_lines: bool = False
    "Whether broken lane lines are marked, so that they can be counted."
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.road.carriageways:
            raise ValueError("the road has no lanes")
        if self.kind is RoadKind.TWO_LANE and not any(
            not lane.forward for lane in self.road.carriageways[0].lanes
        ):
            raise ValueError("a two-lane road needs a lane for traffic from ahead")
        if self.vehicle.length_ft <= 0 or self.vehicle.width_ft <= 0:
            raise ValueError("the vehicle needs a length and a width above 0")
        if self.visibility is not None and self.detection_ft is not None:
            raise ValueError("give a visibility class or a detection range, not both")
        for way in self.road.carriageways:
            _check_bends(self.road, "the road's left edge", way.left_ft)
            _check_bends(self.road, "the road's right edge", way.right_ft)
        for blocker in self.blockers:
            _check(blocker, self.road)

    def mirrored(self) -> Scene:
        """Return the scene with left and right exchanged, for traffic that keeps to the other side."""
        blockers = tuple(_across(blocker) for blocker in self.blockers)
        vehicle = replace(self.vehicle, offset_ft=-self.vehicle.offset_ft)
        return replace(self, road=self.road.mirrored(), blockers=blockers, vehicle=vehicle)

    def rolled_on(self, by_ft: float) -> Scene:
        """Return the same place with the vehicle farther along; every station counts from its new rear."""
        alignment, profile = self.road.alignment, self.road.profile
        road = replace(
            self.road,
            alignment=replace(alignment, start_ft=alignment.start_ft - by_ft),
            profile=replace(
                profile, pvis=tuple(replace(pvi, station_ft=pvi.station_ft - by_ft) for pvi in profile.pvis)
            ),
        )
        return replace(self, road=road, blockers=tuple(_shifted(one, -by_ft) for one in self.blockers))


def _check(blocker: Blocker, road: Road) -> None:
    if blocker.height_ft <= 0:
        raise ValueError(f"{blocker.title} needs a height above 0")
    if isinstance(blocker, Outline):
        if len(blocker.corners) < 2:
            raise ValueError(f"{blocker.title} needs two corners or more")
        for station, offset in blocker.corners:
            _check_bends(road, blocker.title, offset, station, station)
        return
    if blocker.to_ft <= blocker.from_ft:
        raise ValueError(f"{blocker.title} must end at a higher station than it begins")
    _check_bends(road, blocker.title, blocker.offset_ft, blocker.from_ft, blocker.to_ft)


def _check_bends(
    road: Road, what: str, offset_ft: float, from_ft: float = -math.inf, to_ft: float = math.inf
) -> None:
    """Raise ``ValueError`` for an offset at or beyond the center of a bend, where no station is defined."""
    for piece in road.alignment.placed:
        if not piece.curvature or piece.from_ft >= to_ft or piece.to_ft <= from_ft:
            continue
        if 1 + offset_ft * piece.curvature <= 0:
            radius_ft = abs(1 / piece.curvature)
            raise ValueError(f"{what} lies beyond the center of the bend of radius {radius_ft:g} ft")


def _across(blocker: Blocker) -> Blocker:
    if isinstance(blocker, Strip):
        return replace(blocker, offset_ft=-blocker.offset_ft)
    return replace(blocker, corners=tuple((station, -offset) for station, offset in blocker.corners))


def _shifted(blocker: Blocker, by_ft: float) -> Blocker:
    if isinstance(blocker, Strip):
        return replace(blocker, from_ft=blocker.from_ft + by_ft, to_ft=blocker.to_ft + by_ft)
    return replace(blocker, corners=tuple((station + by_ft, offset) for station, offset in blocker.corners))


def station_ft(scene: Scene, toward: Toward, distance_ft: float) -> float:
    """Return the station at a distance from the vehicle: from its rear if behind, from its front if ahead."""
    return -distance_ft if toward is Toward.BEHIND else scene.vehicle.length_ft + distance_ft


def approach_lane(scene: Scene, toward: Toward) -> Lane:
    """Return the lane nearest to the vehicle that carries traffic from one direction.

    ``LookupError`` where no traffic comes from there.
    """
    return approach_lanes(scene, toward)[0]


def approach_lanes(scene: Scene, toward: Toward) -> tuple[Lane, ...]:
    """Return the lanes of the vehicle's carriageway with traffic from one direction, nearest first.

    ``LookupError`` where no traffic comes from there.
    """
    forward = toward is Toward.BEHIND
    lanes = [lane for lane in scene.road.carriageways[0].lanes if lane.forward is forward]
    if not lanes:
        raise LookupError(f"no lane carries traffic from {toward} the vehicle")
    return tuple(sorted(lanes, key=lambda lane: abs(lane.center_ft - scene.vehicle.offset_ft)))


def standing_lane(scene: Scene) -> Lane:
    """Return the lane that the vehicle occupies or stands beside."""
    lanes = scene.road.carriageways[0].lanes
    return min(lanes, key=lambda lane: abs(lane.center_ft - scene.vehicle.offset_ft))


def traffic_side(scene: Scene) -> int:
    """Return the side of the vehicle on which traffic passes: -1 left (lower offsets), +1 right."""
    way = scene.road.carriageways[0]
    return -1 if scene.vehicle.offset_ft >= (way.left_ft + way.right_ft) / 2 else 1


def keeps_side(scene: Scene) -> str | None:
    """Return the side of the road that traffic keeps to, 'right' or 'left'; None on a one-way road."""
    ways = scene.road.carriageways
    lanes = [lane for way in ways for lane in way.lanes]
    own = [lane.center_ft for lane in lanes if lane.forward]
    opposing = [lane.center_ft for lane in lanes if not lane.forward]
    if not own or not opposing:
        return None
    return "right" if min(own) > max(opposing) else "left"


def traffic_side_offset_ft(scene: Scene) -> float:
    """Return the offset of the vehicle's side that faces passing traffic."""
    return scene.vehicle.offset_ft + traffic_side(scene) * scene.vehicle.width_ft / 2


def center_offset_ft(scene: Scene) -> float:
    """Return the offset of the center of the lane or shoulder that the vehicle occupies."""
    lane = standing_lane(scene)
    if scene.vehicle.stands is Stands.LANE:
        return lane.center_ft
    way = scene.road.carriageways[0]
    if traffic_side(scene) < 0:
        return lane.right_ft + way.right_shoulder_ft / 2
    return lane.left_ft - way.left_shoulder_ft / 2


def vehicle_corners(scene: Scene) -> tuple[Point, Point, Point, Point]:
    """Plan points: rear left, rear right, front right, front left; the vehicle is drawn as one rigid box."""
    vehicle = scene.vehicle
    half = vehicle.width_ft / 2
    (ax, ay), (bx, by) = _axle_line(scene)
    run = math.hypot(bx - ax, by - ay)
    right_x, right_y = (by - ay) / run * half, -(bx - ax) / run * half
    return (
        (ax - right_x, ay - right_y),
        (ax + right_x, ay + right_y),
        (bx + right_x, by + right_y),
        (bx - right_x, by - right_y),
    )


def _axle_line(scene: Scene) -> tuple[Point, Point]:
    vehicle = scene.vehicle
    rear = scene.road.position(0.0, vehicle.offset_ft)
    toward = scene.road.position(vehicle.length_ft, vehicle.offset_ft)
    run = math.hypot(toward[0] - rear[0], toward[1] - rear[1])
    scale = vehicle.length_ft / run
    return rear, (rear[0] + (toward[0] - rear[0]) * scale, rear[1] + (toward[1] - rear[1]) * scale)
