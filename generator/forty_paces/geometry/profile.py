"""The vertical profile of a road: grades joined by parabolic vertical curves.

Computes elevation, grade, the clearance of a straight line above the road surface, and in closed form
from where the surface hides a target and how long a stretch braking takes.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Pvi:
    """A point of vertical intersection: where two grades would meet without a curve."""

    station_ft: float
    grade_out_pct: float
    "Grade after it in the direction of rising stations, downhill negative."
    curve_ft: float
    "Length of the parabolic curve, half of it on either side; 0 leaves a sharp break."


@dataclass(frozen=True, slots=True)
class _Parabola:
    """z = elevation + grade·u + rate/2·u², u counted from ``from_ft``."""

    from_ft: float
    to_ft: float
    anchor_ft: float
    elevation_ft: float
    grade: float
    rate: float

    def elevation(self, station_ft: float) -> float:
        along = station_ft - self.anchor_ft
        return self.elevation_ft + along * (self.grade + 0.5 * self.rate * along)

    def slope(self, station_ft: float) -> float:
        return self.grade + self.rate * (station_ft - self.anchor_ft)


@dataclass(frozen=True, slots=True)
class Profile:
    """A profile of unlimited length: the first and the last grade continue. Elevation is 0 at station 0.

    ``ValueError`` where stations do not rise or two vertical curves overlap.
    """

    first_grade_pct: float = 0.0
    pvis: tuple[Pvi, ...] = ()
    _stretches: tuple[_Parabola, ...] = field(init=False, repr=False, compare=False, default=())
    _starts: tuple[float, ...] = field(init=False, repr=False, compare=False, default=())
    _datum_ft: float = field(init=False, repr=False, compare=False, default=0.0)

    def __post_init__(self) -> None:
        stretches = _stretches(self.first_grade_pct / 100, self.pvis)
        object.__setattr__(self, "_stretches", stretches)
        object.__setattr__(self, "_starts", tuple(stretch.from_ft for stretch in stretches))
        object.__setattr__(self, "_datum_ft", self._at(0.0).elevation(0.0))

    def _at(self, station_ft: float) -> _Parabola:
        return self._stretches[max(0, bisect_right(self._starts, station_ft) - 1)]

    @property
    def has_crest(self) -> bool:
        """Whether the grade decreases anywhere, so that the surface can hide something."""
        return any(change < 0 for change in self._changes())

    def _changes(self) -> list[float]:
        grades = [self.first_grade_pct, *(pvi.grade_out_pct for pvi in self.pvis)]
        return [(after - before) / 100 for before, after in itertools.pairwise(grades)]

    def sag_reaches_ft(self, from_ft: float, to_ft: float) -> Iterator[float]:
        """Yield the headlight sight distance of each sag curve that lies between two stations, in feet.

        Headlight sight distance of the AASHTO Green Book: lamps 2 ft up, a beam that rises one degree.
        A sharp break without a curve is left out.
        """
        for change, pvi in zip(self._changes(), self.pvis, strict=True):
            half = pvi.curve_ft / 2
            if change > 0 and half and pvi.station_ft - half < to_ft and pvi.station_ft + half > from_ft:
                yield headlight_sight_ft(pvi.curve_ft, 100 * change)

    def elevation_ft(self, station_ft: float) -> float:
        """Elevation of the road surface above station 0."""
        return self._at(station_ft).elevation(station_ft) - self._datum_ft

    def grade_pct(self, station_ft: float) -> float:
        """Grade in percent toward rising stations, downhill negative."""
        return 100 * self._at(station_ft).slope(station_ft)

    def mean_grade_pct(self, from_ft: float, to_ft: float) -> float:
        """Mean grade in percent of a drive from one station to the other; negative where it descends."""
        run = abs(to_ft - from_ft)
        if run == 0:
            return self.grade_pct(to_ft)
        return 100 * (self.elevation_ft(to_ft) - self.elevation_ft(from_ft)) / run

    def clearance_ft(self, a_ft: float, a_above_ft: float, b_ft: float, b_above_ft: float) -> float:
        """Least height above the surface of the straight line between two points above the road.

        The road is unrolled: on a bend too, the line is taken over the stations between its
        ends, as design handbooks do. Negative where the surface cuts the line.
        """
        if a_ft > b_ft:
            a_ft, a_above_ft, b_ft, b_above_ft = b_ft, b_above_ft, a_ft, a_above_ft
        least = min(a_above_ft, b_above_ft)
        if b_ft == a_ft:
            return least
        start = self._at(a_ft).elevation(a_ft) + a_above_ft
        slope = (self._at(b_ft).elevation(b_ft) + b_above_ft - start) / (b_ft - a_ft)
        first = max(0, bisect_right(self._starts, a_ft) - 1)
        for stretch in self._stretches[first:]:
            if stretch.from_ft > b_ft:
                break
            # On a straight grade the clearance is least at an end; on a crest where the surface is parallel.
            spots = [stretch.from_ft] if stretch.from_ft > a_ft else []
            if stretch.rate < 0:
                parallel = stretch.anchor_ft + (slope - stretch.grade) / stretch.rate
                if max(stretch.from_ft, a_ft) < parallel < min(stretch.to_ft, b_ft):
                    spots.append(parallel)
            for spot in spots:
                least = min(least, start + slope * (spot - a_ft) - stretch.elevation(spot))
        return least

    def hidden_intervals(
        self, target_ft: float, above_ft: float, eye_above_ft: float, *, forward: bool, limit_ft: float
    ) -> list[tuple[float, float]]:
        """Return the distances from which the surface hides a target, nearest first, up to ``limit_ft``.

        ``forward``: the eye comes up from lower stations. With x the distance to a point of the surface
        and q(x) the slope from the target to it, an eye at distance d sees the target unless its own line
        of sight is flatter than the steepest q between. On one stretch q is (a - target)/x + b + c·x, whose
        only turning point is known; between turning points the steepest slope m behind is a constant, and
        the eye's line is flatter than m where a quadratic in d is negative.
        """
        base_ft = self._at(target_ft).elevation(target_ft) + above_ft
        steepest = -math.inf
        hidden: list[tuple[float, float]] = []
        for a, b, c, begin, end in self._away(target_ft, limit_ft, -1 if forward else 1):
            drop = a - base_ft
            turn = math.sqrt(drop / c) if c and drop / c > 0 else begin
            for low, high in _split(begin, turn, end):
                if low > 0:
                    steepest = max(steepest, drop / low + b + c * low)
                if math.isfinite(steepest):
                    for first, last in _negative(c, b - steepest, drop + eye_above_ft, low, high):
                        joins = bool(hidden) and hidden[-1][1] == first
                        hidden.append((hidden.pop()[0] if joins else first, last))
            if end > 0:
                steepest = max(steepest, drop / end + b + c * end)
        return hidden

    def braking_length_ft(
        self, end_ft: float, friction: float, head_ft: float, *, forward: bool, limit_ft: float
    ) -> float | None:
        """Return the shortest stretch before a station on which brakes and slope take up a speed.

        ``head_ft`` is the height that the speed is worth: friction times length plus the rise over it must
        reach that. None where no stretch up to ``limit_ft`` is long enough.
        """
        level_ft = self._at(end_ft).elevation(end_ft)
        for a, b, c, begin, end in self._away(end_ft, limit_ft, -1 if forward else 1):
            # Missing height: head - friction·x - (level - surface), a quadratic in x.
            missing = (c, b - friction, a - level_ft + head_ft)
            short = _negative(*missing, begin, end)
            if short:
                return short[0][0]
        return None

    def _away(
        self, from_ft: float, limit_ft: float, step: int
    ) -> Iterator[tuple[float, float, float, float, float]]:
        """Yield the surface as a + b·x + c·x², with the range of x, walking from a station one way."""
        index = max(0, bisect_right(self._starts, from_ft) - 1)
        while 0 <= index < len(self._stretches):
            stretch = self._stretches[index]
            near, far = (stretch.from_ft, stretch.to_ft) if step > 0 else (stretch.to_ft, stretch.from_ft)
            begin, end = max(0.0, step * (near - from_ft)), min(limit_ft, step * (far - from_ft))
            if begin >= limit_ft:
                return
            if begin < end:
                slope = step * stretch.slope(from_ft)
                yield stretch.elevation(from_ft), slope, stretch.rate / 2, begin, end
            index += step

    def samples(self, from_ft: float, to_ft: float, step_ft: float = 10.0) -> tuple[tuple[float, float], ...]:
        """Return (station, elevation) pairs for drawing, both ends included."""
        count = max(1, math.ceil((to_ft - from_ft) / step_ft))
        stations = [from_ft + (to_ft - from_ft) * index / count for index in range(count + 1)]
        return tuple((station, self.elevation_ft(station)) for station in stations)


def headlight_sight_ft(curve_ft: float, grade_change_pct: float) -> float:
    """Return the reach of headlights across a sag curve; inf where the beam lights all of it.

    Green Book, lamps 2 ft up and one degree: L = A·S²/(400 + 3.5·S) where the sight distance lies
    within the curve, else L = 2S - (400 + 3.5·S)/A, each solved for S.
    """
    rate = curve_ft / grade_change_pct
    within = (3.5 * rate + math.sqrt((3.5 * rate) ** 2 + 1600 * rate)) / 2
    if within <= curve_ft:
        return within
    room = 2 * grade_change_pct - 3.5
    return math.inf if room <= 0 else (grade_change_pct * curve_ft + 400) / room


def _split(begin: float, turn: float, end: float) -> tuple[tuple[float, float], ...]:
    return ((begin, turn), (turn, end)) if begin < turn < end else ((begin, end),)


def _negative(c: float, b: float, a: float, low: float, high: float) -> list[tuple[float, float]]:
    """Return where in [low, high] the quadratic a + b·x + c·x² is negative."""
    if c == 0:
        roots = [] if b == 0 else [-a / b]
    else:
        room = b * b - 4 * a * c
        if room <= 0:
            roots = []
        else:
            # The form that does not subtract nearly equal numbers.
            half = -(b + math.copysign(math.sqrt(room), b)) / 2
            roots = sorted(root for root in (half / c, a / half if half else math.inf))
    ends = [low, *(root for root in roots if low < root < high), high]
    intervals: list[tuple[float, float]] = []
    for begin, end in itertools.pairwise(ends):
        middle = (begin + end) / 2
        if a + middle * (b + c * middle) < 0:
            if intervals and intervals[-1][1] == begin:
                begin = intervals.pop()[0]
            intervals.append((begin, end))
    return intervals


def _stretches(first_grade: float, pvis: tuple[Pvi, ...]) -> tuple[_Parabola, ...]:
    if not pvis:
        return (_Parabola(-math.inf, math.inf, 0.0, 0.0, first_grade, 0.0),)
    stretches: list[_Parabola] = []
    reached, anchor, elevation, grade = -math.inf, pvis[0].station_ft, 0.0, first_grade
    for pvi in pvis:
        if pvi.curve_ft < 0:
            raise ValueError(f"the vertical curve at station {pvi.station_ft:g} ft has a negative length")
        begin, end = pvi.station_ft - pvi.curve_ft / 2, pvi.station_ft + pvi.curve_ft / 2
        if begin < reached:
            raise ValueError(
                f"the vertical curve at station {pvi.station_ft:g} ft begins at {begin:g} ft, "
                f"before {reached:g} ft where the one before it ends"
            )
        stretches.append(_Parabola(reached, begin, anchor, elevation, grade, 0.0))
        after = pvi.grade_out_pct / 100
        elevation += grade * (begin - anchor)
        if pvi.curve_ft > 0:
            rate = (after - grade) / pvi.curve_ft
            stretches.append(_Parabola(begin, end, begin, elevation, grade, rate))
            elevation += pvi.curve_ft * (grade + after) / 2
        reached, anchor, grade = end, end, after
    stretches.append(_Parabola(reached, math.inf, anchor, elevation, grade, 0.0))
    return tuple(stretches)
