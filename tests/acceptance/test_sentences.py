"""Every sentence of the built edition, searched for the typical faults of texts composed by a program."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
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


UNREAD = re.compile(r"<(script|style|pre)\b.*?</\1>", re.DOTALL)
SECTION = re.compile(r"<section\b[^<]*(?:<(?!/?section\b)[^<]*)*</section>")
"""A section that holds no other."""
WITHIN = re.compile(
    rf"""</?(?!(?:{"|".join((*BLOCKS, "code", "kbd"))})\b)[a-zA-Z](?:[^>"']|"[^"]*"|'[^']*')*>"""
)
"""A tag that neither bounds a block nor stands around code."""


@cache
def texts(site: Path) -> Mapping[str, str]:
    """The words of every smallest block of text on the whole site, with the first page that has them.

    Cab files, cards and papers repeat whole sections of one another: each is read once.
    """
    read: set[str] = set()

    def unread(section: re.Match[str]) -> str:
        known = section.group() in read
        read.add(section.group())
        return "" if known else section.group()

    found: dict[str, str] = {}
    for path in sorted(site.rglob("*.html")):
        rest = SECTION.sub(unread, UNREAD.sub("", path.read_text(encoding="utf-8")))
        for text in _blocks(BeautifulSoup(WITHIN.sub("", rest), "html.parser")):
            found.setdefault(text, path.relative_to(site).as_posix())
    return found


def _blocks(page: BeautifulSoup) -> Iterator[str]:
    for code in page.select("code, kbd"):
        code.replace_with("such")
    blocks = [one for one in page.descendants if isinstance(one, Tag)]
    holders = {id(holder) for block in blocks for holder in block.parents}
    for block in blocks:
        if id(block) not in holders:
            yield re.sub(r"\s+", " ", block.get_text()).strip()


def test_a_page_is_read_block_by_block_and_a_section_that_comes_again_once(tmp_path: Path) -> None:
    page = (
        '<title>Top</title><style>p</style><div title="a > b"><p>One <b>bold</b>\n<code>x</code> word</p>'
        "<li><p>In</p>side</li></div><section><h2>Again</h2></section><script>'<p>no</p>'</script>"
    )
    (tmp_path / "a.html").write_text(page, encoding="utf-8")
    (tmp_path / "b.html").write_text(f"{page}<section><h2>New &amp; last</h2></section>", encoding="utf-8")
    first = dict.fromkeys(("Top", "One bold such word", "In", "Again"), "a.html")
    assert {**first, "New & last": "b.html"} == texts(tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("fault", WRONG)
def test_no_sentence_of_the_edition_holds(built_site: Path, fault: str) -> None:
    assert len(texts(built_site)) > 10_000
    found = texts(built_site).items()
    wrong = [f"{page}: {text[:200]}" for text, page in found if re.search(WRONG[fault], text)]
    assert [] == wrong
