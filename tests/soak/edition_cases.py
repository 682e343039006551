"""One case of the fault soak: a tablet with a whole edition, a host, and what can happen to both.

A kind of fault is a function that takes a :class:`Case`, injects one fault, proves that it occurred, and
returns the editions of which one has to open afterwards, every byte right, with the network dead.
"""

from __future__ import annotations

import base64
import contextlib
import datetime as dt
import json
import os
import random
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from forty_paces.outputs.edition.edition_file import (
    RECORD,
    WORKER,
    insert_file_list,
    listing,
    record_text,
    remove_file_list,
    seal,
    worker_copy,
)
from forty_paces.outputs.edition.signing import SIGNATURE, SigningKey, new_key, read_signing_key

from tests.browser.serving import Fault, SiteServer
from tests.browser.small_edition import (
    ATTEMPT,
    FILE_BYTES,
    LOOK,
    READ_ALL,
    build,
    hashes,
    lasting_name,
    no_fault,
    write_status,
)
from tests.soak.tablets import LONGEST_S, Chromium, Tablet

SUBJECTS, CHANGED = 8, 6
REQUESTS = 12
"""Requests of an update: the worker and its copy, the record, six pages and what names the edition."""
BASE_NUMBER = 5

MOST_OPENINGS = 20
WARNING = "[data-edition-warning], .fp-edition--warning"
STATE = """
async (wanted, longest) => {
  const state = () => document.querySelector("[data-edition-status]")?.dataset.state;
  const end = performance.now() + longest;
  while (!wanted.includes(state()) && performance.now() < end) await new Promise((go) => setTimeout(go, 30));
  return state();
}
"""
HELD = """async () => {
  const workers = (await navigator.serviceWorker.getRegistrations()).map((one) =>
    ["installing", "waiting", "active"].map((name) => one[name] && [one[name].scriptURL, one[name].state]));
  const caches_held = [];
  for (const name of await caches.keys()) caches_held.push((await (await caches.open(name)).keys()).length);
  return { workers, caches_held, controlled: Boolean(navigator.serviceWorker.controller) };
}"""
"""What a page that could not read its edition still has, for the message."""
CONTROLLED = "async () => Boolean(navigator.serviceWorker.controller)"
TEXT = """async (selector) => document.querySelector(selector)?.textContent ?? "" """
BEGIN = f"async () => {{ window.attempt = ({ATTEMPT})().catch(String); return true; }}"


@dataclass
class Editions:
    """What is built once: two editions, a third one, and a signed one with its keys."""

    top: Path
    tail: str = ""
    "With what every page ends."
    first: Path = field(init=False)
    second: Path = field(init=False)
    third: Path = field(init=False)
    signed: Path = field(init=False)
    key: SigningKey = field(init=False)
    other: SigningKey = field(init=False)

    def __post_init__(self) -> None:
        self.key, self.other = (self._key(name) for name in ("own.key", "other.key"))
        self.first, self.second, self.third = (
            build(self.top / letter, letter * 8, CHANGED, subjects=SUBJECTS, tail=self.tail)
            for letter in "abc"
        )
        about = {"subjects": SUBJECTS, "key": self.key, "tail": self.tail, **ABOUT_SIGNED}
        self.signed = build(self.top / "s", "dddddddd", CHANGED, **about)

    def _key(self, name: str) -> SigningKey:
        new_key(self.top / name)
        return read_signing_key(self.top / name)


ABOUT_SIGNED: Mapping[str, Any] = {
    "number": BASE_NUMBER,
    "expires": "2098-05-25",
    "carrier_id": "larkspur",
}


