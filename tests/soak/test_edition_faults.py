"""Injected faults: whatever a host, a network or a disk does, the last whole edition opens unchanged.

Every case installs an edition in a fresh Chromium profile, injects one fault, proves that it occurred, closes
every page, and reads every file with the network dead. `make soak` tries 1,000 of these kinds together, and
prints how many of each it counted; an ordinary run tries nine of them, always the same.
"""

from __future__ import annotations

import random
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.browser.serving import Fault, SiteServer, serving
from tests.browser.small_edition import (
    attempt_update,
    browser_looks,
    build,
    hashes,
    install,
    lasting_name,
    no_fault,
    read_with_dead_network,
    state_is,
    updating,
)
from tests.soaking import SOAK, cases, sample

pytestmark = [pytest.mark.soak, pytest.mark.long, pytest.mark.browser]

NewContext = Callable[..., BrowserContext]

ANSWERS = tuple(fault for fault in Fault if fault not in (Fault.SILENT, Fault.HELD))
"""A silent or held answer ends only when its test does; tests/browser has both."""

BROKEN_WORKERS: dict[str, Callable[[bytes, random.Random], bytes]] = {
    "empty": lambda worker, rng: b"",
    "foreign": lambda worker, rng: b"self.addEventListener('fetch', () => {});\n",
    "impatient": lambda worker, rng: b"self.addEventListener('install', () => self.skipWaiting());\n",
    "talkative": lambda worker, rng: (
        b"onmessage = (e) => e.ports[0].postMessage({ whole: true, edition: 'x' });\n"
    ),
    "cut": lambda worker, rng: worker[: rng.randrange(1, len(worker))],
    "cut at a line": lambda worker, rng: b"\n".join(worker.split(b"\n")[: rng.randrange(1, 200)]),
    "bit turned": lambda worker, rng: turned(worker, rng),
    "unsealed": lambda worker, rng: b"const EDITION = null;" + worker[worker.index(b"\n") :],
    "login page": lambda worker, rng: b"<!doctype html><title>Guest network</title>",
}

COUNTED: Counter[str] = Counter()
PLANNED = cases(9, soak=1_000)


def turned(data: bytes, rng: random.Random) -> bytes:
    """The bytes with one bit turned."""
    at = rng.randrange(len(data))
    return data[:at] + bytes([data[at] ^ (1 << rng.randrange(8))]) + data[at + 1 :]


