"""What a browser stores after a walk through everything, how it is deleted; nothing leaves the device.

The list on the about page is the reference: what the scripts can write, and what is stored after the walk,
must both match it.
"""

from __future__ import annotations

import datetime as dt
import io
import json
import re
import shutil
from collections.abc import Callable, Iterator
from fnmatch import fnmatchcase
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from forty_paces.outputs.edition.edition_file import RECORD, WORKER, remove_file_list, seal
from forty_paces.outputs.pages.about import KEPT
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.serving import Outside, SiteServer, serving
from tests.browsers import kept_rows, open_procedure, written
from tests.soaking import sample

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]
ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = sorted((ROOT / "site_overrides/assets/js").rglob("*.js"))
NAMES = [name for one in KEPT for name in one.keys]

HELD = """async () => ({
  local: Object.keys(localStorage), session: Object.keys(sessionStorage),
  databases: (await indexedDB.databases()).map(one => one.name), caches: await caches.keys(),
  cookies: document.cookie,
})"""
DATABASE = "forty-paces"
SEALED = ("format", "signed", "worker", "files", "sizes")
"""Fields of a record that are written when it is sealed."""
MIRRORED = {"forty-paces/look", "forty-paces/text"}
"""Stored in the database, and copied to local storage for the first paint."""

WAYS_OUT = """async (outside) => {
  let address = outside;
  const patient = (target, begin) => new Promise(done => {
    const end = () => done();
    for (const kind of ["load", "error", "open", "close"]) target.addEventListener(kind, end);
    setTimeout(end, 2000);
    begin();
  });
  const element = (name, put) => {
    const made = document.createElement(name);
    return patient(made, () => { put(made); document.body.append(made); });
  };
  const tried = [];
  const way = async (name, walk) => {
    tried.push(name);
    address = outside + name;
    try { await walk(); } catch (refused) { /* as it should be */ }
  };
  await way("fetch", () => fetch(address, { mode: "no-cors" }));
  await way("beacon", () => navigator.sendBeacon(address, "x"));
  await way("request", () => {
    const asked = new XMLHttpRequest();
    asked.open("GET", address);
    return patient(asked, () => asked.send());
  });
  await way("socket", () => patient(new WebSocket(address.replace("http", "ws")), () => {}));
  await way("events", async () => {
    const asked = new EventSource(address);
    await patient(asked, () => {});
    asked.close();
  });
  await way("picture", () => element("img", one => { one.src = address; }));
  await way("script", () => element("script", one => { one.src = address; }));
  await way("style", () => element("link", one => { one.rel = "stylesheet"; one.href = address; }));
  await way("frame", () => element("iframe", one => { one.src = address; }));
  await way("film", () => element("video", one => { one.src = address; }));
  await way("object", () => element("object", one => { one.data = address; }));
  await way("font", () => new FontFace("far", `url(${address})`).load());
  await way("form", () => element("form", one => {
    one.action = address;
    one.method = "post";
    one.target = "far";
    setTimeout(() => one.submit(), 0);
  }));
  return tried;
}"""
"""Every way for a page to contact another server, except by navigating to it."""


def matching(name: str) -> list[str]:
    """The names on the about page that match a name stored in a browser."""
    return [listed for listed in NAMES if fnmatchcase(name, listed)]


def unspoken(text: str) -> str:
    """A script without its comments."""
    return re.sub(r"/\*.*?\*/|(?<![:\\w\"'])//[^\n]*", "", text, flags=re.DOTALL)


