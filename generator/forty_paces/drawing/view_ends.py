"""Draws what a driver looks for beside the vehicle: where the view of the road ends, and why.

Two places by letters: A, the near end of what hides the vehicle, or C, the far end of something beside a
straight road; and B, where the pavement of the approaching lane goes out of sight. Sketches, not to scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from forty_paces.drawing import svg
from forty_paces.drawing.marks import vehicle
from forty_paces.drawing.presentation import FONT_FAMILY
from forty_paces.drawing.svg import Element, Point
from forty_paces.drawing.text import TextBlock, TextLine, set_line
from forty_paces.geometry.records import HiddenBy, RuleSet
from forty_paces.messages.drawings import DRAWING

WIDTH, HEIGHT = 236.0, 166.0
GAP = 14.0
"Between two sketches."
_LETTER = _CAPTION = 23.0
"Three sketches side by side on a card are 116 mm wide: so that is 10 pt there."
_GROUND = HEIGHT - 30.0
_LANE = 20.0
_EYE: Point = (80.0, 26.0)
"Where the driver stands in the two plans: beside the vehicle, off the road."


def draw_view_ends(rules: RuleSet, causes: Sequence[HiddenBy], *, prefix: str) -> str:
    """Draw one sketch for each cause, side by side, as SVG."""
    drawn: list[Element] = []
    for place, cause in enumerate(causes):
        left = place * (WIDTH + GAP)
        drawn += _sketched(rules, cause, left)
        caption = TextBlock((TextLine(DRAWING[f"ends-{cause}"], _CAPTION, bold=True),))
        drawn += caption.draw(left + WIDTH / 2, _GROUND + 1, "middle")
    return svg.drawing(
        len(causes) * (WIDTH + GAP) - GAP,
        HEIGHT,
        drawn,
        prefix=prefix,
        title=DRAWING["ends-title"],
        desc=" ".join(_described(cause) for cause in causes),
    )


def _described(cause: HiddenBy) -> str:
    return ": ".join((DRAWING[f"ends-{cause}"], DRAWING[f"ends-{cause}-description"]))


def view_end_definitions(rules: RuleSet) -> str:
    """One hidden SVG that defines the sketches for :func:`view_end_reference` on the same page."""
    defined = tuple(
        svg.element(
            "symbol",
            "",
            _sketched(rules, cause, 0.0),
            id=f"view-end-{cause}",
            viewBox=f"0 0 {svg.number(WIDTH)} {svg.number(_GROUND)}",
            font_family=FONT_FAMILY,
        )
        for cause in HiddenBy
    )
    return svg.element("svg", "", defined, hidden="hidden", aria_hidden="true", focusable="false").write()


def view_end_reference(cause: HiddenBy, classes: str = "", **attributes: str) -> str:
    """A sketch as SVG text of a few bytes, drawn by the definition that the page holds."""
    return svg.element(
        "svg",
        f"fp-drawing {classes}".strip(),
        (svg.element("use", "", href=f"#view-end-{cause}"),),
        viewBox=f"0 0 {svg.number(WIDTH)} {svg.number(_GROUND)}",
        width=WIDTH,
        height=_GROUND,
        role="img",
        aria_label=DRAWING[f"ends-{cause}-description"],
        **attributes,
    ).write()


def _sketched(rules: RuleSet, cause: HiddenBy, left: float) -> list[Element]:
    sketch = _Sketch(left, rules.traffic_keeps == "left", f"fp-mark-{rules.center_line}")
    return [svg.rect(left, 0, WIDTH, _GROUND, "fp-land"), *_SKETCHES[cause](sketch)]


@dataclass(frozen=True, slots=True)
class _Sketch:
    """The ground of one sketch; where traffic keeps to the left it is the mirror image."""

    left: float
    mirrored: bool
    center_line: str

    def at(self, x: float, y: float) -> Point:
        """A point of the sketch on the page."""
        return (self.left + (WIDTH - x if self.mirrored else x), y)

    def area(self, corners: Iterable[Point], classes: str) -> Element:
        """A closed shape."""
        return svg.polygon([self.at(*corner) for corner in corners], classes)

    def box(self, left: float, top: float, right: float, bottom: float, classes: str) -> Element:
        """A rectangle by two corners."""
        return self.area([(left, top), (right, top), (right, bottom), (left, bottom)], classes)

    def line(self, corners: Iterable[Point], classes: str) -> Element:
        """A sequence of straight lines."""
        return svg.polyline([self.at(*corner) for corner in corners], classes)

    def parked(self, top: float) -> list[Element]:
        """In plan: the vehicle on a shoulder above the road, its rear toward the traffic."""
        shoulder = self.box(0, top - 16, 110, top, "fp-shoulder")
        return [shoulder, vehicle(self.at(70, top - 8), self.at(12, top - 8), 13, fine=True)]

    def sight(self, eye: Point, lost: Point) -> list[Element]:
        """The line of sight from the driver to where the pavement is lost."""
        ends = [eye, lost]
        return [
            self.line(ends, "fp-sight-back"),
            self.line(ends, "fp-sight"),
            svg.circle(*self.at(*eye), 6, "fp-ruler-mark"),
        ]

    def mark(self, letter: str, start: Point, end: Point, label: Point) -> list[Element]:
        """A line across the road with its letter."""
        x, y = self.at(*label)
        return [
            self.line([start, end], "fp-station-back"),
            self.line([start, end], "fp-ruler"),
            svg.circle(x, y, 14.5, "fp-ruler-zero"),
            set_line((letter,), x, y + _LETTER * 0.35, _LETTER, bold=True, anchor="middle"),
        ]


def _bend(sketch: _Sketch) -> list[Element]:
    """In plan: the road turns away behind a bank, traffic comes around it toward the vehicle."""
    begin, center, bank, inner = 120.0, (120.0, -24.0), 58.0, 70.0
    outer, middle, lane = inner + 2 * _LANE, inner + _LANE, inner + _LANE / 2
    top, bottom = center[1] + inner, center[1] + outer

    def around(radius: float, degrees: float) -> Point:
        turned = math.radians(degrees)
        return center[0] + radius * math.sin(turned), center[1] + radius * math.cos(turned)

    def arc(radius: float) -> list[Point]:
        """From where the bend begins to the upper edge of the sketch."""
        last, steps = math.degrees(math.acos(-center[1] / radius)), 18
        return [around(radius, last * step / steps) for step in range(steps + 1)]

    lost, turned = _past_circle(_EYE, center, bank, lane)
    return [
        sketch.area([(0, bottom), *arc(outer), *reversed(arc(inner)), (0, top)], "fp-road"),
        sketch.line([(0, center[1] + middle), *arc(middle)], sketch.center_line),
        sketch.area([(begin - 18, 0), (begin - 18, center[1] + bank - 5), *arc(bank)], "fp-terrain"),
        *sketch.parked(top),
        *sketch.sight(_EYE, lost),
        *sketch.mark("A", (begin, top - 3), (begin, bottom + 3), (begin, bottom + 18)),
        *sketch.mark("B", around(inner - 3, turned), around(outer + 3, turned), around(outer + 18, turned)),
    ]


def _hill(sketch: _Sketch) -> list[Element]:
    """From the side: a grade, then a top that rounds off; the far side drops out of sight."""
    begin, top = (112.0, 62.0), (176.0, 45.0)
    rounded = ((top[0] - begin[0] - step) / (top[0] - begin[0]) for step in range(0, 125, 4))
    crest = [
        (begin[0] + 4 * step, top[1] + (begin[1] - top[1]) * share**2) for step, share in enumerate(rounded)
    ]
    ground = [(0.0, 88.0), (78.0, 72.0), *crest]
    eye, lost = (_EYE[0], 38.0), (184.0, 45.3)  # the line touches the ground where it has its slope
    foot = begin[1] + 34
    return [
        sketch.area([*ground, (WIDTH, _GROUND), (0.0, _GROUND)], "fp-terrain"),
        sketch.line(ground, "fp-road-line"),
        sketch.area([(14, 85), (14, 55), (66, 44), (66, 74.4)], "fp-vehicle"),
        sketch.line([eye, (eye[0], 71)], "fp-ruler"),
        *sketch.sight(eye, lost),
        *sketch.mark("A", (begin[0], begin[1] - 12), (begin[0], foot), (begin[0], foot)),
        *sketch.mark("B", (lost[0], lost[1] - 12), (lost[0], foot), (lost[0], foot)),
    ]


def _beside(sketch: _Sketch) -> list[Element]:
    """In plan: a straight road with something beside it, that the line of sight just passes."""
    top, bottom = 46.0, 46.0 + 2 * _LANE
    corner, far = (112.0, 37.0), 208.0
    lane = top + _LANE / 2
    lost = _EYE[0] + (lane - _EYE[1]) * (corner[0] - _EYE[0]) / (corner[1] - _EYE[1])
    return [
        sketch.box(0, top, WIDTH, bottom, "fp-road"),
        sketch.line([(0, top + _LANE), (WIDTH, top + _LANE)], sketch.center_line),
        sketch.box(corner[0], 12, far, corner[1], "fp-obstacle"),
        *sketch.parked(top),
        *sketch.sight(_EYE, (lost, lane)),
        *sketch.mark("B", (lost, top - 3), (lost, bottom + 3), (lost, bottom + 18)),
        *sketch.mark("C", (far, 8), (far, bottom + 3), (far, bottom + 18)),
    ]


_SKETCHES = {HiddenBy.CURVE: _bend, HiddenBy.HILL: _hill, HiddenBy.OBSTRUCTION: _beside}


def _past_circle(eye: Point, center: Point, radius: float, lane: float) -> tuple[Point, float]:
    """Where a line that just passes a circle meets a larger one, and how far around, in degrees."""
    across, up = center[0] - eye[0], center[1] - eye[1]
    apart = math.hypot(across, up)
    direction = math.atan2(up, across) + math.asin(radius / apart)
    reach = math.sqrt(apart**2 - radius**2) + math.sqrt(lane**2 - radius**2)
    lost = (eye[0] + reach * math.cos(direction), eye[1] + reach * math.sin(direction))
    return lost, math.degrees(math.atan2(lost[0] - center[0], lost[1] - center[1]))
