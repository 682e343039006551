"""Drawings for the sight explorer: bends from above and crests from the side, and page points along them.

A drawing shows the very scene that its rows are solved for, see :mod:`.sight_roads`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from forty_paces.drawing import marks
from forty_paces.drawing.profile import EXAGGERATIONS, VEHICLE_HEIGHT_FT
from forty_paces.drawing.roadway import LineStyle, Markings, Projection, Roadway
from forty_paces.drawing.svg import Element, Point, element, group, points, polygon
from forty_paces.drawing.text import bounding_box
from forty_paces.geometry.scene import Scene, Strip, traffic_side
from forty_paces.geometry.scene_view import offset_ft
from forty_paces.geometry.sight import DEVICE_TARGET_FT, EYE_HEIGHT_FT, TAIL_LAMP_FT
from forty_paces.outputs.classroom.sight_table import LANE_FT, PAST_FT

WIDTH, HEIGHT = 900.0, 400.0
EDGE = 26.0
DEVICE_SIDE = 44.0
FLAG = 40.0
"From where a device is placed to where it is drawn, in page units."
ROCK_DEPTH_FT = 40.0
RELIEF = 250.0
"The most that a crest's rise and fall may take of the page's height."
ROAD_THICKNESS = 12.0


def device() -> Element:
    """A warning triangle centered at the origin, without a number."""
    return group(
        [
            polygon(_triangle(DEVICE_SIDE + 6), "fp-device-edge"),
            polygon(_triangle(DEVICE_SIDE), "fp-device-band"),
            polygon(_triangle(DEVICE_SIDE - 22), "fp-device-face"),
        ]
    )


def _triangle(side: float) -> list[Point]:
    half = side / math.sqrt(3)
    return [(0.0, -half), (side / 2, half / 2), (-side / 2, half / 2)]


Corner = list[float | str]
"A label's position clear of the road: text x, y and anchor, then the start of its leader line."


class Picture(Protocol):
    """One drawn road. Distances are in feet behind the vehicle's rear, points on the page."""

    @property
    def width(self) -> float:
        """Width of the band that marks from where the vehicle is hidden."""

    @property
    def heights(self) -> int:
        """How many times as large as lengths the heights are drawn; 0 for a plan."""

    def svg(self) -> str:
        """The road and the vehicle."""

    def rocks(self) -> tuple[str, ...]:
        """What may hide the vehicle beside this road, one drawing for each."""

    def corners(self) -> list[Corner]:
        """Label positions for the vehicle's first sight and for the device."""

    def road(self, distance_ft: float) -> Point:
        """On the road, in the middle of the lane from which drivers come."""

    def eye(self, distance_ft: float) -> Point:
        """A driver's eye."""

    def vehicle(self) -> Point:
        """The point of the vehicle that drivers look for."""

    def stand(self, distance_ft: float, across: str) -> Point:
        """Where a device is placed."""

    def flag(self, distance_ft: float, across: str) -> Point:
        """Where that device is drawn: beside its place, clear of the road."""

    def aim(self, distance_ft: float, across: str) -> Point:
        """The point of that device that drivers look for."""


@dataclass(frozen=True)
class BendPicture:
    """A bend from above, to scale; the scenes differ only in their rock."""

    scenes: Sequence[Scene]
    reach_ft: float
    "How far back the road is drawn."
    markings: Markings = Markings.YELLOW_CENTER
    heights: int = 0

    @property
    def scene(self) -> Scene:
        """The first of the scenes, for all that they share."""
        return self.scenes[0]

    @property
    def _outside(self) -> int:
        """Sign of offsets on the vehicle's side of its lane."""
        return -traffic_side(self.scene)

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page, scaled to fit; traffic from behind runs to the right."""
        road = self.scene.road
        ends = [road.position(-self.reach_ft), road.position(PAST_FT)]
        turn = -math.atan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0])
        beside = (-30.0 * self._outside, 60.0 * self._outside)
        lines = [road.line(offset, -self.reach_ft, PAST_FT, 1.0) for offset in beside]
        turned = bounding_box(Projection(turn=turn).at(point) for line in lines for point in line)
        scale = min((WIDTH - 2 * EDGE) / turned.width, (HEIGHT - 2 * EDGE) / turned.height, 0.9)
        x = (WIDTH - turned.width * scale) / 2 - turned.left * scale
        y = (HEIGHT - turned.height * scale) / 2 - turned.top * scale
        pen = LineStyle(line=1.4, dash=(10 * scale, 30 * scale), inset=1.6)
        return Roadway(road, Projection(scale, turn, x, y), pen, self.markings)

    @property
    def width(self) -> float:
        """The width of a lane on the page."""
        return LANE_FT * self.roadway.projection.scale

    def svg(self) -> str:
        """The road and the vehicle."""
        way, stopped = self.roadway, self.scene.vehicle
        ends = way.at(0, stopped.offset_ft), way.at(stopped.length_ft, stopped.offset_ft)
        truck = marks.vehicle(*ends, stopped.width_ft * way.projection.scale)
        return group([*way.pavement(-self.reach_ft, PAST_FT, center_broken=False), truck]).write()

    def rocks(self) -> tuple[str, ...]:
        """The rock inside the bend, one drawing for each scene."""
        return tuple(
            polygon(
                self.roadway.band(
                    rock.offset_ft, rock.offset_ft + self._outside * ROCK_DEPTH_FT, rock.from_ft, rock.to_ft
                ),
                "fp-obstacle",
            ).write()
            for scene in self.scenes
            for rock in scene.blockers
            if isinstance(rock, Strip)
        )

    def corners(self) -> list[Corner]:
        """Opposite corners of the page, clear of the road."""
        top, foot = (46, 60), (HEIGHT - 20, HEIGHT - 50)
        (first, from_first), (last, from_last) = (top, foot) if self._outside > 0 else (foot, top)
        return [[20, first, "start", 200, from_first], [WIDTH - 20, last, "end", WIDTH - 220, from_last]]

    def road(self, distance_ft: float) -> Point:
        """On the road, in the middle of the lane."""
        return self.roadway.at(-distance_ft, 0.0)

    eye = road

    def vehicle(self) -> Point:
        """The middle of the vehicle's rear."""
        return self.roadway.at(0.0, self.scene.vehicle.offset_ft)

    def stand(self, distance_ft: float, across: str) -> Point:
        """Where a device is placed."""
        return self.roadway.at(-distance_ft, offset_ft(self.scene, across))

    aim = stand

    def flag(self, distance_ft: float, across: str) -> Point:
        """Beside the place of a device, away from the road."""
        apart_ft = self._outside * FLAG / self.roadway.projection.scale
        return self.roadway.at(-distance_ft, offset_ft(self.scene, across) + apart_ft)


