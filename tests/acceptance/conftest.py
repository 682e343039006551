"""Shared by the acceptance tests: the built pages, read once.

The thirty points are the project's own list for written emergency procedures,
drawn from aviation, medical, nuclear and plain-language practice. Each test
names the point that it tests: test_point_07_... Every one reads the real
content and the real outputs, so that each can fail by itself.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from playwright.sync_api import Browser

from tests.acceptance.screens import CAB_SCREENS, SITE_PAGES, Everywhere, Screen, read_everywhere
from tests.sharing import made_once


@pytest.fixture(scope="session")
def pages(built_site: Path, library: Library) -> Mapping[str, Tag]:
    """The words of each procedure's page, by procedure."""
    return {p.id: _article(built_site / f"procedures/{p.id}.html") for p in library.procedures}


@pytest.fixture(scope="session")
def cab(built_site: Path) -> BeautifulSoup:
    """The cab file."""
    return BeautifulSoup((built_site / "cab.html").read_text(encoding="utf-8"), "html.parser")


@pytest.fixture(scope="session")
def cab_procedures(cab: BeautifulSoup, library: Library) -> Mapping[str, Tag]:
    """Each procedure's part of the cab file."""
    return {p.id: _one(cab, f'section[data-procedure="{p.id}"]') for p in library.procedures}


@pytest.fixture(scope="session")
def cards(built_site: Path) -> Mapping[str, Tag]:
    """Each card of the default set, by its code: both faces of a leaf together."""
    file = built_site / "cards/half-letter-all.html"
    soup = BeautifulSoup(file.read_text(encoding="utf-8"), "html.parser")
    found: dict[str, Tag] = {}
    for face in soup.select("section.face"):
        code = _one(face, ".code-letters").get_text()
        if code in found:
            found[code].append(face)
        else:
            found[code] = face
    return found


@pytest.fixture(scope="session")
def everywhere(built_site: Path, chromium: Browser) -> Everywhere:
    """Every screen and page in every look that a point asks for, read once for all test workers."""

    def make(kept: Path) -> None:
        page = chromium.new_page()
        seen = [[look, asdict(screen)] for look, screen in read_everywhere(page, built_site)]
        page.close()
        kept.write_text(json.dumps(seen), encoding="utf-8")

    kept = made_once(built_site.with_name("everywhere.json"), make)
    found = [(tuple(look), Screen(**one)) for look, one in json.loads(kept.read_text(encoding="utf-8"))]

    def read(width: int, height: int, *, night: bool = False) -> list[Screen]:
        screens = [screen for look, screen in found if look == (width, height, night)]
        assert len(screens) == len(CAB_SCREENS) + len(SITE_PAGES), (width, height, night)
        return screens

    return read


def _article(file: Path) -> Tag:
    (article,) = re.findall(r"<article\b.*</article>", file.read_text(encoding="utf-8"), re.DOTALL)
    return _one(BeautifulSoup(article, "html.parser"), "article")


def _one(tag: Tag, selector: str) -> Tag:
    (found,) = tag.select(selector)
    return found