@dataclass
class Case:
    """A tablet, a host with an address of its own, and chance."""

    tablet: Tablet
    server: SiteServer
    editions: Editions
    folder: Path
    "Empty, for what this case changes."
    rng: random.Random
    unchecked: bool = False
    "This browser has no Ed25519, and says so."
    without_worker: int = 0
    "How often the page was shown without its worker at the end, and opened again."

    def install(self, folder: Path) -> None:
        """Open the site once, and wait until the page calls it ready."""
        self.server.root = folder
        self.tablet.open(self.server.address)
        self.wait("ready")

    def wait(self, *states: str) -> None:
        shown = self.tablet.run(STATE, list(states), LONGEST_S * 750)
        assert shown in states, (shown, self.text("[data-edition-status]"))

    def text(self, selector: str) -> str:
        return str(self.tablet.run(TEXT, selector))

    def publish(self, folder: Path, plan: Callable[[str], Fault | None] = no_fault) -> None:
        """From now on the host has this edition, and these faults."""
        self.server.root = folder
        self.server.asked.clear()
        self.server.plan = plan

    def attempt(self) -> str:
        """The result of one update: 'waiting', 'refused' or 'none'."""
        return str(self.tablet.run(ATTEMPT))

    def fires(self, fault: Fault) -> None:
        """Wait until the host has answered so."""
        for _ in range(LONGEST_S * 20):
            if self.server.fired(fault):
                return
            self.tablet.run("() => new Promise((go) => setTimeout(go, 50))")
        raise AssertionError(f"{fault} did not occur")

    def reopen(self) -> None:
        """Close the page, and open the address again."""
        self.tablet.open("about:blank")
        self.tablet.open(self.server.address)

    def read(self, folder: Path) -> dict[str, str]:
        """The hash of what the page gets for every file of a folder while every connection is dropped."""
        was, self.server.dead = self.server.dead, True
        addresses = {path: self.server.address + path.replace(" ", "%20") for path in hashes(folder)}
        found = self.tablet.run(READ_ALL, list(addresses.values()))
        self.server.dead = was
        return {path: found[address] for path, address in addresses.items()}

    def wrong_in(self, allowed: list[Path]) -> dict[str, str]:
        """Close every page, open the edition with the network dead, and read every file of it.

        Empty where one of them is whole; else what was got for each file that the first has otherwise.
        """
        self.server.plan, self.server.dead = no_fault, True
        self.reopen()
        # WebKit may show a page that it has cached before its worker runs again: nothing serves its files.
        while not self.tablet.run(CONTROLLED) and self.without_worker < MOST_OPENINGS:
            self.without_worker += 1
            self.reopen()
        found = [(self.read(folder), hashes(folder)) for folder in allowed]
        if any(got == wanted for got, wanted in found):
            return {}
        got, wanted = found[0]
        return {path: got[path][:12] for path in wanted if got[path] != wanted[path]}

    def variant(self, of: Path, **about: object) -> Path:
        """A copy by links, sealed anew where ``about`` is given; its seal can be changed by itself."""
        made = self.folder / f"variant-{len(list(self.folder.iterdir()))}"
        shutil.copytree(of, made, copy_function=os.link)
        record = json.loads((of / RECORD).read_text(encoding="utf-8"))
        for name in (RECORD, SIGNATURE, WORKER, lasting_name(of)):
            own(made / name)
        if about:
            key = about.pop("key", self.editions.key)
            named = ("edition", "date", "day", "number", "expires", "carrier_id")
            fields = {**{name: record[name] for name in named if name in record}, **about}
            own(made / "assets/js/edition.js")
            write_status(made, fields)
            assert isinstance(key, SigningKey | None)
            seal(made, fields, dt.date.fromisoformat(fields["date"]), key=key)
        return made


def own(file: Path) -> None:
    """Replace a link by a copy, so that a change stays in this folder."""
    if file.exists():
        data = file.read_bytes()
        file.unlink()
        file.write_bytes(data)


def relist(folder: Path) -> None:
    """Write the worker for the record and the signature that are there, as somebody without a key can."""
    data = (folder / RECORD).read_bytes()
    signature = (folder / SIGNATURE).read_bytes()
    code = remove_file_list((folder / WORKER).read_text(encoding="utf-8"))
    (folder / lasting_name(folder)).unlink()
    listed = listing(json.loads(data), data, signature)
    for name in (WORKER, worker_copy(listed["key"])):
        (folder / name).write_text(insert_file_list(code, listed), encoding="utf-8")


def turned(data: bytes, rng: random.Random) -> bytes:
    """The bytes with one bit turned."""
    at = rng.randrange(len(data))
    return data[:at] + bytes([data[at] ^ (1 << rng.randrange(8))]) + data[at + 1 :]


