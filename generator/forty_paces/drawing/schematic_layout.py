"""Page geometry of a broken-scale drawing: the road, the ruler, the labels.

Computes page points and boxes from a laid-out station scale, the kind of road and its bends.
Stations and offsets are page units.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from forty_paces.drawing import symbols
from forty_paces.drawing.formats import LABEL, MARGIN, RULER, Format, cross_section
from forty_paces.drawing.roadway import LineStyle, Markings, Projection, Roadway
from forty_paces.drawing.station_scale import SIGN_ROOM, StationMark, StationScale
from forty_paces.drawing.svg import Point
from forty_paces.drawing.text import Anchor, Box, TextBlock, bounding_box
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Alignment, Arc, Lane, Piece, Road, Tangent, Turn

STRIP = 26.0
"Space above and below the road for a line of text."
BEND_RADIUS = 230.0
BEND_ANGLE = 0.6
"Radians by which a bend turns the drawn road."
INSIDE = 24.0
"Depth of an obstruction on the inside of a bend or beside the road, with the space before it."
STREET = 58.0
"Depth of the far side of a street: sidewalk and houses."


@dataclass(frozen=True)
class SchematicLayout:
    """The page geometry of one drawing."""

    sheet: StationScale
    kind: RoadKind
    markings: Markings
    keep_left: bool
    bends: Mapping[Toward, Turn] = field(default_factory=dict)
    "How the road bends where the hidden stretch begins, in the vehicle's direction of travel."
    blocks: frozenset[Toward] = frozenset()
    "Sides with an obstruction beside the road."
    street: bool = False
    panel: float = 0.0
    "Height reserved above the drawing."

    @property
    def form(self) -> Format:
        """The measures of the drawing size."""
        return self.sheet.form

    @property
    def side(self) -> int:
        """+1 where the vehicle's shoulder is on the right in its direction of travel, -1 on the left."""
        return -1 if self.keep_left else 1

    @cached_property
    def road(self) -> Road:
        """The road in page units."""
        ways = cross_section(self.kind, self.form)
        if self.keep_left:
            ways = tuple(way.mirrored() for way in ways)
        return Road(self._alignment(), carriageways=ways)

    def _alignment(self) -> Alignment:
        pieces: list[Piece] = []
        reached = self.sheet.start
        behind, ahead = (self._bend(toward) for toward in Toward)
        if behind is not None:
            near, length, turn = behind
            pieces += [Tangent(near - length - reached)] if near - length > reached else []
            pieces.append(Arc(length, BEND_RADIUS, turn))
            reached = near
        if ahead is not None:
            near, length, turn = ahead
            pieces += [Tangent(near - reached), Arc(length, BEND_RADIUS, turn)]
            reached = near + length
        pieces.append(Tangent(max(self.sheet.end - reached, 1.0)))
        return Alignment(self.sheet.start, tuple(pieces))

    def _bend(self, toward: Toward) -> tuple[float, float, Turn] | None:
        """Start of a bend as seen from the vehicle, its length and turn."""
        stop = self.hidden_stop(toward)
        if stop is None or toward not in self.bends:
            return None
        sign = -1 if toward is Toward.BEHIND else 1
        near = stop.station - sign * 12
        room = abs((self.sheet.start if sign < 0 else self.sheet.end) - near)
        return near, min(BEND_RADIUS * BEND_ANGLE, room), self.bends[toward]

    def hidden_stop(self, toward: Toward) -> StationMark | None:
        """The edge of the hidden stretch on a side."""
        return next((stop for stop in self.sheet.stops(toward) if stop.device is None), None)

    def inside(self, toward: Toward) -> int | None:
        """Side of the road on which the obstruction is: -1 left, +1 right, or None."""
        if toward in self.bends and self.hidden_stop(toward):
            return 1 if self.bends[toward] is Turn.RIGHT else -1
        if toward in self.blocks and self.hidden_stop(toward):
            # Beside the lane whose drivers it hides the vehicle from.
            return self.side if toward is Toward.BEHIND else -self.side
        return None

    @cached_property
    def paved(self) -> tuple[float, float]:
        """Minimum and maximum paved offset."""
        ways = self.road.carriageways
        return min(way.left_ft for way in ways), max(way.right_ft for way in ways)

    @cached_property
    def edge(self) -> float:
        """Offset of the paved edge on the vehicle's side."""
        return self.paved[1] if self.side > 0 else self.paved[0]

    @cached_property
    def far_edge(self) -> float:
        """Offset of the paved edge across the road."""
        return self.paved[0] if self.side > 0 else self.paved[1]

    @cached_property
    def ruler(self) -> float:
        """Offset of the ruler, outside any obstruction on that side."""
        crowded = any(self.inside(toward) == self.side for toward in Toward)
        return self.edge + self.side * (RULER + (INSIDE if crowded else 0.0))

    @cached_property
    def stand(self) -> float:
        """Offset of the vehicle's centerline: the center of its shoulder."""
        lanes = self.road.carriageways[0].lanes
        return ((lanes[-1].right_ft if self.side > 0 else lanes[0].left_ft) + self.edge) / 2

    def lanes(self, toward: Toward) -> list[Lane]:
        """Lanes of the vehicle's carriageway that carry traffic from one side."""
        forward = toward is Toward.BEHIND
        return [lane for lane in self.road.carriageways[0].lanes if lane.forward is forward]

    # the page

    @cached_property
    def _loose(self) -> Roadway:
        """The road before its position on the page is known."""
        turn = math.pi / 2 if self.form.upright else 0.0
        return Roadway(self.road, Projection(turn=turn), LineStyle(), self.markings)

    @cached_property
    def _taken(self) -> Box:
        """Bounding box of road and labels with the strips for text, in the coordinates of ``_loose``."""
        outer = self.far_edge
        if self.street:
            outer -= self.side * STREET
        elif any(self.inside(toward) == -self.side for toward in Toward):
            outer -= self.side * INSIDE
        offsets = (outer, self.edge, self.ruler)
        spots = [
            at for offset in offsets for at in self._loose.along(offset, self.sheet.start, self.sheet.end)
        ]
        road = bounding_box(spots)
        boxes = [self._loose_box(block, station) for block, station in self._labels()]
        label = bounding_box([(b.left, b.top) for b in boxes] + [(b.right, b.bottom) for b in boxes])
        if self.form.upright:
            left, right = min(road.left, label.left) - MARGIN, max(road.right, label.right) + MARGIN
            missing = max(0.0, self.form.width - (right - left))
            left, right = (left, right + missing) if self.side > 0 else (left - missing, right)
            top, bottom = min(road.top - STRIP, label.top), max(road.bottom + STRIP, label.bottom)
            return Box(left, top - self.panel, right, bottom)
        left, right = min(road.left, label.left - 4), max(road.right, label.right + 4)
        far = STRIP + 8 if self.sheet.hides else MARGIN
        foot = self.form.sizes[2] * 1.22 + MARGIN
        if self.side > 0:
            return Box(left, road.top - far - self.panel, right, max(road.bottom, label.bottom) + foot)
        return Box(left, min(road.top, label.top) - foot - self.panel, right, road.bottom + far)

    @property
    def page(self) -> tuple[float, float]:
        """Width and height."""
        return self._taken.width, self._taken.height

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page."""
        projection = Projection(turn=self._loose.projection.turn, x=-self._taken.left, y=-self._taken.top)
        return Roadway(self.road, projection, LineStyle(), self.markings)

    # labels

    def _labels(self) -> Iterator[tuple[TextBlock, float]]:
        """Every label beside the road with its station."""
        yield self.sheet.vehicle, self.form.vehicle[0] / 2
        for stop in (*self.sheet.behind, *self.sheet.ahead):
            if stop.device or self.form.upright:
                yield stop.block, stop.station

    def label_box(self, block: TextBlock, station: float) -> Box:
        """Box on the page of a label beside the road."""
        return self._label_box(self.roadway, self._ruler, block, station)

    def _loose_box(self, block: TextBlock, station: float) -> Box:
        return self._label_box(self._loose, self._loose_ruler, block, station)

    def _label_box(self, roadway: Roadway, ruler: list[Point], block: TextBlock, station: float) -> Box:
        x, y = roadway.at(station, self.ruler)
        if self.form.upright:
            top = y - block.height / 2
            near = [at[0] for at in ruler if top - 4 <= at[1] <= top + block.height + 4]
            x = max([x, *near]) + LABEL if self.side > 0 else min([x, *near]) - LABEL - block.width
            return Box(x, top, x + block.width, top + block.height)
        left = x - block.width / 2
        near = [at[1] for at in ruler if left - 4 <= at[0] <= left + block.width + 4]
        y = max([y, *near]) + LABEL if self.side > 0 else min([y, *near]) - LABEL - block.height
        return Box(left, y, left + block.width, y + block.height)

    @cached_property
    def _loose_ruler(self) -> list[Point]:
        """The ruler in the coordinates of ``_loose``."""
        return self._ruler_points(self._loose)

    @cached_property
    def _ruler(self) -> list[Point]:
        """The ruler on the page."""
        return self._ruler_points(self.roadway)

    def _ruler_points(self, roadway: Roadway) -> list[Point]:
        if not self.bends:
            return []
        steps = int((self.sheet.end - self.sheet.start) / 5) + 1
        return [roadway.at(self.sheet.start + 5 * step, self.ruler) for step in range(steps)]

    @property
    def clear(self) -> bool:
        """Whether no two labels beside the road touch; on the inside of a bend they move closer together."""
        boxes = [self._loose_box(block, station) for block, station in self._labels()]
        return not any(a.overlaps(b, 4) for a, b in itertools.combinations(boxes, 2))

    def hidden_box(self, stop: StationMark, toward: Toward, *, signed: bool) -> Box:
        """Box of a hidden stretch's label, including the sign before it."""
        room = SIGN_ROOM if signed else 0.0
        wide, high = stop.block.width + room, max(stop.block.height, symbols.SIGN_SIDE if signed else 0.0)
        if self.form.upright:
            beside = self.label_box(stop.block, stop.station)
            left = beside.left if self.side > 0 else beside.right - wide
            middle = (beside.top + beside.bottom) / 2
            return Box(left, middle - high / 2, left + wide, middle + high / 2)
        x, _ = self.roadway.at(stop.station, self.far_edge)
        center, _ = self.roadway.at(self.form.vehicle[0] / 2, self.far_edge)
        width, height = self.page
        if toward is Toward.BEHIND:
            left = min(max(x - wide, MARGIN), center - wide - MARGIN / 2)
        else:
            left = max(min(x, width - MARGIN - wide), center + MARGIN / 2)
        middle = self.panel + STRIP / 2 + 2 if self.side > 0 else height - STRIP / 2 - 2
        return Box(left, middle - high / 2, left + wide, middle + high / 2)

    @property
    def anchor(self) -> Anchor:
        """Text anchor of labels beside an upright road: text runs away from the road."""
        return "start" if self.side > 0 else "end"
