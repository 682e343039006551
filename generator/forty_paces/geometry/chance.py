"""The share of approaching drivers who can stop within a distance.

Reaction time, deceleration and speed differ from driver to driver. Each is a distribution here; the
share is the probability that ``v·t + v²/(2·g·(a + G))`` does not exceed the distance, with the three
taken as independent (an assumption). It is computed by quadrature, so the same question always has the
same answer. Three sets of assumptions give a band: no single share is known.

What the share leaves out: every driver is taken to be a car driver who sees the warning at that
distance and understands that it means stopping. No study of how drivers react to a warning triangle was
found, and none of how truck drivers brake for one.

How each published figure was met is said beside it: *abstract* means that only the paper's abstract was
read, *read in part* that the quoted table was read and not the whole report, *second-hand* that another
text quotes it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import ASSUMED_FRICTION, STANDARD_GRAVITY_FPS2
from forty_paces.geometry.units import mph_to_fps, whole_down

_STANDARD = NormalDist()
_P95 = _STANDARD.inv_cdf(0.95)
_WIDEST_SD = 5.0
_STEP_SD = 0.25
_FINE_STEP_SD = 0.05
"""Nodes of the quadrature, in standard deviations.

On a smooth function the trapezoid rule with a normal density is exact to many digits at 0.25. Where every
driver brakes alike, on snow and ice, the share as a function of speed is close to a step: more nodes.
"""


@dataclass(frozen=True, slots=True)
class ReactionTime:
    """A lognormal distribution of perception-brake reaction times, in seconds."""

    median_s: float
    p95_s: float
    added_s: float = 0.0
    "Added to every driver's time."

    @classmethod
    def from_mean(
        cls, mean_s: float, share: float, percentile_s: float, added_s: float = 0.0
    ) -> ReactionTime:
        """Fit a mean and one percentile, as studies give them.

        A lognormal distribution with mean M and quantile Q at z has ``z·σ - σ²/2 = ln(Q/M)``; the smaller
        root is taken. ``ValueError`` where no lognormal distribution has both.
        """
        z = _STANDARD.inv_cdf(share)
        room = z * z - 2 * math.log(percentile_s / mean_s)
        if room < 0:
            raise ValueError(
                f"no lognormal times have the mean {mean_s:g} s and {percentile_s:g} s at {share:g}"
            )
        sigma = z - math.sqrt(room)
        median_s = mean_s * math.exp(-sigma * sigma / 2)
        return cls(median_s, median_s * math.exp(_P95 * sigma), added_s)

    @property
    def sigma(self) -> float:
        """Standard deviation of the logarithm of the time."""
        return math.log(self.p95_s / self.median_s) / _P95

    def share_within(self, time_s: float) -> float:
        """The share of drivers whose time is no longer than ``time_s``."""
        spared_s = time_s - self.added_s
        if spared_s <= 0:
            return 0.0
        sigma = self.sigma
        if sigma == 0:
            return float(spared_s >= self.median_s)
        return _normal_cdf(math.log(spared_s / self.median_s) / sigma)

    def percentile_s(self, share: float) -> float:
        """The time that this share of drivers does not exceed."""
        return self.added_s + self.median_s * math.exp(_STANDARD.inv_cdf(share) * self.sigma)


@dataclass(frozen=True, slots=True)
class Spread:
    """A normal distribution."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class Drivers:
    """One set of assumptions about the drivers who approach."""

    reaction: ReactionTime
    deceleration_g: Spread
    "Constant deceleration on a level road, as a fraction of gravity; at most what the surface holds."
    over_posted_mph: Spread
    "Speed above the posted one."


BRAKING_G = Spread(0.440, 0.073)
"""The normal distribution through two published percentiles of drivers who stop for an unexpected object.

1 in 20 brakes more gently than 0.32 g (Koppa, Fambro and Zimmer, Transportation Research Record 1550, 1996;
abstract, which gives 0.32 g "at the 95th percentile"), 1 in 10 more gently than 3.4 m/s² on a wet road
without anti-lock brakes (Fambro, Koppa, Picha and Fitzpatrick, driver braking performance in stopping sight
distance situations; abstract). That they lie on one normal distribution is an assumption.
"""

CAUTIOUS = Drivers(
    reaction=ReactionTime.from_mean(1.5, 0.85, 1.9, added_s=0.487),
    deceleration_g=Spread(BRAKING_G.mean - 0.018, BRAKING_G.sd),
    over_posted_mph=Spread(5.0, 6.7),
)
"""Drivers who do badly.

Reaction: mean 1.5 s, 85th percentile 1.9 s (Lerner, Human Factors and Ergonomics Society 37, 1993; abstract),
and 0.487 s more, by which drivers who crashed reacted later than those who nearly did; they braked 0.018 g
more gently (Wood and Zhang, Transportation Research Record, 2020; abstract). Speed: 5 mph above the posted
one, the rule of thumb that Deardoff, Wiesner and Fazio (2011; abstract) name; standard deviation 6.7 mph, the
largest of four counts on a rural two-lane road (FHWA-HRT-14-020, 2015, table 55; read in part).
"""

