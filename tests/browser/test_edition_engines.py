"""A signed edition in WebKit and Firefox: verified where they have Ed25519, else called not verified here."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.serving import SiteServer, serving
from tests.soak.edition_cases import KINDS, Case, Editions, named
from tests.soak.tablets import Firefox, WebKit

pytestmark = [pytest.mark.browser, pytest.mark.long]

OFFERS = (
    "signature: rolled back",
    "signature: none",
    "signature: rotated key",
    "signature: wrong key under the right name",
    "signature: cut",
)


@pytest.fixture(params=["webkit", "firefox"])
def tablet(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[WebKit | Firefox]:
    if request.param == "webkit":
        own = tmp_path / "browser"
        own.mkdir()
        display: str = request.getfixturevalue("display")
        made: WebKit | Firefox = WebKit(request.getfixturevalue("webkit_binary"), display, own)
    else:
        made = Firefox(request.getfixturevalue("firefox"))
    yield made
    made.close()


def test_a_tablet_with_a_signed_edition_keeps_it_against_everything_that_its_key_did_not_sign(
    tablet: WebKit | Firefox, tmp_path: Path
) -> None:
    (tmp_path / "editions").mkdir()
    tail = tablet.tail if isinstance(tablet, WebKit) else ""
    editions = Editions(tmp_path / "editions", tail=tail)
    said = set()
    for number, name in enumerate(OFFERS):
        work = tmp_path / str(number)
        work.mkdir()
        with serving(SiteServer(editions.signed, "/yard/guide/")) as server:
            case = Case(tablet, server, editions, work, random.Random(name))
            with named(case, name, 0):
                tablet.fresh()
                allowed = KINDS[name](case)
                assert case.wrong_in(allowed) == {}
            said.add("not verified here" if case.unchecked else "verified")
    assert len(said) == 1, "one browser says the same each time"
