"""Computes what an approaching driver sees on a road, and from how far.

The target is in view where a straight line from the eye to it meets no wall in plan
and no road surface in profile. Distances run along the
lane, from the target to the eye. *First sight* is the greatest distance from which
the target stays in view all the way to it.

Distances are differences of stations, which count along the center of the travel
lane. A driver in another lane of a bend covers more or less than that, by the
lane's offset over the radius: 2 percent for 12 ft in a 600 ft bend.

Heights above the road: eye of a car driver 3.5 ft, of a truck driver 7.6 ft, tail lamps
2.0 ft (AASHTO Green Book). The triangle's sides are taken as 17 in, the
shortest that FMVSS 125 allows, which makes it 14.7 in high; the target is its
mid-height, so that it counts as seen once its upper half shows.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from forty_paces.geometry.records import Toward
from forty_paces.geometry.road import Lane, Point, Road
from forty_paces.geometry.scene import Blocker, Eye, Scene, approach_lanes, station_ft
from forty_paces.geometry.walls import Wall, clear_of_all, walls

EYE_HEIGHT_FT = {Eye.CAR: 3.5, Eye.TRUCK: 7.6}
TAIL_LAMP_FT = 2.0
TRIANGLE_SIDE_FT = 17 / 12
TRIANGLE_HEIGHT_FT = TRIANGLE_SIDE_FT * math.sqrt(3) / 2
DEVICE_TARGET_FT = TRIANGLE_HEIGHT_FT / 2

SURFACE = "surface"
"Reported as the obstruction where no wall hides the target: the road itself, over a crest."

_REFINED_FT = 0.001
_SAMPLED_FT = 1.0
"Walls are sampled at this distance, so hidden stretches less than this apart are one."
_PIECE_FT = 64
"Longer than any interruption of the view that is ignored, so that most searches end after one piece."
_HALVED = 16
"Stretches of at most this many feet are checked foot by foot: halving them further costs more."
_REMEMBERED_FT = 1_500.0
"Farther than most ranges of detection; what is asked for beyond it is searched anew."


@dataclass(frozen=True, slots=True)
class Target:
    """An object to be seen."""

    station_ft: float
    offset_ft: float
    height_ft: float


@dataclass(frozen=True, slots=True)
class FirstSight:
    """The greatest distance from which a target stays in view until it is reached."""

    distance_ft: float
    "Along the lane; inf where nothing hides it within the distance searched."
    hidden_by: str | None
    "The obstruction that hides it from farther away; None where there is none."


@dataclass(slots=True)
class _Search:
    """The hidden stretches of one target as far as they have been searched, and the rest of the search."""

    intervals: list[tuple[float, float]]
    rest: Iterator[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Viewer:
    """The observer: the eye of a driver approaching in one lane. Caches eye points and elevations."""

    road: Road
    walls: tuple[Wall, ...]
    offset_ft: float
    height_ft: float
    forward: bool
    "True for traffic from behind, which travels toward rising stations."
    remember_ft: float = field(default=0.0, compare=False)
    "Hidden stretches are computed once as far as this and kept: for one road met at many speeds and ranges."
    _eyes: dict[float, Point] = field(default_factory=dict, repr=False, compare=False)
    _surface: dict[float, float] = field(default_factory=dict, repr=False, compare=False)
    _kept: dict[Target, _Search] = field(default_factory=dict, repr=False, compare=False)

    def station(self, target: Target, distance_ft: float) -> float:
        """Station of the eye ``distance_ft`` before the target."""
        return target.station_ft - distance_ft if self.forward else target.station_ft + distance_ft

    def eye(self, station_ft: float) -> Point:
        """Plan point of the eye."""
        point = self._eyes.get(station_ft)
        if point is None:
            point = self._eyes[station_ft] = self.road.position(station_ft, self.offset_ft)
        return point

    def surface_ft(self, station_ft: float) -> float:
        """Elevation of the road surface, cached."""
        level = self._surface.get(station_ft)
        if level is None:
            level = self._surface[station_ft] = self.road.profile.elevation_ft(station_ft)
        return level


def viewers(scene: Scene, toward: Toward) -> tuple[Viewer, ...]:
    """Return the observers in one approach direction: one at the center of each lane.

    The lane nearest to the vehicle first. ``LookupError`` where no traffic comes from that direction.
    """
    return _viewers(scene.road, scene.blockers, scene.eye, approach_lanes(scene, toward), 0.0)


def remembering_viewers(scene: Scene, toward: Toward) -> tuple[Viewer, ...]:
    """As :func:`viewers`; on the same road they are the same ones, and remember what they saw.

    Speed, light and detection range are no part of what hides a target.
    """
    return known_viewers(scene.road, scene.blockers, scene.eye, approach_lanes(scene, toward))


def _viewers(
    road: Road, blockers: tuple[Blocker, ...], eye: Eye, lanes: tuple[Lane, ...], remember_ft: float
) -> tuple[Viewer, ...]:
    beside, height_ft = walls(road, blockers), EYE_HEIGHT_FT[eye]
    return tuple(Viewer(road, beside, lane.center_ft, height_ft, lane.forward, remember_ft) for lane in lanes)


@lru_cache(maxsize=128)
def known_viewers(
    road: Road, blockers: tuple[Blocker, ...], eye: Eye, lanes: tuple[Lane, ...]
) -> tuple[Viewer, ...]:
    """The observers of one road, made once."""
    return _viewers(road, blockers, eye, lanes, _REMEMBERED_FT)


def vehicle_target(scene: Scene, toward: Toward) -> Target:
    """Return the center of the vehicle's end that faces this traffic, at lamp height."""
    return Target(station_ft(scene, toward, 0.0), scene.vehicle.offset_ft, TAIL_LAMP_FT)


