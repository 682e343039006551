"""Stopping and decision sight distance: the length of road an approaching driver needs to see.

Reaction distance plus braking distance, unrounded and as the design value of the
published tables.

Source of both formulas and all their constants: AASHTO, A Policy on Geometric
Design of Highways and Streets (the Green Book), stopping sight distance on the
level and on grades, US customary and metric. The constants are used as printed,
1.47 and 1.075 instead of their exact values, so that the design column matches
the published one.

The book's level formula is used on the level, its grade formula on a grade. The
two differ by 0.16 percent of the braking distance at grade zero, so a grade gentler
than 0.06 percent downhill may give a slightly shorter distance than the level.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from forty_paces.geometry.records import Surface
from forty_paces.geometry.units import FUZZ, m_to_ft, mph_to_kmh, whole_up

REACTION_S = 2.5
"Brake reaction time for design (Green Book)."

DECELERATION_FPS2 = 11.2
"Comfortable deceleration for design, US customary (Green Book)."

DECELERATION_MPS2 = 3.4
"The same in the metric formula (Green Book)."

STANDARD_GRAVITY_FPS2 = 32.2
STANDARD_GRAVITY_MPS2 = 9.81

DESIGN_STEP = 5
"Design values are rounded up to the next 5 ft or 5 m."

ASSUMED_FRICTION: Mapping[Surface, float] = MappingProxyType({Surface.SNOW: 0.15, Surface.ICE: 0.07})
"""Friction assumed where the surface is not normal, because no design standard exists.

