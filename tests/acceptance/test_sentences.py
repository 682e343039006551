"""Every sentence of the built edition, searched for the typical faults of texts composed by a program."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

BLOCKS = (
    *("p", "li", "td", "th", "dt", "dd", "h1", "h2", "h3", "h4"),
    *("caption", "figcaption", "summary", "button", "label", "legend", "option", "title", "desc"),
)
UNITS = (
    "feet|meters|paces|minutes|hours|days|seconds|devices|lane lines|trailer lengths|procedures|faces|cards"
)
SINGULARS = "foot|meter|pace|minute|hour|day|second|device|lane line|trailer length|face|card"

WRONG = {
    "a name for nothing": r"\b(?:undefined|None|NaN|null|nan)\b(?! (?:of|yet|aboard)|\.)",
    "one of several": rf"(?<![\d.,/½¼¾−-])1 (?:{UNITS})\b",
    "several of one": rf"(?<![\d.,/])(?:0|[2-9]|\d\d+) (?:{SINGULARS})\b(?!-)",
    "a stop too many": r"(?<!\.)\.\.(?!\.)|,,|;;|::|\?\?|,\.|(?<!Inc)(?<!Corp)\.,",
    "a space before a stop": r"\w [,.;:!?](?= |$)",
    "a word twice": r"\b(\w\w+) \1\b",
    "empty brackets": r"\( *\)|\[ *\]",
    "markup that shows": r"&(?:amp|lt|gt|quot|#\d+);|</?\w+>",
    "a template that shows": r"\{\{|\}\}|\{%|%\}|(?<!\d)%[sd]\b|\{[a-z_]+\}",
    "a record that shows": r"<[A-Z]\w+\.|Toward\.|object at 0x|\w+\(\w+=",
}
"""Patterns that must match no text."""

RIGHT = {
    "a name for nothing": ["None of them", "None.", "None yet", "None aboard with explosives"],
    "one of several": ["11 feet", "1 ft", "0.1 feet", "1 foot"],
    "several of one": ["40 paces", "1 pace", "10-minute rule", "40 ft"],
    "a stop too many": ["and so on ...", "Google, Inc., Netflix", "Put it out. Go."],
    "a space before a stop": ["4 ft. Go", "Stop: go"],
    "a word twice": ["that thatch", "TRE1 TRE2"],
    "empty brackets": ["(10 ft)"],
    "markup that shows": ["fire & smoke", "a < b"],
    "a template that shows": ["100 %, never more", "{}"],
    "a record that shows": ["toward the traffic", "f(x)"],
}
"""Correct texts that look similar."""

FAULTY = {
    "a name for nothing": ["Device undefined is far.", "from None ft"],
    "one of several": ["Walk 1 feet.", "1 paces"],
    "several of one": ["Walk 40 pace.", "2 minute"],
    "a stop too many": ["Four.. Three tens", "ahead,, then", "Stop.,"],
    "a space before a stop": ["40 ft ."],
    "a word twice": ["4/32 in in a groove", "the the road"],
    "empty brackets": ["10 ft ()"],
    "markup that shows": ["the driver&#39;s seat", "fire &amp; smoke", "<strong>no</strong>"],
    "a template that shows": ["{{ name }}", "{speed}"],
    "a record that shows": ["Toward.BEHIND", "Device(number=1"],
}


@pytest.mark.parametrize("fault", WRONG)
def test_the_sweep_finds_what_is_wrong_and_lets_stand_what_is_right(fault: str) -> None:
    assert [] == [text for text in FAULTY[fault] if not re.search(WRONG[fault], text)]
    assert [] == [text for text in RIGHT[fault] if re.search(WRONG[fault], text)]


@cache
def texts(site: Path) -> tuple[tuple[str, str], ...]:
    """The page and the words of every smallest block of text on the whole site."""
    return tuple(
        (path.relative_to(site).as_posix(), text)
        for path in sorted(site.rglob("*.html"))
        for text in _blocks(BeautifulSoup(path.read_bytes(), "html.parser"))
    )


def _blocks(page: Tag) -> Iterator[str]:
    for code in page.select("script, style, pre"):
        code.decompose()
    for code in page.select("code, kbd"):
        code.replace_with("such")
    for block in page.find_all(BLOCKS):
        if block.find(BLOCKS) is None:
            yield re.sub(r"\s+", " ", block.get_text()).strip()


@pytest.mark.long
@pytest.mark.parametrize("fault", WRONG)
def test_no_sentence_of_the_edition_holds(built_site: Path, fault: str) -> None:
    assert len(texts(built_site)) > 10_000
    wrong = [f"{page}: {text[:200]}" for page, text in texts(built_site) if re.search(WRONG[fault], text)]
    assert [] == wrong
