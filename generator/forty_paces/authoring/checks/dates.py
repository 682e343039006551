"""Shared by the date checks: rule name, advance notice, and adding months to a date."""

from __future__ import annotations

import datetime as dt

OVERDUE = "review-date"
"""Name of the rule on review dates."""

WARN_DAYS = 60
"""Days before a due date from which advice is given."""


def months_later(day: dt.date, months: int) -> dt.date:
    """The same day of the month ``months`` later, or the last day of a shorter month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return dt.date(year, month + 1, min(day.day, last))
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")
