"""Which day it is: that of SOURCE_DATE_EPOCH, so that a build can be repeated, or today."""

from __future__ import annotations

import datetime as dt
import os
import re

from forty_paces.authoring.findings import clip, printable


class BadClock(ValueError):
    """SOURCE_DATE_EPOCH is not a valid time; the message says so in one sentence."""


def clock_day() -> dt.date | None:
    """The UTC day of SOURCE_DATE_EPOCH; None if unset or empty, :class:`BadClock` if not a valid time."""
    raw = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not raw:
        return None
    try:
        if re.fullmatch(r"[0-9]{1,12}", raw) is None:
            raise ValueError
        return dt.datetime.fromtimestamp(int(raw), tz=dt.UTC).date()
    except (ValueError, OverflowError, OSError):
        shown = printable(clip(raw, 40))
        raise BadClock(
            f'SOURCE_DATE_EPOCH is "{shown}", which is no time in whole seconds since 1970'
        ) from None


def day_of_reading() -> dt.date:
    """The reference date for reviews: that of SOURCE_DATE_EPOCH if set, else today."""
    return clock_day() or dt.date.today()
