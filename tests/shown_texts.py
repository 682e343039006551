"""Every text of an HTML file that somebody reads or hears, with the language that it is marked with."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, NamedTuple

_VOID = """
area base br col embed hr img input link meta source track wbr
"""
VOID = frozenset(_VOID.split())
SPOKEN = frozenset({"aria-label", "aria-description", "alt", "title", "placeholder"})
"""Attributes that are shown or read aloud."""

ENGLISH_DATA = frozenset({"data-english", "data-when"})
"""Attributes of scripts that hold English, or ids, on purpose."""

ENGLISH_KEYS = frozenset({"spoken"})
"""Keys of a page's data below which English stands on purpose: what those read and hear who answer a call."""


class ShownText(NamedTuple):
    """One text and where it stands."""

    language: str
    "The nearest ``lang`` around it."
    where: str
    "The element, an attribute of it, or the data of scripts."
    text: str


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, str]] = []
        self.found: list[ShownText] = []
        self.is_data = False

    @property
    def language(self) -> str:
        return self.open[-1][1] if self.open else ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        language = given.get("lang", self.language)
        for name, value in given.items():
            shown = name in SPOKEN or (name.startswith("data-") and name not in ENGLISH_DATA)
            if shown or (name == "content" and given.get("name") == "description"):
                self.found.append(ShownText(language, f"{tag} {name}", value))
        if tag not in VOID:
            self.open.append((tag, language))
        self.is_data = tag == "script" and given.get("type") == "application/json"

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        if any(name == tag for name, _ in self.open):
            while self.open.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        tag = self.open[-1][0] if self.open else ""
        if tag == "script" and self.is_data:
            self.found += [ShownText(self.language, "data", text) for text in _strings(json.loads(data))]
        elif tag not in ("script", "style") and not any(name == "code" for name, _ in self.open):
            self.found.append(ShownText(self.language, tag, data))


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from () if key in ENGLISH_KEYS else _strings(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _strings(inner)


def shown_texts(html: str) -> Iterator[ShownText]:
    """Texts of more than one word, their white space as it is shown; nothing that stands in ``code``."""
    reader = _Reader()
    reader.feed(html)
    for language, where, text in reader.found:
        whole = " ".join(text.replace("\u00a0", " ").split())
        if " " in whole:
            yield ShownText(language, where, whole)


def page_language(html: str) -> str:
    """The ``lang`` of the whole page."""
    found = re.search(r"<html\b[^>]*\blang=\"?([\w-]+)", html)
    return found[1] if found else ""


def pages_by_language(site: Path) -> dict[str, list[Path]]:
    """Every HTML file of a site, by the first part of its language's tag."""
    listed: dict[str, list[Path]] = {}
    for file in sorted(site.rglob("*.html")):
        language = page_language(file.read_text(encoding="utf-8"))
        listed.setdefault(language.partition("-")[0], []).append(file)
    return listed