def breaking(fault: Fault, skipped: int, *, once: bool) -> Callable[[str], Fault | None]:
    """A plan: some requests are answered, whatever they ask for, and then the fault occurs."""
    asked = 0

    def plan(path: str) -> Fault | None:
        nonlocal asked
        asked += 1
        return fault if asked == skipped + 1 or (asked > skipped and not once) else None

    return plan


Kind = Callable[[Case], list[Path]]
KINDS: dict[str, Kind] = {}
"""Every kind by its name: what it happens to, and what happens."""


def kind(name: str) -> Callable[[Kind], Kind]:
    """Enter a function as a kind of fault."""

    def entered(function: Kind) -> Kind:
        KINDS[name] = function
        return function

    return entered


# What a network does to an update.

ANSWERS = (
    *(Fault.KILLED, Fault.ERROR_500, Fault.TRUNCATED, Fault.CUT, Fault.DROPPED),
    *(Fault.LOGIN, Fault.REDIRECT, Fault.CORRUPTED, Fault.HUGE),
)


def _bad_answer(fault: Fault) -> Kind:
    def happens(case: Case) -> list[Path]:
        case.install(case.editions.first)
        plan = breaking(fault, case.rng.randrange(REQUESTS), once=case.rng.random() < 0.5)
        case.publish(case.editions.second, plan)
        case.attempt()
        assert case.server.fired(fault) >= 1
        return [case.editions.first, case.editions.second]

    return happens


for _fault in ANSWERS:
    KINDS[f"update: {_fault.name.lower().replace('_', ' ')}"] = _bad_answer(_fault)


@kind("update: silent network")
def _silent(case: Case) -> list[Path]:
    case.install(case.editions.first)
    case.publish(case.editions.second, breaking(Fault.SILENT, case.rng.randrange(REQUESTS), once=False))
    case.tablet.run(BEGIN)
    case.fires(Fault.SILENT)
    return [case.editions.first]


@kind("update: page closed in the middle")
def _closed(case: Case) -> list[Path]:
    case.install(case.editions.first)
    case.publish(case.editions.second, breaking(Fault.HELD, case.rng.randrange(REQUESTS), once=True))
    case.tablet.run(BEGIN)
    case.fires(Fault.HELD)
    case.tablet.open("about:blank")
    case.server.released.set()
    return [case.editions.first, case.editions.second]


@kind("update: another edition published in the middle")
def _race(case: Case) -> list[Path]:
    case.install(case.editions.first)
    at, asked = case.rng.randrange(REQUESTS), 0

    def plan(path: str) -> Fault | None:
        nonlocal asked
        if asked == at:
            case.server.root = case.editions.third
        asked += 1
        return None

    case.publish(case.editions.second, plan)
    case.attempt()
    assert case.server.root == case.editions.third
    case.server.plan = no_fault
    case.attempt()
    return [case.editions.first, case.editions.second, case.editions.third]


# What a host has in place of a worker.

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


def _bad_worker(change: Callable[[bytes, random.Random], bytes]) -> Kind:
    def happens(case: Case) -> list[Path]:
        case.install(case.editions.first)
        folder = case.variant(case.editions.second)
        worker = (folder / WORKER).read_bytes()
        broken = change(worker, case.rng)
        assert broken != worker
        for name in (WORKER, lasting_name(folder)) if case.rng.random() < 0.5 else (WORKER,):
            (folder / name).write_bytes(broken)
        case.publish(folder)
        assert case.attempt() != "waiting"
        case.tablet.run(LOOK)
        assert WORKER in case.server.paths()
        return [case.editions.first]

    return happens


for _name, _change in BROKEN_WORKERS.items():
    KINDS[f"worker: {_name}"] = _bad_worker(_change)


@kind("host: a bit turned at rest")
def _host_rot(case: Case) -> list[Path]:
    case.install(case.editions.first)
    folder = case.variant(case.editions.second)
    was = hashes(case.editions.first)
    differing = [path for path, digest in hashes(folder).items() if was.get(path) != digest]
    path = case.rng.choice([*differing, WORKER, lasting_name(folder)])
    own(folder / path)
    (folder / path).write_bytes(turned((folder / path).read_bytes(), case.rng))
    case.publish(folder)
    assert case.attempt() != "waiting", path
    assert path in case.server.paths()
    return [case.editions.first]


# What a tablet's storage does.

