"""Formats lengths, speeds, times and counts in the unit of a rule set.

What drivers need is rounded up and what they get is rounded down. Each function takes feet, miles per hour
or seconds and returns text with its unit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from forty_paces.geometry import units
from forty_paces.geometry.records import RuleSet

PHRASES: Mapping[str, str] = MappingProxyType(
    {"counted": "{length} ({counts})", "joint": ", ", "cited": "{text} ({citation})"}
)
"""How a length is followed by its counts, and a text by its citation."""


def length(rules: RuleSet, length_ft: float) -> str:
    """Format a length in the rule set's own unit, rounded to the nearest whole unit."""
    return units.meters(length_ft) if rules.metric else units.feet(length_ft)


def length_up(rules: RuleSet, length_ft: float) -> str:
    """Format a needed or missing length: rounded up, so that no printed figure is too small."""
    return _whole(rules, units.whole_up(units.ft_to_m(length_ft) if rules.metric else length_ft))


def length_down(rules: RuleSet, length_ft: float) -> str:
    """Format a length that drivers get: rounded down, so that no printed figure promises more."""
    return _whole(rules, units.whole_down(units.ft_to_m(length_ft) if rules.metric else length_ft))


def _whole(rules: RuleSet, count: float) -> str:
    return units.QUANTITIES["meters" if rules.metric else "feet"].format(n=units.number(count))


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
    return f"{units.number(speed)} {rules.posted_in}"


def paced(rules: RuleSet, length_ft: float) -> str:
    """Format a walking distance in the rule set's unit and in paces."""
    return _counted(length(rules, length_ft), units.in_paces(length_ft, rules.pace_ft))


def look_length(rules: RuleSet, look_ft: float) -> str:
    """Format the distance over which traffic must be in view: rule set's unit, paces and lane lines."""
    counts = [units.in_paces(look_ft, rules.pace_ft)]
    if rules.lane_line_ft:
        counts.append(units.in_cycles(units.whole_up(look_ft, rules.lane_line_ft / 4), rules.lane_line_ft))
    return _counted(length_up(rules, look_ft), *counts)


def _counted(length_text: str, *counts: str) -> str:
    return PHRASES["counted"].format(length=length_text, counts=PHRASES["joint"].join(counts))


def look_seconds(look_s: float) -> str:
    """Format a look-back time to half seconds: '3½ s'."""
    return units.QUANTITIES["seconds"].format(n=units.quarters(look_s))


def minutes(limit_s: float) -> str:
    """Format a time limit in minutes: '10 minutes'."""
    written = units.number(limit_s / 60, 0 if limit_s % 60 == 0 else 1)
    return units.QUANTITIES["minute" if written == "1" else "minutes"].format(n=written)
