"""The repository's own site on a tablet: installed from a subpath, then read with the network cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from forty_paces.outputs.edition.verification import verify
from playwright.sync_api import BrowserContext, Page

from tests.browser.serving import SiteServer, serving
from tests.browser.small_edition import hashes, read_with_dead_network

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]


@pytest.fixture
def server(built_site: Path) -> Iterator[SiteServer]:
    with serving(SiteServer(built_site, "/depot/tablets/")) as running:
        yield running


def is_ready(page: Page) -> None:
    page.wait_for_selector("[data-edition-status][data-state=ready]", timeout=90_000)


def test_the_built_site_is_a_whole_edition(built_site: Path) -> None:
    assert verify(built_site).differences == ()


def test_it_is_installed_from_the_cab_file_every_file_is_read_without_a_network_and_pages_say_so(
    new_context: NewContext, server: SiteServer, built_site: Path
) -> None:
    page = new_context().new_page()
    page.goto(server.address + "cab.html")
    is_ready(page)
    server.dead = True
    # The cab file's policy forbids every fetch; a page of the site may read its own files.
    page.goto(server.address + "index.html")
    assert read_with_dead_network(page, server, built_site) == hashes(built_site)
    for path, words in (
        ("cab.html#tire-fire", "Tire smoke or fire"),
        ("index.html", "Stop safely first."),
        ("procedures/warning-devices.html?from=card", "Stopped on a road or shoulder"),
        ("vehicles/coach/cab.html", "Coach"),
    ):
        fresh = page.context.new_page()
        fresh.goto(server.address + path)
        assert words in fresh.inner_text("body")
    # A page of the site says that it is ready too.
    server.dead = False
    page.goto(server.address + "procedures/tire-fire.html")
    is_ready(page)
    assert "Ready without signal" in page.inner_text(".edition-foot")
