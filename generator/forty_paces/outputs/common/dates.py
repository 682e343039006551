"""Dates in words, independent of the locale."""

from __future__ import annotations

import datetime as dt


def long_date(day: dt.date) -> str:
    """'25 November 2026'."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_date(day: dt.date) -> str:
    """'25 Nov 2026', where space is short."""
    return f"{day.day} {_MONTHS[day.month - 1][:3]} {day.year}"


_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
