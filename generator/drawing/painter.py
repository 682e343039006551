"""Drawing a laid-out sheet: road, hidden stretches, vehicle, devices, ruler, labels.

In: a Sheet and the kind of road. Out: SVG. Road runs up the page or to the right;
labels stand beside the shoulder the vehicle is on, tied to it by a ruler whose zero
is at the vehicle. It refuses to choose distances and to lay anything out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from generator.drawing import causes, marks, svg
from generator.drawing.causes import Cause
from generator.drawing.formats import LABEL, MARGIN, RULER, Format, cross_section
from generator.drawing.roadway import Markings, Pen, Projection, Roadway
from generator.drawing.spacing import SIGN_ROOM, Sheet, Stop
from generator.drawing.svg import Element, Point
from generator.drawing.text import Anchor, Block, Line
from generator.geometry.records import RoadKind, Toward
from generator.geometry.road import Lane, Road

STRIP = 26.0
"Room above and below the road for a line of words."
SIDES = (Toward.BEHIND, Toward.AHEAD)


@dataclass(frozen=True)
class Painter:
    """One drawing in the making."""

    sheet: Sheet
    kind: RoadKind
    prefix: str
    markings: Markings
    keep_left: bool
    traffic: Mapping[Toward, Line]
    "What is written at each stream of traffic."
    causes: Mapping[Toward, tuple[Cause, ...]] = field(default_factory=dict)
    "Signs beside the label of a hidden stretch."
    template: bool = False
    "True where hidden stretches and causes wait for a script to bring them up."
    data: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def side(self) -> int:
        """+1 where the vehicle's shoulder is on the right of its travel, -1 on the left."""
        return -1 if self.keep_left else 1

    @cached_property
    def form(self) -> Format:
        """The measures of the sheet."""
        return self.sheet.form

    @cached_property
    def road(self) -> Road:
        """The road in page units."""
        road = Road(carriageways=cross_section(self.kind, self.form))
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
    def page(self) -> tuple[float, float]:
        """Width and height."""
        long = self.sheet.end - self.sheet.start
        if self.form.upright:
            return self.form.width, long + 2 * STRIP
        return long, self._far_strip + self.paved[1] - self.paved[0] + self._near_strip

    @cached_property
    def _far_strip(self) -> float:
        """Beside the far edge of a road that runs to the right: room for the labels of hidden stretches."""
        return STRIP + 8 if self.sheet.hides else MARGIN

    @cached_property
    def _near_strip(self) -> float:
        devices = (stop.block for stop in (*self.sheet.behind, *self.sheet.ahead) if stop.device)
        deepest = max(block.height for block in (self.sheet.vehicle, *devices))
        return RULER + LABEL + deepest + self.form.sizes[2] * 1.22 + MARGIN

    @cached_property
    def roadway(self) -> Roadway:
        """The road on the page."""
        width, _ = self.page
        if self.form.upright:
            x = MARGIN - self.paved[0] if self.side > 0 else width - MARGIN - self.paved[1]
            projection = Projection(turn=math.pi / 2, x=x, y=STRIP + self.sheet.end)
        else:
            top = self._far_strip if self.side > 0 else self._near_strip
            projection = Projection(x=-self.sheet.start, y=top - self.paved[0])
        return Roadway(self.road, projection, Pen(), self.markings)

    @cached_property
    def stand(self) -> float:
        """Offset of the vehicle's middle: the middle of its shoulder."""
        lanes = self.road.carriageways[0].lanes
        return ((lanes[-1].right_ft if self.side > 0 else lanes[0].left_ft) + self.edge) / 2

    def lanes(self, toward: Toward) -> list[Lane]:
        """Lanes on the vehicle's carriageway that carry traffic from one side."""
        forward = toward is Toward.BEHIND
        return [lane for lane in self.road.carriageways[0].lanes if lane.forward is forward]

    def draw(self, *, title: str, desc: str) -> str:
        """The whole drawing."""
        width, height = self.page
        sheet = self.sheet
        pavement = self.roadway.pavement(sheet.start, sheet.end, center_broken=not sheet.hides)
        children = [svg.rect(0, 0, width, height, "fp-plate"), *pavement]
        for draw_side in (self._hidden, self._scale_breaks, self._traffic):
            for toward in SIDES:
                children += draw_side(toward)
        length, wide = self.form.vehicle
        ends = (self.roadway.at(0, self.stand), self.roadway.at(length, self.stand))
        children.append(marks.vehicle(*ends, wide))
        for draw_side in (self._ruler, self._devices):
            for toward in SIDES:
                children += draw_side(toward)
        children += self._set(sheet.vehicle, length / 2)
        children += self._note()
        return svg.drawing(
            width,
            height,
            children,
            prefix=self.prefix,
            title=title,
            desc=desc,
            classes=f"{'fp-finder' if self.template else 'fp-placement'} fp-{self.kind}",
            patterns=[svg.stripes(f"{self.prefix}-stripes", "fp-hidden-ground", "fp-hidden-stripe")],
            data=self.data,
        )

    def _hidden(self, toward: Toward) -> list[Element]:
        lanes = self.lanes(toward)
        far = self.sheet.start if toward is Toward.BEHIND else self.sheet.end
        drawn = []
        for stop in self.sheet.stops(toward):
            if stop.device or not lanes:
                continue
            parts = [
                self.roadway.stretch(lanes, stop.station, far, f"{self.prefix}-stripes"),
                self._hidden_edge(stop, lanes),
                *self._hidden_label(stop, toward),
            ]
            drawn.append(svg.group(parts, f"fp-hidden-{toward} fp-{stop.slot}", shown=not self.template))
        return drawn

    def _hidden_edge(self, stop: Stop, lanes: Iterable[Lane]) -> Element:
        """The line behind which nothing is seen: across the hidden lanes and on to its label."""
        offsets = [offset for lane in lanes for offset in (lane.left_ft, lane.right_ft)]
        inward, outward = (min(offsets), max(offsets)) if self.side > 0 else (max(offsets), min(offsets))
        far = self.paved[0] if self.side > 0 else self.paved[1]
        ends = (inward, self.ruler) if self.form.upright else (far - self.side * 6, outward)
        start, end = (self.roadway.at(stop.station, offset) for offset in ends)
        return svg.line(start, end, "fp-hidden-edge")

    def _hidden_label(self, stop: Stop, toward: Toward) -> list[Element]:
        signs = self.causes.get(toward, ())
        room = SIGN_ROOM if signs else 0.0
        wide, block = stop.block.width + room, stop.block
        x, y = self.roadway.at(stop.station, self.label)
        if self.form.upright:
            left = x if self.side > 0 else x - wide
            middle = y
        else:
            outward = x - wide if toward is Toward.BEHIND else x
            left = min(max(outward, MARGIN), self.page[0] - MARGIN - wide)
            middle = STRIP / 2 + 2 if self.side > 0 else self.page[1] - STRIP / 2 - 2
        drawn = [
            causes.sign(cause, left, middle - causes.SIDE / 2, shown=not self.template) for cause in signs
        ]
        return drawn + block.draw(left + room, middle - block.height / 2, prefix=self.prefix)

    def _scale_breaks(self, toward: Toward) -> list[Element]:
        far, near = self.edge - self.side * (self.paved[1] - self.paved[0]), self.ruler
        ends = sorted((far - self.side * 4, near + self.side * 6))
        return [
            marks.scale_break(self.roadway, stop.break_at, *ends)
            for stop in self.sheet.stops(toward)
            if stop.break_at is not None
        ]

    def _traffic(self, toward: Toward) -> list[Element]:
        lanes = self.lanes(toward)
        drawn = []
        for lane in lanes:
            spoken = lane is (lanes[-1] if self.side > 0 else lanes[0])
            drawn += self._stream(lane, toward, self.traffic.get(toward) if spoken else None)
        if toward is Toward.AHEAD:
            for way in self.road.carriageways[1:]:
                for lane in way.lanes:
                    drawn += self._stream(lane, toward, None)
        return drawn

    def _stream(self, lane: Lane, toward: Toward, words: Line | None) -> list[Element]:
        """An arrow in a lane where its traffic enters the drawing, and the words beside it."""
        behind = toward is Toward.BEHIND
        start, sign = (self.sheet.start, 1) if behind else (self.sheet.end, -1)
        shift = 8.0
        drawn = []
        if words and not self.form.upright:
            wide = words.width
            x, y = self.roadway.at(start + sign * (shift + 6 + wide / 2), lane.center_ft)
            high = words.size * 1.3
            drawn.append(svg.rect(x - wide / 2 - 6, y - high / 2, wide + 12, high, "fp-plate", rx=3))
            drawn += Block((words,)).draw(x, y - words.size * 0.61, "middle", prefix=self.prefix)
            shift += wide + 18
        elif words:
            x, y = self.roadway.at(start, lane.left_ft if self.side > 0 else lane.right_ft)
            anchor: Anchor = "start" if self.side > 0 else "end"
            top = y + 4 if behind else y - words.size * 1.22 - 2
            drawn += Block((words,)).draw(x, top, anchor, prefix=self.prefix)
        tail = self.roadway.at(start + sign * shift, lane.center_ft)
        head = self.roadway.at(start + sign * (shift + self.form.arrow), lane.center_ft)
        return [*drawn, marks.arrow(tail, head)]

    def _ruler(self, toward: Toward) -> list[Element]:
        stops = [stop for stop in self.sheet.stops(toward) if stop.device]
        if not stops:
            return []
        zero = 0.0 if toward is Toward.BEHIND else self.form.vehicle[0]
        start = self.roadway.at(zero, self.ruler)
        drawn = [svg.line(self.roadway.at(zero, self.edge), start, "fp-leader")]
        drawn.append(svg.line(start, self.roadway.at(stops[-1].station, self.ruler), "fp-ruler"))
        for stop in stops:
            tip = self.roadway.at(stop.station, self.ruler)
            drawn.append(marks.ruler_tip(start, tip))
            drawn.append(svg.line(tip, self.roadway.at(stop.station, self.ruler + self.side * 6), "fp-ruler"))
        return [*drawn, marks.ruler_zero(start)]

    def device_point(self, stop: Stop) -> Point:
        """Where a device is drawn."""
        offset = self.stand
        if stop.device and "traffic" in stop.device.across:
            offset -= self.side * self.form.vehicle[1] / 2
        return self.roadway.at(stop.station, offset)

    def _devices(self, toward: Toward) -> list[Element]:
        drawn = []
        for stop in self.sheet.stops(toward):
            if stop.device:
                at = self.device_point(stop)
                parts = [
                    marks.leader(at, self.roadway.at(stop.station, self.ruler)),
                    marks.device(at, stop.number),
                    *self._set(stop.block, stop.station),
                ]
                hook = f"{self.prefix}-{stop.slot}" if stop.slot else None
                moved = " fp-moved" if stop.device.moved else ""
                drawn.append(svg.group(parts, f"fp-stop{moved}", id=hook))
        return drawn

    def _set(self, block: Block, station: float) -> list[Element]:
        """A label beside the road at a station."""
        x, y = self.roadway.at(station, self.label)
        if self.form.upright:
            return block.draw(
                x, y - block.height / 2, "start" if self.side > 0 else "end", prefix=self.prefix
            )
        return block.draw(x, y if self.side > 0 else y - block.height, "middle", prefix=self.prefix)

    def _note(self) -> list[Element]:
        width, height = self.page
        line = Block((Line("Not to scale", self.form.sizes[2]),))
        if self.form.upright:
            x = width - MARGIN if self.side > 0 else MARGIN
            return line.draw(x, height - line.height - 2, "end" if self.side > 0 else "start")
        top = height - line.height - 4 if self.side > 0 else 4.0
        return line.draw(width - MARGIN, top, "end")


def entrance(form: Format, words: Line | None) -> float:
    """Road that an arrow and its words need at the end where traffic enters."""
    beside = words.width + 18 if words and not form.upright else 0.0
    return 8 + beside + form.arrow + 8


def traffic_line(form: Format, speed: str, *, room: str = "", slot: str = "") -> Line:
    """What is written at a stream of traffic."""
    size = form.sizes[2]
    if not form.says_speed:
        return Line("Traffic", size, bold=True)
    return Line(speed, size, bold=True, lead="Traffic, ", room=room, slot=slot)


def entrances(form: Format, kind: RoadKind, traffic: Mapping[Toward, Line]) -> dict[Toward, float]:
    """`entrance` at each end; a one-way road has none ahead."""
    needed = {toward: entrance(form, line) for toward, line in traffic.items()}
    if kind is RoadKind.DIVIDED:
        needed[Toward.AHEAD] = entrance(form, None)
    return needed
