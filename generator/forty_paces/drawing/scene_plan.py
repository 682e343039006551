"""Draws a scene in plan, true to scale: lines of sight and where the devices go.

Shows the road, the obstructions, the stretches from which the vehicle is hidden, the lines
of first sight, the stopping distance, the devices on a ruler that follows the road, and a
scale bar; no compass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from forty_paces.drawing import marks, svg
from forty_paces.drawing.formats import Size
from forty_paces.drawing.labels import PlacedLabel
from forty_paces.drawing.roadway import LineStyle, Markings, Roadway
from forty_paces.drawing.scene_frame import SceneFrame, frame
from forty_paces.drawing.scene_labels import SMALL, SceneLabels, drawn_label
from forty_paces.drawing.schematic import markings
from forty_paces.drawing.svg import Element, Point
from forty_paces.drawing.text import Box, TextBlock, TextLine
from forty_paces.geometry.records import RuleSet, Toward
from forty_paces.geometry.road import Lane
from forty_paces.geometry.scene import Scene, approach_lane, station_ft, vehicle_corners
from forty_paces.geometry.solver import LocatedDevice, ScenePlacement, SideSight
from forty_paces.geometry.units import METERS_PER_FOOT
from forty_paces.messages.drawings import DRAWING, describe_scene, sight_texts
from forty_paces.messages.quantities import printed_length

MARK = 13.0
"Side of the small triangle at a device's exact position."
NO_LEADER = 10.0
"A label as near as this to what it names has no leader: so short a stub looks like a thing beside the road."
WALK_STEP_FT = 5.0
"Distance from one drawn point of the walk to the next."
SCALE_LENGTHS_FT = (500.0, 200.0, 100.0, 50.0)
SCALE_LENGTHS_M = (150.0, 60.0, 30.0, 15.0)


def draw_scene(solved: ScenePlacement, rules: RuleSet, *, prefix: str, size: Size = Size.WIDE) -> str:
    """Draw the scene as SVG, wide or tall; every id begins with ``prefix``.

    ``ValueError`` for a prefix that cannot start an id, or for the card size.
    """
    return ScenePlan(solved, rules, prefix, frame(solved, size), markings(rules)).draw()


@dataclass(frozen=True)
class ScenePlan:
    """Renderer of one plan."""

    solved: ScenePlacement
    rules: RuleSet
    prefix: str
    frame: SceneFrame
    markings: Markings

    @cached_property
    def scene(self) -> Scene:
        """The scene drawn."""
        return self.solved.scene

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page; line widths follow the scale but keep a visible minimum."""
        scale = self.frame.scale
        pen = LineStyle(line=max(1.2, 0.4 * scale), dash=(10 * scale, 30 * scale), inset=1.1)
        return Roadway(self.scene.road, self.frame.projection, pen, self.markings)

    @cached_property
    def labels(self) -> SceneLabels:
        """Every placed label."""
        return SceneLabels(self.solved, self.rules, self.frame, self.roadway)

    @property
    def page(self) -> Box:
        """The page, cropped to road and labels."""
        return self.labels.taken

    def draw(self) -> str:
        """Return the plan as SVG text."""
        page = self.page
        broken = not any(side.hidden for side in self.solved.sides)
        children = [
            svg.rect(page.left, page.top, page.width, page.height, "fp-land"),
            *self.roadway.pavement(self.frame.start_ft, self.frame.end_ft, center_broken=broken),
            *self._blockers(),
        ]
        for side in self.solved.sides:
            children += self._hidden(side)
        children.append(self._vehicle())
        children += self._sights()
        children += [self._arrow(lane) for way in self.scene.road.carriageways for lane in way.lanes]
        children += self._leaders(self.labels.placed)
        for toward in Toward:  # over the leaders, whose white outlines would cut it
            children += self._ruler(toward)
        children += [
            marks.small_device(self.roadway.at(placed.station_ft, placed.offset_ft), MARK)
            for placed in self.solved.devices
        ]
        for placed_label in self.labels.placed:
            children += drawn_label(placed_label)
        children += self._scale_bar()
        return svg.drawing(
            page.width,
            page.height,
            children,
            corner=(page.left, page.top),
            prefix=self.prefix,
            title=DRAWING["scene-above"].format(title=self.scene.title),
            desc=describe_scene(self.solved, self.rules),
            classes=f"fp-scene fp-{self.scene.kind}",
            patterns=[svg.stripes(f"{self.prefix}-stripes", "fp-hidden-ground", "fp-hidden-stripe", pitch=7)],
        )

    def _blockers(self) -> list[Element]:
        drawn = []
        for blocker in self.scene.blockers:
            corners = self.labels.on_page(blocker)
            if len(corners) > 2:
                drawn.append(svg.polygon(corners, "fp-obstacle"))
            elif corners:
                drawn.append(svg.polyline(corners, "fp-obstacle-wall"))
        return drawn

    def _hidden(self, side: SideSight) -> list[Element]:
        lane = approach_lane(self.scene, side.toward)
        drawn = []
        for near, far in side.hidden:
            begin, end = (
                self.labels.shown(station_ft(self.scene, side.toward, distance)) for distance in (near, far)
            )
            if begin != end:
                drawn.append(self.roadway.stretch([lane], begin, end, f"{self.prefix}-stripes"))
        return drawn

    def _arrow(self, lane: Lane) -> Element:
        """An arrow just inside the end of the drawing where a lane's traffic enters."""
        scale = self.frame.scale
        start, sign = (self.frame.start_ft, 1) if lane.forward else (self.frame.end_ft, -1)
        tail, head = (self.roadway.at(start + sign * shift / scale, lane.center_ft) for shift in (4, 38))
        wide = max(8.5, lane.width_ft * scale * 0.75)
        return marks.arrow(tail, head, width=max(2.0, wide * 0.3), head_width=wide)

    def _vehicle(self) -> Element:
        rear_left, rear_right, front_right, front_left = (
            self.frame.projection.at(corner) for corner in vehicle_corners(self.scene)
        )
        vehicle = self.scene.vehicle
        cab = (vehicle.length_ft - vehicle.trailer_ft) / vehicle.length_ft if vehicle.trailer_ft else 0.25
        return marks.vehicle(
            _midway(rear_left, rear_right),
            _midway(front_left, front_right),
            max(math.dist(rear_left, rear_right), 5.0),
            cab=min(max(cab, 0.15), 0.4),
            fine=True,
        )

    def _ruler(self, toward: Toward) -> list[Element]:
        devices = [
            placed
            for placed in self.labels.devices(toward)
            if placed.device.distance_ft > 0 and placed.device.reached
        ]
        if not devices:
            return []
        zero = station_ft(self.scene, toward, 0.0)
        far = station_ft(self.scene, toward, max(placed.device.distance_ft for placed in devices))
        count = max(1, math.ceil(abs(far - zero) / WALK_STEP_FT))
        stations = [zero + (far - zero) * index / count for index in range(count + 1)]
        walked = [self.roadway.at(one, self.labels.walk_offset_ft(one)) for one in stations]
        drawn = [svg.polyline(walked, "fp-ruler")]
        drawn += [self._ruler_tip(zero, placed) for placed in devices]
        return [*drawn, svg.circle(*walked[0], 3, "fp-ruler-zero")]

    def _ruler_tip(self, zero: float, placed: LocatedDevice) -> Element:
        offset = self.labels.walk_offset_ft(placed.station_ft)
        inward = (1 if zero > placed.station_ft else -1) * 2 / self.frame.scale
        before = self.roadway.at(placed.station_ft + inward, offset)
        return marks.ruler_tip(before, self.roadway.at(placed.station_ft, offset), 8)

    def _sights(self) -> list[Element]:
        drawn = []
        for line in self.labels.sight_lines():
            start, end = self.labels.line_on_page(line)
            if math.dist(start, end) > 1:
                drawn += [svg.line(start, end, "fp-sight-back"), svg.line(start, end, "fp-sight")]
        for side in self.solved.sides:
            for text in sight_texts(self.solved, side, self.rules):
                drawn += self._station_mark(side.toward, text.distance_ft)
        return drawn

    def _station_mark(self, toward: Toward, distance_ft: float) -> list[Element]:
        """A short bar across the approach lane, where something is first seen or needed."""
        station = station_ft(self.scene, toward, distance_ft)
        if not self.frame.start_ft <= station <= self.frame.end_ft:
            return []
        lane = approach_lane(self.scene, toward)
        out = 3 / self.frame.scale
        ends = [self.roadway.at(station, offset) for offset in (lane.left_ft - out, lane.right_ft + out)]
        return [svg.line(ends[0], ends[1], "fp-station-back"), svg.line(ends[0], ends[1], "fp-station")]

    def _leaders(self, placed: Sequence[PlacedLabel]) -> list[Element]:
        lines = [
            (label.label.anchor, label.tie)
            for label in placed
            if math.dist(label.label.anchor, label.tie) > NO_LEADER
        ]
        backs = [svg.line(*line, "fp-leader-back") for line in lines]
        return backs + [svg.line(*line, "fp-leader-fine") for line in lines]

    @property
    def scale_lengths(self) -> tuple[float, ...]:
        """Lengths that the scale bar may show, in the rule set's unit, longest first."""
        return SCALE_LENGTHS_M if self.rules.metric else SCALE_LENGTHS_FT

    def _scale_bar(self) -> list[Element]:
        per_unit = 1 / METERS_PER_FOOT if self.rules.metric else 1.0
        lengths = self.scale_lengths
        room = self.page.width * 0.3
        fitting = [length for length in lengths if length * per_unit * self.frame.scale <= room]
        length_ft = (fitting[0] if fitting else lengths[-1]) * per_unit
        run = length_ft * self.frame.scale
        left, foot = self.page.left + 12, self.page.bottom - 12
        bar = svg.polyline(
            [(left, foot - 7), (left, foot), (left + run, foot), (left + run, foot - 7)], "fp-ruler"
        )
        words = TextBlock((TextLine(printed_length(length_ft, self.rules.metric), SMALL),))
        return [bar, *words.draw(left + run + 8, foot - 14)]


def _midway(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
