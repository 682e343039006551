"""The whole site as readers use it: from a folder and from a server, page by page.

Rules of working without signal: nothing outside the folder is requested, every link leads somewhere,
search works from a folder, and pages are complete without scripts.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import ClassVar
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest
from forty_paces.outputs.common.other_languages import divide_index, with_own_search
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request, expect

from tests.browser.serving import SiteServer, serving
from tests.soaking import SOAK, sample

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]


def pages_of(site: Path) -> list[Path]:
    """Every HTML file except the not-found page, whose links are absolute, for servers."""
    return sorted(path for path in site.rglob("*.html") if path.name != "404.html")


class Tags(HTMLParser):
    """The ids of a page, and what it links or loads."""

    LINKING: ClassVar = {"a": "href", "link": "href", "script": "src", "img": "src"}

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the tag's id and link."""
        values = dict(attrs)
        if values.get("id"):
            self.ids.add(values["id"] or "")
        if (link := values.get(self.LINKING.get(tag, ""))) is not None:
            self.links.append(link)


def failed(request: Request) -> bool:
    """Whether the request really failed: opening the next page cancels what is still loading."""
    return request.failure != "net::ERR_ABORTED"


def is_printed(path: Path) -> bool:
    """Whether a page is a sheet of paper, as wide as its paper on any screen."""
    return path.parent.name == "sheets" or (path.parent.name == "cards" and path.name != "index.html")


MANY_OF_A_KIND = (
    ("procedures/*.html", 3),
    ("classroom/scenario-*.html", 2),
    ("classroom/*-notes.html", 2),
    ("placing/*.html", 3),
    ("placing/roads/*.html", 2),
    ("reference/*.html", 2),
    ("vehicles/*/cab.html", 2),
)
"""Pages that come from one template, and how many of them are opened: the smallest and the largest too."""
TOOLS = ("drill", "placing", "seat", "sight", "trainer", "which")
LESSONS_OPENED = 3


def for_screens(site: Path) -> list[Path]:
    """Pages that are read on a screen, and a sample of those that are many of a kind."""
    kinds = [(list(site.glob(kind)), count) for kind, count in MANY_OF_A_KIND]
    listed = {path for pages, _ in kinds for path in pages}
    others = [path for path in pages_of(site) if not is_printed(path) and path not in listed]
    lessons = [path for path in others if path.parent.name == "classroom" and path.stem not in TOOLS]
    kinds.append((lessons, LESSONS_OPENED))
    alone = [path for path in others if path not in lessons]
    return alone + [
        path
        for pages, count in kinds
        for path in sample(sorted(pages, key=lambda one: (one.stat().st_size, one)), count)
    ]


WIDTHS_PX = (320, 390, 800, 1280) if SOAK else (320, 800)
OVERFLOW = "(root => root.scrollWidth - root.clientWidth)(document.documentElement)"


@dataclass
class Visited:
    """Problems recorded while pages were opened one after the other."""

    asked: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    wide: list[str] = field(default_factory=list)


def _visit_all(context: BrowserContext, addresses: list[str], *, measured: Collection[str] = ()) -> Visited:
    """Open every address; for those ``measured``, also whether the page is wider than the screen."""
    seen = Visited()
    page = context.new_page()
    page.on("request", lambda request: seen.asked.append(request.url))
    page.on("pageerror", lambda error: seen.wrong.append(f"{page.url}: {error}"))
    page.on("console", lambda said: said.type == "error" and seen.wrong.append(f"{page.url}: {said.text}"))
    page.on("requestfailed", lambda request: failed(request) and seen.wrong.append(f"failed {request.url}"))
    for address in addresses:
        page.goto(address)
        # A page is laid out first as wide as the page before it was left.
        widths = WIDTHS_PX if page.viewport_size["width"] != WIDTHS_PX[-1] else WIDTHS_PX[::-1]
        for width in widths if address in measured else ():
            page.set_viewport_size({"width": width, "height": 800})
            overflow = page.evaluate(OVERFLOW)
            if overflow > 0:
                seen.wide.append(f"{address} at {width}: {overflow} px")
    page.close()
    return seen


