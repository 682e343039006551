"""Converts and formats lengths, speeds and times in the units of drivers, rules and road designers.

Also counts lengths in paces, lane-line cycles and trailer lengths; their sizes are arguments,
because they depend on the rule set and the scene.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

METERS_PER_FOOT = 0.3048
"Exact: the international foot."

KILOMETERS_PER_MILE = 1.609344
"Exact: 5,280 international feet."

FEET_PER_MILE = 5280.0
SECONDS_PER_HOUR = 3600.0

FUZZ = 1e-6
"Smaller differences than this are float noise."

QUARTERS = ("", "¼", "½", "¾")
"Signs for the quarters after a whole number."

_AT_MOST_ONE = frozenset((*QUARTERS[1:], "1"))
"Counts that take the singular."

QUANTITIES: Mapping[str, str] = MappingProxyType(
    {
        "feet": "{n} ft",
        "meters": "{n} m",
        "seconds": "{n} s",
        "pace": "{n} pace",
        "paces": "{n} paces",
        "lane_line": "{n} lane line",
        "lane_lines": "{n} lane lines",
        "trailer_length": "{n} trailer length",
        "trailer_lengths": "{n} trailer lengths",
        "minute": "{n} minute",
        "minutes": "{n} minutes",
    }
)
"Templates of a count with its unit; scripts fill the same ones."


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


def number(value: float, decimals: int = 0) -> str:
    """Format a number with thousands commas and fixed decimals, never '-0'."""
    text = f"{value:,.{decimals}f}"
    return text.lstrip("-") if not float(text.replace(",", "")) else text


def feet(length_ft: float, decimals: int = 0) -> str:
    """Format a length in feet: '1,200 ft'."""
    return QUANTITIES["feet"].format(n=number(length_ft, decimals))


def meters(length_ft: float, decimals: int = 0) -> str:
    """Format a length given in feet as meters: '30 m' for 100 ft."""
    return QUANTITIES["meters"].format(n=number(ft_to_m(length_ft), decimals))


def in_paces(distance_ft: float, pace_ft: float) -> str:
    """Format a distance in paces: '40 paces', '1 pace'."""
    count = paces(distance_ft, pace_ft)
    return QUANTITIES["pace" if count == 1 else "paces"].format(n=number(count))


def quarters(value: float) -> str:
    """Format a count to the nearest quarter: '2½'; '0' for less than an eighth."""
    whole, rest = divmod(math.floor(value * 4 + 0.5), 4)
    return f"{number(whole) if whole or not rest else ''}{QUARTERS[rest]}"


def in_cycles(distance_ft: float, cycle_ft: float) -> str:
    """Format a distance in lane lines: '2½ lane lines'; a line and the gap after it count as one."""
    written = quarters(cycles(distance_ft, cycle_ft))
    return QUANTITIES["lane_line" if written in _AT_MOST_ONE else "lane_lines"].format(n=written)


def in_trailers(distance_ft: float, trailer_ft: float) -> str:
    """Format a distance in trailer lengths, to the nearest quarter: '2 trailer lengths'."""
    written = quarters(trailer_lengths(distance_ft, trailer_ft))
    return QUANTITIES["trailer_length" if written in _AT_MOST_ONE else "trailer_lengths"].format(n=written)


def seconds_up(value_s: float) -> str:
    """Format a shortfall in time, rounded up to a tenth: '3.8 s' for 3.71."""
    return QUANTITIES["seconds"].format(n=number(whole_up(value_s, 0.1), 1))


def seconds_down(value_s: float) -> str:
    """Format a gain in time, rounded down to a tenth: '3.7 s' for 3.79."""
    return QUANTITIES["seconds"].format(n=number(whole_down(value_s, 0.1), 1))
