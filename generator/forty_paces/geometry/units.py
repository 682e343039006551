"""Converts lengths, speeds and times between the units of drivers, rules and road designers.

Also counts lengths in paces, lane-line cycles and trailer lengths; their sizes are arguments,
because they depend on the rule set and the scene.
"""

from __future__ import annotations

import math

METERS_PER_FOOT = 0.3048
"Exact: the international foot."

KILOMETERS_PER_MILE = 1.609344
"Exact: 5,280 international feet."

FEET_PER_MILE = 5280.0
SECONDS_PER_HOUR = 3600.0

FUZZ = 1e-6
"Smaller differences than this are float noise."


def ft_to_m(length_ft: float) -> float:
    """Convert feet to meters."""
    return length_ft * METERS_PER_FOOT


def m_to_ft(length_m: float) -> float:
    """Convert meters to feet."""
    return length_m / METERS_PER_FOOT


def mph_to_kmh(speed_mph: float) -> float:
    """Convert miles per hour to kilometers per hour."""
    return speed_mph * KILOMETERS_PER_MILE


def kmh_to_mph(speed_kmh: float) -> float:
    """Convert kilometers per hour to miles per hour."""
    return speed_kmh / KILOMETERS_PER_MILE


def mph_to_fps(speed_mph: float) -> float:
    """Convert miles per hour to feet per second (22/15, unrounded)."""
    return speed_mph * FEET_PER_MILE / SECONDS_PER_HOUR


def seconds_at(distance_ft: float, speed_mph: float) -> float:
    """Return the seconds a vehicle takes for a distance at constant speed.

    ``ValueError`` unless the speed is above 0 mph.
    """
    if speed_mph <= 0:
        raise ValueError(f"a vehicle at {speed_mph:g} mph covers no distance")
    return distance_ft / mph_to_fps(speed_mph)


def whole_up(value: float, step: float = 1.0) -> float:
    """Round up to a whole multiple of ``step``, ignoring float noise."""
    return math.ceil((value - FUZZ) / step) * step


def whole_down(value: float, step: float = 1.0) -> float:
    """Round down to a whole multiple of ``step``, ignoring float noise."""
    return math.floor((value + FUZZ) / step) * step


def paces(distance_ft: float, pace_ft: float) -> int:
    """Return the whole paces that cover a distance, rounded up so that no device is placed short of it."""
    return int(whole_up(distance_ft / pace_ft))


def cycles(distance_ft: float, cycle_ft: float) -> float:
    """Return the number of lane-line cycles (one line and the gap after it) in a distance."""
    return distance_ft / cycle_ft


def trailer_lengths(distance_ft: float, trailer_ft: float) -> float:
    """Return the number of trailer lengths in a distance."""
    return distance_ft / trailer_ft
