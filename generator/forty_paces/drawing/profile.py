"""Draws a scene in profile: elevation of the road, vehicle, devices and lines of sight.

SVG, the vehicle's direction of travel to the right. Lengths are true to scale; heights are
exaggerated, and the drawing states by how much.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from forty_paces.drawing import labels, marks, svg
from forty_paces.drawing.formats import Size
from forty_paces.drawing.labels import Label, PlacedLabel
from forty_paces.drawing.scene_frame import PAST_FT
from forty_paces.drawing.scene_labels import ICON, ROW_GAP, SMALL, drawn_label
from forty_paces.drawing.svg import Element, Point, element
from forty_paces.drawing.text import Box, TextBlock, TextLine, balanced, bounding_box
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene, station_ft
from forty_paces.geometry.sight import EYE_HEIGHT_FT, SURFACE, TAIL_LAMP_FT
from forty_paces.geometry.solver import LocatedDevice, ScenePlacement, SideSight, SightLine
from forty_paces.messages.drawings import DRAWING, SightText, describe_scene, heights, sight_texts
from forty_paces.messages.quantities import length

VEHICLE_HEIGHT_FT = 13.5
"Drawn height of the stopped vehicle: the usual height limit of US states (common practice, no source)."
LENGTHS = {Size.WIDE: 620.0, Size.TALL: 320.0}
EXAGGERATIONS = (20, 10, 5, 4, 3, 2, 1)
RELIEF = 120.0
"Maximum extent of the road's rise and fall on the page."
OFF = 14.0
EDGE = 10.0
SHORT_OF_VEHICLE_FT = 60.0
"Road shown beyond the vehicle on a side where the road hides nothing."


def draw_profile(solved: ScenePlacement, rules: RuleSet, *, prefix: str, size: Size = Size.WIDE) -> str:
    """Draw the scene's profile as SVG, wide or narrow; every id begins with ``prefix``.

    The narrow size has space for the one side from which a crest hides the vehicle.

    ``ValueError`` for a prefix that cannot start an id, or for the card size.
    """
    if size not in LENGTHS:
        raise ValueError(f"a profile is drawn wide or tall, not {size}")
    return ProfileDrawing(solved, rules, prefix, LENGTHS[size]).draw()


def shows_crest(solved: ScenePlacement) -> bool:
    """Whether the road surface hides the vehicle from one side: only then does a profile explain anything."""
    return any(side.hidden_by == SURFACE for side in solved.sides)


@dataclass(frozen=True)
class ProfileDrawing:
    """Renderer of one profile. Page points start at the first station; ``taken`` then bounds the page."""

    solved: ScenePlacement
    rules: RuleSet
    prefix: str
    length: float
    "Extent of the road on the page."

    @cached_property
    def scene(self) -> Scene:
        """The scene drawn."""
        return self.solved.scene

    @cached_property
    def sides(self) -> tuple[SideSight, ...]:
        """The sides from which the road surface hides the vehicle; all sides where there is none."""
        hiding = tuple(side for side in self.solved.sides if side.hidden_by == SURFACE)
        return hiding or self.solved.sides

    @cached_property
    def devices(self) -> tuple[LocatedDevice, ...]:
        """The devices facing those sides."""
        towards = {side.toward for side in self.sides}
        return tuple(placed for placed in self.solved.devices if placed.device.toward in towards)

    @cached_property
    def stations(self) -> tuple[float, float]:
        """The stations at which the profile begins and ends."""
        ends = [-SHORT_OF_VEHICLE_FT, self.scene.vehicle.length_ft + SHORT_OF_VEHICLE_FT]
        for side in self.sides:
            approach = self.solved.placement.approach(side.toward)
            spots = [text.distance_ft for text in self._texts(side)]
            spots += [p.device.distance_ft for p in self.devices if p.device.toward is side.toward]
            if approach:
                spots.append(min(approach.warning_ft, approach.needed_ft))
            ends.append(station_ft(self.scene, side.toward, max(spots) + PAST_FT))
        return min(ends), max(ends)

    def _texts(self, side: SideSight) -> list[SightText]:
        """The marks drawn; a first sight far beyond the stopping distance is shown only in the plan."""
        approach = self.solved.placement.approach(side.toward)
        limit = 1.5 * approach.needed_ft if approach else math.inf
        return [text for text in sight_texts(self.solved, side, self.rules) if text.distance_ft <= limit]

    @cached_property
    def scale(self) -> float:
        """Page units per foot of length."""
        return self.length / (self.stations[1] - self.stations[0])

    @property
    def room(self) -> float:
        """Maximum extent of the road's rise and fall on the page."""
        return RELIEF

    @cached_property
    def times(self) -> int:
        """Vertical exaggeration."""
        levels = [elevation for _, elevation in self._samples()]
        relief = max(levels) - min(levels)
        fits = (
            times
            for times in EXAGGERATIONS
            if relief * self.scale * times <= self.room
            and VEHICLE_HEIGHT_FT * self.scale * times <= self.room * 0.8
        )
        return next(fits, EXAGGERATIONS[-1])

    def _samples(self) -> tuple[tuple[float, float], ...]:
        return self.scene.road.profile.samples(*self.stations, step_ft=5.0)

    def at(self, station: float, above_ft: float = 0.0) -> Point:
        """The page point at a height above the road."""
        return self.point(station, self.scene.road.elevation_ft(station) + above_ft)

    def point(self, station: float, elevation_ft: float) -> Point:
        """The page point at an elevation."""
        return (station - self.stations[0]) * self.scale, -elevation_ft * self.scale * self.times

    @cached_property
    def surface(self) -> list[Point]:
        """The road surface on the page."""
        return [self.point(station, elevation) for station, elevation in self._samples()]

    @cached_property
    def vehicle(self) -> list[Point]:
        """Corners of the vehicle: rear bottom, rear top, front top, front bottom."""
        length = self.scene.vehicle.length_ft
        return [
            self.at(station, above)
            for station, above in ((0, 0), (0, VEHICLE_HEIGHT_FT), (length, VEHICLE_HEIGHT_FT), (length, 0))
        ]

    @cached_property
    def lines(self) -> list[tuple[Point, Point]]:
        """Lines of first sight on the page, clipped at its ends."""
        lines: list[SightLine] = []
        for side in self.sides:
            lines.append(side.vehicle_line)
            if side.warned_by is not None:
                lines.append(side.warning_line)
        page = Box(0, -10_000, self.length, 10_000)
        drawn = []
        for line in lines:
            eye = self.point(line.eye_station_ft, line.eye_elevation_ft)
            target = self.point(line.target_station_ft, line.target_elevation_ft)
            cut = labels.clip((eye, target), page)
            if cut and math.dist(*cut) > 1:
                drawn.append(cut)
        return drawn

    # labels

    @cached_property
    def placed(self) -> tuple[PlacedLabel, ...]:
        """Labels of what is seen in a row above, devices in a row below."""
        above = [self._vehicle_label()]
        for side in self.sides:
            for text in self._texts(side):
                lines = [TextLine(part, SMALL) for part in balanced(text.words, SMALL, 118)]
                lines.append(TextLine(text.figure, SMALL + 1, bold=True))
                anchor = self.at(station_ft(self.scene, side.toward, text.distance_ft), self._eye_ft)
                above.append(Label(anchor, TextBlock(tuple(lines))))
        below = [
            Label(
                self.at(placed.station_ft),
                TextBlock((TextLine(length(self.rules, placed.device.distance_ft), SMALL + 1, bold=True),)),
                ICON + 4,
                ICON,
                number=placed.number,
            )
            for placed in self.devices
        ]
        return (*self._row(above, -1), *self._row(below, 1))

    @property
    def _eye_ft(self) -> float:
        return EYE_HEIGHT_FT[self.scene.eye]

    def _vehicle_label(self) -> Label:
        rear, front = self.vehicle[1], self.vehicle[2]
        anchor = ((rear[0] + front[0]) / 2, min(rear[1], front[1]))
        return Label(anchor, TextBlock((TextLine(DRAWING["your-vehicle"], SMALL + 1, bold=True),)))

    def _row(self, wanted: Sequence[Label], side: int) -> list[PlacedLabel]:
        if not wanted:
            return []
        ordered = sorted(wanted, key=lambda label: label.anchor[0])
        extents = [label.size[0] for label in ordered]
        middles = labels.spread([label.anchor[0] for label in ordered], extents, ROW_GAP)
        obstacles = [*self.surface, *self.vehicle]
        if side < 0:
            obstacles += [end for line in self.lines for end in line]
        chosen = []
        for label, middle, extent in zip(ordered, middles, extents, strict=True):
            ys = [y for x, y in obstacles if abs(x - middle) <= extent / 2 + 8] + [label.anchor[1]]
            high = label.size[1]
            top = max(ys) + OFF if side > 0 else min(ys) - OFF - high
            box = Box(middle - extent / 2, top, middle + extent / 2, top + high)
            x = label.anchor[0]
            tie = (min(max(x, box.left), box.right), box.top if side > 0 else box.bottom)
            chosen.append(PlacedLabel(label, box, tie))
        return chosen

    @cached_property
    def taken(self) -> Box:
        """The bounding box of the page."""
        corners = [*self.surface, *self.vehicle, *(end for line in self.lines for end in line)]
        for placed in self.placed:
            corners += [(placed.box.left, placed.box.top), (placed.box.right, placed.box.bottom)]
        box = bounding_box(corners).grown(EDGE)
        return Box(min(box.left, 0), box.top, max(box.right, self.length), box.bottom + 30)

    # drawing

    @property
    def description(self) -> str:
        """The text alternative."""
        return describe_scene(self.solved, self.rules)

    def draw(self) -> str:
        """Return the profile as SVG text."""
        taken = self.taken
        ground = taken.bottom - 30
        terrain = [*self.surface, (self.length, ground), (0, ground)]
        children = [
            svg.rect(taken.left, taken.top, taken.width, taken.height, "fp-land"),
            svg.polygon(terrain, "fp-terrain"),
            element("polyline", "fp-road-line", points=svg.points(self.surface)),
        ]
        for side in self.sides:
            children += self._hidden(side)
        children += self._vehicle()
        for line in self.lines:
            children += [svg.line(*line, "fp-sight-back"), svg.line(*line, "fp-sight")]
        children += self._eyes()
        ties = [(placed.label.anchor, placed.tie) for placed in self.placed]
        children += [svg.line(*tie, "fp-leader-back") for tie in ties]
        children += [svg.line(*tie, "fp-leader-fine") for tie in ties]
        children += [self._device(placed) for placed in self.devices]
        for placed_label in self.placed:
            children += drawn_label(placed_label)
        children += self._foot(taken)
        return svg.drawing(
            taken.width,
            taken.height,
            children,
            corner=(taken.left, taken.top),
            prefix=self.prefix,
            title=DRAWING["scene-side"].format(title=self.scene.title),
            desc=" ".join((self.description, DRAWING["heights"].format(heights=self._heights))),
            classes="fp-profile",
            patterns=[svg.stripes(f"{self.prefix}-stripes", "fp-hidden-ground", "fp-hidden-stripe", pitch=7)],
        )

    def _hidden(self, side: SideSight) -> list[Element]:
        """The stretches from which the vehicle is hidden, as a band under the road surface."""
        drawn = []
        for near, far in side.hidden:
            ends = sorted(station_ft(self.scene, side.toward, distance) for distance in (near, far))
            low, high = max(ends[0], self.stations[0]), min(ends[1], self.stations[1])
            if high > low:
                top = [self.at(low + (high - low) * index / 24) for index in range(25)]
                band = top + [(x, y + 11) for x, y in reversed(top)]
                drawn.append(svg.polygon(band, "fp-hidden", fill=f"url(#{self.prefix}-stripes)"))
        return drawn

    def _vehicle(self) -> list[Element]:
        length = self.scene.vehicle.length_ft

        def box(start: float, end: float, low: float, high: float) -> list[Point]:
            corners = ((start, low), (start, high), (end, high), (end, low))
            return [self.at(station * length, above) for station, above in corners]

        wheels = [
            svg.circle(*self._wheel(share * length), 4.5, "fp-vehicle-fine") for share in (0.1, 0.24, 0.9)
        ]
        lamp = self.at(0, TAIL_LAMP_FT)
        return [
            svg.polygon(box(0, 1, 2, 4), "fp-vehicle-fine"),
            *wheels,
            svg.polygon(box(0, 0.77, 3.5, VEHICLE_HEIGHT_FT), "fp-vehicle-fine"),
            svg.polygon(box(0.8, 1, 3.5, VEHICLE_HEIGHT_FT - 1), "fp-vehicle-fine"),
            svg.polygon(box(0.94, 1, 7, VEHICLE_HEIGHT_FT - 3), "fp-vehicle-glass"),
            svg.circle(*lamp, 3.5, "fp-sight-mark"),
        ]

    def _wheel(self, station: float) -> Point:
        x, y = self.at(station)
        return x, y - 4.5

    def _eyes(self) -> list[Element]:
        drawn: list[Element] = []
        for side in self.sides:
            for text in self._texts(side):
                station = station_ft(self.scene, side.toward, text.distance_ft)
                eye = self.at(station, self._eye_ft)
                drawn += [
                    svg.line(self.at(station), eye, "fp-station-back"),
                    svg.line(self.at(station), eye, "fp-station"),
                    svg.circle(*eye, 4, "fp-sight-mark"),
                ]
        return drawn

    def _device(self, placed: LocatedDevice) -> Element:
        x, y = self.at(placed.station_ft)
        return marks.small_device((x, y - 6), 13)

    @property
    def _heights(self) -> str:
        return heights(self.times)

    def _foot(self, taken: Box) -> list[Element]:
        block = TextBlock((TextLine(self._heights, SMALL),))
        return block.draw(taken.left + EDGE, taken.bottom - 24)