Sliding values for hard-packed snow and for ice as in J. Y. Wong, Theory of Ground
Vehicles, table of average traction coefficients; quoted from memory. Real
surfaces differ widely; every answer that uses them says so.
"""


class CannotStop(ValueError):
    """The grade equals or exceeds the available friction: no distance is long enough to stop."""

    def __init__(self, grade_pct: float, surface: Surface) -> None:
        self.grade_pct = grade_pct
        self.surface = surface
        road = "a normal surface" if surface is Surface.NORMAL else str(surface)
        super().__init__(
            f"on {road} at a grade of {grade_pct:g} percent a vehicle cannot stop: "
            "the slope pulls at least as hard as the tires hold"
        )


@dataclass(frozen=True, slots=True)
class StoppingSight:
    """The two parts of a stopping sight distance, in one unit of length."""

    reaction: float
    "Traveled before the brakes act."
    braking: float
    "Traveled while braking."

    @property
    def total(self) -> float:
        """Sum of both parts, unrounded."""
        return self.reaction + self.braking

    @property
    def design(self) -> int:
        """The total rounded up to the next 5, as in the published tables."""
        return design_value(self.total)


def impact_speed(distance: float, speed: float, parts: StoppingSight) -> float:
    """Return the speed left after a distance, in the unit of ``speed``; 0 where it suffices to stop.

    ``parts`` is the stopping distance at that speed, in the unit of ``distance``. Nothing is lost before the
    brakes act; after that the square of the speed falls in proportion to the distance, as it does under the
    constant deceleration of the formula.
    """
    braked = distance - parts.reaction
    if braked <= 0:
        return speed
    return speed * math.sqrt(max(0.0, 1.0 - braked / parts.braking))


def design_value(distance: float) -> int:
    """Round a distance up to the next 5 (feet or meters), ignoring float noise."""
    return int(whole_up(distance, DESIGN_STEP))


def deceleration_fps2(surface: Surface = Surface.NORMAL) -> float:
    """Return the deceleration assumed on a surface, in ft/s²."""
    if surface is Surface.NORMAL:
        return DECELERATION_FPS2
    return ASSUMED_FRICTION[surface] * STANDARD_GRAVITY_FPS2


def deceleration_mps2(surface: Surface = Surface.NORMAL) -> float:
    """Return the deceleration assumed on a surface, in m/s²."""
    if surface is Surface.NORMAL:
        return DECELERATION_MPS2
    return ASSUMED_FRICTION[surface] * STANDARD_GRAVITY_MPS2


def stopping_sight(
    speed_mph: float, grade_pct: float = 0.0, surface: Surface = Surface.NORMAL
) -> StoppingSight:
    """Return reaction and braking distance in feet.

    ``1.47·V·t + 1.075·V²/a`` on the level, the braking part ``V²/(30·(a/32.2 + G))`` on a
    grade (Green Book). Raises ``ValueError`` for a speed or grade that is not a finite
    number or a negative speed, ``CannotStop`` where the friction does not exceed the grade.
    """
    _refuse_nonsense(speed_mph, grade_pct)
    return StoppingSight(
        reaction=1.47 * speed_mph * REACTION_S,
        braking=_braking_factor(grade_pct, surface) * speed_mph**2,
    )


def metric_stopping_sight(
    speed_kmh: float, grade_pct: float = 0.0, surface: Surface = Surface.NORMAL
) -> StoppingSight:
    """Return reaction and braking distance in meters by the metric formula.

    ``0.278·V·t + 0.039·V²/a`` on the level, the braking part ``V²/(254·(a/9.81 + G))`` on a
    grade (Green Book). Errors as in :func:`stopping_sight`.
    """
    _refuse_nonsense(speed_kmh, grade_pct)
    deceleration = deceleration_mps2(surface)
    factor = 0.039 / deceleration
    if grade_pct:
        factor = 1 / (254 * _net_friction(deceleration / STANDARD_GRAVITY_MPS2, grade_pct, surface))
    return StoppingSight(reaction=0.278 * speed_kmh * REACTION_S, braking=factor * speed_kmh**2)


def needed_sight_ft(
    speed_mph: float,
    grade_pct: float = 0.0,
    surface: Surface = Surface.NORMAL,
    *,
    metric: bool = False,
) -> float:
    """Return stopping sight distance in feet by the formula of the rule set's own units.

    ``metric`` selects the metric formula, so that a placement and a stopping distance in meters
    agree; the two formulas differ by up to 1 percent. Errors as in :func:`stopping_sight`.
    """
    if metric:
        return m_to_ft(metric_stopping_sight(mph_to_kmh(speed_mph), grade_pct, surface).total)
    return stopping_sight(speed_mph, grade_pct, surface).total


def friction_and_head_ft(
    speed_mph: float, surface: Surface = Surface.NORMAL, *, metric: bool = False
) -> tuple[float, float]:
    """Return the friction of the grade formula and the height in feet that a speed is worth in it.

    The braking part ``V²/(30·(f + G))`` means ``f·d + G·d = V²/30``: friction times distance, plus the rise.
    In the metric formula the height is ``V²/254`` in meters.
    """
    if metric:
        head_ft = m_to_ft(mph_to_kmh(speed_mph) ** 2 / 254)
        return deceleration_mps2(surface) / STANDARD_GRAVITY_MPS2, head_ft
    return deceleration_fps2(surface) / STANDARD_GRAVITY_FPS2, speed_mph**2 / 30


def max_speed_mph(distance_ft: float, grade_pct: float = 0.0, surface: Surface = Surface.NORMAL) -> float:
    """Return the speed whose stopping sight distance is ``distance_ft``.

    The formula of :func:`stopping_sight` solved for V. With the reach of the headlights as
    the distance it is the speed above which they are overdriven. ``ValueError`` for a distance
    that is negative or not finite, ``CannotStop`` as in :func:`stopping_sight`.
    """
    if not math.isfinite(distance_ft) or distance_ft < 0:
        raise ValueError(f"a distance must be a number of feet from 0 up, not {distance_ft:g}")
    factor, reaction = _braking_factor(grade_pct, surface), 1.47 * REACTION_S
    return (math.sqrt(reaction**2 + 4 * factor * distance_ft) - reaction) / (2 * factor)


def max_speed_kmh(distance_m: float) -> float:
    """Return the speed whose stopping sight distance on the level is ``distance_m`` by the metric formula.

    ``ValueError`` for a distance that is negative or not finite.
    """
    if not math.isfinite(distance_m) or distance_m < 0:
        raise ValueError(f"a distance must be a number of meters from 0 up, not {distance_m:g}")
    factor, reaction = 0.039 / DECELERATION_MPS2, 0.278 * REACTION_S
    return (math.sqrt(reaction**2 + 4 * factor * distance_m) - reaction) / (2 * factor)


def _braking_factor(grade_pct: float, surface: Surface) -> float:
    """Return feet of braking distance per (mph)²."""
    deceleration = deceleration_fps2(surface)
    if not grade_pct:
        return 1.075 / deceleration
    return 1 / (30 * _net_friction(deceleration / STANDARD_GRAVITY_FPS2, grade_pct, surface))


def _net_friction(friction: float, grade_pct: float, surface: Surface) -> float:
    net = friction + grade_pct / 100
    if net <= 1e-9:
        raise CannotStop(grade_pct, surface)
    return net


def _refuse_nonsense(speed: float, grade_pct: float) -> None:
    if not math.isfinite(speed) or speed < 0:
        raise ValueError(f"a speed must be a number from 0 up, not {speed:g}")
    if not math.isfinite(grade_pct):
        raise ValueError(f"a grade must be a number of percent, not {grade_pct:g}")


class Maneuver(StrEnum):
    """The avoidance maneuvers of the published table."""

    STOP_RURAL = "a"
    STOP_URBAN = "b"
    CHANGE_RURAL = "c"
    "A change of speed, path or direction."
    CHANGE_SUBURBAN = "d"
    CHANGE_URBAN = "e"


DECISION_SIGHT_FT: Mapping[int, tuple[int, int, int, int, int]] = MappingProxyType(
    {
        30: (220, 490, 450, 535, 620),
        35: (275, 590, 525, 625, 720),
        40: (330, 690, 600, 715, 825),
        45: (395, 800, 675, 800, 930),
        50: (465, 910, 750, 890, 1030),
        55: (535, 1030, 865, 980, 1135),
        60: (610, 1150, 990, 1125, 1280),
        65: (695, 1275, 1050, 1220, 1365),
        70: (780, 1410, 1105, 1275, 1445),
        75: (875, 1545, 1180, 1365, 1545),
        80: (970, 1685, 1260, 1455, 1650),
    }
)
"""Decision sight distance in feet by design speed in mph, in the order of :class:`Maneuver`.

Source: AASHTO Green Book, table of decision sight distance, in the reprint of the Texas Department of
Transportation, Roadway Design Manual, table 4-25 (read); the Ohio DOT reprint agrees from 30 to 70 mph. The
California Highway Design Manual, table 201.7, gives the same figures for maneuver C (read in a copy).
"""


def decision_sight_ft(speed_mph: float) -> Mapping[Maneuver, int] | None:
    """Return the published decision sight distances for a speed in feet; None where the table ends.

    That is what a driver needs to notice something unexpected, decide and act unhurried: longer than stopping
    sight distance, which only suffices to brake for it at once. For a vehicle stopped beside or in the road
    it is the distance at which drivers can choose another lane or a lower speed rather than brake hard. It is
    a yardstick of road design, not part of any placing rule.
    A speed between two rows takes the row above it. The table holds for level roads and good surfaces.
    """
    if speed_mph < min(DECISION_SIGHT_FT) - FUZZ:
        return None
    row = next((row for row in sorted(DECISION_SIGHT_FT) if row >= speed_mph - FUZZ), None)
    return None if row is None else dict(zip(Maneuver, DECISION_SIGHT_FT[row], strict=True))
