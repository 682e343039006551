"""Draws a road in plan: pavement, markings, stretches and lines along it.

Used both by the true-to-scale scenes and by the broken-scale schematics (there one
"foot" of the Road is one unit of the page).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from forty_paces.drawing.svg import Element, Point, element, points, polygon
from forty_paces.geometry.road import Carriageway, Lane, Road


class Markings(StrEnum):
    """The colors in which a road is marked."""

    YELLOW_CENTER = "yellow-center"
    "Yellow between opposing traffic and on the left edge of a one-way roadway (US MUTCD part 3, Canada)."
    WHITE = "white"
    "White throughout, as in most of the world (Vienna Convention on Road Signs and Signals, chapter IV)."


@dataclass(frozen=True, slots=True)
class Projection:
    """From plan feet (x along the lane, y to its left) to the page (y down)."""

    scale: float = 1.0
    "Page units per foot."
    turn: float = 0.0
    "Radians by which the plan is rotated to the left."
    x: float = 0.0
    "Page point of the plan's origin."
    y: float = 0.0

    def at(self, point: Point) -> Point:
        """The page point of a plan point."""
        sine, cosine = math.sin(self.turn), math.cos(self.turn)
        return (
            self.x + self.scale * (cosine * point[0] - sine * point[1]),
            self.y - self.scale * (sine * point[0] + cosine * point[1]),
        )


@dataclass(frozen=True, slots=True)
class LineStyle:
    """Widths of the markings in page units, and the pattern of broken lines."""

    line: float = 3.0
    dash: tuple[float, float] = (10.0, 30.0)
    "Line and gap; the pattern of US lane lines is 10 ft and 30 ft (MUTCD section 3A.06)."
    inset: float = 4.0
    "From the pavement edge to the middle of an edge line."


@dataclass(frozen=True, slots=True)
class Roadway:
    """A road projected onto the page."""

    road: Road
    projection: Projection
    pen: LineStyle = LineStyle()
    markings: Markings = Markings.YELLOW_CENTER

    def at(self, station: float, offset: float) -> Point:
        """The page point at a station and offset."""
        return self.projection.at(self.road.position(station, offset))

    def along(self, offset: float, start: float, end: float) -> list[Point]:
        """Page points of the line at an offset between two stations, in that order."""
        low, high = min(start, end), max(start, end)
        sagitta = 0.15 / self.projection.scale
        line = [self.projection.at(point) for point in self.road.line(offset, low, high, sagitta)]
        return line if start <= end else line[::-1]

    def band(self, left: float, right: float, start: float, end: float) -> list[Point]:
        """Corners of the strip between two offsets and two stations."""
        return self.along(left, start, end) + self.along(right, end, start)

    def pavement(self, start: float, end: float, *, center_broken: bool) -> list[Element]:
        """Shoulders, lanes and every marking between two stations.

        ``center_broken`` draws the center line of a passing zone; otherwise it is a double line.
        """
        drawn = []
        for way in self.road.carriageways:
            lanes = way.lanes
            drawn.append(polygon(self.band(way.left_ft, way.right_ft, start, end), "fp-shoulder"))
            drawn.append(polygon(self.band(lanes[0].left_ft, lanes[-1].right_ft, start, end), "fp-road"))
            drawn += self._edges(way, start, end)
            for left, right in itertools.pairwise(lanes):
                drawn += self._divider(left, right, start, end, center_broken)
        return drawn

    def _edges(self, way: Carriageway, start: float, end: float) -> list[Element]:
        inset = self.pen.inset / self.projection.scale
        left = right = "fp-mark-white"
        one_way = len({lane.forward for lane in way.lanes}) == 1
        if one_way and self.markings is Markings.YELLOW_CENTER:
            if way.lanes[0].forward:
                left = "fp-mark-yellow"
            else:
                right = "fp-mark-yellow"
        return [
            self.mark(way.lanes[0].left_ft + inset, start, end, left),
            self.mark(way.lanes[-1].right_ft - inset, start, end, right),
        ]

    def _divider(self, left: Lane, right: Lane, start: float, end: float, broken: bool) -> list[Element]:
        opposed = left.forward is not right.forward
        color = "fp-mark-yellow" if opposed and self.markings is Markings.YELLOW_CENTER else "fp-mark-white"
        if opposed and not broken:
            apart = self.pen.line / self.projection.scale
            return [self.mark(right.left_ft + side * apart, start, end, color) for side in (-1, 1)]
        return [self.mark(right.left_ft, start, end, color, broken=True)]

    def mark(self, offset: float, start: float, end: float, color: str, *, broken: bool = False) -> Element:
        """One painted line."""
        dash = " ".join(f"{length:g}" for length in self.pen.dash) if broken else None
        return element(
            "polyline",
            color,
            points=points(self.along(offset, start, end)),
            stroke_width=self.pen.line,
            stroke_dasharray=dash,
        )

    def stretch(self, lanes: Sequence[Lane], start: float, end: float, pattern: str) -> Element:
        """A stretch of the given lanes, filled with the pattern of that id."""
        left = min(lane.left_ft for lane in lanes)
        right = max(lane.right_ft for lane in lanes)
        return polygon(self.band(left, right, start, end), "fp-hidden", fill=f"url(#{pattern})")
