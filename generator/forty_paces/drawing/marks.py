"""Symbols on a drawn road: device, vehicle, traffic arrow, ruler, scale break.

Takes page points and returns SVG elements; the drawings decide the positions.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from forty_paces.drawing.roadway import Roadway
from forty_paces.drawing.svg import Element, Point, circle, group, line, polygon, polyline
from forty_paces.drawing.text import Box, set_line

DEVICE_SIDE = 42.0
"Side of a drawn device: wide enough to hold a 15-unit digit inside its face."
NUMBER_SIZE = 15.0

_SQRT3 = math.sqrt(3)


def _triangle(center: Point, side: float) -> list[Point]:
    """Corners of an upright equilateral triangle around its centroid."""
    x, y = center
    return [
        (x, y - side / _SQRT3),
        (x + side / 2, y + side / (2 * _SQRT3)),
        (x - side / 2, y + side / (2 * _SQRT3)),
    ]


def device(center: Point, number: int, *, side: float = DEVICE_SIDE, moved: bool = False) -> Element:
    """A warning triangle: dark edge, red band, light face with its number. Always upright."""
    x, y = center
    shapes = [
        polygon(_triangle(center, side + 4), "fp-device-edge"),
        polygon(_triangle(center, side - 3), "fp-device-band"),
        polygon(_triangle(center, side * 0.65), "fp-device-face"),
        set_line(
            (str(number),),
            x,
            y + NUMBER_SIZE * 0.41,
            NUMBER_SIZE,
            bold=True,
            anchor="middle",
            classes="fp-device-number",
        ),
    ]
    return group(shapes, "fp-device fp-moved" if moved else "fp-device")


def small_device(center: Point, side: float) -> Element:
    """A device at its exact position on a true-to-scale road: too small for a number."""
    edge = polygon(_triangle(center, side + 6), "fp-place-edge")
    face = polygon(_triangle(center, side - 2), "fp-device-face")
    return group([edge, face], "fp-device-place")


def device_box(center: Point, side: float = DEVICE_SIDE) -> Box:
    """The bounding box of a device."""
    x, y = center
    outer = side + 4
    return Box(x - outer / 2, y - outer / _SQRT3, x + outer / 2, y + outer / (2 * _SQRT3))


def vehicle(rear: Point, front: Point, width: float, *, cab: float = 0.2, fine: bool = False) -> Element:
    """A plain box from rear to front, the front marked by a gap, a cab and a dark windshield.

    ``fine`` uses thinner lines, for small drawings.
    """
    body = "fp-vehicle-fine" if fine else "fp-vehicle"
    length = math.hypot(front[0] - rear[0], front[1] - rear[1])
    along = ((front[0] - rear[0]) / length, (front[1] - rear[1]) / length)
    right = (-along[1], along[0])

    def box(start: float, end: float, wide: float) -> list[Point]:
        return [
            (
                rear[0] + along[0] * station + right[0] * side * wide / 2,
                rear[1] + along[1] * station + right[1] * side * wide / 2,
            )
            for station, side in ((start, -1), (start, 1), (end, 1), (end, -1))
        ]

    body_end = length * (1 - cab) - length * 0.04
    glass = length * cab * 0.28
    glass_at = length - length * cab * 0.42
    return group(
        [
            polygon(box(body_end - 1, length * (1 - cab) + 1, width * 0.4), "fp-vehicle-glass"),
            polygon(box(0, body_end, width), body),
            polygon(box(length * (1 - cab), length, width * 0.92), body),
            polygon(box(glass_at, glass_at + glass, width * 0.74), "fp-vehicle-glass"),
        ],
        "fp-vehicle-group",
    )


def arrow(
    tail: Point, head: Point, *, width: float = 5, head_width: float = 16, classes: str = "fp-traffic"
) -> Element:
    """A solid arrow."""
    length = math.hypot(head[0] - tail[0], head[1] - tail[1])
    along = ((head[0] - tail[0]) / length, (head[1] - tail[1]) / length)
    right = (-along[1], along[0])
    neck = length - min(head_width, length * 0.7)

    def at(station: float, side: float) -> Point:
        return (
            tail[0] + along[0] * station + right[0] * side,
            tail[1] + along[1] * station + right[1] * side,
        )

    return polygon(
        [
            at(0, -width / 2),
            at(neck, -width / 2),
            at(neck, -head_width / 2),
            at(length, 0),
            at(neck, head_width / 2),
            at(neck, width / 2),
            at(0, width / 2),
        ],
        classes,
    )


def ruler(points: Sequence[Point], *, tip: float = 9) -> list[Element]:
    """One leg of the ruler along ``points``, with an arrowhead at its end."""
    return [polyline(points, "fp-ruler"), ruler_tip(points[-2], points[-1], tip)]


def ruler_tip(before: Point, end: Point, tip: float = 9) -> Element:
    """The arrowhead of a ruler, its point at ``end``."""
    length = math.hypot(end[0] - before[0], end[1] - before[1])
    along = ((end[0] - before[0]) / length, (end[1] - before[1]) / length)
    right = (-along[1], along[0])
    foot = (end[0] - along[0] * tip, end[1] - along[1] * tip)
    return polygon(
        [
            end,
            (foot[0] + right[0] * tip * 0.4, foot[1] + right[1] * tip * 0.4),
            (foot[0] - right[0] * tip * 0.4, foot[1] - right[1] * tip * 0.4),
        ],
        "fp-ruler-mark",
    )


def ruler_zero(at: Point) -> Element:
    """The zero point of the ruler."""
    return circle(at[0], at[1], 4, "fp-ruler-zero")


def leader(start: Point, end: Point) -> Element:
    """A dotted line from an object to its label."""
    return line(start, end, "fp-leader")


def scale_break(roadway: Roadway, station: float, left: float, right: float) -> Element:
    """A zigzag gap across the road where a length of road is left out."""
    teeth = max(4, 2 * round((right - left) / 22))
    offsets = [left + (right - left) * index / teeth for index in range(teeth + 1)]
    swing = 4.0
    gap = 4.0

    def edge(shift: float) -> list[Point]:
        return [
            roadway.at(station + shift + (swing if index % 2 else -swing), offset)
            for index, offset in enumerate(offsets)
        ]

    low, high = edge(-gap), edge(gap)
    return group(
        [polygon(low + high[::-1], "fp-gap"), polyline(low, "fp-break"), polyline(high, "fp-break")],
        "fp-scale-break",
    )
