"""Parts of a page, read without parsing the whole of it: a cab file takes half a second to parse."""

from __future__ import annotations

import re

from bs4 import BeautifulSoup, SoupStrainer, Tag


def parts(html: str, name: str, marked: str = "") -> list[Tag]:
    """Every element of this name whose start tag has ``marked``, in order, cut out with what is in it."""
    found: list[Tag] = []
    for start in re.finditer(rf"<{name}\b[^<>]*{re.escape(marked)}[^<>]*>", html):
        deep = 0
        for tag in re.finditer(rf"<(/?){name}\b", html[start.start() :]):
            deep += -1 if tag[1] else 1
            if not deep:
                break
        assert not deep, f"<{name}> {marked} is never closed"
        end = html.index(">", start.start() + tag.start()) + 1
        element = BeautifulSoup(html[start.start() : end], "html.parser").find(name)
        assert isinstance(element, Tag)
        found.append(element)
    return found


def part(html: str, name: str, marked: str = "") -> Tag:
    """The one element of this name whose start tag has ``marked``."""
    (element,) = parts(html, name, marked)
    return element


def shown_under_keys(html: str) -> list[tuple[str, str]]:
    """Every driver-facing string of the page with its key, however often it stands there."""
    page = BeautifulSoup(html, "html.parser", parse_only=SoupStrainer(attrs={"data-key": True}))
    return [(str(one["data-key"]), one.get_text()) for one in page.find_all(attrs={"data-key": True})]
