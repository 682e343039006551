"""Insert no-break spaces (U+00A0) where a printed line must not end.

These are the spaces between a figure and its unit, a day and its month, and the parts of a CFR citation. In
HTML only text is changed, never tags, attributes or path data.
"""

from __future__ import annotations

import re

FIRM = "\u00a0"

UNITS = ("ft", "in", "m", "mi", "mph", "km/h", "psi", "kPa", "lb", "s", "min", "h", "%", "pace", "paces")
"""Units that stay on the line of their figure."""

_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_UNITS = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_FIGURE = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w/]))")
_DAY = re.compile(rf"(?<=\d) (?=(?:{_MONTHS}) \d{{4}}\b)")
_LAW = re.compile(r"(?<=\d) (?=CFR \d)|(?<=\bCFR) (?=\d)")
_WORDS = re.compile(r"(?<=>)[^<>]+(?=<)")


def with_no_break_spaces(text: str) -> str:
    """Plain text with no-break spaces."""
    return _LAW.sub(FIRM, _DAY.sub(FIRM, _FIGURE.sub(FIRM, text)))


def html_with_no_break_spaces(html: str) -> str:
    """HTML with no-break spaces in its text. Idempotent."""
    return _WORDS.sub(lambda found: with_no_break_spaces(found[0]), html)