class TestSource:
    def test_only_five_scripts_touch_what_a_browser_keeps(self) -> None:
        ways = re.compile(
            r"\b(localStorage|sessionStorage|indexedDB|caches|cookie(?:Store)?|requestFileSystem|getDirectory)\b"
        )
        found = {
            file.relative_to(ROOT / "site_overrides/assets/js").as_posix(): set(ways.findall(text))
            for file in SCRIPTS
            if ways.search(text := unspoken(file.read_text(encoding="utf-8")))
        }
        assert {
            "cab/first.js": {"localStorage"},  # only reads the look: tests/outputs/cab/test_assistant.py
            "cab/language.js": {"localStorage"},  # the language chosen, for both files
            "cab/memory.js": {"localStorage", "indexedDB"},
            "classroom/learner.js": {"localStorage", "sessionStorage"},
            "sw.js": {"caches"},
        } == found

    def test_no_script_of_ours_can_tell_anyone_anything(self) -> None:
        ways = re.compile(
            r"\b(XMLHttpRequest|sendBeacon|WebSocket|EventSource|RTCPeerConnection|importScripts"
            r"|geolocation|getUserMedia|clipboard|fetch)\b"
        )
        found = {file.name: set(ways.findall(unspoken(file.read_text(encoding="utf-8")))) for file in SCRIPTS}
        # help.js asks for the position when its button is tapped: tests/browser/test_cab_help.py
        expected = {"sw.js": {"fetch"}, "help.js": {"geolocation"}}
        assert expected == {name: used for name, used in found.items() if used}

    def test_the_keys_in_the_scripts_are_those_on_the_about_page(self) -> None:
        js = ROOT / "site_overrides/assets/js"
        memory = (js / "cab/memory.js").read_text(encoding="utf-8")
        (database,) = re.findall(
            r'const DATABASE = "(.*?)";', (js / "cab/store.js").read_text(encoding="utf-8")
        )
        assert database == DATABASE
        (prefix,) = re.findall(r'const PREFIX = "(.*?)";', memory)
        (table,) = re.findall(r"const KEYS = \{(.*?)\};", memory, re.DOTALL)
        kinds: dict[str, set[str]] = {"choice": set(), "record": set(), "trip": set()}
        for key, kind in re.findall(r'(\w+): "(\w+)"', table):
            kinds[kind].add(prefix + key)
        classroom = (js / "classroom/class_store.js").read_text(encoding="utf-8")
        scores = set(re.findall(r'_KEY = "(.*?)"', classroom))
        (cache,) = re.findall(r'STORE = "(.*?)" \+ SCOPE', (js / "sw.js").read_text(encoding="utf-8"))
        ours = [kinds["choice"], kinds["record"], kinds["trip"], scores, {"*.__palette"}, {cache + "*"}]
        assert ours == [set(one.keys) for one in KEPT]


@pytest.fixture
def server(built_site: Path) -> Iterator[SiteServer]:
    with serving(SiteServer(built_site, "/yard/paces/")) as running:
        yield running


WALKED = ("index.html", "404.html", "cab.html", "classroom/placing.html", "classroom/trainer.html")


@pytest.fixture
def walked_site(built_site: Path, tmp_path: Path) -> Path:
    """An edition of the pages of the walk and a sample of the others, sealed anew: a tablet takes in each."""
    site = tmp_path / "site"
    shutil.copytree(built_site, site)
    pages = sorted(site.rglob("*.html"))
    for page in {*pages} - {*sample(pages, 6), *(site / name for name in WALKED)}:
        page.unlink()
    record = json.loads((site / RECORD).read_text(encoding="utf-8"))
    worker = site / WORKER
    worker.write_text(remove_file_list(worker.read_text(encoding="utf-8")), encoding="utf-8")
    about = {name: value for name, value in record.items() if name not in SEALED}
    seal(site, about, dt.date.fromisoformat(record["date"]))
    return site


