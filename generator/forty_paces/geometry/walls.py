"""Sight obstructions beside the road as straight and circular walls in plan.

Tests whether a line of sight meets a wall, and whether a wall is clear of all lines of
sight from a stretch of eye positions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.geometry.profile import Profile
from forty_paces.geometry.road import PlacedPiece, Point, Road
from forty_paces.geometry.scene import Blocker, Strip


@dataclass(frozen=True, slots=True)
class StraightWall:
    """A wall from a to b. Lines that only touch it at eye or target are not blocked."""

    title: str
    ax: float
    ay: float
    bx: float
    by: float
    from_ft: float
    "Station of a, used for the elevation of its base."
    to_ft: float
    height_ft: float

    def meets(self, eye: Point, eye_z: float, target: Point, target_z: float, profile: Profile) -> bool:
        """Whether the wall blocks the line from eye to target."""
        wx, wy = self.bx - self.ax, self.by - self.ay
        side_eye = wx * (eye[1] - self.ay) - wy * (eye[0] - self.ax)
        side_target = wx * (target[1] - self.ay) - wy * (target[0] - self.ax)
        if side_eye * side_target >= 0:
            return False
        dx, dy = target[0] - eye[0], target[1] - eye[1]
        side_a = dx * (self.ay - eye[1]) - dy * (self.ax - eye[0])
        side_b = dx * (self.by - eye[1]) - dy * (self.bx - eye[0])
        # A wall end on the line counts as left of it, so that joined walls leave no gap at a corner.
        if (side_a >= 0) == (side_b >= 0):
            return False
        if math.isinf(self.height_ft):
            return True
        along_wall = side_a / (side_a - side_b)
        station = self.from_ft + along_wall * (self.to_ft - self.from_ft)
        along_line = side_eye / (side_eye - side_target)
        top = profile.elevation_ft(station) + self.height_ft
        return eye_z + along_line * (target_z - eye_z) < top

    def support(self, nx: float, ny: float) -> float:
        """Support function: the farthest extent of the wall in direction (nx, ny)."""
        return max(nx * self.ax + ny * self.ay, nx * self.bx + ny * self.by)

    def encloses(self, points: tuple[Point, ...], margin_ft: float) -> bool:
        """Whether all points lie on its concave side; always False, a straight wall has none."""
        return False


@dataclass(frozen=True, slots=True)
class RoundWall:
    """A wall along a circular arc of less than half a circle."""

    title: str
    cx: float
    cy: float
    radius_ft: float
    mid_x: float
    mid_y: float
    "Unit vector from the center to the middle of the wall."
    cos_half: float
    "Cosine of half the angle it covers."
    sin_half: float
    mid_ft: float
    "Station at its middle."
    curvature: float
    "Of the lane it follows, to convert an angle to a station."
    height_ft: float

    def meets(self, eye: Point, eye_z: float, target: Point, target_z: float, profile: Profile) -> bool:
        """Whether the wall blocks the line from eye to target."""
        dx, dy = target[0] - eye[0], target[1] - eye[1]
        fx, fy = eye[0] - self.cx, eye[1] - self.cy
        a, b = dx * dx + dy * dy, fx * dx + fy * dy
        c = fx * fx + fy * fy - self.radius_ft**2
        inside = b * b - a * c
        if inside <= 0 or a == 0:
            return False
        root = math.sqrt(inside)
        for along in ((-b - root) / a, (-b + root) / a):
            if not 1e-12 < along < 1 - 1e-12:
                continue
            x, y = fx + along * dx, fy + along * dy
            ahead = x * self.mid_x + y * self.mid_y
            if ahead < self.radius_ft * self.cos_half:
                continue
            if math.isinf(self.height_ft):
                return True
            turned = math.atan2(self.mid_x * y - self.mid_y * x, ahead)
            top = profile.elevation_ft(self.mid_ft + turned / self.curvature) + self.height_ft
            if eye_z + along * (target_z - eye_z) < top:
                return True
        return False

    def support(self, nx: float, ny: float) -> float:
        """Support function: the farthest extent of the wall in direction (nx, ny)."""
        ahead = nx * self.mid_x + ny * self.mid_y
        across = abs(self.mid_x * ny - self.mid_y * nx)
        reach = math.hypot(nx, ny)
        if ahead >= reach * self.cos_half:
            return nx * self.cx + ny * self.cy + self.radius_ft * reach
        return nx * self.cx + ny * self.cy + self.radius_ft * (ahead * self.cos_half + across * self.sin_half)

    def encloses(self, points: tuple[Point, ...], margin_ft: float) -> bool:
        """Whether all points lie within its circle, where no line between them can reach it."""
        room = self.radius_ft - margin_ft
        return room > 0 and all(math.hypot(x - self.cx, y - self.cy) < room for x, y in points)


Wall = StraightWall | RoundWall


def walls(road: Road, blockers: Iterable[Blocker]) -> tuple[Wall, ...]:
    """Return every obstruction as walls; strips follow the road exactly, arcs as arcs."""
    result: list[Wall] = []
    for blocker in blockers:
        if isinstance(blocker, Strip):
            result += _along_the_road(road, blocker)
            continue
        corners = list(blocker.corners)
        ends = [*corners[1:], corners[0]] if blocker.closed and len(corners) > 2 else corners[1:]
        for start, end in zip(corners, ends, strict=False):
            a, b = road.position(*start), road.position(*end)
            result.append(StraightWall(blocker.title, *a, *b, start[0], end[0], blocker.height_ft))
    return tuple(result)


def _along_the_road(road: Road, strip: Strip) -> list[Wall]:
    result: list[Wall] = []
    pieces = road.alignment.placed
    for piece in pieces:
        begin = strip.from_ft if piece is pieces[0] else max(strip.from_ft, piece.from_ft)
        end = min(strip.to_ft, piece.to_ft)
        if end <= begin:
            continue
        if piece.curvature:
            result.append(_round(piece, strip, begin, end))
        else:
            a, b = piece.point(begin, strip.offset_ft), piece.point(end, strip.offset_ft)
            result.append(StraightWall(strip.title, *a, *b, begin, end, strip.height_ft))
    return result


def _round(piece: PlacedPiece, strip: Strip, begin: float, end: float) -> RoundWall:
    middle = (begin + end) / 2
    cx, cy = piece.center()
    x, y = piece.point(middle, strip.offset_ft)
    radius = math.hypot(x - cx, y - cy)
    half = abs(piece.curvature) * (end - begin) / 2
    return RoundWall(
        strip.title,
        cx,
        cy,
        radius,
        (x - cx) / radius,
        (y - cy) / radius,
        math.cos(half),
        math.sin(half),
        middle,
        piece.curvature,
        strip.height_ft,
    )


def clear_of_all(wall: Wall, target: Point, first_eye: Point, last_eye: Point, bulge_ft: float) -> bool:
    """Return whether no line from the target to an eye between two points can meet the wall.

    ``bulge_ft`` bounds how far the path of the eye deviates from the chord between them. True only
    where a separating line proves it; False means that a closer check is needed.
    """
    (tx, ty), (ex, ey), (fx, fy) = target, first_eye, last_eye
    if wall.encloses((target, first_eye, last_eye), bulge_ft):
        return True
    axes = [(ty - ey, ex - tx), (ty - fy, fx - tx), (ey - fy, fx - ex)]
    if isinstance(wall, StraightWall):
        axes.append((wall.ay - wall.by, wall.bx - wall.ax))
    else:
        axes.append((wall.mid_x, wall.mid_y))
    for nx, ny in axes:
        pad = bulge_ft * math.hypot(nx, ny)
        at_target, at_first, at_last = nx * tx + ny * ty, nx * ex + ny * ey, nx * fx + ny * fy
        lowest = min(at_target, at_first - pad, at_last - pad)
        highest = max(at_target, at_first + pad, at_last + pad)
        if lowest > wall.support(nx, ny) or highest < -wall.support(-nx, -ny):
            return True
    return False
