"""Keeps together what a line must not end within.

These are a figure and its unit, a day and its month, and the parts of a CFR citation. Printed documents get
no-break spaces (U+00A0); in HTML only text is changed, never tags, attributes or path data. On screens a
figure is held by an element, so that the text itself stays as it was written.
"""

from __future__ import annotations

import re

from markupsafe import Markup, escape

NO_BREAK_SPACE = "\u00a0"

UNITS = (
    *("ft", "in", "m", "mi", "km", "mph", "km/h", "psi", "kPa", "lb", "°F", "°C", "percent", "%"),
    *("s", "min", "h", "day", "days", "pace", "paces"),
)
"""Units that stay on the line of their figure."""

_UNITS = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_BEFORE_UNIT = re.compile(rf"(?<=[\d¼½¾]) (?=(?:{_UNITS})(?![\w/]))")
_BEFORE_MONTH = re.compile(rf"(?<=\d) (?=(?:{_MONTHS}) \d{{4}}\b)")
_IN_CITATION = re.compile(r"(?<=\d) (?=CFR \d)|(?<=\bCFR) (?=\d)")
_TEXT = re.compile(r"(?<=>)[^<>]+(?=<)")
_FIGURE = re.compile(rf"(?<![\w&#/.-])\d[\d,./]*[¼½¾]?{_BEFORE_UNIT.pattern}(?:{_UNITS})")


def with_no_break_spaces(text: str) -> str:
    """Plain text with no-break spaces."""
    for space in (_BEFORE_UNIT, _BEFORE_MONTH, _IN_CITATION):
        text = space.sub(NO_BREAK_SPACE, text)
    return text


def html_with_no_break_spaces(html: str) -> str:
    """HTML with no-break spaces in its text. Idempotent."""
    return _TEXT.sub(lambda match: with_no_break_spaces(match[0]), html)


def keep_figures_with_units(text: str) -> Markup:
    """The text with each figure and its unit in an element that does not wrap."""
    return Markup(_FIGURE.sub(r'<span class="together">\g<0></span>', str(escape(text))))