def walk_the_cab(page: Page, address: str) -> set[str]:
    """Make the cab assistant store everything that it can store; the rows that it drops again on the way."""
    passing: set[str] = set()
    page.goto(address)
    page.click("[data-look-switch]")
    page.click("[data-text-switch]")
    page.goto(address + "#vehicle")
    page.click('[data-vehicle-set="coach"]')
    page.goto(address + "#find")
    page.click('[data-axis="road"][data-place="1"]')
    page.goto(address + "#start")
    open_procedure(page, "tire-fire")
    page.click("[data-next]")
    page.click("[data-next]")
    step = page.evaluate(
        "1 + Array.from(document.querySelectorAll('#breakdown .block:not([hidden]) .step:not([hidden])'))"
        ".findIndex((one) => one.querySelector('.other-way'))"
    )
    page.goto(f"{address}#breakdown/{step}")
    page.click("[data-other]")
    written(page)
    passing |= set(held(page)["rows"])
    page.goto(address + "#breakdown/1")
    page.click("[data-not-here]")
    while not page.is_visible("#breakdown [data-decision]"):
        page.click("[data-next]")
    page.locator('#breakdown [data-choice][href="#warning-devices"]').first.click()
    written(page)
    passing |= set(held(page)["rows"])
    page.goto(address + "#help")
    page.fill("#help-road", "Route 9")
    page.click("[data-position]")
    expect(page.locator("[data-position-said]")).to_contain_text("within")
    page.goto(address + "#record/photos")
    photo = io.BytesIO()
    Image.new("RGB", (8, 8)).save(photo, "JPEG")
    page.set_input_files(
        "#photo-input", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": photo.getvalue()}
    )
    expect(page.locator("[data-photo]")).to_have_count(1)
    page.goto(address + "#trip")
    page.locator("[data-trip-point] >> nth=0").check(force=True)
    page.fill("[data-trip-text]", "Left lamp out.")
    page.evaluate("document.querySelectorAll('[data-hands]').forEach((one) => one.click())")
    page.goto(address + "#record")
    page.fill("#field-place", "Route 9, mile 41")
    page.locator("[data-mark] >> nth=0").check(force=True)
    page.goto(address + "#clock")
    page.locator("[data-due] >> nth=0").locator('[data-due-set="now"]').click()
    page.click('[data-way="fire"]')
    return passing


def stop_without_devices(page: Page, address: str) -> None:
    """Begin a stop that puts no devices out, which is remembered until another procedure places some."""
    page.goto(address)
    open_procedure(page, "power-line")
    page.click("[data-next]")
    written(page)


