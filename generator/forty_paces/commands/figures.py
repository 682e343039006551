"""Parse numbers, lengths, speeds, grades and dates typed on the command line.

Returns miles per hour, feet, percent and dates, within sensible bounds. Anything else raises
``click.BadParameter`` with what to type instead.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from typing import NamedTuple

import click

from forty_paces.geometry.units import kmh_to_mph, m_to_ft


def figure(value: str) -> float:
    """Parse a finite number. Raises ``click.BadParameter`` for anything else."""
    try:
        typed = float(value)
    except ValueError:
        typed = math.nan
    if not math.isfinite(typed):
        raise click.BadParameter(f'"{value[:30]}" is not a number to calculate with')
    return typed


def day(value: str) -> dt.date:
    """Parse a date written as in the content files: 2026-11-25."""
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            return dt.date.fromisoformat(value)
    except ValueError:
        pass
    raise click.BadParameter(f'"{value[:30]}" is not a day; write it as year-month-day, such as 2026-11-25')


class Units(NamedTuple):
    """The units of typed figures."""

    speed: str
    "mph or km/h."
    length: str
    "ft or m."

    def mph(self, option: str, typed: float) -> float:
        """A posted speed in miles per hour, from 1 to 120 mph or 200 km/h."""
        metric = self.speed == "km/h"
        within(option, typed, 1, 200 if metric else 120, self.speed)
        return kmh_to_mph(typed) if metric else typed

    def ft(self, option: str, typed: float, low: float = 0) -> float:
        """A length in feet, up to 10,000 ft or 3,000 m."""
        metric = self.length == "m"
        within(option, typed, low, 3_000 if metric else 10_000, self.length)
        return m_to_ft(typed) if metric else typed


UNITS = {"us": Units("mph", "ft"), "metric": Units("km/h", "m")}

STEEPEST_PCT = 30


def within(option: str, typed: float, low: float, high: float, unit: str) -> None:
    """Raise ``click.BadParameter`` where a figure is out of bounds."""
    if not low <= typed <= high:
        raise click.BadParameter(
            f"{typed:g} {unit} is out of range: give {low:,g} to {high:,g} {unit}",
            param_hint=f"'{option}'",
        )


def grade(typed: float) -> float:
    """A grade in percent, checked to be no steeper than ``STEEPEST_PCT``."""
    within("--grade", typed, -STEEPEST_PCT, STEEPEST_PCT, "percent")
    return typed
