"""The offline edition under every fault that a yard's Wi-Fi can have, in a real Chromium.

Each test proves that its fault occurred, and afterwards reads every file of the edition with the network
cut and compares the hashes; a sample would not be enough.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import pytest
from forty_paces.messages.pages import STATUS
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.serving import Fault, SiteServer, serving
from tests.browser.small_edition import (
    FILE_BYTES,
    SCRIPTS,
    SUBJECTS,
    after,
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
from tests.soaking import sample

pytestmark = pytest.mark.browser

BAD_ANSWERS = (
    Fault.ERROR_500,
    Fault.TRUNCATED,
    Fault.CUT,
    Fault.DROPPED,
    Fault.LOGIN,
    Fault.REDIRECT,
    Fault.CORRUPTED,
)
CHANGED = 10
SILENT_MS = 10_000
"""How long the page waits for a worker to say that it has heard: edition.js."""


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    top = tmp_path_factory.mktemp("editions")
    return build(top / "a", "aaaaaaaa", CHANGED), build(top / "b", "bbbbbbbb", CHANGED)


@pytest.fixture
def server(editions: tuple[Path, Path]) -> Iterator[SiteServer]:
    with serving(SiteServer(editions[0], "/yard/guide/")) as running:
        yield running


@dataclass(frozen=True)
class Installed:
    """A page of the first edition that was installed once, its host, and what the install asked for."""

    page: Page
    server: SiteServer
    asked: frozenset[str]


@pytest.fixture(scope="module")
def installed_once(chromium: Browser, editions: tuple[Path, Path]) -> Iterator[Installed]:
    context = chromium.new_context()
    with serving(SiteServer(editions[0], "/yard/guide/")) as server:
        page = install(context, server)
        yield Installed(page, server, frozenset(server.paths()))
    context.close()


@pytest.fixture
def installed(installed_once: Installed, editions: tuple[Path, Path]) -> Installed:
    """For tests that leave the edition whole: its start page, opened again where nothing is wrong."""
    updating(installed_once.server, editions[0], no_fault)
    installed_once.server.dead = False
    installed_once.page.goto("about:blank")
    installed_once.page.goto(installed_once.server.address)
    state_is(installed_once.page, "ready")
    installed_once.server.asked.clear()
    return installed_once


@contextmanager
def noted(case: object) -> Iterator[None]:
    """Whatever fails within says in which case of a row."""
    try:
        yield
    except Exception as fault:
        fault.add_note(f"in the case {case}")
        raise


class TestFirstInstall:
    def test_every_file_is_there_with_the_network_dead(self, installed, editions) -> None:
        found = read_with_dead_network(installed.page, installed.server, editions[0])
        assert found == hashes(editions[0])

    def test_the_install_asks_for_every_file_of_the_edition_and_no_other(self, installed, editions) -> None:
        inside = {path for path in installed.asked if path and not path.startswith("/")}
        assert inside == {*hashes(editions[0]), "sw.js", lasting_name(editions[0])}

    def test_a_download_that_breaks_goes_on_where_it_stopped(self, new_context, server, editions) -> None:
        page = new_context().new_page()
        # The page and its script come first; then nine files of the edition.
        server.plan = after(11, Fault.KILLED)
        page.goto(server.address)
        state_is(page, "unsaved")
        assert server.fired(Fault.KILLED) == 1
        server.dead, server.plan = False, no_fault
        first_time = {path for path, outcome in server.asked if outcome == "served"}
        server.asked.clear()
        page.reload()
        state_is(page, "ready")
        fetched_again = [
            path for path in server.paths() if path in first_time and path.startswith("subjects/")
        ]
        assert len(first_time) >= 9
        assert fetched_again == []
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])

    def test_ready_is_not_said_before_the_last_file_is_kept(self, new_context, server) -> None:
        page = new_context().new_page()
        last = f"subjects/page {SUBJECTS - 1:02d}.html"
        server.plan = lambda path: Fault.SILENT if path == last else None
        page.goto(server.address)
        count = len(set(hashes(server.root).values()))
        expect(page.locator("body")).to_contain_text(f"signal: {count - 1} of {count} files")
        assert page.get_attribute("[data-edition-status]", "data-state") == "saving"
        assert server.fired(Fault.SILENT) == 1

    def test_a_page_is_found_with_a_query_and_in_parts(self, installed, editions) -> None:
        installed.server.dead = True
        got = installed.page.evaluate(
            """async (base) => {
              const ask = async (path, range) => {
                const got = await fetch(base + path, { headers: range ? { Range: range } : {} });
                return [got.status, await got.text(), got.headers.get("content-range")];
              };
              return {
                query: (await ask("index.html?from=card"))[1],
                folder: (await ask(""))[1],
                middle: await ask("subjects/page%2003.html", "bytes=10-19"),
                tail: await ask("subjects/page%2003.html", "bytes=-5"),
                beyond: (await ask("subjects/page%2003.html", "bytes=999999-"))[0],
              };
            }""",
            installed.server.address,
        )
        index = (editions[0] / "index.html").read_text(encoding="utf-8")
        third = (editions[0] / "subjects/page 03.html").read_text(encoding="utf-8")
        assert got["query"] == got["folder"] == index
        assert got["middle"] == [206, third[10:20], f"bytes 10-19/{len(third)}"]
        assert got["tail"][:2] == [206, third[-5:]]
        assert got["beyond"] == 416

    def test_an_unknown_page_gets_the_editions_own_not_found_page(self, installed) -> None:
        installed.server.dead = True
        answer = installed.page.goto(installed.server.address + "nowhere.html")
        assert answer is not None
        assert (answer.status, installed.page.inner_text("h1")) == (404, "Not here")

    def test_what_lies_outside_the_sites_folder_is_left_alone(self, installed) -> None:
        assert installed.page.evaluate("async () => (await fetch('/elsewhere')).status") == 404
        assert "/elsewhere" in installed.server.paths()


class TestUpdate:
    def test_a_clean_update_fetches_what_changed_waits_for_the_driver_and_leaves_nothing_of_the_old(
        self, new_context, server, editions
    ) -> None:
        page = install(new_context(), server)
        updating(server, editions[1], no_fault)
        assert attempt_update(page) == "waiting"
        state_is(page, "new")
        changed = {
            path for path, digest in hashes(editions[1]).items() if hashes(editions[0]).get(path) != digest
        }
        asked = [path for path in server.paths() if not path.startswith("sw")]
        assert sorted(asked) == sorted([*changed, "edition.json"])  # read to look, and then to keep
        assert len(changed) == CHANGED + 3  # start page, status script and record change as well
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])
        page.reload()  # the next visit
        state_is(page, "new")
        assert page.title() == "aaaaaaaa"
        server.dead = True
        page.click("[data-edition-status] button")
        expect(page).to_have_title("bbbbbbbb")
        state_is(page, "ready")
        assert read_with_dead_network(page, server, editions[1]) == hashes(editions[1])
        kept = page.evaluate(
            "async () => (await (await caches.open((await caches.keys())[0])).keys()).map((one) => one.url)"
        )
        blobs = {url.rsplit("/", 1)[1] for url in kept if "/file/" in url}
        assert blobs == set(hashes(editions[1]).values())
        assert len([url for url in kept if "/complete/" in url]) == 1

    @pytest.mark.soak
    def test_a_server_killed_at_any_tenth_leaves_the_old_edition_whole(
        self, new_context, server, editions, tmp_path
    ) -> None:
        """One update after the other, each killed at its tenth and completed by the next attempt."""
        page, old = install(new_context(), server), editions[0]
        for tenth in sample(range(10), 5):
            new = build(tmp_path / str(tenth), f"bbbbbbb{tenth}", CHANGED)
            with noted(tenth):
                updating(server, new, after(tenth * (CHANGED + 2) // 10, Fault.KILLED))
                assert attempt_update(page) == "refused"
                assert server.fired(Fault.KILLED) == 1
                state_is(page, "kept")
                assert read_with_dead_network(page, server, old) == hashes(old)
                # And the next attempt completes it.
                server.dead, server.plan = False, no_fault
                assert attempt_update(page) == "waiting"
                page.click("[data-edition-status][data-state=new] button")
                expect(page).to_have_title(f"bbbbbbb{tenth}")
                state_is(page, "ready")
                assert read_with_dead_network(page, server, new) == hashes(new)
            old = new

    def test_a_bad_answer_refuses_the_update(self, installed, editions, tmp_path) -> None:
        """Each kind of answer for one file, and from that file on, to an update of its own."""
        page, server = installed.page, installed.server
        cases = [
            (fault, only_first)
            for fault in BAD_ANSWERS
            for only_first in (True, False)
            # The browser itself retries a connection dropped once, so a page never sees that fault.
            if not (fault is Fault.DROPPED and only_first)
        ]
        for number, (fault, only_first) in enumerate(cases):
            new = build(tmp_path / str(number), f"ccccccc{number:x}", CHANGED)
            with noted((fault.name, "once" if only_first else "from there on")):
                updating(server, new, after(5, fault, only_first))
                assert attempt_update(page) == "refused"
                assert server.fired(fault) >= 1
                state_is(page, "kept")
                assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])
                updating(server, editions[0], no_fault)
                page.reload()
                state_is(page, "ready")

    def test_a_login_page_in_place_of_the_worker_changes_nothing(self, installed, editions) -> None:
        updating(installed.server, editions[1], lambda path: Fault.LOGIN)
        assert attempt_update(installed.page) == "refused"
        assert installed.server.fired(Fault.LOGIN) == 1
        found = read_with_dead_network(installed.page, installed.server, editions[0])
        assert found == hashes(editions[0])

    def test_a_silent_network_delays_nothing_and_offers_nothing(self, new_context, server, editions) -> None:
        page = install(new_context(), server)
        updating(server, editions[1], after(5, Fault.SILENT))
        page.evaluate("window.dispatchEvent(new Event('online'))")
        for _ in range(1000):
            if server.fired(Fault.SILENT):
                break
            page.wait_for_timeout(20)
        assert server.fired(Fault.SILENT) >= 1
        assert page.evaluate(
            "navigator.serviceWorker.getRegistration().then((found) => Boolean(found.installing))"
        )
        fresh = page.context.new_page()
        fresh.goto(server.address + "subjects/page%2001.html", timeout=5000)
        assert fresh.inner_text("h1") == "aaaaaaaa"
        state_is(fresh, "ready")
        assert page.get_attribute("[data-edition-status]", "data-state") == "ready"
        assert read_with_dead_network(fresh, server, editions[0]) == hashes(editions[0])

    def test_a_full_disk_leaves_the_old_edition_whole(self, new_context, server, editions) -> None:
        page = install(new_context(), server)
        session = page.context.new_cdp_session(page)
        used = page.evaluate("async () => (await navigator.storage.estimate()).usage")
        origin = server.address.split("/yard/")[0]
        session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": used + 5 * FILE_BYTES})
        updating(server, editions[1], no_fault)
        assert attempt_update(page) == "refused"
        fetched = [path for path in server.paths() if path.startswith("subjects/")]
        assert len(fetched) >= 1
        state_is(page, "kept")
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])
        session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
        assert attempt_update(page) == "waiting"
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])

    def test_two_pages_stay_on_one_edition_until_one_of_them_changes(
        self, new_context, server, editions
    ) -> None:
        one = install(new_context(), server)
        two = one.context.new_page()
        two.goto(server.address + "subjects/page%2000.html")
        state_is(two, "ready")
        updating(server, editions[1], no_fault)
        assert attempt_update(one) == "waiting"
        for page in (one, two):
            assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])
        one.click("[data-edition-status][data-state=new] button")
        expect(one).to_have_title("bbbbbbbb")
        state_is(two, "replaced")
        assert two.title() == "aaaaaaaa"  # it was not reloaded while the driver used it
        for page in (one, two):
            assert read_with_dead_network(page, server, editions[1]) == hashes(editions[1])
        two.click("[data-edition-status] button")
        expect(two).to_have_title("bbbbbbbb")


NO_EDITIONS = {
    "empty": "",
    "foreign": "self.addEventListener('fetch', () => {});\n",
    "talkative": "self.addEventListener('message', (e) => e.ports[0].postMessage({ whole: true }));\n",
    "impatient": "self.addEventListener('install', () => self.skipWaiting());\n"
    "self.addEventListener('activate', (e) => e.waitUntil(self.clients.claim()));\n",
}
"""What a browser accepts as a service worker (status 200, JavaScript), though it is no edition."""


def misled(folder: Path, edition: Path, kind: str) -> Path:
    """A host that was published to with a broken sw.js."""
    shutil.copytree(edition, folder)
    (folder / "sw.js").write_text(NO_EDITIONS[kind], encoding="utf-8")
    return folder


@pytest.fixture(params=[*NO_EDITIONS])
def no_edition(request: pytest.FixtureRequest, editions: tuple[Path, Path], tmp_path: Path) -> Path:
    return misled(tmp_path / "no-edition", editions[0], request.param)


@pytest.fixture
def no_script(no_edition: Path) -> Path:
    """A host on which the same was done to every script."""
    (no_edition / lasting_name(no_edition)).write_bytes((no_edition / "sw.js").read_bytes())
    return no_edition


class TestWorkerOfNobody:
    def test_a_first_visit_that_installs_one_is_never_called_ready(self, new_context, no_edition) -> None:
        with serving(SiteServer(no_edition, "/yard/guide/")) as server:
            page = listening(new_context()).new_page()
            page.goto(server.address)
            status = waited_for(page, "foreign")
            expect(status).to_contain_text("Not ready without signal")
            expect(status).to_contain_text("cab.html as a file")
            assert set(said_of(page)) == {"foreign"}

    def test_one_in_place_of_sw_js_takes_nothing_over_even_after_every_page_was_closed(
        self, new_context, server, editions, tmp_path
    ) -> None:
        page = install(new_context(), server)
        for kind in NO_EDITIONS:
            with noted(kind):
                updating(server, misled(tmp_path / kind, editions[0], kind), no_fault)
                assert attempt_update(page) == "refused"
                assert browser_looks(page) == "none"
                assert "sw.js" in server.paths()
                page.evaluate("window.dispatchEvent(new Event('online'))")
                status = page.locator("[data-edition-status]")
                expect(status).to_contain_text("no edition, and was not taken")
                expect(status).to_have_attribute("data-state", "ready")
                page = opened_after_all_were_closed(page, server, editions[0])
        # Nor does a host that lost its own copy.
        lost = misled(tmp_path / "lost", editions[0], "empty")
        (lost / lasting_name(lost)).unlink()
        updating(server, lost, no_fault)
        assert browser_looks(page) == "refused"
        assert attempt_update(page) == "refused"
        opened_after_all_were_closed(page, server, editions[0])

    @pytest.mark.parametrize("no_edition", ["empty", "foreign", "talkative"], indirect=True)
    def test_where_every_script_was_replaced_the_word_ready_goes_and_the_page_says_what_to_do(
        self, new_context, server, editions, no_script
    ) -> None:
        page = install(listening(new_context()), server)
        updating(server, no_script, no_fault)
        assert browser_looks(page) == "found"
        status = waited_for(page, "threatened")
        expect(status).to_contain_text("Not ready without signal")
        expect(status).to_contain_text("cab.html as a file")
        second = page.context.new_page()
        second.goto(server.address + "subjects/page%2002.html")
        waited_for(second, "threatened")
        assert "ready" not in said_of(second)

    @pytest.mark.parametrize("no_edition", ["empty"], indirect=True)
    def test_one_that_waits_under_the_first_name_gives_way_to_the_editions_own_worker(
        self, new_context, server, editions, no_edition
    ) -> None:
        named = lasting_name(editions[0])
        server.plan = lambda path: Fault.ERROR_500 if path == named else None
        page = install(listening(new_context()), server)
        assert server.fired(Fault.ERROR_500) >= 1
        updating(server, no_edition, no_fault)
        assert browser_looks(page) == "found"
        waited_for(page, "ready", since="threatened")
        assert named in server.paths()
        opened_after_all_were_closed(page, server, editions[0])

    @pytest.mark.parametrize("no_edition", ["impatient"], indirect=True)
    def test_a_good_edition_sent_afterwards_makes_it_ready_again(
        self, new_context, server, editions, no_script
    ) -> None:
        page = install(listening(new_context()), server)
        updating(server, no_script, no_fault)
        browser_looks(page)
        waited_for(page, "threatened|foreign")
        updating(server, editions[1], no_fault)
        page.goto("about:blank")
        page.goto(server.address)
        waited_for(page, "new|ready")
        page.goto("about:blank")
        page.goto(server.address)
        state_is(page, "ready")
        assert read_with_dead_network(page, server, editions[1]) == hashes(editions[1])


def opened_after_all_were_closed(page: Page, server: SiteServer, folder: Path) -> Page:
    """Close every page, open one with the network dead, and read every file of the edition in it."""
    server.dead = True
    context = page.context
    for open_page in context.pages:
        open_page.close()
    page = context.new_page()
    page.goto(server.address)
    assert read_with_dead_network(page, server, folder) == hashes(folder)
    server.dead = False
    return page


def listening(context: BrowserContext) -> BrowserContext:
    """A context whose pages record every state that they show, and whose clock can be moved."""
    context.clock.install()
    context.add_init_script(
        """
        window.statesShown = [];
        new MutationObserver((changes) => {
          for (const change of changes) {
            if (change.type === "attributes") window.statesShown.push(change.target.dataset.state);
          }
          document.documentElement.dataset.shown = window.statesShown.join(" ");
        }).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-state"] });
        """
    )
    return context


def waited_for(page: Page, states: str, *, since: str = "") -> Locator:
    """The status in one of the states, the time moved past the page's patience with a silent worker.

    With ``since``, a state in which the page was before that one does not count.
    """
    status = page.locator("[data-edition-status]")
    for _ in range(100):
        page.clock.fast_forward(SILENT_MS)
        with suppress(AssertionError):
            if since:
                expect(page.locator("html")).to_have_attribute("data-shown", re.compile(since), timeout=200)
            expect(status).to_have_attribute("data-state", re.compile(states), timeout=200)
            return status
    raise AssertionError(f"the state became {status.get_attribute('data-state')}, none of {states}")


def said_of(page: Page) -> list[str]:
    """Every state that the page has shown since it was opened."""
    return list(page.evaluate("window.statesShown"))


class TestDamagedStore:
    def test_a_damaged_page_is_never_shown_not_even_by_a_worker_that_has_read_it_back(
        self, installed, editions
    ) -> None:
        page, server = installed.page, installed.server
        damage(page, hashes(editions[0])["subjects/page 07.html"])
        server.dead = True
        page.goto(server.address + "subjects/page%2007.html")
        expect(page.locator("h1")).to_have_text("This page is lost or damaged on this tablet")
        server.dead = False
        page.goto(server.address + "subjects/page%2007.html")
        expect(page.locator("h1")).to_have_text("aaaaaaaa")
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])

    def test_a_damaged_file_is_found_and_fetched_anew(self, installed, editions) -> None:
        page, server = installed.page, installed.server
        damage(page, hashes(editions[0])["subjects/page 07.html"])
        stop_workers(page)
        server.asked.clear()
        page.goto("about:blank")
        page.goto(server.address)
        state_is(page, "ready")
        assert "subjects/page 07.html" in server.paths()
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])

    def test_a_store_emptied_without_network_is_said_to_be_not_ready(self, installed, editions) -> None:
        page, server = installed.page, installed.server
        page.evaluate("async () => { for (const key of await caches.keys()) await caches.delete(key); }")
        stop_workers(page)
        server.plan = lambda path: Fault.DROPPED if path.startswith(("subjects/", "404")) else None
        page.reload()
        state_is(page, "unsaved")
        assert server.fired(Fault.DROPPED) >= 1
        server.plan = no_fault
        page.reload()
        state_is(page, "ready")
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])

    def test_all_storage_cleared_means_a_fresh_install_and_no_error(self, installed, editions) -> None:
        page, server = installed.page, installed.server
        origin = server.address.split("/yard/")[0]
        page.context.new_cdp_session(page).send(
            "Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"}
        )
        page.reload()
        state_is(page, "ready")
        assert read_with_dead_network(page, server, editions[0]) == hashes(editions[0])


def damage(page: Page, digest: str) -> None:
    """Put other bytes in the place of a kept file."""
    page.evaluate(
        """async (hash) => {
          const cache = await caches.open((await caches.keys())[0]);
          const key = (await cache.keys()).find((one) => one.url.endsWith(hash));
          await cache.put(key, new Response("<h1>damaged</h1>"));
        }""",
        digest,
    )


def stop_workers(page: Page) -> None:
    """End the running service worker, so that the next one starts with empty memory."""
    session = page.context.new_cdp_session(page)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    session.detach()


WARNED = {
    "2027-06-01": "This edition was due for review on 1 May 2027. Get a newer one.",
    "2027-07-01": "This edition was due for review on 1 May 2027. Get a newer one.",
    "2027-07-02": "The last day of this edition was 1 July 2027. It still opens. Get a newer one.",
    "2026-11-01": "The clock of this device is behind the date of this edition.",
}


class TestWords:
    def test_a_stale_edition_and_a_wrong_clock_are_warned_of(self, open_page, tmp_path) -> None:
        record = {
            "id": "a",
            "date": "2026-11-25",
            "day": "d",
            "reviewBy": "2027-05-01",
            "reviewDay": "1 May 2027",
            "expires": "2027-07-01",
            "expiresDay": "1 July 2027",
            "words": dict(STATUS),
        }
        script = (SCRIPTS / "edition.js").read_text(encoding="utf-8")
        (tmp_path / "page.html").write_text(
            f"<!doctype html><title>t</title><body><h1>Page</h1><script>"
            f"Date.now = () => Date.parse(location.hash.slice(1) + 'T12:00:00Z');"
            f"window.fortyPacesEdition = {json.dumps(record)};{script}</script>",
            encoding="utf-8",
        )
        page, said = open_page("about:blank"), {}
        for now in WARNED:
            page.goto("about:blank")
            page.goto(f"{(tmp_path / 'page.html').as_uri()}#{now}")
            said[now] = page.inner_text(".fp-edition--warning")
        assert {} == {now: said[now] for now, words in WARNED.items() if words not in said[now]}

    def test_a_current_edition_warns_of_nothing(self, open_page, editions) -> None:
        page = open_page(editions[0] / "index.html")
        assert page.query_selector(".fp-edition--warning") is None
        assert page.faults == []
