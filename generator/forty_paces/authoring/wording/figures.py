"""Wording rules on numbers: digits with a unit, units that agree, a source for each figure.

Telephone numbers, legal citations, dates and names such as 'step 3' or 'exit 12' do not
count as figures.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from forty_paces.authoring.findings import clip
from forty_paces.authoring.texts import DriverText, Role
from forty_paces.authoring.wording.language import UNIT_WORDS
from forty_paces.authoring.wording.rule import ProcedureTexts, Violation, violation

FEET_IN_A_METER = 1 / 0.3048
"""The international foot, exact."""

AGREE_WITHIN = 0.05
"""Relative tolerance for rounding: the federal rules print 10 ft with 3 m (2 %), 500 ft with 150 m."""

_NO_FIGURE = re.compile(
    r"""
    \b(?:911|988|112|999)\b                                    # emergency numbers
    | \b(?:\d{1,2}[-\s])?\(?\d{3}\)?[-\s]\d{3,4}(?:-\d{4})?\b  # telephone numbers
    | \b\d+\s+CFR\s+(?:part\s+)?[\d.]+(?:\([\w]+\))*           # 49 CFR 392.22(b)
    | \b(?:§|part|section|title|rule|class|classes|division|step|page|line|channel|exit|mile|route|highway
        |interstate|road|street|rules|parts|number|no\.|type|figure|table|unit|card|level|grade|zone|gear|lane)\s+\d[\d.]*
    | \b[A-Z]{1,3}-?\d+\b                                      # I-80, FIR2
    | \b(?:19|20)\d\d(?:-\d\d-\d\d)?\b                         # years and days
    | \b24/7\b
    | (?<!\d)\d+\s?(?:A?[:-])?B?:?C\b                                 # extinguisher ratings
    """,
    re.IGNORECASE | re.VERBOSE,
)
_DIGIT = re.compile(r"\d")
"""Tested first for speed: most texts contain no digit."""

_FIGURE = re.compile(r"(?<![\w.])\d+(?:,\d{3})*(?:\.\d+)?(?:\s?/\s?\d+)?")
_UNIT = re.compile(rf"[\s-]?(?:{UNIT_WORDS})(?!\w)")
_COUNTED = re.compile(
    r"(?:\s|-)(?!(?:and|or|to|in|on|at|of|for|from|with|by|the|a|an|if|when|until|is|are|as|then|you|it)\b)[a-z]",
    re.IGNORECASE,
)
_RANGE = re.compile(
    r"\s?(?:[-–]|to|or|and|out of|of|in)\s?\d|\s(?:for each|for every|per|of (?:them|these|the))\b"
)
_LIMIT_BEFORE = re.compile(
    r"\b(?:at least|at most|another|only|all|these|those|the other|up to)\s$", re.IGNORECASE
)
_SPELLED = re.compile(
    r"\b(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|fifty|sixty|"
    r"ninety|hundred)[\s-](?:feet|foot|ft|meters?|metres?|miles?|inch(?:es)?|seconds?|minutes?|hours?|days?|paces?|"
    r"pounds?|degrees?|percent|psi|mph)\b",
    re.IGNORECASE,
)
_TWO_UNITS = re.compile(
    r"(?<![\d.,])(?P<ft>\d[\d,]*(?:\.\d+)?)\s?(?:ft|feet)\s?[(,]\s?(?:about |or )?"
    r"(?P<m>\d[\d,]*(?:\.\d+)?)\s?(?:m|metres?|meters?)\b\)?"
)
_METERS_FIRST = re.compile(r"\d\s?(?:m|metres?|meters?)\s?\(\s?(?:about )?\d[\d,.]*\s?(?:ft|feet)")


def figures(text: str) -> list[str]:
    """The figures in a text that need a source."""
    if _DIGIT.search(text) is None:
        return []
    return [match.group().strip() for match in _FIGURE.finditer(_NO_FIGURE.sub(_blank, text))]


def digits_with_unit(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Numbers are digits with a unit; feet come first, and meters agree with them."""
    for driver_text in sheet.texts:
        spelled = _SPELLED.search(driver_text.text)
        if spelled is not None and not driver_text.text[spelled.end() :].startswith(" rule"):
            wrong = f'"{spelled.group()}" is written in words'
            yield violation(driver_text, wrong, "write digits and the unit, such as '10 ft' or '5 s'")
        if _DIGIT.search(driver_text.text) is None:
            continue
        if driver_text.role is not Role.LABEL:
            yield from _bare_figures(driver_text)
        for pair in _TWO_UNITS.finditer(driver_text.text):
            feet, meters = (float(pair[unit].replace(",", "")) for unit in ("ft", "m"))
            right = feet / FEET_IN_A_METER
            if abs(meters - right) > AGREE_WITHIN * right:
                wrong = f'"{pair.group().strip()}" does not agree: {feet:g} ft are {right:.1f} m'
                yield violation(driver_text, wrong, "correct the one that is wrong")
        if _METERS_FIRST.search(driver_text.text):
            yield violation(
                driver_text, "meters stand before feet", "write feet first, then meters in brackets"
            )


def _bare_figures(driver_text: DriverText) -> Iterator[Violation]:
    text = _NO_FIGURE.sub(_blank, driver_text.text)
    for match in _FIGURE.finditer(text):
        if any(pattern.match(text, match.end()) for pattern in (_UNIT, _COUNTED, _RANGE)):
            continue
        if _LIMIT_BEFORE.search(text, max(0, match.start() - 12), match.start()):
            continue  # "1 strap for each 10 ft, and at least 2": the item was named before
        wrong = f'the figure "{match.group()}" has no unit and counts nothing'
        yield violation(driver_text, wrong, "write what it measures or counts right after it")


_UNCITED = (
    *(Role.TITLE, Role.TILE, Role.CUE, Role.STOPPED, Role.NEED, Role.BLOCK_TITLE, Role.DECISION_TITLE),
    *(Role.FINISHED, Role.CLUSTER_TITLE, Role.LOCAL_RULE),
)


def cited_figures(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Every figure carries its source."""
    for driver_text in sheet.of(*_UNCITED):
        uncited = figures(driver_text.text)
        if uncited:
            wrong = f'the figure "{clip(uncited[0])}" stands where no source can be given'
            yield violation(
                driver_text,
                wrong,
                "move it into a step or a fact that cites its source, and say it without here",
            )


def _blank(match: re.Match[str]) -> str:
    return "·" * len(match.group())