@pytest.fixture(scope="module")
def visited(built_site: Path, chromium: Browser) -> Visited:
    """Pages for screens and sheets of paper, opened once from the folder; all of them in `make soak`."""
    context = chromium.new_context(viewport={"width": WIDTHS_PX[0], "height": 800})
    on_screens = [path.as_uri() for path in for_screens(built_site)]
    on_paper = [path.as_uri() for path in pages_of(built_site) if is_printed(path)]
    found = _visit_all(context, on_screens + sample(on_paper, 3), measured=set(on_screens))
    context.close()
    return found


@pytest.mark.soak
def test_every_page_opens_from_a_folder_and_asks_nothing_outside_it(
    built_site: Path, visited: Visited
) -> None:
    assert len(pages_of(built_site)) > 50
    assert [] == visited.wrong
    inside = (built_site.as_uri(), "data:", "blob:")
    assert [] == [url for url in visited.asked if not url.startswith(inside)]


@pytest.mark.soak
def test_no_page_scrolls_sideways_on_any_screen(visited: Visited) -> None:
    assert [] == visited.wide


@pytest.mark.walk
def test_a_reader_walks_from_the_start_to_a_procedure_a_distance_and_the_cards(
    built_site: Path, open_page: OpenPage
) -> None:
    """The one walk of the site that every run takes."""
    page = open_page(built_site / "index.html", width=390, height=800)
    page.locator('article a[href$="procedures/tire-fire.html"]').first.click()
    expect(page.locator("h1")).to_contain_text("Tire smoke or fire")
    expect(page.locator(".by-heart").first).to_be_visible()
    expect(page.locator(".step__do").first).to_be_visible()
    page.goto((built_site / "placing/two-lane.html").as_uri())
    expect(page.locator("svg.fp-drawing:visible").first).to_be_visible()
    page.goto((built_site / "cards/index.html").as_uri())
    page.locator('a[href$="half-letter-all.html"]:visible').first.click()
    expect(page.locator("section.face").first).to_be_visible()
    assert [] == page.faults
    assert [] == [url for url in page.requests if not url.startswith((built_site.as_uri(), "data:", "blob:"))]


@pytest.mark.soak
def test_every_page_opens_from_a_server_and_asks_nothing_of_anyone_else(
    built_site: Path, new_context: Callable[..., BrowserContext]
) -> None:
    with serving(SiteServer(built_site, prefix="/fleet/paces/")) as server:
        names = [path.relative_to(built_site).as_posix() for path in sample(pages_of(built_site), 7)]
        addresses = [server.address + name for name in names]
        seen = _visit_all(new_context(service_workers="block"), addresses)
        assert [] == seen.wrong
        assert [] == [url for url in seen.asked if not url.startswith((server.address, "data:", "blob:"))]
        assert [] == [path for path, outcome in server.asked if outcome != "served"]


def test_every_link_and_anchor_leads_somewhere(built_site: Path) -> None:
    """PDFs too: ``built_site`` has a file in place of each."""
    pages = {path: Tags(path) for path in pages_of(built_site)}
    assert any(link.endswith(".pdf") for page in pages.values() for link in page.links)
    broken = []
    for path, page in pages.items():
        for found in page.links:
            address, anchor = urldefrag(urljoin(path.as_uri(), found))
            parts = urlsplit(address)
            if parts.scheme != "file":
                if parts.scheme not in ("tel", "sms", "data", "blob"):
                    broken.append(f"{path.name}: leads outside to {found}")
                continue
            target = Path(unquote(parts.path))
            if not target.is_file():
                broken.append(f"{path.relative_to(built_site)}: {found}")
            elif (
                anchor not in ("", "__skip") and target in pages and unquote(anchor) not in pages[target].ids
            ):
                broken.append(f"{path.relative_to(built_site)}: {found} has no such place")
    assert [] == broken


def test_a_procedure_is_whole_without_scripts(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "procedures/tire-fire.html", java_script_enabled=False)
    for selector in ("h1", ".by-heart", ".stopped", ".step__do", ".notice", ".finished", ".never", ".review"):
        assert page.locator(selector).first.is_visible(), selector


