"""What all checks of dates share: the rule's name, the notice given before a day, and months."""

from __future__ import annotations

import datetime as dt

OVERDUE = "review-date"
"""The rule on review dates."""

WARN_DAYS = 60
"""How long before a review is due it is announced."""


def months_later(day: dt.date, months: int) -> dt.date:
    """The same day of the month, or the last one where the month is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return dt.date(year, month + 1, min(day.day, last))
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")
