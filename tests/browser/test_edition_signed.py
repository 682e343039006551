"""A tablet with a signed edition takes in what its key signed, and nothing older; it says why it refuses."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from forty_paces.outputs.edition.edition_file import seal
from forty_paces.outputs.edition.signing import SIGNATURE, SigningKey, new_key, read_signing_key
from playwright.sync_api import Page, expect

from tests.browser.serving import SiteServer, serving
from tests.browser.small_edition import (
    attempt_update,
    build,
    hashes,
    install,
    no_fault,
    read_with_dead_network,
    state_is,
    updating,
)

pytestmark = pytest.mark.browser

SUBJECTS_CHANGED = 3


def key_named(folder: Path, name: str) -> SigningKey:
    new_key(folder / name)
    return read_signing_key(folder / name)


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Editions by what a tablet that holds ``second`` should think of them."""
    top = tmp_path_factory.mktemp("signed")
    key, other = key_named(top, "own.key"), key_named(top, "other.key")

    def made(name: str, edition: str, number: int, signer: SigningKey | None, **more: object) -> Path:
        about = {"number": number, "expires": "2027-05-25", "carrier_id": "larkspur", **more}
        return build(top / name, edition, SUBJECTS_CHANGED, key=signer, **about)

    found = {
        "first": made("first", "aaaaaaa1", 1, key),
        "second": made("second", "aaaaaaa2", 2, key),
        "unsigned": made("unsigned", "aaaaaaa3", 3, None),
        "key": made("key", "aaaaaaa4", 4, other),
        "other": made("other", "aaaaaaa5", 5, key, carrier_id="another"),
        "signature": made("signature", "aaaaaaa6", 6, key),
        "used": made("used", "aaaaaaa7", 2, key),
        "third": made("third", "aaaaaaa8", 8, key, expires="2026-11-25"),
    }
    # What somebody without the key can do: seal again, and claim the key that the tablet knows.
    cut = SigningKey(other.private, key.public)
    seal(
        found["signature"],
        {
            "edition": "aaaaaaa6",
            "date": "2026-11-25",
            "day": "day of aaaaaaa6",
            "number": 6,
            "expires": "2027-05-25",
            "carrier_id": "larkspur",
        },
        dt.date(2026, 11, 25),
        key=cut,
    )
    assert (found["signature"] / SIGNATURE).is_file()
    return found


@pytest.fixture
def server(editions: dict[str, Path]) -> Iterator[SiteServer]:
    with serving(SiteServer(editions["first"], "/yard/guide/")) as running:
        yield running


def refused(page: Page, server: SiteServer, editions: dict[str, Path], name: str, words: str) -> None:
    """The edition is refused with these words, and every file of ``second`` stands."""
    updating(server, editions[name], no_fault)
    assert "refused" == attempt_update(page), name
    expect(page.locator("[data-edition-status]")).to_contain_text(words)
    assert hashes(editions["second"]) == read_with_dead_network(page, server, editions["second"]), name


def test_a_tablet_takes_what_its_key_signed_and_refuses_everything_else(
    new_context, server: SiteServer, editions: dict[str, Path]
) -> None:
    page = install(new_context(), server)
    expect(page.locator("[data-edition-status]")).to_have_text(
        "Ready without signal: edition aaaaaaa1 of day of aaaaaaa1. Signature verified."
    )
    updating(server, editions["second"], no_fault)
    assert "waiting" == attempt_update(page)
    page.click("[data-edition-status][data-state=new] button")
    expect(page).to_have_title("aaaaaaa2")
    state_is(page, "ready")
    for name, words in (
        ("first", "older than the edition you have"),
        ("used", "older than the edition you have"),
        ("unsigned", "is not signed, as your edition is"),
        ("key", "is signed by another key"),
        ("other", "is for another carrier or vehicle"),
        ("signature", "does not fit it"),
    ):
        refused(page, server, editions, name, words)
    updating(server, editions["third"], no_fault)
    assert "waiting" == attempt_update(page), "a higher number by the same key, expired or not"
    page.click("[data-edition-status][data-state=new] button")
    expect(page).to_have_title("aaaaaaa8")
    state_is(page, "ready")


def test_an_unsigned_tablet_refuses_an_older_date_and_takes_the_first_signature(
    new_context, server: SiteServer, editions: dict[str, Path], tmp_path: Path
) -> None:
    server.root = build(tmp_path / "new", "bbbbbbb1", SUBJECTS_CHANGED, date="2026-11-26")
    page = install(new_context(), server)
    expect(page.locator("[data-edition-status]")).to_have_text(
        "Ready without signal: edition bbbbbbb1 of day of bbbbbbb1."
    )
    updating(server, build(tmp_path / "old", "bbbbbbb0", SUBJECTS_CHANGED), no_fault)
    assert "refused" == attempt_update(page)
    expect(page.locator("[data-edition-status]")).to_contain_text("older than the edition you have")
    updating(server, editions["first"], no_fault)
    assert "waiting" == attempt_update(page)


def test_a_browser_without_ed25519_says_that_nothing_was_verified(
    new_context, server: SiteServer, editions: dict[str, Path], tmp_path: Path
) -> None:
    """The worker itself is given an import that refuses such keys, as older browsers do."""
    site = build(tmp_path / "site", "ccccccc1", SUBJECTS_CHANGED)
    code = (site / "sw.js").read_text(encoding="utf-8")
    lacking = "crypto.subtle.importKey = () => Promise.reject(new DOMException('', 'NotSupportedError'));\n"
    start = code.index("const EDITION = ")
    end = code.index(";\n", start) + 2
    (site / "sw.js").write_text(
        code[:start] + "const EDITION = null;\n" + lacking + code[end:], encoding="utf-8"
    )
    key = key_named(tmp_path, "k")
    about = {"edition": "ccccccc1", "date": "2026-11-25", "day": "then", "number": 1, "expires": "2027-05-25"}
    seal(site, about, dt.date(2026, 11, 25), key=key)
    server.root = site
    page = install(new_context(), server)
    expect(page.locator("[data-edition-status]")).to_have_text(
        "Ready without signal: edition ccccccc1 of then. Signature not verified here."
    )
