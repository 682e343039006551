"""Chooses the stretch of road, rotation and scale of a scene drawing."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.drawing.formats import Size
from forty_paces.drawing.roadway import Projection
from forty_paces.drawing.text import bounding_box
from forty_paces.geometry.records import Toward
from forty_paces.geometry.road import Point
from forty_paces.geometry.scene import Blocker, Scene, Strip
from forty_paces.geometry.solver import ScenePlacement

PAST_FT = 60.0
"Road shown beyond the last object of interest."
QUIET_FT = 90.0
"Road shown on a side from which no traffic comes."
BLOCKER_DEPTH_FT = 26.0
"Drawn depth of a hedge or slope behind the face that limits the view."
MOST_OFFSET_FT = 170.0
"Objects farther from the lane than this are clipped at the edge of the drawing."
LARGEST_SCALE = 1.3
"Maximum page units per foot, where little road is shown."


@dataclass(frozen=True, slots=True)
class DrawingArea:
    """Maximum extent of the road on the page, and its direction."""

    along: float
    across: float
    upright: bool


ROOMS = {
    Size.WIDE: DrawingArea(along=620, across=300, upright=False),
    Size.TALL: DrawingArea(along=660, across=130, upright=True),
}


@dataclass(frozen=True, slots=True)
class SceneFrame:
    """The stretch of road drawn, its rotation and scale."""

    start_ft: float
    end_ft: float
    "Stations between which the road is drawn."
    projection: Projection
    upright: bool
    "True where the road runs up the page."

    @property
    def scale(self) -> float:
        """Page units per foot."""
        return self.projection.scale


def frame(solved: ScenePlacement, size: Size) -> SceneFrame:
    """Return the frame of a scene; ``ValueError`` for a size that scenes are not drawn in."""
    if size not in ROOMS:
        raise ValueError(f"a scene is drawn wide or tall, not {size}")
    return fit_projection(solved.scene, *shown_stations(solved), ROOMS[size])


def fit_projection(scene: Scene, start_ft: float, end_ft: float, room: DrawingArea) -> SceneFrame:
    """Fit the road between two stations into an area: rotated to run along it, as large as possible."""
    road = scene.road
    first, last = road.position(start_ft), road.position(end_ft)
    turn = -math.atan2(last[1] - first[1], last[0] - first[0]) + (math.pi / 2 if room.upright else 0.0)
    turned = bounding_box(Projection(turn=turn).at(corner) for corner in _edges(scene, start_ft, end_ft))
    long, wide = (turned.height, turned.width) if room.upright else (turned.width, turned.height)
    scale = min(room.along / long, room.across / wide, LARGEST_SCALE)
    return SceneFrame(start_ft, end_ft, Projection(scale, turn), room.upright)


def shown_stations(solved: ScenePlacement) -> tuple[float, float]:
    """Return the stations from past everything behind the vehicle to past everything ahead of it."""
    reach = {Toward.BEHIND: QUIET_FT, Toward.AHEAD: QUIET_FT}
    for side in solved.sides:
        approach = solved.placement.approach(side.toward)
        spots = [approach.needed_ft if approach else 0.0]
        spots += [
            placed.device.distance_ft for placed in solved.devices if placed.device.toward is side.toward
        ]
        if math.isfinite(side.hidden_ft):
            spots.append(side.hidden_ft)
        reach[side.toward] = max(spots) + PAST_FT
    return -reach[Toward.BEHIND], solved.scene.vehicle.length_ft + reach[Toward.AHEAD]


def _edges(scene: Scene, start_ft: float, end_ft: float) -> Iterable[Point]:
    for way in scene.road.carriageways:
        for offset in (way.left_ft, way.right_ft):
            yield from scene.road.line(offset, start_ft, end_ft, 1.0)


def outline(scene: Scene, blocker: Blocker, start_ft: float, end_ft: float) -> list[Point]:
    """Plan corners of an obstruction, clipped to the road shown; empty where it lies outside."""
    road = scene.road
    if isinstance(blocker, Strip):
        low, high = max(blocker.from_ft, start_ft), min(blocker.to_ft, end_ft)
        if high <= low:
            return []
        side = 1 if blocker.offset_ft > 0 else -1
        face = [road.position(station, blocker.offset_ft) for station in _steps(low, high)]
        back = [
            _behind(road.position(s, blocker.offset_ft), road.heading(s), side) for s in _steps(low, high)
        ]
        return [*face, *reversed(back)]
    corners = [
        (min(max(station, start_ft), end_ft), min(max(offset, -MOST_OFFSET_FT), MOST_OFFSET_FT))
        for station, offset in blocker.corners
    ]
    if all(station <= start_ft for station, _ in corners) or all(station >= end_ft for station, _ in corners):
        return []
    return [road.position(station, offset) for station, offset in corners]


def _steps(low: float, high: float) -> list[float]:
    count = max(1, math.ceil((high - low) / 15))
    return [low + (high - low) * index / count for index in range(count + 1)]


def _behind(point: Point, heading: float, side: int) -> Point:
    """A point of the back of a strip: away from the road, perpendicular to it."""
    return (
        point[0] + math.sin(heading) * side * BLOCKER_DEPTH_FT,
        point[1] - math.cos(heading) * side * BLOCKER_DEPTH_FT,
    )
