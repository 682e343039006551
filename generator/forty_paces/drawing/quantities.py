"""Lengths, speeds, times and counts as text, for drawings, pages and templates.

Takes feet, miles per hour and seconds; returns short strings with their unit. Rounding is on the safe
side: what drivers need is rounded up, what they get is rounded down.
"""

from __future__ import annotations

import math

from forty_paces.geometry import units
from forty_paces.geometry.records import Layout, RuleSet

MILE_STEPS = (25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
KILOMETER_STEPS = (50.0, 70.0, 80.0, 90.0, 100.0, 110.0)
"""Posted speeds with a row in printed tables."""


def posted_speeds(rules: RuleSet) -> tuple[tuple[float, str], ...]:
    """The speeds of a table's rows: in mph for computing, and as text in the posted unit."""
    if rules.posted_in == "km/h":
        return tuple((units.kmh_to_mph(speed), f"{speed:g} km/h") for speed in KILOMETER_STEPS)
    return tuple((speed, f"{speed:g} mph") for speed in MILE_STEPS)


def feet_up(length_ft: float) -> str:
    """A needed length, rounded up to a whole foot."""
    return units.feet(units.whole_up(length_ft))


def feet_down(length_ft: float) -> str:
    """An available length, rounded down to a whole foot."""
    return units.feet(units.whole_down(length_ft))


def both_lengths(length_ft: float, metric: bool) -> str:
    """'100 ft (30 m)', or meters first for a metric rule set."""
    feet, meters = units.feet(length_ft), units.meters(length_ft)
    return f"{meters} ({feet})" if metric else f"{feet} ({meters})"


def paces(count: int) -> str:
    """'40 paces', '1 pace'."""
    return f"{units.number(count)} {'pace' if count == 1 else 'paces'}"


def clock(seconds: float) -> str:
    """'1 min 54 s', rounded up to a whole second."""
    minutes, rest = divmod(math.ceil(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def span_of_hours(hours: float) -> str:
    """'8 h', or '3 days' for a whole number of days above two."""
    days = hours / 24
    return f"{days:g} days" if days > 2 and days.is_integer() else f"{hours:g} h"


def speed_band(layout: Layout, posted_in: str) -> str:
    """The range of posted speeds for which a layout applies, in words."""

    def written(speed_mph: float) -> str:
        speed = units.mph_to_kmh(speed_mph) if posted_in == "km/h" else speed_mph
        return f"{units.number(speed)} {posted_in}"

    low, high = layout.speed_from_mph, layout.speed_below_mph
    if low <= 0 and math.isinf(high):
        return "any speed"
    if low <= 0:
        return f"below {written(high)}"
    return f"from {written(low)}" if math.isinf(high) else f"{written(low)} to {written(high)}"


def pace(rules: RuleSet) -> str:
    """The pace length of a rule set, its own unit first: '2.5 ft (0.76 m)'."""
    feet, meters = f"{rules.pace_ft:.3g} ft", f"{units.ft_to_m(rules.pace_ft):.2g} m"
    return f"{meters} ({feet})" if rules.metric else f"{feet} ({meters})"
