"""Finding room for labels around what is already drawn, and reading labels back.

In: labels with the points they belong to, the page, and what must not be covered.
Out: a box for each label, none overlapping another, all on the page; or, from
`text_boxes`, the box of every word in a finished SVG, so that tests can prove it.
It refuses to move anything but labels.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from xml.etree import ElementTree

from forty_paces.drawing.svg import Point
from forty_paces.drawing.text import Box, TextBlock, line_box

_DISTANCES = (9.0, 16.0, 26.0, 38.0, 54.0, 74.0, 98.0, 126.0, 160.0, 200.0, 250.0)
_DIRECTIONS = tuple((math.cos(math.pi * step / 12), math.sin(math.pi * step / 12)) for step in range(24))
_MARGIN = 5.0
"Kept free between two labels."
PLATE = 4.0
"How far the plate below a label's words reaches beyond them."


@dataclass(frozen=True, slots=True)
class Label:
    """Words that belong to a point."""

    anchor: Point
    block: TextBlock
    icon: float = 0.0
    "Width kept free before the words for a symbol."
    icon_height: float = 0.0
    number: int = 0
    "Of the device drawn as its symbol; 0 for none."
    elsewhere: tuple[Point, ...] = ()
    "Other points that it may be tied to as well."

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, symbol included."""
        return self.icon + self.block.width, max(self.block.height, self.icon_height)


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label that has found its room."""

    label: Label
    box: Box
    tie: Point
    "The point of the box nearest its anchor."


@dataclass(frozen=True, slots=True)
class AvoidPoint:
    """A point that is better left uncovered."""

    x: float
    y: float
    weight: float


def place_labels(
    labels: Sequence[Label],
    page: Box,
    *,
    blocked: Iterable[Box] = (),
    busy: Sequence[AvoidPoint] = (),
    among: Iterable[PlacedLabel] = (),
    barrier: Sequence[Point] = (),
) -> tuple[PlacedLabel, ...] | None:
    """A room for every label, earlier ones choosing first; None where one finds none on this page.

    ``among`` are labels set before, whose leaders should not be crossed; ``barrier`` is a line that no
    leader should cross either.
    """
    taken = list(blocked)
    lying = page.width >= page.height  # sorted along the road, so that a room asks few of them
    ordered = sorted(busy, key=lambda spot: spot.x if lying else spot.y)
    along = [spot.x if lying else spot.y for spot in ordered]
    before = list(among)
    placed: list[PlacedLabel] = []
    for label in labels:
        best: tuple[float, PlacedLabel] | None = None
        for distance in _DISTANCES:
            if best is not None and best[0] < distance:
                break
            for anchor, room in _rooms(label, distance):
                if not room.inside(page) or any(room.overlaps(box, _MARGIN) for box in taken):
                    continue
                box = room.grown(2)
                first, last = (box.left, box.right) if lying else (box.top, box.bottom)
                near = ordered[bisect_right(along, first) : bisect_left(along, last)]
                covered = [
                    spot.weight
                    for spot in near
                    if box.left < spot.x < box.right and box.top < spot.y < box.bottom
                ]
                least = math.fsum((distance, *covered))
                if best is not None and least >= best[0]:
                    continue
                candidate = _tied(label, anchor, room)
                cost = least + _cost(candidate, [*before, *placed], barrier)
                if best is None or cost < best[0]:
                    best = (cost, candidate)
        if best is None:
            return None
        placed.append(best[1])
        taken.append(best[1].box)
    return tuple(placed)


def _rooms(label: Label, distance: float) -> Iterable[tuple[Point, Box]]:
    """Boxes all round the anchor and every other point the label may be tied to, ``distance`` away."""
    width, height = label.size
    # From the anchor to the upper left corner: the same from every anchor.
    corners = [
        (dx * distance + (_lean(dx) - 1) * width / 2, dy * distance + (_lean(dy) - 1) * height / 2)
        for dx, dy in _DIRECTIONS
    ]
    for x, y in (label.anchor, *label.elsewhere):
        for right, down in corners:
            left, top = x + right, y + down
            yield (x, y), Box(left, top, left + width, top + height)


def _tied(label: Label, anchor: Point, room: Box) -> PlacedLabel:
    tie = (min(max(anchor[0], room.left), room.right), min(max(anchor[1], room.top), room.bottom))
    return PlacedLabel(replace(label, anchor=anchor, elsewhere=()), room, tie)


def _lean(part: float) -> float:
    """-1, 1 or in between: how far to one side of the anchor a label stands."""
    return max(-1.0, min(1.0, part * 1.8))


def _cost(candidate: PlacedLabel, placed: Sequence[PlacedLabel], barrier: Sequence[Point]) -> float:
    """What speaks against a place in view of the labels that have one, and of the barrier."""
    cost = 0.0
    line = (candidate.label.anchor, candidate.tie)
    for other in placed:
        if crosses(line, (other.label.anchor, other.tie)):
            cost += 400
        if line_meets_box(line, other.box.grown(PLATE)):
            cost += 700  # it would vanish below the other's plate
        if line_meets_box((other.label.anchor, other.tie), candidate.box):
            cost += 400
    if any(crosses(line, piece) for piece in itertools.pairwise(barrier)):
        cost += 400
    return cost


def spread(wanted: Sequence[float], extents: Sequence[float], gap: float) -> list[float]:
    """Middles for things in a row, in order, as near to the wanted ones as keeps them ``gap`` apart.

    The least sum of squared shifts, by pooling neighbors that would collide (isotonic regression).
    """
    steps = [0.0]
    for before, after in itertools.pairwise(extents):
        steps.append(steps[-1] + (before + after) / 2 + gap)
    pools: list[tuple[float, int]] = []
    for want, step in zip(wanted, steps, strict=True):
        mean, count = want - step, 1
        while pools and pools[-1][0] > mean:
            other, others = pools.pop()
            mean, count = (mean * count + other * others) / (count + others), count + others
        pools.append((mean, count))
    starts = [mean for mean, count in pools for _ in range(count)]
    return [start + step for start, step in zip(starts, steps, strict=True)]


def crosses(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Whether two lines cross within their lengths."""

    def turn(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = first, second
    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def line_meets_box(line: tuple[Point, Point], box: Box) -> bool:
    """Whether a line runs through a box."""
    clipped = clip(line, box)
    return clipped is not None and clipped[0] != clipped[1]


def clip(line: tuple[Point, Point], box: Box) -> tuple[Point, Point] | None:
    """The part of a line inside a box, or None (Liang and Barsky's method)."""
    (x, y), (end_x, end_y) = line
    dx, dy = end_x - x, end_y - y
    enter, leave = 0.0, 1.0
    for step, room in ((-dx, x - box.left), (dx, box.right - x), (-dy, y - box.top), (dy, box.bottom - y)):
        if step == 0:
            if room < 0:
                return None
            continue
        share = room / step
        if step < 0:
            enter = max(enter, share)
        else:
            leave = min(leave, share)
        if enter > leave:
            return None
    return (x + dx * enter, y + dy * enter), (x + dx * leave, y + dy * leave)


@dataclass(frozen=True, slots=True)
class TextBox:
    """Words found in an SVG and the room they take."""

    text: str
    box: Box
    size: float
    shown: bool
    "False inside anything with display none."
    classes: str


def text_boxes(svg: str) -> tuple[TextBox, ...]:
    """Every text element of an SVG with its measured box. Shifts by translate are followed."""
    found: list[TextBox] = []
    _collect(ElementTree.fromstring(svg), True, (0.0, 0.0), found)
    return tuple(found)


def view_box(svg: str) -> Box:
    """The view box of an SVG."""
    left, top, width, height = (float(part) for part in ElementTree.fromstring(svg).attrib["viewBox"].split())
    return Box(left, top, left + width, top + height)


def _collect(element: ElementTree.Element, shown: bool, shift: Point, found: list[TextBox]) -> None:
    shown = shown and element.get("display") != "none"
    moved = element.get("transform", "")
    if moved.startswith("translate("):
        x, y = (float(part) for part in moved.removeprefix("translate(").rstrip(")").split(","))
        shift = (shift[0] + x, shift[1] + y)
    if element.tag.endswith("}text"):
        words = "".join(element.itertext())
        size = float(element.get("font-size", "16"))
        anchor = element.get("text-anchor", "start")
        box = line_box(
            words,
            float(element.get("x", "0")) + shift[0],
            float(element.get("y", "0")) + shift[1],
            size,
            bold=element.get("font-weight") == "700",
            anchor="middle" if anchor == "middle" else "end" if anchor == "end" else "start",
        )
        found.append(TextBox(words, box, size, shown, element.get("class", "")))
    for child in element:
        _collect(child, shown, shift, found)