DAMAGES = {
    "bits turned": """async (share, seed) => {
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
    "files lost": """async (share, seed) => {
      const cache = await caches.open((await caches.keys())[0]);
      let done = 0;
      for (const key of await cache.keys()) {
        seed = (seed * 48271) % 2147483647;
        if ((seed / 2147483647 <= share || !done) && (await cache.delete(key))) done += 1;
      }
      return done;
    }""",
    "all files lost": """async () => {
      let done = 0;
      for (const key of await caches.keys()) done += await caches.delete(key);
      return done;
    }""",
}
CLEAR = """async () => {
  let done = 0;
  for (const key of await caches.keys()) done += await caches.delete(key);
  for (const one of await navigator.serviceWorker.getRegistrations()) done += await one.unregister();
  localStorage.clear();
  return done;
}"""


def _damage(script: str) -> Kind:
    def happens(case: Case) -> list[Path]:
        first = case.editions.first
        case.install(first)
        assert case.tablet.run(script, case.rng.random(), case.rng.randrange(1, 2**31 - 1)) >= 1
        found, wanted = case.read(first), hashes(first)
        assert [] == [path for path, digest in found.items() if digest not in (wanted[path], "unreadable")]
        case.reopen()
        case.wait("ready")
        return [first]

    return happens


for _name, _script in DAMAGES.items():
    KINDS[f"storage: {_name}"] = _damage(_script)


@kind("storage: cleared, the worker with it")
def _cleared(case: Case) -> list[Path]:
    case.install(case.editions.first)
    assert case.tablet.run(CLEAR) >= 2
    case.install(case.editions.first)
    return [case.editions.first]


@kind("storage: filled")
def _filled(case: Case) -> list[Path]:
    tablet = case.tablet
    assert isinstance(tablet, Chromium), "no other driver limits the room of an address"
    case.install(case.editions.first)
    tablet.leave_room(case.server.address, case.rng.randrange(1, 3 * FILE_BYTES))
    case.publish(case.editions.second)
    assert case.attempt() == "refused"
    assert hashes(case.editions.first) == case.read(case.editions.first)
    tablet.leave_room(case.server.address, None)
    assert case.attempt() == "waiting", "there was no other reason to refuse it"
    return [case.editions.first, case.editions.second]


# Signatures and numbers.


def _refused(words: str, make: Callable[[Case], Path], *, forged: bool = False) -> Kind:
    """A tablet with a signed edition is offered another; without Ed25519 a ``forged`` one passes."""

    def happens(case: Case) -> list[Path]:
        signed = case.editions.signed
        case.install(signed)
        status = case.text("[data-edition-status]")
        case.unchecked = "Signature not verified here." in status
        assert case.unchecked or "Signature verified." in status, status
        folder = make(case)
        assert hashes(folder) != hashes(signed)
        case.publish(folder)
        ended = case.attempt()
        assert WORKER in case.server.paths()
        if forged and case.unchecked:
            assert ended == "waiting"
            return [folder]
        assert ended == "refused"
        case.wait("kept")
        assert words in case.text("[data-edition-status]")
        return [signed]

    return happens


OLDER = "older than the edition you have"


def _next(case: Case, **about: object) -> Path:
    number = BASE_NUMBER + case.rng.randrange(1, 1000)
    return case.variant(case.editions.signed, **{"edition": "eeeeeeee", "number": number, **about})


def _with_changed_signature(case: Case, change: Callable[[bytes, random.Random], bytes]) -> Path:
    folder = _next(case)
    before = (folder / SIGNATURE).read_bytes()
    (folder / SIGNATURE).write_bytes(change(before, case.rng))
    relist(folder)
    return folder


def _turned_in_signature(text: bytes, rng: random.Random) -> bytes:
    """One bit of one of the two signatures, not of the key's name nor of a comment that nothing proves."""
    lines = text.split(b"\n")
    at, start = rng.choice([(1, 10), (3, 0)])
    data = base64.b64decode(lines[at])
    lines[at] = base64.b64encode(data[:start] + turned(data[start:], rng))
    return b"\n".join(lines)


def _changed_record(case: Case) -> Path:
    folder = _next(case)
    record = json.loads((folder / RECORD).read_text(encoding="utf-8"))
    change: Mapping[str, Any] = case.rng.choice(
        [
            {"number": record["number"] + case.rng.randrange(1, 50)},
            {"expires": "2099-12-31"},
            {"day": "today"},
        ]
    )
    (folder / RECORD).write_text(record_text({**record, **change}), encoding="utf-8")
    relist(folder)
    return folder


KINDS |= {
    "signature: rolled back": _refused(
        OLDER, lambda case: _next(case, number=case.rng.randrange(1, BASE_NUMBER))
    ),
    "signature: a used number": _refused(OLDER, lambda case: _next(case, number=BASE_NUMBER)),
    "signature: none": _refused("is not signed, as your edition is", lambda case: _next(case, key=None)),
    "signature: another carrier": _refused(
        "for another carrier or vehicle", lambda case: _next(case, carrier_id="another")
    ),
    "signature: rotated key": _refused(
        "signed by another key", lambda case: _next(case, key=case.editions.other)
    ),
    "signature: wrong key under the right name": _refused(
        "does not fit it",
        lambda case: _next(case, key=SigningKey(case.editions.other.private, case.editions.key.public)),
        forged=True,
    ),
    "signature: cut": _refused(
        "does not fit it",
        lambda case: _with_changed_signature(case, lambda text, rng: text[: rng.randrange(len(text))]),
    ),
    "signature: bit turned": _refused(
        "does not fit it",
        lambda case: _with_changed_signature(case, _turned_in_signature),
        forged=True,
    ),
    "signature: record changed afterwards": _refused("does not fit it", _changed_record, forged=True),
}


@kind("signature: retired key")
def _retired(case: Case) -> list[Path]:
    """The carrier has a new key and the tablet was installed anew: who has the old one offers nothing."""
    case.install(case.editions.signed)
    assert case.tablet.run(CLEAR) >= 2
    anew = case.variant(case.editions.signed, edition="eeeeeee1", key=case.editions.other)
    case.install(anew)
    case.publish(_next(case, key=case.editions.key))
    assert case.attempt() == "refused"
    case.wait("kept")
    assert "signed by another key" in case.text("[data-edition-status]")
    return [anew]


@kind("signature: an expired edition")
def _expired(case: Case) -> list[Path]:
    """An edition past its last day is taken, says so, and is not deleted."""
    case.install(case.editions.signed)
    folder = _next(case, expires="2026-11-25")
    case.publish(folder)
    assert case.attempt() == "waiting"
    for _ in range(MOST_OPENINGS):  # a browser may hold the page that was closed for a moment
        case.reopen()
        if "the last day, 2026-11-25" in case.text(WARNING):
            return [folder]
    raise AssertionError(f"it never said that its last day was over: {case.text(WARNING)}")


# Clocks: what counts is how the tablet's clock stands to the edition's dates, so these move.


@kind("clock: years ahead")
def _ahead(case: Case) -> list[Path]:
    year = case.rng.randrange(1990, 2020)
    dates = {"date": f"{year}-02-03", "expires": f"{year + 1}-02-03", "number": 1}
    return _under_another_clock(case, dates, "The last day of this edition was")


@kind("clock: years behind")
def _behind(case: Case) -> list[Path]:
    year = case.rng.randrange(2030, 2099)
    dates = {"date": f"{year}-02-03", "expires": f"{year + 1}-02-03", "number": 1}
    return _under_another_clock(case, dates, "The clock of this device is behind")


def _under_another_clock(case: Case, dates: Mapping[str, Any], words: str) -> list[Path]:
    signed = case.editions.signed
    before = case.variant(signed, **{"edition": "eeeeeee1", **dates})
    after = case.variant(signed, **{"edition": "eeeeeee2", **dates, "number": 2})
    case.install(before)
    assert words in case.text(WARNING)
    case.publish(before, breaking(Fault.KILLED, 0, once=True))
    case.attempt()
    assert case.server.fired(Fault.KILLED) == 1
    assert {} == case.wrong_in([before])
    case.server.dead = False
    case.publish(after)
    assert case.attempt() == "waiting"
    case.reopen()
    return [before, after]


@contextlib.contextmanager
def named(case: Case, name: str, number: int) -> Iterator[None]:
    """Put the kind, the number and the engine into whatever goes wrong."""
    try:
        yield
    except AssertionError as fault:
        raise AssertionError(f"{case.tablet.name}, {name}, case {number}: {fault}") from fault
