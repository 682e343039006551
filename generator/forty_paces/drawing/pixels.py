"""Lines and shapes in perspective as few whole pixels: projected, cut to the picture, simplified."""

from __future__ import annotations

import math
from collections.abc import Sequence

from forty_paces.geometry.perspective import NEAR_FT, Camera, Point3
from forty_paces.geometry.road import Point

WIDTH, HEIGHT = 1280, 540
TOLERANCE = 1.0
"Pixels by which a drawn line may miss the true one."
MARGIN = 10
"Pixels of a shape that are kept beyond the edge of the picture."

Pixel = tuple[int, int]


def steps(begin: float, end: float) -> list[float]:
    """Distances ahead from near to far, in steps that grow with the distance."""
    found = [begin]
    while found[-1] * 1.16 + 1 < end:
        found.append(found[-1] * 1.16 + 1)
    return [*found, end]


def projected(camera: Camera, lines: Sequence[Sequence[Point3]]) -> list[list[Point]]:
    """Lines point by point, from the first to the last that all of them have ahead of the eye.

    In a sharp bend the far road may pass beside or behind the eye again: the lines end there.
    """
    seen = [[camera.seen(point) for point in line] for line in lines]
    ahead = [min(one[2] for one in column) >= NEAR_FT for column in zip(*seen, strict=True)]
    if True not in ahead:
        return []
    first = ahead.index(True)
    last = next((index for index in range(first, len(ahead)) if not ahead[index]), len(ahead))
    if last - first < 2:
        return []
    return [[camera.pixel(one) for one in line[first:last]] for line in seen]


def simplified(lines: Sequence[Sequence[Point]]) -> list[int]:
    """Indexes of the points that all lines keep, so that none is missed by more than the tolerance."""
    kept = {0, len(lines[0]) - 1}
    waiting = [(0, len(lines[0]) - 1)]
    while waiting:
        first, last = waiting.pop()
        worst, at = 0.0, 0
        for line in lines:
            (ax, ay), (bx, by) = line[first], line[last]
            run = math.hypot(bx - ax, by - ay) or 1.0
            for index in range(first + 1, last):
                x, y = line[index]
                away = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / run
                if away > worst and -200 <= x <= WIDTH + 200:
                    worst, at = away, index
        if worst > TOLERANCE:
            kept.add(at)
            waiting += [(first, at), (at, last)]
    return sorted(kept)


def within(corners: Sequence[Point]) -> tuple[Pixel, ...]:
    """A shape as far as it lies in the picture or just beyond its edge; empty if none of it does."""
    kept = list(corners)
    for axis, extent in ((0, WIDTH), (1, HEIGHT)):
        kept = _cut(_cut(kept, axis, -MARGIN, 1), axis, extent + MARGIN, -1)
    return tuple(map(pixel, kept)) if len(kept) > 2 else ()


def _cut(corners: Sequence[Point], axis: int, limit: float, sign: int) -> list[Point]:
    """The part of a polygon on one side of an upright or level line."""
    kept: list[Point] = []
    for start, end in zip(corners, [*corners[1:], *corners[:1]], strict=True):
        a, b = sign * (start[axis] - limit), sign * (end[axis] - limit)
        if a >= 0:
            kept.append(start)
        if (a >= 0) != (b >= 0):
            share = a / (a - b)
            kept.append((start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])))
    return kept


def pixel(point: Point) -> Pixel:
    """The whole pixel nearest to a point."""
    return round(point[0]), round(point[1])