def hidden_by(
    watch: Viewer, target: Target, distance_ft: float, among: Sequence[Wall] | None = None
) -> str | None:
    """Return the obstruction between eye and target at a distance, or None where the target is in view.

    ``among`` restricts the check to the walls that may matter.
    """
    station = watch.station(target, distance_ft)
    eye = watch.eye(station)
    aim = watch.road.position(target.station_ft, target.offset_ft)
    profile = watch.road.profile
    eye_z = watch.surface_ft(station) + watch.height_ft
    aim_z = watch.surface_ft(target.station_ft) + target.height_ft
    for wall in watch.walls if among is None else among:
        if wall.meets(eye, eye_z, aim, aim_z, profile):
            return wall.title
    if profile.has_crest:
        clearance = profile.clearance_ft(station, watch.height_ft, target.station_ft, target.height_ft)
        if clearance < 0:
            return SURFACE
    return None


def first_sight(watch: Viewer, target: Target, limit_ft: float, glimpse_ft: float = 0.0) -> FirstSight:
    """Return the first sight of a target, searched up to ``limit_ft``, accurate to 0.01 ft.

    Walls are sampled at 1 ft, so a post may be missed that hides less than that. Hidden stretches
    shorter than ``glimpse_ft`` are ignored; stretches separated by less than that count as one.
    """
    apart_ft = max(glimpse_ft, _SAMPLED_FT)
    begin, end = math.inf, -math.inf
    for low, high in _hidden_runs(watch, target, limit_ft):
        if low - end >= apart_ft:
            begin = low
        end = max(end, high)
        if end - begin >= glimpse_ft or end >= limit_ft:
            named = hidden_by(watch, target, begin + _REFINED_FT) or _named(watch, target, begin)
            return FirstSight(begin, named)
    return FirstSight(math.inf, None)


def _named(watch: Viewer, target: Target, at_ft: float) -> str:
    """Return the obstruction just beyond the edge of a hidden stretch."""
    return hidden_by(watch, target, math.floor(at_ft) + 1.0) or SURFACE


def hidden_intervals(watch: Viewer, target: Target, limit_ft: float) -> tuple[tuple[float, float], ...]:
    """Return the stretches from which the target is hidden, as distances from it, accurate to 0.01 ft."""
    intervals: list[tuple[float, float]] = []
    for low, high in _hidden_runs(watch, target, limit_ft):
        if intervals and low - intervals[-1][1] < _SAMPLED_FT:
            intervals[-1] = intervals[-1][0], max(intervals[-1][1], high)
        else:
            intervals.append((low, high))
    return tuple(intervals)


def _hidden_runs(watch: Viewer, target: Target, limit_ft: float) -> Iterator[tuple[float, float]]:
    """Yield the hidden stretches up to a distance, nearest first, in pieces that may touch or overlap."""
    if limit_ft > watch.remember_ft:
        yield from _searched_runs(watch, target, limit_ft)
        return
    kept = watch._kept.get(target)
    if kept is None:
        kept = watch._kept[target] = _Search([], _searched_runs(watch, target, watch.remember_ft))
    for index in itertools.count():
        if index == len(kept.intervals):
            run = next(kept.rest, None)
            if run is None:
                return
            kept.intervals.append(run)
        low, high = kept.intervals[index]
        if low >= limit_ft:
            return
        yield low, min(high, limit_ft)


