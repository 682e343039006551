"""The labels of a drawing: their texts, and their placement around what is drawn already.

:func:`place_labels` finds a box for each label, none overlapping another, all on the page. Only labels are
moved.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from forty_paces.drawing.svg import Point
from forty_paces.drawing.text import Box, TextBlock, TextLine, balanced
from forty_paces.geometry.records import Device, RuleSet
from forty_paces.messages.drawings import DRAWING
from forty_paces.messages.quantities import length, paces
from forty_paces.messages.terms import across_words

_DISTANCES = (9.0, 16.0, 26.0, 38.0, 54.0, 74.0, 98.0, 126.0, 160.0, 200.0, 250.0)
_DIRECTIONS = tuple((math.cos(math.pi * step / 12), math.sin(math.pi * step / 12)) for step in range(24))
_MARGIN = 5.0
"Minimum space between two labels."
PLATE = 4.0
"How far the background plate of a label extends beyond its words."


@dataclass(frozen=True, slots=True)
class Label:
    """Text that belongs to a point."""

    anchor: Point
    block: TextBlock
    icon: float = 0.0
    "Width reserved before the words for a symbol."
    icon_height: float = 0.0
    number: int = 0
    "Number of the device drawn as its symbol; 0 for none."
    elsewhere: tuple[Point, ...] = ()
    "Alternative points that its leader may end at."

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, symbol included."""
        return self.icon + self.block.width, max(self.block.height, self.icon_height)


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label with its box."""

    label: Label
    box: Box
    tie: Point
    "The point of the box nearest its anchor, where its leader ends."


@dataclass(frozen=True, slots=True)
class AvoidPoint:
    """A point that should preferably not be covered."""

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
    """Place every label, earlier labels choosing first; None where one does not fit on this page.

    ``among`` are labels placed before, whose leaders should not be crossed; ``barrier`` is a line that no
    leader should cross either.
    """
    taken = list(blocked)
    lying = page.width >= page.height  # sorted along the road, so that each box checks only a few of them
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
    """Candidate boxes all around each of the label's points, ``distance`` away."""
    width, height = label.size
    # From the anchor to the upper left corner of the box: identical for every anchor.
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
    """-1, 1 or in between: how far to one side of the anchor the label is."""
    return max(-1.0, min(1.0, part * 1.8))


def _cost(candidate: PlacedLabel, placed: Sequence[PlacedLabel], barrier: Sequence[Point]) -> float:
    """Penalty of a candidate for crossing or covering placed labels, their leaders or the barrier."""
    cost = 0.0
    line = (candidate.label.anchor, candidate.tie)
    for other in placed:
        if crosses(line, (other.label.anchor, other.tie)):
            cost += 400
        if line_meets_box(line, other.box.grown(PLATE)):
            cost += 700  # it would be hidden under the other's plate
        if line_meets_box((other.label.anchor, other.tie), candidate.box):
            cost += 400
    if any(crosses(line, piece) for piece in itertools.pairwise(barrier)):
        cost += 400
    return cost


def spread(wanted: Sequence[float], extents: Sequence[float], gap: float) -> list[float]:
    """Center positions in a row, in order and as near to the wanted ones as keeps extents ``gap`` apart.

    Minimizes the sum of squared shifts by pooling neighbors that would collide (isotonic regression).
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
    """Whether two line segments cross."""

    def turn(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = first, second
    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def line_meets_box(line: tuple[Point, Point], box: Box) -> bool:
    """Whether a line segment passes through a box."""
    clipped = clip(line, box)
    return clipped is not None and clipped[0] != clipped[1]


def clip(line: tuple[Point, Point], box: Box) -> tuple[Point, Point] | None:
    """The part of a line segment inside a box, or None (Liang-Barsky clipping)."""
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


def device_lines(
    device: Device, rules: RuleSet, *, sizes: tuple[float, float, float], width: float
) -> tuple[TextLine, ...]:
    """Return a device's label: distance, paces, position across the road, and whether it moved.

    A device beside the vehicle has no distance; its label gives the position alone.
    """
    big, middle, small = sizes
    if not device.distance_ft:
        return tuple(
            TextLine(part, middle, bold=True) for part in balanced(across_words(device.across), middle, width)
        )
    lines = [
        TextLine(length(rules, device.distance_ft), big, bold=True),
        TextLine(paces(device.paces), middle, bold=True),
    ]
    lines += [TextLine(part, small) for part in balanced(across_words(device.across), small, width)]
    if device.moved:
        lines.append(TextLine(DRAWING["moved-out"], small, bold=True))
    return tuple(lines)
