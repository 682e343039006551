"""Label placement of a scene, in two rows that follow the road.

Devices and the vehicle are labeled on the vehicle's side away from traffic, what approaching
drivers see on the other. Each row keeps the order along the road, so that no two leaders of a
row cross.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from forty_paces.drawing import labels, marks, svg
from forty_paces.drawing.labels import AvoidPoint, Label, PlacedLabel
from forty_paces.drawing.roadway import Roadway
from forty_paces.drawing.scene_frame import SceneFrame, outline
from forty_paces.drawing.svg import Element, Point
from forty_paces.drawing.text import Box, TextBlock, TextLine, balanced, bounding_box
from forty_paces.geometry.footway import walkway
from forty_paces.geometry.records import RuleSet, Toward
from forty_paces.geometry.scene import Blocker, Scene, Strip, approach_lane, station_ft, traffic_side
from forty_paces.geometry.solver import LocatedDevice, ScenePlacement, SideSight, SightLine
from forty_paces.messages import quantities
from forty_paces.messages.drawings import DRAWING, sight_texts
from forty_paces.messages.quantities import length
from forty_paces.messages.terms import across_words

BIG, SMALL = 19.0, 15.0
"Type sizes."
ICON = 34.0
"Side of the numbered device symbol beside its label."
OFF_ROAD = 16.0
"Distance from the road, or from objects beside it, to a label."
ROW_GAP = 12.0
EDGE = 10.0
"Clear margin of the page."


@dataclass(frozen=True)
class SceneLabels:
    """The labels of one scene in one frame."""

    solved: ScenePlacement
    rules: RuleSet
    frame: SceneFrame
    roadway: Roadway

    @cached_property
    def scene(self) -> Scene:
        """The scene drawn."""
        return self.solved.scene

    @cached_property
    def side(self) -> int:
        """+1 where the outer edge of the vehicle's shoulder is on the right in its direction of travel."""
        return -traffic_side(self.scene)

    @cached_property
    def ruler_offset_ft(self) -> float:
        """Offset of the ruler: just outside the pavement on the vehicle's side."""
        way = self.scene.road.carriageways[0]
        edge = way.right_ft if self.side > 0 else way.left_ft
        return edge + self.side * 8 / self.frame.scale

    def walk_offset_ft(self, station: float) -> float:
        """Offset of the ruler, which is the way to walk: beside what stands there, never through it."""
        offset_ft = walkway(self.scene, station, self.ruler_offset_ft)
        return self.ruler_offset_ft if offset_ft is None else offset_ft

    @cached_property
    def placed(self) -> tuple[PlacedLabel, ...]:
        """Both rows, then the names of the obstructions."""
        own = self._row([*self._device_labels(), self._vehicle_label()], self.side)
        seen = self._row(
            [label for side in self.solved.sides for label in self._sight_labels(side)], -self.side
        )
        return (*own, *seen, *self._names([*own, *seen]))

    @cached_property
    def taken(self) -> Box:
        """The bounding box of road and labels, which becomes the page."""
        box = bounding_box(_corners([*(placed.box for placed in self.placed), self.ground])).grown(EDGE)
        return Box(box.left, box.top, box.right, box.bottom + 26)

    def shown(self, station: float) -> float:
        """The station, clamped to the road shown."""
        return min(max(station, self.frame.start_ft), self.frame.end_ft)

    # what is labeled

    def _device_labels(self) -> list[Label]:
        return [self._device_label(placed) for placed in self.solved.devices]

    def _device_label(self, placed: LocatedDevice) -> Label:
        device = placed.device
        lines = [
            TextLine(length(self.rules, device.distance_ft), BIG, bold=True),
            TextLine(quantities.paces(device.paces), SMALL + 1, bold=True),
        ]
        if not device.distance_ft:
            lines = [
                TextLine(part, SMALL + 1, bold=True)
                for part in balanced(across_words(device.across), SMALL + 1, 118)
            ]
        if not device.reached:
            lines += [TextLine(part, SMALL) for part in DRAWING["no-room-to-walk"].splitlines()]
        elif device.moved:
            lines.append(TextLine(DRAWING["moved-out"], SMALL))
        at = self.roadway.at(placed.station_ft, placed.offset_ft)
        return Label(at, TextBlock(tuple(lines)), ICON + 8, ICON, number=placed.number)

    def _vehicle_label(self) -> Label:
        at = self.roadway.at(self.scene.vehicle.length_ft / 2, self.scene.vehicle.offset_ft)
        words = DRAWING["your-vehicle"].split() if self.frame.upright else (DRAWING["your-vehicle"],)
        return Label(at, TextBlock(tuple(TextLine(word, SMALL + 1, bold=True) for word in words)))

    def _sight_labels(self, side: SideSight) -> list[Label]:
        wanted = []
        for text in sight_texts(self.solved, side, self.rules):
            true = station_ft(self.scene, side.toward, text.distance_ft)
            station = self.shown(true)
            at = self.roadway.at(station, approach_lane(self.scene, side.toward).center_ft)
            words = [TextLine(part, SMALL) for part in balanced(text.words, SMALL, 118)]
            words.append(TextLine(text.figure, SMALL + 1, bold=True))
            if station != true:
                words.append(TextLine(DRAWING["off-the-drawing"], SMALL))
            wanted.append(Label(at, TextBlock(tuple(words))))
        return wanted

    def on_page(self, blocker: Blocker) -> list[Point]:
        """Corners of an obstruction on the page."""
        corners = outline(self.scene, blocker, self.frame.start_ft, self.frame.end_ft)
        return [self.frame.projection.at(corner) for corner in corners]

    # rows

    @cached_property
    def obstacles(self) -> list[Point]:
        """Points that a row keeps clear of: pavement edges, ruler, obstructions beside the road."""
        spots: list[Point] = []
        offsets = [self.ruler_offset_ft]
        for way in self.scene.road.carriageways:
            offsets += [way.left_ft, way.right_ft]
        count = math.ceil((self.frame.end_ft - self.frame.start_ft) * self.frame.scale / 6)
        for index in range(count + 1):
            station = self.frame.start_ft + (self.frame.end_ft - self.frame.start_ft) * index / count
            spots += [self.roadway.at(station, offset) for offset in offsets]
        for blocker in self.scene.blockers:
            corners = self.on_page(blocker)
            for start, end in zip(corners, [*corners[1:], *corners[:1]], strict=True):
                spots += _between(start, end)
        return spots

    @cached_property
    def ground(self) -> Box:
        """The bounding box of the road and everything beside it."""
        return bounding_box(self.obstacles)

    def _row(self, wanted: Sequence[Label], side: int) -> list[PlacedLabel]:
        """Place labels on one side of the road, in the order of their anchors along the page."""
        along, across = (1, 0) if self.frame.upright else (0, 1)
        ordered = sorted(wanted, key=lambda label: label.anchor[along])
        extents = [label.size[along] for label in ordered]
        middles = labels.spread([label.anchor[along] for label in ordered], extents, ROW_GAP)
        chosen = []
        for label, middle, extent in zip(ordered, middles, extents, strict=True):
            near = [
                spot[across]
                for spot in (*self.obstacles, label.anchor)
                if abs(spot[along] - middle) <= extent / 2 + 4
            ]
            near.append(label.anchor[across])
            start = max(near) + OFF_ROAD if side > 0 else min(near) - OFF_ROAD - label.size[across]
            corner = (start, middle - extent / 2) if self.frame.upright else (middle - extent / 2, start)
            box = Box(*corner, corner[0] + label.size[0], corner[1] + label.size[1])
            x, y = label.anchor
            tie = (min(max(x, box.left), box.right), min(max(y, box.top), box.bottom))
            chosen.append(PlacedLabel(label, box, tie))
        return chosen

    def _names(self, taken: Sequence[PlacedLabel]) -> tuple[PlacedLabel, ...]:
        """Place the names of the obstructions beside them."""
        wanted = []
        for blocker in self.scene.blockers:
            corners = self.on_page(blocker)
            if corners:
                lines = tuple(TextLine(word, SMALL) for word in balanced(blocker.title, SMALL, 118))
                first, *others = _spots(blocker, corners)
                wanted.append(Label(first, TextBlock(lines), elsewhere=tuple(others)))
        page = bounding_box(_corners([*(label.box for label in taken), self.ground]))
        grown = 48.0
        while True:
            placed = labels.place_labels(
                wanted,
                page.grown(grown),
                blocked=[label.box for label in taken],
                busy=self.busy,
                among=taken,
                barrier=self.middle_of_road,
            )
            if placed is not None:
                return placed
            grown += 20.0

    @cached_property
    def middle_of_road(self) -> list[Point]:
        """Line that no name's leader should cross: a name is read as lying on the side it is written on."""
        count = math.ceil((self.frame.end_ft - self.frame.start_ft) * self.frame.scale / 15)
        step_ft = (self.frame.end_ft - self.frame.start_ft) / count
        own = self.scene.road.carriageways[0]
        offset = (own.left_ft + own.right_ft) / 2
        return [self.roadway.at(self.frame.start_ft + step_ft * index, offset) for index in range(count + 1)]

    @cached_property
    def busy(self) -> list[AvoidPoint]:
        """Points that names should preferably not cover: pavement, the ruler, sight lines."""
        spots = []
        step = 9 / self.frame.scale
        count = math.ceil((self.frame.end_ft - self.frame.start_ft) / step)
        stations = [self.frame.start_ft + step * index for index in range(count + 1)]
        for way in self.scene.road.carriageways:
            across = max(2, math.ceil((way.right_ft - way.left_ft) / step))
            offsets = [way.left_ft + (way.right_ft - way.left_ft) * i / across for i in range(across + 1)]
            for station in stations:
                spots += [AvoidPoint(*self.roadway.at(station, offset), 25) for offset in offsets]
        lines = self.sight_lines()
        if not lines:  # where the answer is not shown, label positions must not hint at it
            return spots
        spots += [
            AvoidPoint(*self.roadway.at(station, self.ruler_offset_ft), 60)
            for station in stations
            if any(
                min(0.0, device.station_ft) <= station <= max(0.0, device.station_ft)
                for device in self.solved.devices
            )
        ]
        for line in lines:
            spots += [AvoidPoint(*spot, 22) for spot in _between(*self.line_on_page(line))]
        return spots

    def sight_lines(self) -> list[SightLine]:
        """First sight of the vehicle and of the device that warns first, in every approach direction."""
        lines = []
        for side in self.solved.sides:
            lines.append(side.vehicle_line)
            if side.warned_by is not None:
                lines.append(side.warning_line)
        return lines

    def line_on_page(self, line: SightLine) -> tuple[Point, Point]:
        """Both ends of a sight line, clipped to the page where its eye is beyond the road shown."""
        eye, target = self.frame.projection.at(line.eye), self.frame.projection.at(line.target)
        page = self.ground.grown(EDGE)
        return labels.clip((eye, target), page) or (target, target)

    def devices(self, toward: Toward) -> list[LocatedDevice]:
        """The devices on one side."""
        return [placed for placed in self.solved.devices if placed.device.toward is toward]


