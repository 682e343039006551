"""Injected faults: whatever a host, a network or a disk does, the last whole edition opens unchanged.

Every case installs an edition under an address of its own, injects one fault, proves that it occurred, closes
the page, and reads every file with the network dead. `make soak` tries 1,000 in Chromium and 200 each in
WebKit and Firefox, and prints how many of each kind it counted; an ordinary run tries seven in Chromium and
two each in the others, always the same. What an engine cannot be made to do is in ``LEFT_OUT``.
In `make soak` WebKit is killed at about every other closing of its page, and opens its data again.
"""

from __future__ import annotations

import contextlib
import random
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from forty_paces.outputs.edition.edition_file import WORKER

from tests.browser import own_webkit as engine
from tests.browser.serving import SiteServer, serving
from tests.browser.small_edition import lasting_name
from tests.soak.edition_cases import HELD, KINDS, Case, Editions, named
from tests.soak.tablets import Chromium, Firefox, Tablet, WebKit
from tests.soaking import FIRST_SEED, SOAK, cases, sample

pytestmark = [pytest.mark.soak, pytest.mark.long, pytest.mark.browser]

LEFT_OUT = {
    "chromium": (),
    "webkit": ("storage: filled",),  # nothing limits the room of one address there
    "firefox": ("storage: filled",),
}


ADDRESSES: set[str] = set()
"""Of every host so far."""


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> Editions:
    return Editions(tmp_path_factory.mktemp("editions"))


def kinds_of(engine: str, count: int) -> list[str]:
    return sample([name for name in KINDS if name not in LEFT_OUT[engine]], count)