def test_the_theme_is_trimmed_of_what_no_page_asks_for(built_site: Path) -> None:
    assert [] == sorted(built_site.rglob("*.map"))
    assert not (built_site / "assets/javascripts/lunr").exists()
    assert not (built_site / "assets/images/favicon.png").exists()
    assert [] == [path for path in built_site.rglob("*") if path.suffix in (".j2", ".yml")]


def test_printed_a_procedure_leaves_out_the_frame(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "procedures/tire-fire.html")
    page.emulate_media(media="print")
    assert not page.locator(".md-header").is_visible()
    assert not page.locator(".md-sidebar--primary").is_visible()
    assert page.locator(".step__do").first.is_visible()
    size = page.locator(".step__do").first.evaluate("e => parseFloat(getComputedStyle(e).fontSize) * 72 / 96")
    assert size >= 12  # points: CAP 676, chapter 7


MEANT = {
    "triangle": {"Stopped on a road or shoulder", "Placing triangles and fusees"},
    "blowout": {"Steer tire blowout", "Rear tire blowout, drive or trailer"},
    "fire": {"Engine fire under the hood", "Tire smoke or fire", "Small fire you can fight"},
    "phone": {"After the event"},
}
"""What a driver types, and pages that belong among the first five."""


def searched(page: Page, word: str) -> Locator:
    """The line above the results, once they are those of ``word``."""
    box = page.locator(".md-search__input")
    for text in ("", word):  # whole, because of a part of the word other pages come first
        box.fill(text)
        box.press("End")  # the theme searches when a key is let go
        if not text:
            expect(page.locator(".md-search-result__meta")).to_have_text("Type to start searching")
    return page.locator(".md-search-result__meta")


def test_search_works_from_a_folder_and_gives_first_what_a_driver_means(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html")
    missed = {}
    for word, first in MEANT.items():
        expect(searched(page, word)).to_have_text(re.compile(r"\d+ matching"))
        titles = page.locator(".md-search-result__article h1").all_text_contents()
        assert len(titles) >= 3, word
        missed[word] = first - set(titles[:5])
    assert {} == {word: titles for word, titles in missed.items() if titles}
    expect(searched(page, "zyzzyva")).to_have_text(re.compile("No matching"))
    assert [] == page.faults


def test_no_drawing_and_no_review_sheet_is_searched(built_site: Path) -> None:
    index = (built_site / "search/search_index.json").read_text("utf-8")
    places = [entry["location"] for entry in json.loads(index)["docs"]]
    assert len(places) > 300
    assert [] == [place for place in places if place.startswith("review.html")]
    assert "measure from here" not in index.lower()
    assert "Not to scale" not in index


def test_a_spanish_page_searches_spanish_pages_with_accents_and_without(
    built_site: Path, tmp_path: Path, open_page: OpenPage
) -> None:
    for folder in ("assets", "search"):
        shutil.copytree(built_site / folder, tmp_path / folder)
    page = (built_site / "procedures/tire-fire.html").read_text(encoding="utf-8")
    (tmp_path / "es").mkdir()
    (tmp_path / "es/llanta.html").write_text(with_own_search(page), encoding="utf-8")
    file = tmp_path / "search/search_index.json"
    index = json.loads(file.read_text(encoding="utf-8"))
    own = {
        "location": "es/llanta.html",
        "title": "Fuego de llanta",
        "text": "Aléjese del neumático que humea.",
    }
    index["docs"].append(own)
    file.write_text(json.dumps(index), encoding="utf-8")
    divide_index(tmp_path, ["es"])

    shown = open_page(tmp_path / "es/llanta.html")
    for word, finds in (("neumático", True), ("NEUMATICO", True), ("triangle", False)):
        meta = searched(shown, word)
        expect(meta).to_have_text(re.compile("1 matching" if finds else "No matching"))
        found = shown.locator(".md-search-result__link")
        assert found.count() == finds, word
        if finds:
            assert urlsplit(found.get_attribute("href") or "").path.endswith("/es/llanta.html")
    assert shown.faults == []
