"""Formats lengths, speeds, times and counts in the unit of a rule set.

What drivers need is rounded up and what they get is rounded down. Each function takes feet, miles per hour
or seconds and returns text with its unit.
"""

from __future__ import annotations

import math

from forty_paces.geometry import units
from forty_paces.geometry.records import DeviceLayout, RuleSet
from forty_paces.messages.languages import Texts, signs

MILE_STEPS = (25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
KILOMETER_STEPS = (50.0, 70.0, 80.0, 90.0, 100.0, 110.0)
"""Posted speeds with a row in printed tables."""

QUARTERS = ("", "¼", "½", "¾")
"Signs for the quarters after a whole number."

_AT_MOST_ONE = frozenset((*QUARTERS[1:], "1"))
"Counts that take the singular."

QUANTITIES = Texts(
    "quantities",
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
    },
)
"Templates of a count with its unit; scripts fill the same ones."

PHRASES = Texts("phrases", {"counted": "{length} ({counts})", "joint": ", ", "cited": "{text} ({citation})"})
"""How a length is followed by its counts, and a text by its citation; scripts fill the same ones."""

SPANS = Texts(
    "spans",
    {
        "any-speed": "any speed",
        "speed-below": "below {high}",
        "speed-from": "from {low}",
        "speed-between": "{low} to {high}",
        "hours": "{n} h",
        "psi": "{n} psi",
        "kilopascals": "{n} kPa",
        "days": "{n} days",
        "minutes-seconds": "{minutes} min {seconds} s",
    },
)
"""Ranges of speed, spans of time, pressures."""


def number(value: float, decimals: int = 0) -> str:
    """Format a number with fixed decimals and the signs of the language, never '-0': '1,200', '0.5'."""
    text = f"{value:,.{decimals}f}"
    text = text.lstrip("-") if not float(text.replace(",", "")) else text
    group, point = signs()
    return text.replace(",", "\0").replace(".", point).replace("\0", group)


def feet(length_ft: float, decimals: int = 0) -> str:
    """Format a length in feet: '1,200 ft'."""
    return QUANTITIES["feet"].format(n=number(length_ft, decimals))


def meters(length_ft: float, decimals: int = 0) -> str:
    """Format a length given in feet as meters: '30 m' for 100 ft."""
    return QUANTITIES["meters"].format(n=number(units.ft_to_m(length_ft), decimals))


def in_paces(distance_ft: float, pace_ft: float) -> str:
    """Format a distance in paces: '40 paces', '1 pace'."""
    return paces(units.paces(distance_ft, pace_ft))


def quarters(value: float) -> str:
    """Format a count to the nearest quarter: '2½'; '0' for less than an eighth."""
    whole, rest = divmod(math.floor(value * 4 + 0.5), 4)
    return f"{number(whole) if whole or not rest else ''}{QUARTERS[rest]}"


def in_cycles(distance_ft: float, cycle_ft: float) -> str:
    """Format a distance in lane lines: '2½ lane lines'; a line and the gap after it count as one."""
    written = quarters(units.cycles(distance_ft, cycle_ft))
    return QUANTITIES["lane_line" if written in _AT_MOST_ONE else "lane_lines"].format(n=written)


def in_trailers(distance_ft: float, trailer_ft: float) -> str:
    """Format a distance in trailer lengths, to the nearest quarter: '2 trailer lengths'."""
    written = quarters(units.trailer_lengths(distance_ft, trailer_ft))
    return QUANTITIES["trailer_length" if written in _AT_MOST_ONE else "trailer_lengths"].format(n=written)


def seconds_up(value_s: float) -> str:
    """Format a shortfall in time, rounded up to a tenth: '3.8 s' for 3.71."""
    return QUANTITIES["seconds"].format(n=number(units.whole_up(value_s, 0.1), 1))


def seconds_down(value_s: float) -> str:
    """Format a gain in time, rounded down to a tenth: '3.7 s' for 3.79."""
    return QUANTITIES["seconds"].format(n=number(units.whole_down(value_s, 0.1), 1))


def length(rules: RuleSet, length_ft: float) -> str:
    """Format a length in the rule set's own unit, rounded to the nearest whole unit."""
    return meters(length_ft) if rules.metric else feet(length_ft)


def length_up(rules: RuleSet, length_ft: float) -> str:
    """Format a needed or missing length: rounded up, so that no printed figure is too small."""
    return _whole(rules, units.whole_up(units.ft_to_m(length_ft) if rules.metric else length_ft))


def length_down(rules: RuleSet, length_ft: float) -> str:
    """Format a length that drivers get: rounded down, so that no printed figure promises more."""
    return _whole(rules, units.whole_down(units.ft_to_m(length_ft) if rules.metric else length_ft))