def set_one_device(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_label("Class", exact=True).fill("B12")
    page.get_by_label("Your number").fill("7")
    page.get_by_role("button", name="Begin this sheet").click()
    device = page.locator("[data-device='0']")
    device.get_by_role("button", name="Behind", exact=True).click()
    device.get_by_role("textbox").fill("10")
    device.get_by_role("button", name="Traffic side", exact=True).click()
    page.get_by_role("button", name="Mark it").click()
    expect(page.locator("#rows tr")).to_have_count(1)


def held(page: Page) -> dict[str, list[str]]:
    """What the browser stores, by kind; ``rows`` are the keys in our database (of a photo's file, a list)."""
    found = page.evaluate(HELD)
    assert "" == found.pop("cookies")
    rows = kept_rows(page) if DATABASE in found["databases"] else []
    keys = {"photos" if isinstance(row[0], list) else row[2] for row in rows}
    return {**found, "rows": sorted(f"{DATABASE}/{key}" for key in keys)}


@pytest.mark.soak
def test_after_a_walk_the_browser_holds_what_the_about_page_lists_and_nothing_else(
    new_context: NewContext, walked_site: Path
) -> None:
    with serving(SiteServer(walked_site, "/yard/paces/")) as server:
        _walk_and_look(new_context, server, walked_site)


def _walk_and_look(new_context: NewContext, server: SiteServer, site: Path) -> None:
    context = new_context(
        permissions=["geolocation"], geolocation={"latitude": 40.0, "longitude": -105.0, "accuracy": 9}
    )
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    page = context.new_page()
    stop_without_devices(page, server.address + "cab.html")
    passing = {*held(page)["rows"], *walk_the_cab(page, server.address + "cab.html")}
    page.wait_for_selector("[data-edition-status][data-state=ready]", state="attached", timeout=90_000)
    set_one_device(page, server.address + "classroom/placing.html")
    page.goto(server.address + "index.html")
    page.locator("[data-md-component=palette] label").locator("visible=true").click()
    for file in sorted(site.rglob("*.html")):
        page.goto(server.address + file.relative_to(site).as_posix())
    page.goto(server.address + "index.html")

    found = held(page)
    assert [DATABASE] == found["databases"]
    rows = {*passing, *found["rows"]}
    names = [*(set(found["local"]) - MIRRORED), *found["session"], *found["caches"], *rows]
    assert set(found["local"]) - MIRRORED < set(found["local"])
    assert MIRRORED < set(found["rows"])
    assert [] == [name for name in names if len(matching(name)) != 1]
    assert set() == set(NAMES) - {listed for name in names for listed in matching(name)}
    assert [] == context.cookies()
    assert [] == [url for url in asked if not url.startswith((server.address, "data:", "blob:"))]
    assert all(outcome == "served" for path, outcome in server.asked if path != "404.html")

    # Two taps delete the record; choices, scores and the edition stay.
    page.goto(server.address + "cab.html#record")
    page.click('.is-open [href="#clear"]')
    page.click("[data-record-clear]")
    written(page)
    after = held(page)
    record = set(KEPT[1].keys)
    assert record <= rows
    assert set(found["rows"]) - record == set(after["rows"])
    assert found["local"] == after["local"]
    assert found["caches"] == after["caches"]

    # The classroom has two taps of its own.
    page.goto(server.address + "classroom/trainer.html")
    page.get_by_role("button", name="Wipe everything", exact=True).click()
    page.get_by_role("button", name="Yes, wipe everything now").click()
    after = held(page)
    assert [] == after["session"]
    assert set(found["local"]) - set(KEPT[3].keys) == set(after["local"])

    # The rest is deleted with the browser's own data, and the page opens as if for the first time.
    session = context.new_cdp_session(page)
    origin = "/".join(server.address.split("/")[:3])
    page.goto("about:blank")
    session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
    page.goto(server.address + "cab.html?again")
    assert ([], []) == (held(page)["local"], held(page)["rows"])
    assert "day" == page.locator("html").get_attribute("data-look")


@pytest.fixture
def outside() -> Iterator[Outside]:
    opened = Outside()
    yield opened
    opened.socket.close()


def test_every_page_has_a_policy_that_names_nobody_else_and_asks_nobody_before_it(built_site: Path) -> None:
    for file in sorted(built_site.rglob("*.html")):
        soup = BeautifulSoup(file.read_text("utf-8").partition("</head>")[0], "html.parser")
        (policy,) = soup.find_all("meta", {"http-equiv": "Content-Security-Policy"})
        rules = [rule.split() for rule in policy["content"].split(";")]
        assert ["default-src", "'none'"] in rules, file
        allowed = {source for _, *sources in rules for source in sources}
        others = {one for one in allowed if not re.fullmatch(r"'(none|self|sha256-[A-Za-z0-9+/]{43}=)'", one)}
        assert others <= {"data:", "blob:"}, file
        named = [one.get("src") or one.get("href") for one in policy.find_all_previous(True)]
        assert [] == [one for one in named if one and re.match(r"[a-z]+:|//", one) and one != "data:,"], file


@pytest.mark.parametrize(
    "path",
    [
        "index.html",
        "404.html",
        "cab.html",
        "vehicles/coach/cab.html",
        "cards/half-letter-all.html",
        "classroom/placing.html",
        "classroom/sheets/test-1-keys.html",
    ],
)
def test_a_script_that_tries_every_way_out_reaches_nobody(
    new_context: NewContext, server: SiteServer, outside: Outside, path: str
) -> None:
    page = new_context(service_workers="block").new_page()
    page.goto(server.address + path)
    tried = page.evaluate(WAYS_OUT, outside.address)
    assert 13 == len(tried)
    page.reload()  # takes longer than a request that was begun before it
    outside.hear_own("end")
    assert ["end"] == outside.asked


def test_without_the_policy_the_ways_out_would_lead_there(
    new_context: NewContext, outside: Outside, tmp_path: Path
) -> None:
    (tmp_path / "open.html").write_text("<!doctype html><title>open</title><body>", encoding="utf-8")
    with serving(SiteServer(tmp_path)) as running:
        page = new_context().new_page()
        page.goto(running.address + "open.html")
        tried = page.evaluate(WAYS_OUT, outside.address)
        assert {*tried} == {*outside.asked}