@dataclass(frozen=True)
class CrestPicture:
    """A crest from the side; heights are exaggerated, which leaves lines of sight straight."""

    scene: Scene
    reach_ft: float
    width: float = ROAD_THICKNESS

    @property
    def _scale(self) -> float:
        return (WIDTH - 2 * EDGE) / (self.reach_ft + PAST_FT)

    @cached_property
    def _levels(self) -> list[float]:
        samples = self.scene.road.profile.samples(-self.reach_ft, PAST_FT)
        return [elevation for _, elevation in samples]

    @cached_property
    def heights(self) -> int:
        """How many times as large as lengths the heights are drawn."""
        rise_ft = max(self._levels) - min(self._levels)
        fits = (times for times in EXAGGERATIONS if rise_ft * self._scale * times <= RELIEF and times <= 10)
        return next(fits, EXAGGERATIONS[-1])

    def _at(self, distance_ft: float, above_ft: float = 0.0) -> Point:
        level_ft = self.scene.road.elevation_ft(-distance_ft) + above_ft
        foot = HEIGHT - EDGE - FLAG - DEVICE_SIDE
        return (
            EDGE + (self.reach_ft - distance_ft) * self._scale,
            foot - (level_ft - min(self._levels)) * self._scale * self.heights,
        )

    def svg(self) -> str:
        """The ground, the road on it, and the vehicle."""
        profile = self.scene.road.profile
        surface = [self._at(-at) for at, _ in profile.samples(-self.reach_ft, PAST_FT)]
        ground = [(EDGE, HEIGHT), *surface, (WIDTH - EDGE, HEIGHT)]
        length_ft = self.scene.vehicle.length_ft

        def box(start: float, end: float, low_ft: float, high_ft: float) -> list[Point]:
            corners = ((start, low_ft), (start, high_ft), (end, high_ft), (end, low_ft))
            return [self._at(-share * length_ft, above_ft) for share, above_ft in corners]

        truck = [
            polygon(box(0, 0.77, 1, VEHICLE_HEIGHT_FT), "fp-vehicle"),
            polygon(box(0.8, 1, 1, VEHICLE_HEIGHT_FT - 1), "fp-vehicle"),
        ]
        road = element("polyline", "fp-road-line", points=points(surface))
        return group([polygon(ground, "fp-terrain"), road, *truck]).write()

    def rocks(self) -> tuple[str, ...]:
        """Nothing beside the road: the road itself hides the vehicle."""
        return ()

    def corners(self) -> list[Corner]:
        """Above the road on the left, and below it on the right."""
        return [
            [20, 46, "start", 200, 60],
            [WIDTH - 20, HEIGHT - 20, "end", WIDTH - 220, HEIGHT - 50],
        ]

    def road(self, distance_ft: float) -> Point:
        """On the road's surface."""
        return self._at(distance_ft)

    def eye(self, distance_ft: float) -> Point:
        """The eye of a driver, at its height above the road."""
        return self._at(distance_ft, EYE_HEIGHT_FT[self.scene.eye])

    def vehicle(self) -> Point:
        """The vehicle's tail lamps."""
        return self._at(0.0, TAIL_LAMP_FT)

    def stand(self, distance_ft: float, across: str) -> Point:
        """Where a device stands on the road."""
        return self._at(distance_ft)

    def aim(self, distance_ft: float, across: str) -> Point:
        """The middle of a device's height."""
        return self._at(distance_ft, DEVICE_TARGET_FT)

    def flag(self, distance_ft: float, across: str) -> Point:
        """Below the place of a device, in the ground."""
        x, y = self._at(distance_ft)
        return x, y + FLAG


def along(picture: Picture, reach_ft: float, step_ft: float) -> Iterator[Point]:
    """Points of the road on the page, one for each step behind the vehicle, as far as it is drawn."""
    return (picture.road(index * step_ft) for index in range(round(reach_ft / step_ft) + 1))
