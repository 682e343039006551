"""What no product of an edition of another country may show: units, numbers, laws and authorities of the
United States.

All patterns stand here. The units are those by which the wording rules read figures.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.wording.language import CUSTOMARY_UNITS

_FIGURE = re.compile(
    rf"(?<![\w.,/])\d+(?:[,./]\d+)*[\s\u00a0-]?(?:{CUSTOMARY_UNITS})(?![\w'])|"
    r"\b[Aa]n? (?:foot(?! that)|mile|pound|inch)\b"
)
"""A figure with its unit, such as 30 mph or 4/32 in."""

_NO_INCHES = re.compile(r"\d[\s\u00a0]in (?:the|a|an|all|each|this|\d+)\b")
""""11 in the evening" is a time, "1 in 10" a share."""

_UNIT = re.compile(r"\b(?:mph|psi|in feet|mile (?:marker|post|\{)|road and mile|miles|yards?)\b|°F")
"""A unit that stands without its figure."""

_LAW = re.compile(
    r"\b(?:[Ff]ederal|(?:your|each|every|another|other) states?|"
    r"[Ss]tate(?:'s)? (?:law|rule|police|spill|line|road|Route|handbook|driver|commercial)s?|"
    r"CFR|FMVSS|FMCSA|NHTSA|FHWA|NTSB|OSHA|PHMSA|EPA|NRC|DOT|USDOT|U\.?S\.?A?|MUTCD|Interstate|ADA)\b|"
    r"\bAmerica(?!, Inc)|\bUnited States|National Response|800-424-8802"
)
"""Laws, authorities and numbers. The maker of the typeface, the Braille Institute of America, is none."""

_PLACE = re.compile(
    r"\b(?:Alaska|Arizona|California|Colorado|Florida|Georgia|Iowa|Michigan|Montana|North Carolina|"
    r"Ohio|Oregon|Pennsylvania|Texas|Virginia|Washington|Wyoming)\b"
)

PATTERNS = (_FIGURE, _UNIT, _LAW, _PLACE)

CITATIONS = (
    "a[href*='sources.html#']",
    "a[href^='#source-']",
    ".sources",
    ".source-list",
    ".basis",
    ".cited",
)
"""Elements that name where a text is from. A handbook of another country that teaches a technique is named
there by its own title; that none of them is a law is what ``country-law`` checks."""

_ATTRIBUTES = ("aria-label", "title", "alt", "placeholder", "value", "label")


def american(text: str) -> list[str]:
    """Each American figure, unit, law or place in a text, with the words around it."""
    return [
        text[max(0, found.start() - 40) : found.end() + 30].strip()
        for pattern in PATTERNS
        for found in pattern.finditer(text)
        if not (pattern is _FIGURE and _NO_INCHES.match(text, found.end() - 4))
    ]


def shown_texts(page: str) -> Iterator[str]:
    """Every text of a page that somebody may read or hear: elements, drawings, labels, data for scripts.

    Citations are left out. A page in Markdown is read as the HTML that it consists of.
    """
    soup = BeautifulSoup(page, "html.parser")
    for script in soup("script"):
        if "json" in str(script.get("type", "")):
            yield from _strings(json.loads(script.get_text()))
    for hidden in [*soup(["script", "style"]), *(one for css in CITATIONS for one in soup.select(css))]:
        hidden.extract()
    for element in soup.find_all(True):
        yield from _labels(element)
    yield from (" ".join(text.split()) for text in soup.get_text("\n").split("\n") if text.strip())


def _labels(element: Tag) -> Iterator[str]:
    yield from (str(element[name]) for name in _ATTRIBUTES if element.get(name))


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from (text for one in value.values() for text in _strings(one))
    elif isinstance(value, list):
        yield from (text for one in value for text in _strings(one))