def share(count: int, of: int) -> range:
    """The numbers of the cases of one kind: one in an ordinary run, an equal share in `make soak`."""
    return range(max(1, PLANNED // of) if SOAK else count)


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    top = tmp_path_factory.mktemp("editions")
    return build(top / "a", "aaaaaaaa", 20), build(top / "b", "bbbbbbbb", 20)


@pytest.fixture
def server(editions: tuple[Path, Path]) -> Iterator[SiteServer]:
    with serving(SiteServer(editions[0], "/yard/guide/")) as running:
        yield running


@pytest.fixture(scope="module", autouse=True)
def counts() -> Iterator[None]:
    yield
    print("\nfaults that occurred, by kind:", dict(sorted(COUNTED.items())), "in all", sum(COUNTED.values()))


def breaking(fault: Fault, skipped: int, *, once: bool) -> Callable[[str], Fault | None]:
    """A plan: some requests are answered, whatever they ask for, and then the fault occurs."""
    asked = 0

    def plan(path: str) -> Fault | None:
        nonlocal asked
        asked += 1
        return fault if asked == skipped + 1 or (asked > skipped and not once) else None

    return plan


def opened(page: Page, server: SiteServer) -> dict[str, str]:
    """Close every page, open the edition with the network dead, and read every file of it."""
    server.dead = True
    page.goto("about:blank")
    page.goto(server.address)
    found = read_with_dead_network(page, server, server.root)
    server.dead = False
    return found


def is_one_whole_edition(page: Page, server: SiteServer, allowed: list[Path]) -> bool:
    server.dead = True
    page.goto("about:blank")
    page.goto(server.address)
    whole = any(read_with_dead_network(page, server, folder) == hashes(folder) for folder in allowed)
    server.dead = False
    return whole


@pytest.mark.parametrize("fault", sample(ANSWERS, 3), ids=lambda fault: fault.name.lower())
def test_an_update_that_breaks_anywhere_leaves_a_whole_edition(
    new_context: NewContext, server: SiteServer, editions: tuple[Path, Path], fault: Fault
) -> None:
    for number in share(1, 3 * len(ANSWERS)):
        rng = random.Random(f"{fault} {number}")
        context = new_context()
        server.root, server.plan, server.dead = editions[0], no_fault, False
        page = install(context, server)
        plan = breaking(fault, rng.randrange(26), once=rng.random() < 0.5)
        updating(server, editions[1], plan)
        attempt_update(page)
        assert server.fired(fault) >= 1, (fault, number)
        COUNTED[f"update: {fault.name.lower()}"] += 1
        server.plan = no_fault
        assert is_one_whole_edition(page, server, [*editions]), (fault, number)
        context.close()


@pytest.mark.parametrize("kind", sample([*BROKEN_WORKERS], 3))
def test_a_broken_worker_leaves_the_last_edition_whole(
    new_context: NewContext, server: SiteServer, editions: tuple[Path, Path], tmp_path: Path, kind: str
) -> None:
    for number in share(1, 3 * len(BROKEN_WORKERS)):
        rng = random.Random(f"{kind} {number}")
        context = new_context()
        server.root, server.plan, server.dead = editions[0], no_fault, False
        page = install(context, server)
        folder = tmp_path / str(number)
        shutil.copytree(editions[1], folder)
        worker = (folder / "sw.js").read_bytes()
        broken = BROKEN_WORKERS[kind](worker, rng)
        assert broken != worker
        for name in ("sw.js", lasting_name(folder)) if rng.random() < 0.5 else ("sw.js",):
            (folder / name).write_bytes(broken)
        updating(server, folder, no_fault)
        assert attempt_update(page) != "waiting"
        browser_looks(page)
        assert "sw.js" in server.paths()
        COUNTED[f"worker: {kind}"] += 1
        assert is_one_whole_edition(page, server, [editions[0]]), (kind, number)
        context.close()


DAMAGES = {
    "bits turned": """async ([share, seed]) => {
      const cache = await caches.open((await caches.keys())[0]);
      let done = 0;
      for (const key of await cache.keys()) {
        if (!key.url.includes("/file/")) continue;
        seed = (seed * 48271) % 2147483647;
        if (seed / 2147483647 > share && done) continue;
        const bytes = new Uint8Array(await (await cache.match(key)).arrayBuffer());
        bytes[seed % bytes.length] ^= 1 << seed % 8;
        await cache.put(key, new Response(bytes));
        done += 1;
      }
      return done;
    }""",
    "files lost": """async ([share, seed]) => {
      const cache = await caches.open((await caches.keys())[0]);
      let done = 0;
      for (const key of await cache.keys()) {
        seed = (seed * 48271) % 2147483647;
        if ((seed / 2147483647 <= share || !done) && (await cache.delete(key))) done += 1;
      }
      return done;
    }""",
    "all lost": """async () => {
      let done = 0;
      for (const key of await caches.keys()) done += await caches.delete(key);
      return done;
    }""",
}


@pytest.mark.parametrize("kind", DAMAGES)
def test_damaged_storage_shows_no_wrong_byte_and_is_repaired(
    new_context: NewContext, server: SiteServer, editions: tuple[Path, Path], kind: str
) -> None:
    wanted = hashes(editions[0])
    for number in share(1, 3 * len(DAMAGES)):
        rng = random.Random(f"{kind} {number}")
        context = new_context()
        server.root, server.plan, server.dead = editions[0], no_fault, False
        page = install(context, server)
        assert page.evaluate(DAMAGES[kind], [rng.random(), rng.randrange(1, 2**31 - 1)]) >= 1
        COUNTED[f"storage: {kind}"] += 1
        found = read_with_dead_network(page, server, editions[0])
        assert [] == [path for path, digest in found.items() if digest not in (wanted[path], "unreadable")]
        page.goto("about:blank")
        page.goto(server.address)
        state_is(page, "ready")
        assert opened(page, server) == wanted, (kind, number)
        context.close()
