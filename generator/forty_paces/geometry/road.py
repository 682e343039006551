"""A road: horizontal alignment, vertical profile and cross-section.

Computes plan position, heading, curvature and elevation at a station and offset,
and polylines along the road.

Stations run in feet along the center of the travel lane, 0 at the rear of the
stopped vehicle, positive in its direction of travel. Offsets are feet across
the road from that line, positive to the right. Plan coordinates are feet with
x along the lane at station 0 and y to its left. Cross slope is left out.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum

from forty_paces.geometry.profile import Profile

Point = tuple[float, float]


class Turn(StrEnum):
    """Which way an arc turns in the direction of rising stations."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Tangent:
    """A straight piece of the alignment."""

    length_ft: float


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc of the alignment."""

    length_ft: float
    radius_ft: float
    "At the center of the travel lane."
    turn: Turn


Piece = Tangent | Arc


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece with its computed start: station, plan point and heading (radians, left of x)."""

    from_ft: float
    to_ft: float
    x: float
    y: float
    heading: float
    curvature: float
    "1/ft, positive to the left, 0 on a tangent."

    def heading_at(self, station_ft: float) -> float:
        """Heading in radians."""
        return self.heading + self.curvature * (station_ft - self.from_ft)

    def point(self, station_ft: float, offset_ft: float) -> Point:
        """Plan point at a station and offset, computed exactly for tangents and arcs."""
        along = station_ft - self.from_ft
        if self.curvature == 0:
            sine, cosine = math.sin(self.heading), math.cos(self.heading)
            return self.x + along * cosine + offset_ft * sine, self.y + along * sine - offset_ft * cosine
        turned = self.heading + self.curvature * along
        radius = 1 / self.curvature
        sine, cosine = math.sin(turned), math.cos(turned)
        return (
            self.x + radius * (sine - math.sin(self.heading)) + offset_ft * sine,
            self.y - radius * (cosine - math.cos(self.heading)) - offset_ft * cosine,
        )

    def center(self) -> Point:
        """Center of the circle; defined only for an arc."""
        radius = 1 / self.curvature
        return self.x - radius * math.sin(self.heading), self.y + radius * math.cos(self.heading)


@dataclass(frozen=True, slots=True)
class Alignment:
    """The horizontal alignment: pieces by rising station. Beyond both ends it continues straight.

    ``ValueError`` for a piece without length, an arc without radius, or an arc of half a turn or more.
    """

    start_ft: float = 0.0
    pieces: tuple[Piece, ...] = ()
    placed: tuple[PlacedPiece, ...] = field(init=False, repr=False, compare=False, default=())
    "The pieces with a straight run before and after them; station 0 is at the origin."
    _starts: tuple[float, ...] = field(init=False, repr=False, compare=False, default=())

    def __post_init__(self) -> None:
        placed = _placed(self.start_ft, self.pieces)
        object.__setattr__(self, "placed", placed)
        object.__setattr__(self, "_starts", tuple(piece.from_ft for piece in placed))

    @property
    def end_ft(self) -> float:
        """Station at which the described part ends."""
        return self.start_ft + math.fsum(piece.length_ft for piece in self.pieces)

    def piece(self, station_ft: float) -> PlacedPiece:
        """The piece that contains a station."""
        return self.placed[max(0, bisect_right(self._starts, station_ft) - 1)]

    def mirrored(self) -> Alignment:
        """Return the alignment with left and right exchanged."""
        return Alignment(self.start_ft, tuple(_opposite(piece) for piece in self.pieces))


def _opposite(piece: Piece) -> Piece:
    if isinstance(piece, Tangent):
        return piece
    return Arc(piece.length_ft, piece.radius_ft, Turn.LEFT if piece.turn is Turn.RIGHT else Turn.RIGHT)


def _placed(start_ft: float, pieces: tuple[Piece, ...]) -> tuple[PlacedPiece, ...]:
    chain: list[PlacedPiece] = []
    station, point, heading = start_ft, (0.0, 0.0), 0.0
    for piece in pieces:
        if not piece.length_ft > 0:
            raise ValueError(f"a piece of road is {piece.length_ft:g} ft long; it needs a length above 0")
        curvature = 0.0
        if isinstance(piece, Arc):
            if not piece.radius_ft > 0:
                raise ValueError(f"an arc has a radius of {piece.radius_ft:g} ft; it needs one above 0")
            if piece.length_ft >= math.pi * piece.radius_ft:
                raise ValueError(f"an arc of radius {piece.radius_ft:g} ft turns by half a circle or more")
            curvature = (1 if piece.turn is Turn.LEFT else -1) / piece.radius_ft
        placed = PlacedPiece(station, station + piece.length_ft, *point, heading, curvature)
        chain.append(placed)
        station, point, heading = (
            placed.to_ft,
            placed.point(placed.to_ft, 0.0),
            placed.heading_at(placed.to_ft),
        )
    # The straight runs beyond the ends are anchored at finite stations; only their limits are infinite.
    before = PlacedPiece(start_ft, start_ft, 0.0, 0.0, 0.0, 0.0)
    after = PlacedPiece(station, math.inf, *point, heading, 0.0)
    chain = [before, *chain, after]
    origin = next((piece for piece in reversed(chain) if piece.from_ft <= 0), before)
    zero, turn = origin.point(0.0, 0.0), -origin.heading_at(0.0)
    return tuple(_moved(piece, zero, turn) for piece in chain)


