"""Lengths and speeds in the units a driver, a rule and a road builder use.

In: numbers in feet, meters, miles per hour, kilometers per hour. Out: the same
quantity in another unit, counted in paces, lane-line cycles or trailer lengths,
or written out with its unit. Refuses to know any rule: how long a pace or a
lane-line cycle is, the caller says.
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
"Smaller differences than this are float noise, not distance."

_QUARTERS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def ft_to_m(length_ft: float) -> float:
    """Meters in a length in feet."""
    return length_ft * METERS_PER_FOOT


def m_to_ft(length_m: float) -> float:
    """Feet in a length in meters."""
    return length_m / METERS_PER_FOOT


def mph_to_kmh(speed_mph: float) -> float:
    """Kilometers per hour in a speed in miles per hour."""
    return speed_mph * KILOMETERS_PER_MILE


def kmh_to_mph(speed_kmh: float) -> float:
    """Miles per hour in a speed in kilometers per hour."""
    return speed_kmh / KILOMETERS_PER_MILE


def mph_to_fps(speed_mph: float) -> float:
    """Feet per second in a speed in miles per hour (22/15, unrounded)."""
    return speed_mph * FEET_PER_MILE / SECONDS_PER_HOUR


def seconds_at(distance_ft: float, speed_mph: float) -> float:
    """Seconds that a vehicle at a steady speed takes for a distance; ``ValueError`` at a standstill."""
    if speed_mph <= 0:
        raise ValueError(f"a vehicle at {speed_mph:g} mph covers no distance")
    return distance_ft / mph_to_fps(speed_mph)


def whole_up(value: float, step: float = 1.0) -> float:
    """The next whole multiple of ``step`` at or above ``value``, blind to float noise."""
    return math.ceil((value - FUZZ) / step) * step


def whole_down(value: float, step: float = 1.0) -> float:
    """The last whole multiple of ``step`` at or below ``value``, blind to float noise."""
    return math.floor((value + FUZZ) / step) * step


def paces(distance_ft: float, pace_ft: float) -> int:
    """Whole paces that cover a distance, rounded up so that a device never stands short of it."""
    return int(whole_up(distance_ft / pace_ft))


def cycles(distance_ft: float, cycle_ft: float) -> float:
    """Lane-line cycles (one line and the gap after it) in a distance."""
    return distance_ft / cycle_ft


def trailer_lengths(distance_ft: float, trailer_ft: float) -> float:
    """How many times a trailer of a given length fits into a distance."""
    return distance_ft / trailer_ft


def number(value: float, decimals: int = 0) -> str:
    """A number with thousands commas and a fixed count of decimals, never '-0'."""
    text = f"{value:,.{decimals}f}"
    return text.lstrip("-") if not float(text.replace(",", "")) else text


def feet(length_ft: float, decimals: int = 0) -> str:
    """Such as '1,200 ft'."""
    return f"{number(length_ft, decimals)} ft"


def meters(length_ft: float, decimals: int = 0) -> str:
    """A length given in feet, written in meters: '30 m' for 100 ft."""
    return f"{number(ft_to_m(length_ft), decimals)} m"


def in_paces(distance_ft: float, pace_ft: float) -> str:
    """Such as '40 paces' or '1 pace'."""
    count = paces(distance_ft, pace_ft)
    return f"{number(count)} {'pace' if count == 1 else 'paces'}"


def quarters(value: float) -> str:
    """A count to the nearest quarter, written '2½'; '0' for less than an eighth."""
    whole, rest = divmod(math.floor(value * 4 + 0.5), 4)
    return f"{number(whole) if whole or not rest else ''}{_QUARTERS[rest]}"


def in_cycles(distance_ft: float, cycle_ft: float) -> str:
    """Such as '2½ lane lines': a line and the gap after it count as one."""
    written = quarters(cycles(distance_ft, cycle_ft))
    return f"{written} lane {'line' if written in {'¼', '½', '¾', '1'} else 'lines'}"


def in_trailers(distance_ft: float, trailer_ft: float) -> str:
    """Such as '2 trailer lengths', to the nearest quarter."""
    written = quarters(trailer_lengths(distance_ft, trailer_ft))
    return f"{written} trailer {'length' if written in {'¼', '½', '¾', '1'} else 'lengths'}"


def seconds_up(value_s: float) -> str:
    """Time that is missing, to the next tenth: '3.8 s' for 3.71."""
    return f"{number(whole_up(value_s, 0.1), 1)} s"


def seconds_down(value_s: float) -> str:
    """Time that is gained, to the last tenth: '3.7 s' for 3.79."""
    return f"{number(whole_down(value_s, 0.1), 1)} s"
