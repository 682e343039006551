"""Heavy-vehicle figures: stopping distance by parts, following gap, hydroplaning and headlight speed.

The parts follow the driver's handbook. They rest on other assumptions than the stopping
sight distance tables, and the two totals are never mixed.

Source of the parts and of the 55 mph example: the model commercial driver's
manual (state CDL manuals, section 2.6.1, 2.7.1 and 5.4).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import max_speed_mph
from forty_paces.geometry.units import mph_to_fps, whole_up

PERCEPTION_S = 1.75
"Time to see and understand the hazard (CDL manual 2.6.1)."

REACTION_S = 0.75
"Time to move the foot to the brake (CDL manual 2.6.1, the lower end of its range)."

AIR_LAG_S = 0.4
"Lag from pedal to air brake (government air-brake manuals; CDL manual 5.4 prints about 32 ft at 55 mph)."

EXAMPLE_SPEED_MPH = 55.0
EXAMPLE_BRAKING_FT = 216.0
"Braking distance of the handbook's example; other speeds scale with the square of the speed."

GAP_FT_PER_SECOND = 10.0
"One second of gap for each 10 ft of vehicle (CDL manual 2.7.1)."

GAP_EXTRA_ABOVE_MPH = 40.0
"Above this speed one second is added (CDL manual 2.7.1)."


class BrakeSystem(StrEnum):
    """How brake force is transmitted to the wheels; only air brakes lag."""

    AIR = "air"
    HYDRAULIC = "hydraulic"


@dataclass(frozen=True, slots=True)
class StoppingParts:
    """The parts of a heavy vehicle's stopping distance, in feet, unrounded."""

    perception_ft: float
    reaction_ft: float
    lag_ft: float
    braking_ft: float

    @property
    def total_ft(self) -> float:
        """Sum of the unrounded parts."""
        return self.perception_ft + self.reaction_ft + self.lag_ft + self.braking_ft

    def rounded_up(self, unit_ft: float = 1.0) -> StoppingParts:
        """Return the parts each rounded up to a whole foot, as the handbook prints them, or to a unit."""
        parts = (self.perception_ft, self.reaction_ft, self.lag_ft, self.braking_ft)
        return StoppingParts(*(whole_up(part, unit_ft) for part in parts))


def stopping_parts(speed_mph: float, brakes: BrakeSystem = BrakeSystem.AIR) -> StoppingParts:
    """Return perception, reaction, brake lag and braking distance in feet on a good dry road.

    ``ValueError`` for a speed that is negative or not finite.
    """
    _refuse_negative(speed_mph, "a speed")
    travel = mph_to_fps(speed_mph)
    return StoppingParts(
        perception_ft=travel * PERCEPTION_S,
        reaction_ft=travel * REACTION_S,
        lag_ft=travel * AIR_LAG_S if brakes is BrakeSystem.AIR else 0.0,
        braking_ft=EXAMPLE_BRAKING_FT * braking_ratio(speed_mph, EXAMPLE_SPEED_MPH),
    )


def braking_ratio(speed_mph: float, compared_to_mph: float) -> float:
    """Return the factor by which the braking distance grows: the square of the speed ratio."""
    return (speed_mph / compared_to_mph) ** 2


def following_gap_s(length_ft: float, speed_mph: float) -> int:
    """Return the following gap in seconds: one per 10 ft of vehicle or part of it, plus one above 40 mph.

    ``ValueError`` for a length or speed that is negative or not finite.
    """
    _refuse_negative(length_ft, "a vehicle length")
    _refuse_negative(speed_mph, "a speed")
    begun = int(whole_up(length_ft / GAP_FT_PER_SECOND))
    return begun + (1 if speed_mph > GAP_EXTRA_ABOVE_MPH else 0)


def hydroplaning_mph(pressure_psi: float) -> float:
    """Return the speed at which a rolling tire may lose contact with a road under deep water: ``10.35·√p``.

    Source: Horne and Dreher, NASA TN D-2056 (1963). A check value only: at truck pressures it
    gives more than 100 mph, while truck tires on lightly loaded trailers have been seen to
    hydroplane at far less. Never show it to a driver as a safe speed.
    ``ValueError`` for a pressure that is negative or not finite.
    """
    _refuse_negative(pressure_psi, "a pressure")
    return 10.35 * math.sqrt(pressure_psi)


def headlight_speed_mph(reach_ft: float, grade_pct: float = 0.0, surface: Surface = Surface.NORMAL) -> float:
    """Return the speed whose stopping sight distance is the headlight reach; faster overdrives the lights."""
    return max_speed_mph(reach_ft, grade_pct, surface)


def _refuse_negative(value: float, what: str) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"{what} must be a number from 0 up, not {value:g}")
