"""What no product of an edition of another country may show: units, numbers, laws, authorities and words of
the United States.

All patterns stand here. The units are those by which the wording rules read figures.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from typing import Any

from forty_paces.authoring.wording.language import CUSTOMARY_UNITS

_FIGURE = re.compile(
    rf"(?<![\w.,/])\d+(?:[,./]\d+)*[\s\u00a0-]?(?:{CUSTOMARY_UNITS})(?![\w'])|"
    r"\b[Aa]n? (?:foot(?! that)|mile|pound|inch)\b"
)
"""A figure with its unit, such as 30 mph or 4/32 in."""

_NO_INCHES = re.compile(r"\d[\s\u00a0]in (?:the|a|an|all|each|this|\d+)\b")
""""11 in the evening" is a time, "1 in 10" a share."""

_UNIT = re.compile(
    r"\b(?:mph|psi|in feet|mile (?:marker|post|\{)|road and mile|miles|yards)\b|"
    r"\b(?:a|one|more|[Ee]very) yard\b|°F"
)
"""A unit that stands without its figure."""

_LAW = re.compile(
    r"\b(?:[Ff]ederal|(?:your|each|every|another|other) states?|"
    r"[Ss]tate(?:'s)? (?:law|rule|police|spill|line|road|Route|handbook|driver|commercial)s?|"
    r"CFR|FMVSS|FMCSA|NHTSA|FHWA|NTSB|OSHA|PHMSA|EPA|NRC|DOT|USDOT|U\.?S\.?A?|MUTCD|Interstate|ADA)\b|"
    r"\b(?:the ten minutes|within (?:ten|10) minutes of|[Tt]en-minute)\b|"
    r"(?<!Institute of )\bAmerica|\bUnited States|National Response|800-424-8802"
)
"""Laws, authorities and numbers. The Braille Institute of America, which made the typeface, is none."""

_PLACE = re.compile(
    r"\b(?:Alaska|Arizona|California|Colorado|Florida|Georgia|Iowa|Michigan|Montana|North Carolina|"
    r"Ohio|Oregon|Pennsylvania|Texas|Virginia|Washington|Wyoming)\b"
)

_WORD = re.compile(r"\b[Rr]ailroads?\b")
"""What is called otherwise in Canada."""

PATTERNS = (_FIGURE, _UNIT, _LAW, _PLACE, _WORD)

CITATIONS = frozenset({"sources", "source-list", "basis", "cited"})
"""Classes of elements that name where a text is from; links to a source are left out too. A handbook of
another country that teaches a technique is named there by its title: ``country-law`` checks that none of
them is a law."""

_TO_A_SOURCE = ("sources.html#", "#source-")
_LABELS = ("aria-label", "title", "alt", "placeholder", "value", "label")
_WITHIN_A_LINE = frozenset(
    {"a", "abbr", "b", "code", "em", "i", "small", "span", "strong", "sub", "sup", "wbr"}
)
_EMPTY = frozenset({"br", "hr", "img", "input", "link", "meta", "source", "wbr", "col"})


def american(text: str) -> list[str]:
    """Each American figure, unit, law, place or word in a text, with the words around it."""
    return [
        text[max(0, found.start() - 40) : found.end() + 30].strip()
        for pattern in PATTERNS
        for found in pattern.finditer(text)
        if not (pattern is _FIGURE and _NO_INCHES.match(text, found.end() - 4))
    ]


def in_pages(pages: Iterable[tuple[str, str]]) -> list[str]:
    """What is American in pages, each given with its name."""
    return [
        f"{name}: {found}" for name, page in pages for text in shown_texts(page) for found in american(text)
    ]


def shown_texts(page: str) -> Iterator[str]:
    """Every text of a page that somebody may read or hear: lines, drawings, labels, data for scripts.

    Citations are left out. A page in Markdown is read as the HTML that it consists of.
    """
    reader = _Reader()
    reader.feed(page)
    reader.close()
    reader.end_line()
    yield from reader.texts


class _Reader(HTMLParser):
    """Collects the texts of a page line by line, so that a figure in bold stays beside its unit."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.line: list[str] = []
        self.hidden: list[str] = []
        "The open elements from the outermost one on that is not shown."
        self.is_data = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.line.append(" ")
        if tag not in _WITHIN_A_LINE:
            self.end_line()
        if tag in _EMPTY:
            self._label(given)
            return
        if self.hidden:
            self.hidden.append(tag)
            return
        cites = tag == "a" and any(to in given.get("href", "") for to in _TO_A_SOURCE)
        if tag in ("script", "style") or cites or CITATIONS & set(given.get("class", "").split()):
            self.hidden.append(tag)
            self.is_data = tag == "script" and "json" in given.get("type", "")
        else:
            self._label(given)

    def handle_endtag(self, tag: str) -> None:
        if tag not in _WITHIN_A_LINE:
            self.end_line()
        while tag in self.hidden:
            if self.hidden.pop() == tag:
                break

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.line.append(data)
        elif self.is_data and self.hidden == ["script"] and data.strip():
            self.texts += _strings(json.loads(data))

    def end_line(self) -> None:
        """What was read since the last line is one text."""
        text = " ".join("".join(self.line).split())
        if text:
            self.texts.append(text)
        self.line.clear()

    def _label(self, given: dict[str, str]) -> None:
        if not self.hidden:
            self.texts += [given[name] for name in _LABELS if given.get(name)]


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from (text for one in value.values() for text in _strings(one))
    elif isinstance(value, list):
        yield from (text for one in value for text in _strings(one))
