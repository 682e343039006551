"""Read built pages: which text has which key, and in which order elements come."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bs4 import Tag

NUMBERS = re.compile(r"\([^)]*\)|\d[\d,./]*\s*(?:ft|in|mph|psi|s|min|h|mi|km|m|°F|%|kPa|lb)?\b")
"""Figures with their units, and text in brackets: left out of a reading grade."""


def said(tag: Tag) -> dict[str, str]:
    """Every keyed text in reading order; a no-break space counts as a plain one."""
    return {one["data-key"]: one.get_text().replace("\u00a0", " ") for one in tag.select("[data-key]")}


def orders(tag: Tag) -> dict[str, str]:
    """What is to be done: by-heart lines and steps."""
    return {key: text for key, text in said(tag).items() if re.search(r"/(by_heart|blocks)/.*/do$", key)}


def steps(tag: Tag) -> dict[str, str]:
    """The steps that are read and done."""
    return {key: text for key, text in said(tag).items() if re.search(r"/blocks/.*/do$", key)}


def place(tag: Tag, wanted: Tag) -> int:
    """How many tags start before ``wanted``."""
    return next(at for at, one in enumerate(tag.find_all(True)) if one is wanted)


def tags_before(start: Tag, end: Tag) -> list[Tag]:
    """Siblings between two tags of one parent."""
    between: list[Tag] = []
    for one in start.find_next_siblings():
        if one is end:
            return between
        between.append(one)
    raise AssertionError("the second tag does not follow the first")


def plain(text: str) -> str:
    """A text without its figures, as one sentence or more."""
    kept = re.sub(r"\s+([.,:;])", r"\1", re.sub(r"\s+", " ", NUMBERS.sub(" ", text))).strip()
    return kept if kept.endswith((".", "!", "?")) else f"{kept}."


def loose_texts(tag: Tag) -> Iterator[str]:
    """Words without a key."""
    for text in tag.find_all(string=True):
        inside = [one.name for one in text.parents]
        if text.strip() and "svg" not in inside and not any(p.get("data-key") for p in text.parents):
            yield " ".join(text.split())