def _moved(piece: PlacedPiece, zero: Point, turn: float) -> PlacedPiece:
    sine, cosine = math.sin(turn), math.cos(turn)
    x, y = piece.x - zero[0], piece.y - zero[1]
    return PlacedPiece(
        piece.from_ft,
        piece.to_ft,
        x * cosine - y * sine,
        x * sine + y * cosine,
        piece.heading + turn,
        piece.curvature,
    )


@dataclass(frozen=True, slots=True)
class Lane:
    """One lane."""

    center_ft: float
    "Offset of its center; 0 for the travel lane."
    width_ft: float
    forward: bool
    "True where its traffic runs toward rising stations."

    @property
    def left_ft(self) -> float:
        """Offset of its left edge."""
        return self.center_ft - self.width_ft / 2

    @property
    def right_ft(self) -> float:
        """Offset of its right edge."""
        return self.center_ft + self.width_ft / 2


@dataclass(frozen=True, slots=True)
class Carriageway:
    """Adjacent lanes from left to right, with a shoulder at either edge (0: none)."""

    lanes: tuple[Lane, ...]
    left_shoulder_ft: float
    right_shoulder_ft: float

    @property
    def left_ft(self) -> float:
        """Offset of the paved edge on the left."""
        return self.lanes[0].left_ft - self.left_shoulder_ft

    @property
    def right_ft(self) -> float:
        """Offset of the paved edge on the right."""
        return self.lanes[-1].right_ft + self.right_shoulder_ft

    def mirrored(self) -> Carriageway:
        """Return the carriageway with left and right exchanged."""
        return Carriageway(
            tuple(Lane(-lane.center_ft, lane.width_ft, lane.forward) for lane in reversed(self.lanes)),
            self.right_shoulder_ft,
            self.left_shoulder_ft,
        )


@dataclass(frozen=True, slots=True)
class Road:
    """Alignment, profile and cross-section of one road."""

    alignment: Alignment = field(default_factory=Alignment)
    profile: Profile = field(default_factory=Profile)
    carriageways: tuple[Carriageway, ...] = ()
    "The vehicle's own first; a divided road has a second one across the median."

    def position(self, station_ft: float, offset_ft: float = 0.0) -> Point:
        """Plan point in feet."""
        return self.alignment.piece(station_ft).point(station_ft, offset_ft)

    def heading(self, station_ft: float) -> float:
        """Direction of rising stations in radians, counted left from the x axis."""
        return self.alignment.piece(station_ft).heading_at(station_ft)

    def elevation_ft(self, station_ft: float) -> float:
        """Elevation of the surface above station 0."""
        return self.profile.elevation_ft(station_ft)

    def line(
        self, offset_ft: float, from_ft: float, to_ft: float, sagitta_ft: float = 0.05
    ) -> tuple[Point, ...]:
        """Return a polyline along the road at an offset; its chords deviate by at most ``sagitta_ft``.

        ``ValueError`` unless ``to_ft`` is above ``from_ft``.
        """
        if to_ft <= from_ft:
            raise ValueError(
                f"a line along the road must rise in station, not run from {from_ft:g} to {to_ft:g} ft"
            )
        points = [self.position(from_ft, offset_ft)]
        for piece in self.alignment.placed:
            begin, end = max(from_ft, piece.from_ft), min(to_ft, piece.to_ft)
            if piece is self.alignment.placed[0]:
                begin, end = from_ft, min(to_ft, piece.to_ft)
            if end <= begin:
                continue
            count = 1
            if piece.curvature:
                radius = abs(1 / piece.curvature + offset_ft)
                chord = math.sqrt(8 * max(radius, 1.0) * sagitta_ft)
                count = max(1, math.ceil((end - begin) * max(radius, 1.0) * abs(piece.curvature) / chord))
            points += [piece.point(begin + (end - begin) * i / count, offset_ft) for i in range(1, count + 1)]
        return tuple(points)

    def mirrored(self) -> Road:
        """Return the road with left and right exchanged: plan y and all offsets change sign."""
        return Road(
            self.alignment.mirrored(), self.profile, tuple(way.mirrored() for way in self.carriageways)
        )


def two_lane(lane_ft: float, shoulder_ft: float, far_shoulder_ft: float) -> tuple[Carriageway, ...]:
    """One lane each way, traffic keeping right; mirror it where traffic keeps left."""
    lanes = (Lane(-lane_ft, lane_ft, forward=False), Lane(0.0, lane_ft, forward=True))
    return (Carriageway(lanes, far_shoulder_ft, shoulder_ft),)


def one_way(
    lanes: int, lane_ft: float, shoulder_ft: float, far_shoulder_ft: float
) -> tuple[Carriageway, ...]:
    """Lanes that all run in the vehicle's direction; the vehicle uses the rightmost."""
    row = tuple(Lane(-lane_ft * index, lane_ft, forward=True) for index in reversed(range(lanes)))
    return (Carriageway(row, far_shoulder_ft, shoulder_ft),)


def divided(
    lanes: int, lane_ft: float, shoulder_ft: float, far_shoulder_ft: float, median_ft: float
) -> tuple[Carriageway, ...]:
    """Two one-way carriageways; ``median_ft`` is the distance between the paved edges."""
    (own,) = one_way(lanes, lane_ft, shoulder_ft, far_shoulder_ft)
    first = own.left_ft - median_ft - far_shoulder_ft - lane_ft / 2
    row = tuple(Lane(first - lane_ft * index, lane_ft, forward=False) for index in reversed(range(lanes)))
    return (own, Carriageway(row, shoulder_ft, far_shoulder_ft))
