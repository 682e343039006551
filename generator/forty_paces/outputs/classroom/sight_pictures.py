"""Drawings for the sight explorer: each bend from above, to scale, and precomputed page points along it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from forty_paces.drawing import marks
from forty_paces.drawing.roadway import LineStyle, Markings, Projection, Roadway
from forty_paces.drawing.svg import Element, Point, group, points, polygon
from forty_paces.drawing.text import bounding_box
from forty_paces.geometry.closed_forms import arc_sight_ft
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.units import whole_down

WIDTH, HEIGHT = 900.0, 400.0
EDGE = 26.0
DEVICE_SIDE = 44.0
FLAG = 40.0
"From where a device is placed to where it is drawn, in page units."
LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT = 12.0, 10.0, 6.0
STAND_FT = LANE_FT / 2 + SHOULDER_FT / 2
"From the center of the lane to the middle of the shoulder, where vehicle and devices are."
TRUCK_FT, TRUCK_WIDTH_FT = 70.0, 8.5
PAST_FT = 110.0
"Length of road drawn ahead of the vehicle's rear."
HEDGE_DEPTH_FT = 40.0


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


@dataclass(frozen=True)
class Picture:
    """One road: a bend behind the vehicle, toward its shoulder, or straight (``radius_ft`` None)."""

    radius_ft: float | None
    reach_ft: float
    "How far back the road is drawn."
    offsets_ft: Sequence[float] = ()
    keeps_left: bool = False
    markings: Markings = Markings.YELLOW_CENTER

    @property
    def side(self) -> int:
        """Sign of offsets on the vehicle's side of its lane."""
        return -1 if self.keeps_left else 1

    @cached_property
    def bend_ft(self) -> float:
        """Length of the bend: enough for the longest available sight distance past any obstruction."""
        if self.radius_ft is None:
            return 0.0
        longest = max(arc_sight_ft(self.radius_ft, offset) for offset in self.offsets_ft)
        return min(longest + 60, 0.9 * math.pi * self.radius_ft)

    @cached_property
    def road(self) -> Road:
        """The road, with station 0 at the vehicle's rear, where the bend ends."""
        line = Alignment()
        if self.radius_ft is not None:
            bend = Arc(self.bend_ft, self.radius_ft, Turn.RIGHT)
            line = Alignment(-self.bend_ft, (bend, Tangent(PAST_FT)))
        road = Road(line, carriageways=two_lane(LANE_FT, SHOULDER_FT, FAR_SHOULDER_FT))
        return road.mirrored() if self.keeps_left else road

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page, scaled to fit; traffic from behind runs to the right."""
        ends = [self.road.position(-self.reach_ft), self.road.position(PAST_FT)]
        turn = -math.atan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0])
        beside = (-30.0 * self.side, 60.0 * self.side)
        lines = [self.road.line(offset, -self.reach_ft, PAST_FT, 1.0) for offset in beside]
        turned = bounding_box(Projection(turn=turn).at(point) for line in lines for point in line)
        scale = min((WIDTH - 2 * EDGE) / turned.width, (HEIGHT - 2 * EDGE) / turned.height, 0.9)
        x = (WIDTH - turned.width * scale) / 2 - turned.left * scale
        y = (HEIGHT - turned.height * scale) / 2 - turned.top * scale
        projection = Projection(scale, turn, x, y)
        pen = LineStyle(line=1.4, dash=(10 * scale, 30 * scale), inset=1.6)
        return Roadway(self.road, projection, pen, self.markings)

    @cached_property
    def scale(self) -> float:
        """Page units for each foot."""
        return self.roadway.projection.scale

    def svg(self) -> str:
        """The road and the vehicle, as SVG."""
        way = self.roadway
        stand = self.side * STAND_FT
        truck = marks.vehicle(way.at(0, stand), way.at(TRUCK_FT, stand), TRUCK_WIDTH_FT * self.scale)
        drawn = way.pavement(-self.reach_ft, PAST_FT, center_broken=False)
        return group([*drawn, truck]).write()

    def hedge(self, offset_ft: float) -> str:
        """The obstruction inside the bend at that offset, as SVG."""
        start, end = -self.bend_ft, 30.0
        return polygon(
            self.roadway.band(self.side * offset_ft, self.side * (offset_ft + HEDGE_DEPTH_FT), start, end),
            "fp-obstacle",
        ).write()

    def lane_points(self, step_ft: float) -> str:
        """Page points along the lane, one for each step behind the vehicle, as in a ``points`` attribute."""
        return points(self._along(0.0, step_ft))

    def stand_points(self, step_ft: float) -> str:
        """Page points where a device is placed, one for each step: the middle of the shoulder."""
        return points(self._along(STAND_FT, step_ft))

    def flag_points(self, step_ft: float) -> str:
        """Page points where a device is drawn: beside those of :meth:`stand_points`, clear of the road."""
        return points(self._along(STAND_FT + FLAG / self.scale, step_ft))

    def corners(self) -> list[list[float | str]]:
        """Two label positions clear of the road: text x, y and anchor, then the start of the leader line."""
        top, foot = (46, 60), (HEIGHT - 20, HEIGHT - 50)
        (first, from_first), (last, from_last) = (foot, top) if self.keeps_left else (top, foot)
        return [[20, first, "start", 200, from_first], [WIDTH - 20, last, "end", WIDTH - 220, from_last]]

    def _along(self, offset_ft: float, step_ft: float) -> Iterator[Point]:
        for place in range(int(whole_down(self.reach_ft / step_ft)) + 1):
            yield self.roadway.at(-float(place * step_ft), self.side * offset_ft)
