"""Drawing a laid-out sheet: road, hidden stretches, vehicle, devices, ruler, labels.

In: a Sheet and the kind of road. Out: SVG. Road runs up the page or to the right;
labels stand beside the shoulder the vehicle is on, tied to it by a ruler whose zero
is at the vehicle. It refuses to choose distances and to lay anything out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from generator.drawing import marks, svg
from generator.drawing.formats import LABEL, MARGIN, RULER, cross_section
from generator.drawing.roadway import Markings, Pen, Projection, Roadway
from generator.drawing.spacing import Sheet, Stop, is_broken
from generator.drawing.svg import Element, Point
from generator.drawing.text import Anchor, Block, Line, text_width
from generator.geometry.records import RoadKind, Toward
from generator.geometry.road import Lane, Road

STRIP = 24.0
"Room above and below the road for a line of words."


@dataclass(frozen=True)
class Painter:
    """One drawing in the making."""

    sheet: Sheet
    kind: RoadKind
    prefix: str
    markings: Markings
    keep_left: bool
    traffic: Mapping[Toward, tuple[str, ...]]
    "What is written at each stream of traffic."
    data: Mapping[str, str] = field(default_factory=dict)
    classes: str = ""

    @cached_property
    def side(self) -> int:
        """+1 where the vehicle's shoulder is on the right of its travel, -1 on the left."""
        return -1 if self.keep_left else 1

    @cached_property
    def road(self) -> Road:
        """The road in page units."""
        road = Road(carriageways=cross_section(self.kind, self.sheet.form))
        return road.mirrored() if self.keep_left else road

    @cached_property
    def paved(self) -> tuple[float, float]:
        """Least and greatest paved offset."""
        ways = self.road.carriageways
        return min(way.left_ft for way in ways), max(way.right_ft for way in ways)

    @cached_property
    def edge(self) -> float:
        """Offset of the paved edge on the vehicle's side."""
        return self.paved[1] if self.side > 0 else self.paved[0]

    @cached_property
    def ruler(self) -> float:
        """Offset of the ruler."""
        return self.edge + self.side * RULER

    @cached_property
    def label(self) -> float:
        """Offset at which labels begin."""
        return self.ruler + self.side * LABEL

    @cached_property
    def label_depth(self) -> float:
        """Height of the tallest label, for a road that runs to the right."""
        blocks = [self.sheet.vehicle, *(stop.block for stop in (*self.sheet.behind, *self.sheet.ahead))]
        return max(block.height for block in blocks)

    @cached_property
    def page(self) -> tuple[float, float]:
        """Width and height."""
        long = self.sheet.end - self.sheet.start
        if self.sheet.form.upright:
            return self.sheet.form.width, long + 2 * STRIP
        across = self.paved[1] - self.paved[0]
        return long, STRIP + across + RULER + LABEL + self.label_depth + MARGIN

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page."""
        width, height = self.page
        if self.sheet.form.upright:
            x = MARGIN - self.paved[0] if self.side > 0 else width - MARGIN - self.paved[1]
            projection = Projection(turn=math.pi / 2, x=x, y=STRIP + self.sheet.end)
        else:
            y = STRIP - self.paved[0] if self.side > 0 else height - MARGIN - self.paved[1]
            projection = Projection(x=-self.sheet.start, y=y)
        return Roadway(self.road, projection, Pen(), self.markings)

    @cached_property
    def stand(self) -> float:
        """Offset of the vehicle's middle: the middle of its shoulder."""
        way = self.road.carriageways[0]
        lanes = way.lanes
        inner = lanes[-1].right_ft if self.side > 0 else lanes[0].left_ft
        return (inner + self.edge) / 2

    def lanes(self, toward: Toward) -> list[Lane]:
        """Lanes on the vehicle's carriageway that carry traffic from one side."""
        forward = toward is Toward.BEHIND
        return [lane for lane in self.road.carriageways[0].lanes if lane.forward is forward]

    def stop_point(self, stop: Stop) -> Point:
        """Where a device is drawn."""
        offset = self.stand
        if stop.device and "traffic" in stop.device.across:
            offset -= self.side * self.sheet.form.vehicle[1] / 2
        return self.roadway.at(stop.station, offset)

    def draw(self, *, title: str, desc: str) -> str:
        """The whole drawing."""
        width, height = self.page
        sheet = self.sheet
        sides = (Toward.BEHIND, Toward.AHEAD)
        children = [
            svg.rect(0, 0, width, height, "fp-plate"),
            *self.roadway.pavement(sheet.start, sheet.end, center_broken=not self.hides),
        ]
        for toward in sides:
            children += self._hidden(toward)
        for toward in sides:
            children += self._scale_breaks(toward)
        for toward in sides:
            children += self._traffic(toward)
        children.append(self._vehicle())
        for toward in sides:
            children += self._ruler(toward)
        for toward in sides:
            children += [self._stop(stop) for stop in sheet.stops(toward)]
        children += self._set(sheet.vehicle, sheet.form.vehicle[0] / 2)
        children += self._note()
        return svg.drawing(
            width,
            height,
            children,
            prefix=self.prefix,
            title=title,
            desc=desc,
            classes=f"fp-placement fp-{self.kind} {self.classes}".strip(),
            patterns=[svg.stripes(f"{self.prefix}-stripes", "fp-hidden-ground", "fp-hidden-stripe")],
            data=self.data,
        )

    @property
    def hides(self) -> bool:
        """Whether any stretch is hidden; then the center line forbids passing."""
        return any(stop.device is None for stop in (*self.sheet.behind, *self.sheet.ahead))

    def _hidden(self, toward: Toward) -> list[Element]:
        lanes = self.lanes(toward)
        far = self.sheet.start if toward is Toward.BEHIND else self.sheet.end
        drawn = []
        for stop in self.sheet.stops(toward):
            if stop.device is None and lanes:
                left, right = min(lane.left_ft for lane in lanes), max(lane.right_ft for lane in lanes)
                ends = (left, self.ruler) if self.side > 0 else (right, self.ruler)
                edge = [self.roadway.at(stop.station, offset) for offset in ends]
                drawn += [
                    self.roadway.stretch(lanes, stop.station, far, f"{self.prefix}-stripes"),
                    svg.line(edge[0], edge[1], "fp-hidden-edge"),
                ]
        return drawn

    def _scale_breaks(self, toward: Toward) -> list[Element]:
        stops = self.sheet.stops(toward)
        length = self.sheet.form.vehicle[0]
        sign = -1 if toward is Toward.BEHIND else 1
        near = 0.0 if toward is Toward.BEHIND else length
        drawn = []
        for index, stop in enumerate(stops):
            if is_broken(stops, index):
                inner = near + sign * (marks.DEVICE_SIDE / 2 if index else 0)
                outer = stop.station - sign * (marks.DEVICE_SIDE / 2 if stop.device else 0)
                left, right = self.paved
                if self.side > 0:
                    right = self.ruler + 6
                else:
                    left = self.ruler - 6
                drawn.append(marks.scale_break(self.roadway, (inner + outer) / 2, left - 4, right))
            near = stop.station
        return drawn

    def _traffic(self, toward: Toward) -> list[Element]:
        lanes = self.lanes(toward)
        drawn = []
        for lane in lanes:
            drawn += self._stream(lane, toward, self.traffic.get(toward, ()) if lane is lanes[-1] else ())
        if toward is Toward.AHEAD:
            for way in self.road.carriageways[1:]:
                for lane in way.lanes:
                    drawn += self._stream(lane, toward, ())
        return drawn

    def _stream(self, lane: Lane, toward: Toward, words: tuple[str, ...]) -> list[Element]:
        """An arrow in a lane where its traffic enters the drawing, and the words beside it."""
        behind = toward is Toward.BEHIND
        start = self.sheet.start if behind else self.sheet.end
        sign = 1 if behind else -1
        small = self.sheet.form.sizes[2]
        said = ", ".join(words)
        shift = 8.0
        drawn = []
        if said and not self.sheet.form.upright:
            wide = text_width(said, small, bold=True)
            at = self.roadway.at(start + sign * (shift + 6 + wide / 2), lane.center_ft)
            high = small * 1.3
            drawn.append(svg.rect(at[0] - wide / 2 - 6, at[1] - high / 2, wide + 12, high, "fp-plate", rx=3))
            drawn += Block((Line(said, small, bold=True),)).draw(at[0], at[1] - small * 0.61, "middle")
            shift += wide + 18
        elif said:
            at = self.roadway.at(start, lane.left_ft if self.side > 0 else lane.right_ft)
            anchor: Anchor = "start" if self.side > 0 else "end"
            top = at[1] + 3 if behind else at[1] - small * 1.22 - 1
            drawn += Block((Line(said, small, bold=True),)).draw(at[0], top, anchor)
        tail = self.roadway.at(start + sign * shift, lane.center_ft)
        head = self.roadway.at(start + sign * (shift + 44), lane.center_ft)
        drawn.append(marks.arrow(tail, head))
        return drawn

    def _vehicle(self) -> Element:
        length, wide = self.sheet.form.vehicle
        return marks.vehicle(self.roadway.at(0, self.stand), self.roadway.at(length, self.stand), wide)

    def _ruler(self, toward: Toward) -> list[Element]:
        stops = [stop for stop in self.sheet.stops(toward) if stop.device]
        if not stops:
            return []
        zero = 0.0 if toward is Toward.BEHIND else self.sheet.form.vehicle[0]
        start = self.roadway.at(zero, self.ruler)
        drawn = [svg.line(self.roadway.at(zero, self.edge), start, "fp-leader")]
        drawn.append(svg.line(start, self.roadway.at(stops[-1].station, self.ruler), "fp-ruler"))
        for stop in stops:
            tip = self.roadway.at(stop.station, self.ruler)
            drawn.append(marks.ruler_tip(start, tip))
            drawn.append(svg.line(tip, self.roadway.at(stop.station, self.ruler + self.side * 6), "fp-ruler"))
        drawn.append(marks.ruler_zero(start))
        return drawn

    def _stop(self, stop: Stop) -> Element:
        parts = []
        if stop.device:
            at = self.stop_point(stop)
            parts = [
                marks.leader(at, self.roadway.at(stop.station, self.ruler)),
                marks.device(at, stop.number, moved=stop.device.moved),
            ]
        parts += self._set(stop.block, stop.station)
        return svg.group(parts, "fp-stop" if stop.device else "fp-stop fp-hidden-label")

    def _set(self, block: Block, station: float) -> list[Element]:
        """A label beside the road at a station."""
        x, y = self.roadway.at(station, self.label)
        if self.sheet.form.upright:
            return block.draw(
                x, y - block.height / 2, "start" if self.side > 0 else "end", prefix=self.prefix
            )
        return block.draw(x, y if self.side > 0 else y - block.height, "middle", prefix=self.prefix)

    def _note(self) -> list[Element]:
        width, height = self.page
        small = self.sheet.form.sizes[2]
        line = Block((Line("Not to scale", small),))
        if self.sheet.form.upright:
            x = width - MARGIN if self.side > 0 else MARGIN
            return line.draw(x, height - STRIP + 3, "end" if self.side > 0 else "start")
        return line.draw(width - MARGIN, 2, "end")
