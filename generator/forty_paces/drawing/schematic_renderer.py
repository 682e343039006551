"""Renders a laid-out schematic as SVG: road, hidden stretches, vehicle, devices, ruler, labels.

The road runs up the page or to the right. Labels are beside the vehicle's shoulder,
tied to it by a ruler with its zero at the vehicle.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from forty_paces.drawing import marks, surroundings, svg, symbols
from forty_paces.drawing.formats import MARGIN, Format
from forty_paces.drawing.schematic_layout import STRIP, SchematicLayout
from forty_paces.drawing.station_scale import SIGN_ROOM, StationMark
from forty_paces.drawing.svg import Element, Point
from forty_paces.drawing.symbols import Cause
from forty_paces.drawing.text import Box, TextBlock, TextLine
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Lane
from forty_paces.messages.drawings import DRAWING

SIDES = (Toward.BEHIND, Toward.AHEAD)

LONGEST_FT = 75.0
"""Drawn at the full length of the drawing's vehicle, and shorter ones in proportion; the longest one of the
fleet where that is longer."""

LEAST_CAB, MOST_CAB, USUAL_CAB = 0.15, 0.4, 0.25
"""Share of a vehicle's length that is drawn as its cab."""


@dataclass(frozen=True, slots=True)
class VehicleShape:
    """A vehicle to choose, drawn to its length."""

    length_ft: float
    trailer_ft: float = 0.0

    @property
    def slot(self) -> str:
        """Its name in ids: ``70-53``; vehicles of the same shape share one drawing."""
        return f"{svg.number(self.length_ft)}-{svg.number(self.trailer_ft)}".replace(".", "_")

    @property
    def cab(self) -> float:
        """The share of the length that is the cab."""
        if not self.trailer_ft:
            return USUAL_CAB
        return min(max((self.length_ft - self.trailer_ft) / self.length_ft, LEAST_CAB), MOST_CAB)


