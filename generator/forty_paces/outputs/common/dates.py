"""Days in words, the same in every locale."""

from __future__ import annotations

import datetime as dt


def long_date(day: dt.date) -> str:
    """'25 November 2026', the same in every locale."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_date(day: dt.date) -> str:
    """'25 Nov 2026', where every millimeter counts."""
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
