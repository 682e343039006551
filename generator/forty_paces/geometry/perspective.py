"""What an approaching driver's eye sees of points beside the road: a pinhole camera on the road axis.

Points are plan x, plan y and elevation in feet, as in :mod:`.road`; pictures are in pixels, y down.
``x = cx + f·r/a`` and ``y = cy - f·u/a``, with r, u and a the distances of a point to the right of, above and
ahead of the eye, and f the focal length: the pinhole model of Hartley and Zisserman, Multiple View Geometry,
chapter 6 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from forty_paces.geometry.profile import Profile
from forty_paces.geometry.road import Point, Road

Point3 = tuple[float, float, float]

NEAR_FT = 6.0
"Nothing nearer to the eye than this is projected."
LOOK_FT = 200.0
"Drivers look along their lane: the picture's center is a point this far ahead (common practice, no source)."
_SAMPLE_FT = 5.0
"Steps in which the surface is searched for crests."


@dataclass(frozen=True, slots=True)
class Camera:
    """An eye, the direction it looks in, and the picture it makes."""

    eye: Point3
    ahead: Point3
    "Unit vector along the line of view."
    focal: float
    "Focal length in pixels."
    center: Point
    "Pixel at which the line of view ends."

    right: Point3 = field(init=False, repr=False, compare=False, default=(0.0, 0.0, 0.0))
    "Unit vector to the right, level."
    up: Point3 = field(init=False, repr=False, compare=False, default=(0.0, 0.0, 0.0))
    "Unit vector up in the picture."

    def __post_init__(self) -> None:
        ax, ay, az = self.ahead
        run = math.hypot(ax, ay)
        rx, ry = ay / run, -ax / run
        object.__setattr__(self, "right", (rx, ry, 0.0))
        object.__setattr__(self, "up", (ry * az, -rx * az, rx * ay - ry * ax))

    def seen(self, point: Point3) -> Point3:
        """Feet to the right of the eye, above it, and ahead of it along the line of view."""
        x, y, z = point[0] - self.eye[0], point[1] - self.eye[1], point[2] - self.eye[2]
        (rx, ry, _), (ux, uy, uz), (ax, ay, az) = self.right, self.up, self.ahead
        return x * rx + y * ry, x * ux + y * uy + z * uz, x * ax + y * ay + z * az

    def pixel(self, seen: Point3) -> Point:
        """Pixel of a point given as :meth:`seen` gives it; ``ValueError`` if nearer than :data:`NEAR_FT`."""
        right, up, ahead = seen
        if ahead < NEAR_FT - 1e-9:
            raise ValueError(f"a point {ahead:g} ft ahead of the eye has no place in the picture")
        return self.center[0] + self.focal * right / ahead, self.center[1] - self.focal * up / ahead

    def project(self, point: Point3) -> Point:
        """Pixel of a point; ``ValueError`` for one nearer than :data:`NEAR_FT` or behind the eye."""
        return self.pixel(self.seen(point))

    def scale(self, point: Point3) -> float:
        """Pixels per foot at a point, across the line of view."""
        return self.focal / self.seen(point)[2]

    def polygon(self, corners: Sequence[Point3]) -> list[Point]:
        """Pixels of a flat shape, cut off where it comes nearer than :data:`NEAR_FT`; empty if it all is."""
        inside: list[Point3] = []
        for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
            a, b = self.seen(start)[2] - NEAR_FT, self.seen(end)[2] - NEAR_FT
            if a >= 0:
                inside.append(start)
            if (a >= 0) != (b >= 0):
                share = a / (a - b)
                x, y, z = (p + share * (q - p) for p, q in zip(start, end, strict=True))
                inside.append((x, y, z))
        return [self.project(point) for point in inside]


@dataclass(frozen=True, slots=True)
class DriverPath:
    """One driver's way along a road: the lane, the direction and the height of the eye."""

    road: Road
    offset_ft: float
    height_ft: float
    forward: bool
    "True for traffic toward rising stations."

    def station(self, eye_ft: float, ahead_ft: float) -> float:
        """The station so far ahead of an eye."""
        return eye_ft + ahead_ft if self.forward else eye_ft - ahead_ft

    def point(self, station_ft: float, offset_ft: float, above_ft: float = 0.0) -> Point3:
        """The point above the road at a station and offset."""
        x, y = self.road.position(station_ft, offset_ft)
        return x, y, self.road.elevation_ft(station_ft) + above_ft

    def camera(self, eye_ft: float, focal: float, center: Point) -> Camera:
        """The camera of the driver with the eye at a station: it looks along the lane."""
        eye = self.point(eye_ft, self.offset_ft, self.height_ft)
        aim = self.point(self.station(eye_ft, LOOK_FT), self.offset_ft, self.height_ft)
        offset = (aim[0] - eye[0], aim[1] - eye[1], aim[2] - eye[2])
        run = math.hypot(*offset)
        return Camera(eye, (offset[0] / run, offset[1] / run, offset[2] / run), focal, center)

    def surface_in_view(self, eye_ft: float, from_ft: float, to_ft: float) -> list[tuple[float, float]]:
        """Stretches of the road surface that no crest hides, as distances ahead of the eye, nearest first.

        The road is unrolled, as for :meth:`.profile.Profile.clearance_ft`. Sampled in steps of 5 ft.
        """
        return list(_in_view(self.road.profile, self, eye_ft, from_ft, to_ft))


def _in_view(
    profile: Profile, approach: DriverPath, eye_ft: float, from_ft: float, to_ft: float
) -> Iterator[tuple[float, float]]:
    if not profile.has_crest:
        yield from_ft, to_ft
        return
    eye_z = profile.elevation_ft(eye_ft) + approach.height_ft
    steepest, begin, last = -math.inf, from_ft, from_ft
    shown = True
    count = math.ceil((to_ft - from_ft) / _SAMPLE_FT)
    for index in range(count + 1):
        ahead = min(to_ft, from_ft + index * _SAMPLE_FT)
        slope = (profile.elevation_ft(approach.station(eye_ft, ahead)) - eye_z) / ahead
        if slope >= steepest:
            if not shown:
                begin, shown = ahead, True
            steepest, last = slope, ahead
        elif shown:
            if last > begin:
                yield begin, last
            shown = False
    if shown and last > begin:
        yield begin, last