def count_for(engine: str, total: int) -> int:
    """Cases of each kind, so that together they are at least ``total`` in `make soak`."""
    return cases(1, soak=-(-total // len(kinds_of(engine, len(KINDS)))))


@contextlib.contextmanager
def host_of_its_own(folder: Path) -> Iterator[SiteServer]:
    """A host at an address that no case before had: systems give a port again, and browsers keep editions."""
    with contextlib.ExitStack() as hosts:
        while True:
            server = hosts.enter_context(serving(SiteServer(folder, "/yard/guide/")))
            if server.address not in ADDRESSES:
                break
        ADDRESSES.add(server.address)
        yield server


def tried(tablet: Tablet, editions: Editions, name: str, count: int, folder: Path) -> None:
    """``count`` cases of one kind, each on a host of its own."""
    counted: Counter[str] = Counter()
    for number in range(FIRST_SEED, FIRST_SEED + count):
        work = folder / str(number)
        work.mkdir()
        with host_of_its_own(editions.first) as server:
            rng = random.Random(f"{name} {number}")
            case = Case(tablet, server, editions, work, rng)
            with named(case, name, number):
                tablet.fresh()
                allowed = KINDS[name](case)
                wrong = case.wrong_in(allowed)
                assert wrong == {}, ([path.name for path in allowed], wrong and case.tablet.run(HELD))
            counted[name + (" (no Ed25519 here)" if case.unchecked else "")] += 1
            counted["opened again, the page had no worker"] += case.without_worker
    print(f"\n{tablet.name}: {dict(+counted)}", flush=True)


@pytest.mark.parametrize("name", kinds_of("chromium", 7))
def test_chromium_opens_its_last_whole_edition_after(
    new_context: Any, editions: Editions, tmp_path: Path, name: str
) -> None:
    tried(Chromium(new_context), editions, name, count_for("chromium", 1_000), tmp_path)


KNOWN = "async () => Boolean((await navigator.serviceWorker.getRegistration())?.active)"


@pytest.fixture(scope="module")
def own_webkit(
    webkit_binary: str, display: str, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[WebKit, Editions]]:
    tablet = WebKit(webkit_binary, display, tmp_path_factory.mktemp("webkit"))
    yield tablet, Editions(tmp_path_factory.mktemp("editions"), tail=tablet.tail)
    tablet.close()
    print(f"\nwebkit: killed {tablet.killed} times")


@pytest.mark.parametrize("name", kinds_of("webkit", 2))
def test_webkit_opens_its_last_whole_edition_after(
    own_webkit: tuple[WebKit, Editions], tmp_path: Path, name: str
) -> None:
    tablet, editions = own_webkit
    tried(tablet, editions, name, count_for("webkit", 200), tmp_path)


def test_webkit_forgets_a_worker_only_if_killed_before_its_script(
    own_webkit: tuple[WebKit, Editions], tmp_path: Path
) -> None:
    """WebKit commits the row of a new worker before it writes its script, and nothing can hold that back.

    Killed at once when the next edition has come, it starts again with one of the two, or, where the last
    script is not whole, with none. The page then installs anew, where there is a network. An ordinary run
    kills it when the script is there.
    """
    tablet, editions = own_webkit
    counted: Counter[str] = Counter()
    for number in range(cases(1, soak=30)):
        (tmp_path / str(number)).mkdir()
        with host_of_its_own(editions.first) as server:
            case = Case(tablet, server, editions, tmp_path / str(number), random.Random(number))
            tablet.kill()
            shutil.rmtree(tablet.folder / engine.WORKERS, ignore_errors=True)
            before = case.variant(editions.signed, edition="eeeeeee1", number=1, date="2026-11-25")
            after = case.variant(editions.signed, edition="eeeeeee2", number=2, date="2026-11-25")
            case.install(before)
            engine.wait_until_workers_are_written(tablet.folder)
            case.publish(after)
            assert case.attempt() == "waiting"
            if not SOAK:
                engine.wait_until_workers_are_written(tablet.folder)
            tablet.kill()
            scripts = engine.worker_scripts(tablet.folder)
            names = [WORKER, lasting_name(before), lasting_name(after)]
            written = len(scripts) == len(names) and len({file.stat().st_size for file in scripts}) == 1
            # A page without the edition's script: nothing registers a worker meanwhile.
            (after / "probe.html").write_text(f"<title>Probe</title>{tablet.tail}", encoding="utf-8")
            tablet.open(server.address + "probe.html")
            known = tablet.run(KNOWN)
            assert SOAK or written
            assert known or not written, number
            counted["known" if known else "forgotten"] += 1
    print(f"\nwebkit killed when an edition had come: {dict(counted)}")


@pytest.fixture(scope="module")
def fox(firefox: str) -> Iterator[Firefox]:
    tablet = Firefox(firefox)
    yield tablet
    tablet.close()


@pytest.mark.parametrize("name", kinds_of("firefox", 2))
def test_firefox_opens_its_last_whole_edition_after(
    fox: Firefox, editions: Editions, tmp_path: Path, name: str
) -> None:
    tried(fox, editions, name, count_for("firefox", 200), tmp_path)


OFFERS = (
    "signature: rolled back",
    "signature: none",
    "signature: rotated key",
    "signature: wrong key under the right name",
    "signature: cut",
)
OFFERED = {"webkit": OFFERS[::2], "firefox": (*OFFERS[1::2], OFFERS[-1])}
"""Each offer to one of the engines at least; `make soak` makes all to both, among its kinds."""


@pytest.mark.parametrize("engine", OFFERED)
def test_a_signed_edition_is_kept_against_everything_that_its_key_did_not_sign(
    request: pytest.FixtureRequest, tmp_path: Path, engine: str
) -> None:
    """Verified where the engine has Ed25519, else called not verified here."""
    tablet: Tablet
    if engine == "webkit":
        tablet, editions = request.getfixturevalue("own_webkit")
    else:
        tablet, editions = request.getfixturevalue("fox"), request.getfixturevalue("editions")
    said = set()
    for number, name in enumerate(OFFERED[engine]):
        work = tmp_path / str(number)
        work.mkdir()
        with host_of_its_own(editions.signed) as server:
            case = Case(tablet, server, editions, work, random.Random(name))
            with named(case, name, 0):
                tablet.fresh()
                allowed = KINDS[name](case)
                assert case.wrong_in(allowed) == {}
            said.add("not verified here" if case.unchecked else "verified")
    assert len(said) == 1, "one browser says the same each time"