def _searched_runs(watch: Viewer, target: Target, limit_ft: float) -> Iterator[tuple[float, float]]:
    """Search the road for the hidden stretches, nearest first, and no farther than they are asked for."""
    plan, surface = _hidden_in_plan(watch, target, limit_ft), _hidden_by_surface(watch, target, limit_ft)
    return ((low, high) for low, high in heapq.merge(plan, surface) if low < min(high, limit_ft))


def _hidden_by_surface(watch: Viewer, target: Target, limit_ft: float) -> list[tuple[float, float]]:
    """Return the stretches from which the road surface hides the target, from the closed form."""
    if not watch.road.profile.has_crest:
        return []
    intervals = watch.road.profile.hidden_intervals(
        target.station_ft, target.height_ft, watch.height_ft, forward=watch.forward, limit_ft=limit_ft
    )
    return [(round(low, 2), high if high >= limit_ft else round(high, 2)) for low, high in intervals]


def _hidden_in_plan(watch: Viewer, target: Target, limit_ft: float) -> Iterator[tuple[float, float]]:
    """Yield the stretches from which walls hide the target: sampled at 1 ft, ends refined to 0.01 ft."""
    reach = math.ceil(limit_ft)
    low: float | None = None
    last = 0
    for at in _blocked_in_plan(watch, target, 0, reach):
        if low is not None and at > last + 1:
            yield low, min(limit_ft, _edge(watch, target, last + 1.0, float(last)))
            low = None
        if low is None:
            low = _edge(watch, target, at - 1.0, float(at))
        elif at - low > _PIECE_FT:
            yield low, min(limit_ft, float(at))
            low = float(at)
        last = at
    if low is not None:
        end = limit_ft if last >= reach else min(limit_ft, _edge(watch, target, last + 1.0, float(last)))
        if low < end:
            yield low, end


def _edge(watch: Viewer, target: Target, seen: float, hidden: float) -> float:
    aim = watch.road.position(target.station_ft, target.offset_ft)
    while abs(hidden - seen) > _REFINED_FT:
        middle = (seen + hidden) / 2
        if _meets_any(watch, target, aim, middle, watch.walls):
            hidden = middle
        else:
            seen = middle
    return round((seen + hidden) / 2, 2)


def _blocked_in_plan(watch: Viewer, target: Target, low: int, high: int) -> Iterator[int]:
    """Yield the whole distances in (low, high] from which a wall hides the target, nearest first.

    Bisects the stretch and skips every half whose lines of sight are certain to clear all walls.
    """
    aim = watch.road.position(target.station_ft, target.offset_ft)
    waiting: list[tuple[int, int, Sequence[Wall]]] = [(low, high, watch.walls)]
    while waiting:
        begin, end, candidates = waiting.pop()
        a, b = watch.station(target, begin), watch.station(target, end)
        bulge = _bulge_ft(watch, min(a, b), max(a, b))
        near = [wall for wall in candidates if not clear_of_all(wall, aim, watch.eye(a), watch.eye(b), bulge)]
        if not near:
            continue
        if end - begin > _HALVED:
            middle = (begin + end) // 2
            waiting.append((middle, end, near))
            waiting.append((begin, middle, near))
            continue
        for at in range(begin + 1, end + 1):
            if _meets_any(watch, target, aim, at, near):
                yield at


def _meets_any(watch: Viewer, target: Target, aim: Point, distance: float, near: Sequence[Wall]) -> bool:
    station = watch.station(target, distance)
    eye_z = watch.surface_ft(station) + watch.height_ft
    aim_z = watch.surface_ft(target.station_ft) + target.height_ft
    eye, profile = watch.eye(station), watch.road.profile
    return any(wall.meets(eye, eye_z, aim, aim_z, profile) for wall in near)


def _bulge_ft(watch: Viewer, low_ft: float, high_ft: float) -> float:
    """Return how far the eye's path can deviate from the chord between two stations: at most k·l²/8."""
    sharpest, stretch = 0.0, 1.0
    for piece in watch.road.alignment.placed:
        if piece.curvature and piece.from_ft < high_ft and piece.to_ft > low_ft:
            factor = 1 + watch.offset_ft * piece.curvature
            sharpest = max(sharpest, abs(piece.curvature) / max(factor, 1e-6))
            stretch = max(stretch, factor)
    length = (high_ft - low_ft) * stretch
    return min(sharpest * length * length / 8, length / 2)