MIDDLE = Drivers(
    reaction=ReactionTime.from_mean(1.1, 0.95, 2.0),
    deceleration_g=BRAKING_G,
    over_posted_mph=Spread(4.0, 6.4),
)
"""Drivers as the studies behind the design values found them.

Reaction: mean 1.1 s, 95th percentile 2.0 s for an unexpected object (Fambro, Koppa, Picha and Fitzpatrick,
Transportation Research Record 1628, 1998; abstract). Speed: 4 mph above the posted one puts 17 percent 10 mph
or more above it, as 16 to 19 percent were (NHTSA, National Traffic Speeds Survey III, 2018; abstract);
standard deviation 6.4 mph, the mean of the four counts.
"""

FAVORABLE = Drivers(
    reaction=ReactionTime(1.1, 1.6),
    deceleration_g=BRAKING_G,
    over_posted_mph=Spread(0.0, 6.0),
)
"""Drivers who do well.

Reaction: median 1.1 s, 95th percentile 1.6 s (Olson and Sivak, Human Factors 28, 1986; second-hand). Speed:
the posted one on average (assumed); standard deviation 6.0 mph, the smallest of the four counts.
"""

ASSUMED = (CAUTIOUS, MIDDLE, FAVORABLE)


@dataclass(frozen=True, slots=True)
class Chance:
    """The band of shares, from 0 to 1, of drivers who can stop within a distance."""

    distance_ft: float
    low: float
    middle: float
    high: float

    def percent(self) -> tuple[int, int, int]:
        """Low, middle and high in whole percent, rounded down."""
        low, middle, high = (int(whole_down(100 * share)) for share in (self.low, self.middle, self.high))
        return low, middle, high


def chance_of_stopping(
    distance_ft: float,
    speed_mph: float,
    grade_pct: float = 0.0,
    surface: Surface = Surface.NORMAL,
    assumed: Sequence[Drivers] = ASSUMED,
) -> Chance:
    """Return the band of shares of drivers who can stop within a distance at a posted speed.

    ``assumed`` is three sets of assumptions, the middle one second; low and high are the extremes of the
    three. Errors as in :func:`share_that_stops`.
    """
    shares = [share_that_stops(distance_ft, speed_mph, drivers, grade_pct, surface) for drivers in assumed]
    return Chance(distance_ft, min(shares), shares[1], max(shares))


@lru_cache(maxsize=512)  # a picture, its text and the notes beside it need the same share
def share_that_stops(
    distance_ft: float,
    speed_mph: float,
    drivers: Drivers,
    grade_pct: float = 0.0,
    surface: Surface = Surface.NORMAL,
) -> float:
    """Return the share, from 0 to 1, of drivers who can stop within a distance at a posted speed.

    On snow and ice nobody brakes harder than the assumed friction. Downhill grades are negative.
    ``ValueError`` for a figure that is not finite or a negative distance.
    """
    for figure in (distance_ft, speed_mph, grade_pct):
        if not math.isfinite(figure):
            raise ValueError(f"distance, speed and grade must be finite numbers, not {figure:g}")
    if distance_ft < 0:
        raise ValueError(f"a distance must be 0 ft or more, not {distance_ft:g}")
    step_sd = _FINE_STEP_SD if surface in ASSUMED_FRICTION else _STEP_SD
    speeds = [
        (mph_to_fps(speed_mph + over_mph), weight)
        for over_mph, weight in _nodes(drivers.over_posted_mph, step_sd)
    ]
    share = math.fsum(
        braking_weight
        * weight
        * _share_at(distance_ft, speed_fps, held_g + grade_pct / 100, drivers.reaction)
        for held_g, braking_weight in _held(drivers.deceleration_g, ASSUMED_FRICTION.get(surface, math.inf))
        for speed_fps, weight in speeds
    )
    return min(1.0, max(0.0, share))


def _share_at(distance_ft: float, speed_fps: float, net_g: float, reaction: ReactionTime) -> float:
    """Return the share of reaction times short enough at one speed and one deceleration."""
    if speed_fps <= 0:
        return 1.0
    if net_g <= 0:
        return 0.0
    braking_ft = speed_fps * speed_fps / (2 * STANDARD_GRAVITY_FPS2 * net_g)
    return reaction.share_within((distance_ft - braking_ft) / speed_fps)


def _held(spread: Spread, friction: float) -> list[tuple[float, float]]:
    """Return decelerations with weights; those beyond the friction are one."""
    nodes = _nodes(spread, _STEP_SD)
    below = [(deceleration, weight) for deceleration, weight in nodes if deceleration < friction]
    rest = 1.0 - math.fsum(weight for _, weight in below)
    return [*below, (friction, rest)] if len(below) < len(nodes) else below


def _nodes(spread: Spread, step_sd: float) -> list[tuple[float, float]]:
    """Return values of a normal distribution with weights that add up to 1."""
    if spread.sd == 0:
        return [(spread.mean, 1.0)]
    steps = round(_WIDEST_SD / step_sd)
    offsets = [step * step_sd for step in range(-steps, steps + 1)]
    densities = [math.exp(-offset * offset / 2) for offset in offsets]
    total = math.fsum(densities)
    return [
        (spread.mean + offset * spread.sd, density / total)
        for offset, density in zip(offsets, densities, strict=True)
    ]


def _normal_cdf(z: float) -> float:
    return math.erfc(-z / math.sqrt(2)) / 2
