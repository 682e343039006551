"""Firm spaces: no printed line ends between a figure and its unit, a day and its month, a code and its part.

In: HTML made by our own templates, or plain text. Out: the same, with firm spaces where a line must not
end. Refuses to touch tags, attributes and drawings' paths: only what is read.
"""

from __future__ import annotations

import re

FIRM = "\u00a0"

UNITS = ("ft", "in", "m", "mi", "mph", "km/h", "psi", "kPa", "lb", "s", "min", "h", "%", "pace", "paces")
"""What a figure stays with."""

_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_UNITS = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_FIGURE = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w/]))")
_DAY = re.compile(rf"(?<=\d) (?=(?:{_MONTHS}) \d{{4}}\b)")
_LAW = re.compile(r"(?<=\d) (?=CFR \d)|(?<=\bCFR) (?=\d)")
_WORDS = re.compile(r"(?<=>)[^<>]+(?=<)")


def with_no_break_spaces(text: str) -> str:
    """Plain text with firm spaces."""
    return _LAW.sub(FIRM, _DAY.sub(FIRM, _FIGURE.sub(FIRM, text)))


def html_with_no_break_spaces(html: str) -> str:
    """HTML with firm spaces in its words. Done twice, it changes nothing more."""
    return _WORDS.sub(lambda found: with_no_break_spaces(found[0]), html)
