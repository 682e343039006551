"""The published facts again, read from the built site: what a driver sees is what was checked.

The table, with the source and basis of each row, is tests/published/content_facts.yml.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library

from tests.content.published import published, said_at, said_by_id

FACTS = published()["facts"]

LISTS = {"before-trip": "before-trip.html", "after-event": "after-event.html"}


@cache
def _page_text(page: Path) -> str:
    """The visible text: spaces normalized, navigation left out, figures together with their unit."""
    soup = BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser")
    for figure in soup.select(".together"):
        figure.unwrap()
    soup.smooth()
    main = soup.find("article") or soup.find("main") or soup
    return re.sub(r"\s+", " ", main.get_text(" "))


def _page(site: Path, owner: str) -> Path:
    return site / LISTS.get(owner, f"procedures/{owner}.html")


@pytest.mark.long
@pytest.mark.parametrize("row", FACTS, ids=[row["fact"] for row in FACTS])
def test_a_published_fact_can_be_read_on_its_page(
    built_site: Path, library: Library, row: dict[str, Any]
) -> None:
    owner = row["where"].split("/")[0]
    shown = _page_text(_page(built_site, owner))
    texts = [one.text for one in said_at(library, row["where"])]
    assert texts
    assert [text for text in texts if text not in shown] == []


@pytest.mark.long
def test_every_text_of_every_procedure_and_list_is_on_its_page(built_site: Path, library: Library) -> None:
    """All but the tile's short title, and the reasons of by-heart lines, whose box has actions alone."""
    elsewhere = re.compile(r"^[a-z-]+/(?:tile|by_heart/[a-z0-9-]+/why)$")
    missing = [
        name
        for name, one in said_by_id(library).items()
        if not elsewhere.match(name) and one.text not in _page_text(_page(built_site, name.split("/")[0]))
    ]
    assert missing == []


@pytest.mark.long
@pytest.mark.parametrize("row", published()["untrue"], ids=[row["why"] for row in published()["untrue"]])
def test_no_built_page_says_what_is_known_to_be_untrue(
    built_site: Path, library: Library, row: dict[str, str]
) -> None:
    pages = [_page(built_site, owner) for owner in (*(one.id for one in library.procedures), *LISTS)]
    pattern = re.compile(row["says"], re.IGNORECASE)
    assert [page.name for page in pages if pattern.search(_page_text(page))] == []
