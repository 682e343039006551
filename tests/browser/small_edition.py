"""A small edition: build it, install it, update it, and read back every file of it.

Each step is one that a driver or a browser takes.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import random
from collections.abc import Callable, Mapping
from pathlib import Path

from forty_paces.messages.pages import STATUS
from forty_paces.outputs.edition.edition_file import files_below, seal
from forty_paces.outputs.edition.offline import worker_code
from forty_paces.outputs.edition.signing import SigningKey
from playwright.sync_api import BrowserContext, Page

from tests.browser.serving import Fault, SiteServer

PROJECT = Path(__file__).resolve().parents[2]
SCRIPTS = PROJECT / "site_overrides/assets/js"
SUBJECTS = 12
FILE_BYTES = 6000

READ_ALL = """
async (paths) => {
  const found = {};
  const read = async (path) => {
    try {
      const got = await fetch(path, { cache: "no-store" });
      const digest = await crypto.subtle.digest("SHA-256", await got.arrayBuffer());
      found[path] = Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, "0")).join("");
    } catch (fault) {
      found[path] = "unreadable";
    }
  };
  for (let at = 0; at < paths.length; at += 20) await Promise.all(paths.slice(at, at + 20).map(read));
  return found;
}
"""

ATTEMPT = """
async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  const ended = new Promise((done) => {
    registration.addEventListener("updatefound", () => {
      const worker = registration.installing;
      worker.addEventListener("statechange", () => {
        if (worker.state === "installed") done("waiting");
        if (worker.state === "redundant") done("refused");
      });
    });
  });
  const channel = new MessageChannel();
  const answer = new Promise((resolve) => (channel.port1.onmessage = (event) => resolve(event.data)));
  registration.active.postMessage({ ask: "newer" }, [channel.port2]);
  const { offer, script } = await answer;
  if (offer !== "new") return offer === "same" ? "none" : "refused";
  const own = new URL(script, registration.scope);
  if (registration.waiting?.scriptURL === own.href) return "waiting"; // An earlier attempt took it in.
  try {
    await navigator.serviceWorker.register(own, { scope: registration.scope, updateViaCache: "none" });
  } catch (fault) {
    return "refused";
  }
  return ended;
}
"""
LOOK = """
async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  const { waiting } = registration;
  try {
    await registration.update();
  } catch (fault) {
    return "refused";
  }
  return registration.installing || registration.waiting !== waiting ? "found" : "none";
}
"""


def build(
    folder: Path,
    edition: str,
    changed: int,
    *,
    subjects: int = SUBJECTS,
    key: SigningKey | None = None,
    tail: str = "",
    **more: object,
) -> Path:
    """An edition of ``subjects`` pages and six other files; the first ``changed`` pages are its own.

    Each page ends with ``tail``. ``more`` goes into the record: number, date, last day.
    """
    rng = random.Random(40)
    noise = [rng.randbytes(FILE_BYTES // 2).hex() for _ in range(subjects)]
    (folder / "assets" / "js").mkdir(parents=True)
    (folder / "subjects").mkdir()
    (folder / "assets" / "icons").mkdir()
    about = {"edition": edition, "date": "2026-11-25", "day": f"day of {edition}", **more}
    write_status(folder, about)
    script = "<script src='{}assets/js/edition.js'></script>"
    page = f"<!doctype html><title>{edition}</title><h1>{edition}</h1>{script}{tail}"
    (folder / "index.html").write_text(page.format(""), encoding="utf-8")
    (folder / "404.html").write_text(
        "<!doctype html><title>Not here</title><h1>Not here</h1>", encoding="utf-8"
    )
    (folder / "manifest.webmanifest").write_text('{"name": "small"}', encoding="utf-8")
    (folder / "assets/icons/icon-180.png").write_bytes(b"\x89PNG")
    for number, letters in enumerate(noise):
        stamp = edition if number < changed else "unchanged"
        text = page.format("../") + f"<p>{stamp} {letters}"
        (folder / f"subjects/page {number:02d}.html").write_text(
            text if number < changed else text.replace(edition, "same"), encoding="utf-8"
        )
    worker = worker_code(lambda path: (SCRIPTS.parent / path).read_text(encoding="utf-8"))
    (folder / "sw.js").write_text(worker, encoding="utf-8")
    seal(folder, about, dt.date(2026, 11, 25), key=key)
    return folder


def write_status(folder: Path, about: Mapping[str, object]) -> None:
    """The status script with what it says of the edition: its day, its last day."""
    expires = about.get("expires")
    about_edition = json.dumps(
        {
            "id": about["edition"],
            "date": about["date"],
            "day": about["day"],
            "reviewBy": "2099-01-01",
            "expires": expires,
            "expiresDay": f"the last day, {expires}",
            "words": dict(STATUS),
        }
    )
    status = f"window.fortyPacesEdition = {about_edition};\n" + (SCRIPTS / "edition.js").read_text(
        encoding="utf-8"
    )
    (folder / "assets/js/edition.js").write_text(status, encoding="utf-8")


def hashes(folder: Path) -> dict[str, str]:
    """Every file of an edition except the service worker's, which a browser keeps for itself."""
    return {
        path: hashlib.sha256(file.read_bytes()).hexdigest()
        for path, file in files_below(folder).items()
        if not (path == "sw.js" or path.startswith("sw-"))
    }


def lasting_name(folder: Path) -> str:
    """The name under which this edition's worker is registered for good."""
    return next(file.name for file in folder.glob("sw-*.js"))


def state_is(page: Page, state: str) -> None:
    page.wait_for_selector(f"[data-edition-status][data-state={state}]", timeout=15_000)


def install(context: BrowserContext, server: SiteServer) -> Page:
    """Open the site once and wait until it says that it is ready."""
    page = context.new_page()
    page.goto(server.address)
    state_is(page, "ready")
    return page


def read_with_dead_network(page: Page, server: SiteServer, folder: Path) -> dict[str, str]:
    """The hash of what the page gets for every file of ``folder`` while every connection is dropped."""
    was, server.dead = server.dead, True
    wanted = sorted(hashes(folder))
    base = server.address
    found = page.evaluate(READ_ALL, [base + path.replace(" ", "%20") for path in wanted])
    server.dead = was
    return {path: found[base + path.replace(" ", "%20")] for path in wanted}


def attempt_update(page: Page) -> str:
    """Look for a new edition as edition.js does, and return the result: 'waiting', 'refused' or 'none'."""
    return str(page.evaluate(ATTEMPT))


def browser_looks(page: Page) -> str:
    """What the browser itself does on its own account: it fetches the registered script again."""
    return str(page.evaluate(LOOK))


def after(count: int, fault: Fault, only_first: bool = False) -> Callable[[str], Fault | None]:
    """A plan: ``count`` files of the update are served, then ``fault`` occurs."""
    met = {"files": 0}

    def plan(path: str) -> Fault | None:
        if path.startswith("sw") or path == "edition.json":  # read to look for the next edition
            return None
        met["files"] += 1
        if met["files"] <= count or (only_first and met["files"] > count + 1):
            return None
        return fault

    return plan


def updating(server: SiteServer, folder: Path, plan: Callable[[str], Fault | None]) -> None:
    """The server now has another edition, and faults."""
    server.root = folder
    server.asked.clear()
    server.plan = plan


def no_fault(path: str) -> None:
    return None
