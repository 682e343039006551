"""Lengths, speeds and times as pages print them.

In: feet, miles an hour, seconds. Out: short strings with their unit. Rounded so
that no print flatters: what drivers need goes up, what they get goes down.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from types import MappingProxyType

from forty_paces.geometry import units
from forty_paces.geometry.records import Layout, RuleSet

MILE_STEPS = (25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
KILOMETER_STEPS = (50.0, 70.0, 80.0, 90.0, 100.0, 110.0)
"""The posted speeds that printed tables have a row for."""


def posted_speeds(rules: RuleSet) -> tuple[tuple[float, str], ...]:
    """The speeds of a table's rows: in mph as computed with, and in words as posted."""
    if rules.posted_in == "km/h":
        return tuple((units.kmh_to_mph(speed), f"{speed:g} km/h") for speed in KILOMETER_STEPS)
    return tuple((speed, f"{speed:g} mph") for speed in MILE_STEPS)


def feet_up(length_ft: float) -> str:
    """What is needed: the next whole foot."""
    return units.feet(units.whole_up(length_ft))


def feet_down(length_ft: float) -> str:
    """What is given: the last whole foot."""
    return units.feet(units.whole_down(length_ft))


def both_lengths(length_ft: float, metric: bool) -> str:
    """'100 ft (30 m)', or meters first where the rule is written in them."""
    feet, meters = units.feet(length_ft), units.meters(length_ft)
    return f"{meters} ({feet})" if metric else f"{feet} ({meters})"


def clock(seconds: float) -> str:
    """'1 min 54 s'."""
    minutes, rest = divmod(math.ceil(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def span_of_hours(hours: float) -> str:
    """'8 h', or '3 days' where it is a whole number of days past the second."""
    days = hours / 24
    return f"{days:g} days" if days > 2 and days.is_integer() else f"{hours:g} h"


def speed_band(layout: Layout, posted_in: str) -> str:
    """The posted speeds for which a layout is in force, in words."""

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
    """How long the pace of a rule set is: '2.5 ft (0.76 m)', its own unit first."""
    feet, meters = f"{rules.pace_ft:.3g} ft", f"{units.ft_to_m(rules.pace_ft):.2g} m"
    return f"{meters} ({feet})" if rules.metric else f"{feet} ({meters})"


FILTERS: MappingProxyType[str, Callable[..., str]] = MappingProxyType(
    {
        "feet": units.feet,
        "meters": units.meters,
        "feet_up": feet_up,
        "feet_down": feet_down,
        "both_lengths": both_lengths,
        "seconds_up": units.seconds_up,
        "clock": clock,
        "pace": pace,
        "span_of_hours": span_of_hours,
        "speed_band": speed_band,
    }
)
"""What templates may write figures with."""