def _corners(boxes: Iterable[Box]) -> list[Point]:
    """The upper left and the lower right corner of each box."""
    return [corner for box in boxes for corner in ((box.left, box.top), (box.right, box.bottom))]


def _between(start: Point, end: Point) -> Iterable[Point]:
    """Points along a line, ends included."""
    pieces = max(1, math.ceil(math.dist(start, end) / 6))
    for index in range(pieces + 1):
        share = index / pieces
        yield start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _spots(blocker: Blocker, corners: Sequence[Point]) -> list[Point]:
    """Points within an obstruction that the leader of its name may end at."""
    if isinstance(blocker, Strip):
        # A strip's corners are its face followed by its back in reverse order.
        half = len(corners) // 2
        pairs = zip(corners[:half], reversed(corners[half:]), strict=False)
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairs]
        return middles[:: max(1, len(middles) // 6)]
    xs, ys = zip(*corners, strict=True)
    return [(math.fsum(xs) / len(xs), math.fsum(ys) / len(ys))]


def drawn_label(placed: PlacedLabel) -> list[Element]:
    """Draw the label on its plate; a device's label begins with the device symbol and number."""
    box, label = placed.box, placed.label
    middle = (box.top + box.bottom) / 2
    plate = labels.PLATE
    drawn = [svg.rect(box.left - plate, box.top - 2, box.width + 2 * plate, box.height + 4, "fp-plate", rx=3)]
    if label.number:
        at = (box.left + ICON / 2 + 1, middle + ICON * 0.13)
        drawn.append(marks.device(at, label.number, side=ICON))
    return drawn + label.block.draw(box.left + label.icon, middle - label.block.height / 2)