def _whole(rules: RuleSet, count: float) -> str:
    return QUANTITIES["meters" if rules.metric else "feet"].format(n=number(count))


def hidden_length(rules: RuleSet, hidden_ft: float) -> str:
    """Format an available sight distance, identically in texts and drawings; empty where it is unlimited.

    Rounded down, but up beyond the rule's limit, so that a distance past the limit never reads as the limit.
    """
    if math.isinf(hidden_ft):
        return ""
    beyond = rules.hidden is not None and hidden_ft > rules.hidden.within_ft
    return length_up(rules, hidden_ft) if beyond else length_down(rules, hidden_ft)


def posted_speed(rules: RuleSet, speed_mph: float) -> str:
    """Format a speed as posted under the rule set: '55 mph' or '80 km/h'."""
    speed = units.mph_to_kmh(speed_mph) if rules.posted_in == "km/h" else speed_mph
    return f"{number(speed)} {rules.posted_in}"


def paced(rules: RuleSet, length_ft: float) -> str:
    """Format a walking distance in the rule set's unit and in paces."""
    return _counted(length(rules, length_ft), in_paces(length_ft, rules.pace_ft))


def look_length(rules: RuleSet, look_ft: float) -> str:
    """Format the distance over which traffic must be in view: rule set's unit, paces and lane lines."""
    counts = [in_paces(look_ft, rules.pace_ft)]
    if rules.lane_line_ft:
        counts.append(in_cycles(units.whole_up(look_ft, rules.lane_line_ft / 4), rules.lane_line_ft))
    return _counted(length_up(rules, look_ft), *counts)


def _counted(length_text: str, *counts: str) -> str:
    return PHRASES["counted"].format(length=length_text, counts=PHRASES["joint"].join(counts))


def look_seconds(look_s: float) -> str:
    """Format a look-back time to half seconds: '3½ s'."""
    return QUANTITIES["seconds"].format(n=quarters(look_s))


def minutes(limit_s: float) -> str:
    """Format a time limit in minutes: '10 minutes'."""
    written = number(limit_s / 60, 0 if limit_s % 60 == 0 else 1)
    return QUANTITIES["minute" if written == "1" else "minutes"].format(n=written)


def posted_speeds(rules: RuleSet) -> tuple[tuple[float, str], ...]:
    """The speeds of a table's rows: in mph for computing, and as text in the posted unit."""
    if rules.posted_in == "km/h":
        return tuple((units.kmh_to_mph(speed), f"{speed:g} km/h") for speed in KILOMETER_STEPS)
    return tuple((speed, f"{speed:g} mph") for speed in MILE_STEPS)


def printed_length(length_ft: float, metric: bool) -> str:
    """'100 ft (30 m)', as the federal rules of the United States print it; '30 m' under a metric rule set."""
    if metric:
        return meters(length_ft)
    return PHRASES["counted"].format(length=feet(length_ft), counts=meters(length_ft))


def paces(count: int) -> str:
    """'40 paces', '1 pace'."""
    return QUANTITIES["pace" if count == 1 else "paces"].format(n=number(count))


def clock(seconds: float) -> str:
    """'1 min 54 s', rounded up to a whole second."""
    whole, rest = divmod(math.ceil(seconds), 60)
    if not whole:
        return QUANTITIES["seconds"].format(n=rest)
    return SPANS["minutes-seconds"].format(minutes=whole, seconds=rest)


def span_of_hours(hours: float) -> str:
    """'8 h', or '3 days' for a whole number of days above two."""
    days = hours / 24
    if days > 2 and days.is_integer():
        return SPANS["days"].format(n=f"{days:g}")
    return SPANS["hours"].format(n=f"{hours:g}")


def speed_band(layout: DeviceLayout, posted_in: str) -> str:
    """The range of posted speeds for which a layout applies, in words."""

    def written(speed_mph: float) -> str:
        speed = units.mph_to_kmh(speed_mph) if posted_in == "km/h" else speed_mph
        return f"{number(speed)} {posted_in}"

    low, high = layout.speed_from_mph, layout.speed_below_mph
    if low <= 0 and math.isinf(high):
        return SPANS["any-speed"]
    if low <= 0:
        return SPANS["speed-below"].format(high=written(high))
    if math.isinf(high):
        return SPANS["speed-from"].format(low=written(low))
    return SPANS["speed-between"].format(low=written(low), high=written(high))


def pace(rules: RuleSet) -> str:
    """The pace length of a rule set: '2.5 ft (0.76 m)', or '0.75 m' under a metric one."""
    in_meters = QUANTITIES["meters"].format(n=f"{units.ft_to_m(rules.pace_ft):.2g}")
    if rules.metric:
        return in_meters
    in_feet = QUANTITIES["feet"].format(n=f"{rules.pace_ft:.3g}")
    return PHRASES["counted"].format(length=in_feet, counts=in_meters)