@dataclass(frozen=True)
class SchematicRenderer:
    """Renderer of one drawing."""

    ground: SchematicLayout
    prefix: str
    traffic: Mapping[Toward, TextLine]
    "Text at the traffic arrow of each approach direction."
    causes: Mapping[Toward, tuple[Cause, ...]] = field(default_factory=dict)
    "Signs beside the label of a hidden stretch."
    template: bool = False
    "True where hidden stretches and causes are hidden until a script shows them."
    data: Mapping[str, str] = field(default_factory=dict)
    panel: Sequence[Element] = ()
    "Drawn above the road, in the space that the layout reserves."
    vehicles: Sequence[VehicleShape] = ()
    "Shapes to choose from in a template, unseen until a script shows one instead of the plain vehicle."

    @property
    def form(self) -> Format:
        """The measures of the drawing size."""
        return self.ground.form

    @property
    def side(self) -> int:
        """+1 where the vehicle's shoulder is on the right in its direction of travel, -1 on the left."""
        return self.ground.side

    def draw(self, *, title: str, desc: str) -> str:
        """Return the drawing as SVG text."""
        ground, sheet, roadway = self.ground, self.ground.sheet, self.ground.roadway
        width, height = ground.page
        children = [svg.rect(0, 0, width, height, "fp-plate")]
        children += surroundings.drawn(ground)
        children += roadway.pavement(sheet.start, sheet.end, center_broken=not sheet.hides)
        for draw_side in (self._hidden, self._scale_breaks, self._traffic):
            for toward in SIDES:
                children += draw_side(toward)
        length = self.form.vehicle[0]
        children += self._vehicles()
        for draw_side in (self._ruler, self._devices):
            for toward in SIDES:
                children += draw_side(toward)
        children += self._set(sheet.vehicle, length / 2)
        children += self._note()
        children += self.panel
        return svg.drawing(
            width,
            height,
            children,
            prefix=self.prefix,
            title=title,
            desc=desc,
            classes=f"{'fp-finder' if self.template else 'fp-placement'} fp-{ground.kind}",
            patterns=[svg.stripes(f"{self.prefix}-stripes", "fp-hidden-ground", "fp-hidden-stripe")],
            data=self.data,
        )

    def _vehicles(self) -> list[Element]:
        """The plain vehicle, and in a template each shape to choose, all with their rear at one point."""
        length, wide = self.form.vehicle
        ground = self.ground
        rear, front = ground.roadway.at(0, ground.stand), ground.roadway.at(length, ground.stand)
        if not self.vehicles:
            return [marks.vehicle(rear, front, wide)]
        plain = [marks.vehicle(rear, front, wide), *self._front_zero(length)]
        drawn = [svg.group(plain, "fp-vehicle-choice", id=f"{self.prefix}-vehicle")]
        scale = length / max(LONGEST_FT, *(shape.length_ft for shape in self.vehicles))
        for slot, shape in sorted({shape.slot: shape for shape in self.vehicles}.items()):
            nose = shape.length_ft * scale
            parts = [
                marks.vehicle(rear, ground.roadway.at(nose, ground.stand), wide, cab=shape.cab),
                *self._front_zero(nose),
            ]
            hook = f"{self.prefix}-vehicle-{slot}"
            drawn.append(svg.group(parts, "fp-vehicle-choice", id=hook, shown=False))
        return drawn

    def _front_zero(self, nose: float) -> list[Element]:
        """The zero for distances ahead, at the vehicle's front, and the ruler on to the longest front."""
        ground = self.ground
        if not any(stop.device and stop.distance_ft > 0 for stop in ground.sheet.stops(Toward.AHEAD)):
            return []
        start = ground.roadway.at(nose, ground.ruler)
        drawn: list[Element] = []
        if nose < self.form.vehicle[0]:
            ruler = ground.roadway.along(ground.ruler, nose, self.form.vehicle[0])
            drawn.append(svg.polyline(ruler, "fp-ruler"))
        leader = marks.leader(ground.roadway.at(nose, ground.edge), start)
        return [*drawn, leader, marks.ruler_zero(start)]

    def _hidden(self, toward: Toward) -> list[Element]:
        ground = self.ground
        lanes = ground.lanes(toward)
        far = ground.sheet.start if toward is Toward.BEHIND else ground.sheet.end
        drawn = []
        for stop in ground.sheet.stops(toward):
            if stop.device or not lanes:
                continue
            signs = self.causes.get(toward, ())
            box = ground.hidden_box(stop, toward, signed=bool(signs))
            parts = [
                ground.roadway.stretch(lanes, stop.station, far, f"{self.prefix}-stripes"),
                self._hidden_edge(stop, lanes, box),
                *self._hidden_label(stop, box, signs),
            ]
            drawn.append(svg.group(parts, f"fp-hidden-{toward} fp-{stop.slot}", shown=not self.template))
        return drawn

    def _hidden_edge(self, stop: StationMark, lanes: Iterable[Lane], box: Box) -> Element:
        """The line beyond which the vehicle is hidden: across the hidden lanes and on to its label."""
        ground = self.ground
        offsets = [offset for lane in lanes for offset in (lane.left_ft, lane.right_ft)]
        inward, outward = (min(offsets), max(offsets)) if self.side > 0 else (max(offsets), min(offsets))
        if self.form.upright:
            start, end = (ground.roadway.at(stop.station, offset) for offset in (inward, ground.ruler))
        else:
            start, end = (ground.roadway.at(stop.station, offset) for offset in (outward, ground.far_edge))
            end = (end[0], box.bottom + 2 if self.side > 0 else box.top - 2)
        return svg.line(start, end, "fp-hidden-edge")

    def _hidden_label(self, stop: StationMark, box: Box, signs: Sequence[Cause]) -> list[Element]:
        middle = (box.top + box.bottom) / 2
        drawn = [
            symbols.sign(cause, box.left, middle - symbols.SIGN_SIDE / 2, shown=not self.template)
            for cause in signs
        ]
        left = box.left + (SIGN_ROOM if signs else 0.0)
        return drawn + stop.block.draw(left, middle - stop.block.height / 2, prefix=self.prefix)

    def _scale_breaks(self, toward: Toward) -> list[Element]:
        ground = self.ground
        ends = sorted((ground.far_edge - self.side * 4, ground.ruler + self.side * 6))
        return [
            marks.scale_break(ground.roadway, stop.break_at, *ends)
            for stop in ground.sheet.stops(toward)
            if stop.break_at is not None
        ]

    def _traffic(self, toward: Toward) -> list[Element]:
        lanes = self.ground.lanes(toward)
        drawn = []
        for lane in lanes:
            spoken = lane is (lanes[-1] if self.side > 0 else lanes[0])
            drawn += self._stream(lane, toward, self.traffic.get(toward) if spoken else None)
        if toward is Toward.AHEAD:
            for way in self.ground.road.carriageways[1:]:
                for lane in way.lanes:
                    drawn += self._stream(lane, toward, None)
        return drawn

    def _stream(self, lane: Lane, toward: Toward, words: TextLine | None) -> list[Element]:
        """An arrow in a lane where its traffic enters the drawing, and the text beside it."""
        roadway, sheet = self.ground.roadway, self.ground.sheet
        start, sign = (sheet.start, 1) if toward is Toward.BEHIND else (sheet.end, -1)
        shift = pad = self.form.pad
        drawn = []
        if words and self.form.upright:
            box = self._traffic_box(toward, words)
            x = box.left if self.side > 0 else box.right
            drawn += TextBlock((words,)).draw(x, box.top, self.ground.anchor, prefix=self.prefix)
        elif words and toward not in self.ground.bends:
            wide, high = words.width + pad, words.size * 1.3
            x, y = roadway.at(start + sign * (shift + wide / 2), lane.center_ft)
            plate = Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
            if not any(plate.overlaps(box) for box in self._device_boxes()):
                drawn.append(svg.rect(plate.left, plate.top, wide, high, "fp-plate", rx=3))
                drawn += TextBlock((words,)).draw(x, y - words.size * 0.61, "middle", prefix=self.prefix)
                shift += wide + pad * 0.8
        tail = roadway.at(start + sign * shift, lane.center_ft)
        head = roadway.at(start + sign * (shift + self.form.arrow), lane.center_ft)
        return [*drawn, marks.arrow(tail, head)]

    def _device_boxes(self) -> list[Box]:
        """The boxes of the devices; text on the road is left out where it would overlap them."""
        sheet = self.ground.sheet
        return [
            marks.device_box(self.device_point(stop)).grown(2)
            for stop in (*sheet.behind, *sheet.ahead)
            if stop.device
        ]

    def _traffic_box(self, toward: Toward, words: TextLine) -> Box:
        """Box of the traffic text, above or below an upright road."""
        ground = self.ground
        behind = toward is Toward.BEHIND
        lane = ground.lanes(toward)[-1 if self.side > 0 else 0]
        station = ground.sheet.start if behind else ground.sheet.end
        x, _ = ground.roadway.at(station, lane.left_ft if self.side > 0 else lane.right_ft)
        width, height = ground.page
        left = x if self.side > 0 else x - words.width
        left = min(max(left, MARGIN), width - MARGIN - words.width)
        high = words.size * 1.22
        top = height - STRIP + 3 if behind else ground.panel + STRIP - high - 3
        return Box(left, top, left + words.width, top + high)

    def _ruler(self, toward: Toward) -> list[Element]:
        ground = self.ground
        stops = [stop for stop in ground.sheet.stops(toward) if stop.device]
        if not stops:
            return []
        zero = 0.0 if toward is Toward.BEHIND else self.form.vehicle[0]
        start = ground.roadway.at(zero, ground.ruler)
        measured = [stop for stop in stops if stop.distance_ft > 0]
        drawn = [
            svg.line(ground.roadway.at(stop.station, ground.ruler), self._label_tie(stop), "fp-leader")
            for stop in stops
            if stop not in measured
        ]
        if not measured:
            return drawn
        # In a template with vehicles to choose from, the zero ahead goes with each of them.
        goes_with_vehicle = bool(self.vehicles) and toward is Toward.AHEAD
        if not goes_with_vehicle:
            drawn.append(marks.leader(ground.roadway.at(zero, ground.edge), start))
        drawn.append(svg.polyline(ground.roadway.along(ground.ruler, zero, measured[-1].station), "fp-ruler"))
        for stop in measured:
            inward = 2.0 if zero > stop.station else -2.0
            tip = ground.roadway.at(stop.station, ground.ruler)
            drawn.append(marks.ruler_tip(ground.roadway.at(stop.station + inward, ground.ruler), tip))
            drawn.append(svg.line(tip, self._label_tie(stop), "fp-ruler"))
        return drawn if goes_with_vehicle else [*drawn, marks.ruler_zero(start)]

    def _label_tie(self, stop: StationMark) -> Point:
        """Where the tick from the ruler ends, just before its label."""
        tip = self.ground.roadway.at(stop.station, self.ground.ruler)
        box = self.ground.label_box(stop.block, stop.station)
        if self.form.upright:
            return (box.left - 5, tip[1]) if self.side > 0 else (box.right + 5, tip[1])
        return (tip[0], box.top - 3) if self.side > 0 else (tip[0], box.bottom + 3)

    def device_point(self, stop: StationMark) -> Point:
        """Page point at which a device is drawn."""
        offset, station = self.ground.stand, stop.station
        if stop.device and ("traffic" in stop.device.across or "beside" in stop.device.across):
            offset -= self.side * self.form.vehicle[1] / 2
        if stop.distance_ft <= 0:
            offset -= self.side * 12
            station = self.form.vehicle[0] * (0.25 if stop.station < 0 else 0.6)
        x, y = self.ground.roadway.at(station, offset)
        # Beside a road that runs right, center the triangle by its height: its centroid is lower than that.
        return (x, y + 6) if not self.form.upright and self.side > 0 else (x, y)

    def _devices(self, toward: Toward) -> list[Element]:
        drawn = []
        for stop in self.ground.sheet.stops(toward):
            if stop.device:
                at = self.device_point(stop)
                parts = [
                    *self._device_leader(stop, at),
                    marks.device(at, stop.number),
                    *self._set(stop.block, stop.station),
                ]
                hook = f"{self.prefix}-{stop.slot}" if stop.slot else None
                moved = " fp-moved" if stop.device.moved else ""
                drawn.append(svg.group(parts, f"fp-stop{moved}", id=hook))
        return drawn

    def _device_leader(self, stop: StationMark, at: Point) -> list[Element]:
        """Leader from a device to the ruler; around the vehicle's corner where the device is beside it."""
        end = self.ground.roadway.at(stop.station, self.ground.ruler)
        if stop.distance_ft > 0:
            return [marks.leader(at, end)]
        corner = (at[0], end[1]) if self.form.upright else (end[0], at[1])
        return [marks.leader(at, corner), marks.leader(corner, end)]

    def _set(self, block: TextBlock, station: float) -> list[Element]:
        """A label beside the road at a station."""
        box = self.ground.label_box(block, station)
        if not self.form.upright:
            return block.draw((box.left + box.right) / 2, box.top, "middle", prefix=self.prefix)
        x = box.left if self.side > 0 else box.right
        return block.draw(x, box.top, self.ground.anchor, prefix=self.prefix)

    def _note(self) -> list[Element]:
        width, height = self.ground.page
        line = TextBlock((TextLine(DRAWING["not-to-scale"], self.form.sizes[2]),))
        if not self.form.upright:
            top = height - line.height - 4 if self.side > 0 else self.ground.panel + 4.0
            return line.draw(width - MARGIN, top, "end")
        top = height - STRIP + 3
        right = line.box(width - MARGIN, top, "end")
        words = self.traffic.get(Toward.BEHIND)
        taken = self._traffic_box(Toward.BEHIND, words) if words else None
        on_right = not (taken and right.overlaps(taken, 12))
        return line.draw(width - MARGIN, top, "end") if on_right else line.draw(MARGIN, top)


def entrance(form: Format, words: TextLine | None) -> float:
    """Length of road that an arrow and its text need at the end where traffic enters."""
    beside = words.width + form.pad * 1.8 if words and not form.upright else 0.0
    return 2 * form.pad + beside + form.arrow


def traffic_line(form: Format, speed: str, *, room: str = "", slot: str = "") -> TextLine:
    """Return the text at a traffic arrow."""
    size = form.sizes[2]
    if not form.says_speed:
        return TextLine(DRAWING["traffic"], size, bold=True)
    return TextLine(speed, size, bold=True, lead=DRAWING["traffic"] + ", ", room=room, slot=slot)


def entrances(form: Format, kind: RoadKind, traffic: Mapping[Toward, TextLine]) -> dict[Toward, float]:
    """Return `entrance` for each end; a one-way road has none ahead."""
    needed = {toward: entrance(form, traffic.get(toward)) for toward in streams(kind)}
    if kind is RoadKind.DIVIDED:
        needed[Toward.AHEAD] = entrance(form, None)
    return needed
