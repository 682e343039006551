"""The three engines as tablets: a page that opens addresses and runs scripts, and nothing else.

Every case has a server on a port of its own, and so an origin with nothing stored.
"""

from __future__ import annotations

import contextlib
import functools
import json
import queue
import random
import subprocess
import threading
from collections.abc import Callable, Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Protocol, TypeVar

from playwright.sync_api import BrowserContext, Page

from tests.browser import own_webkit
from tests.missing import node
from tests.soaking import SOAK

PROJECT = Path(__file__).resolve().parents[2]
LONGEST_S = 240

_Item = TypeVar("_Item")


class Tablet(Protocol):
    """What every engine can do."""

    name: str

    def fresh(self) -> None:
        """Forget what earlier cases left open."""

    def open(self, address: str) -> None:
        """Open an address in place of the page that is open."""

    def run(self, script: str, *given: object) -> Any:
        """What an asynchronous function in JavaScript returns in the open page."""


class Chromium:
    """By Playwright, a new context for each case."""

    name = "chromium"

    def __init__(self, new_context: Callable[..., BrowserContext]) -> None:
        self._new_context = new_context
        self._page: Page | None = None

    @property
    def page(self) -> Page:
        assert self._page is not None
        return self._page

    def fresh(self) -> None:
        if self._page is not None:
            self._page.context.close()
        context = self._new_context()
        context.set_default_timeout(LONGEST_S * 1000)
        self._page = context.new_page()

    def open(self, address: str) -> None:
        self.page.goto(address)

    def run(self, script: str, *given: object) -> Any:
        return self.page.evaluate(f"(given) => ({script})(...given)", list(given))

    def leave_room(self, address: str, spare_bytes: int | None) -> None:
        """Let the site of an address store only so much more, or as much as ever."""
        used = self.run("async () => (await navigator.storage.estimate()).usage")
        limit: dict[str, object] = {"origin": address.split("/yard")[0]}
        if spare_bytes is not None:
            limit["quotaSize"] = used + spare_bytes
        self.page.context.new_cdp_session(self.page).send("Storage.overrideQuotaForOrigin", limit)


PAGE_SCRIPT = """
(async () => {
  const page = crypto.randomUUID();
  for (let answer = {}; ;) {
    const told = await fetch("ADDRESS", { method: "POST", body: JSON.stringify({ page, ...answer }) });
    const { go, script, given } = await told.json();
    if (go) return void (location.href = go);
    answer = await (0, eval)(script)(...given).then(
      (value) => ({ value: value ?? null }),
      (fault) => ({ fault: String(fault) }),
    );
  }
})();
"""
"""Asks in one row for what is to be done in its page, and answers with the next question."""


class WebKit:
    """WebKitGTK's own browser without its driver: pages end with ``tail``, a script that asks what to do.

    In the long run, about every other time that the page is closed, the whole browser is killed and started
    on the same data, once what it says of its workers is on the disk.
    """

    name = "webkit"

    def __init__(self, binary: str, display: str, folder: Path) -> None:
        self.killed = 0
        self.folder = folder
        self._start = functools.partial(own_webkit.start, binary, display, folder)
        self._browser: subprocess.Popen[bytes] | None = None
        self._chance = random.Random(19)
        self._pages: dict[str, queue.Queue[Mapping[str, object]]] = {}
        "What is still to be done by each page that was ever opened."
        self._page = ""
        self._opened: queue.Queue[str] = queue.Queue()
        self._answers: queue.Queue[Mapping[str, Any]] = queue.Queue()
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        threading.Thread(target=self._server.serve_forever, daemon=True).start()
        self._address = f"http://127.0.0.1:{self._server.server_port}/"
        self.tail = f"<script src='{self._address}page.js'></script>"

    def close(self) -> None:
        self.kill()
        self._server.shutdown()
        self._server.server_close()

    def fresh(self) -> None:
        self.open("about:blank")

    def open(self, address: str) -> None:
        if address == "about:blank":
            if SOAK and self._chance.random() < 0.5:
                own_webkit.wait_until_workers_are_written(self.folder)
                self.kill()
                return
            address = self._address
        if self._browser is None:
            self._browser = self._start(address)
        else:
            self._pages[self._page].put({"go": address})
        self._page = _next(self._opened)

    def run(self, script: str, *given: object) -> Any:
        self._pages[self._page].put({"script": script, "given": given})
        return _value(_next(self._answers))

    def kill(self) -> None:
        """End it at once; it starts again with the next address."""
        if self._browser is not None:
            own_webkit.kill(self._browser)
            self._browser = None
            self.killed += 1

    def _asked(self, told: Mapping[str, Any]) -> Mapping[str, object]:
        """What a page is to do next, once there is something; it has told what came of the last."""
        page = told["page"]
        if page not in self._pages:
            self._pages[page] = queue.Queue()
            self._opened.put(page)
        elif page == self._page:
            self._answers.put(told)
        return self._pages[page].get()

    def _handler(self) -> type[BaseHTTPRequestHandler]:
        tablet = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                if self.path == "/page.js":
                    self._send(PAGE_SCRIPT.replace("ADDRESS", tablet._address), "javascript")
                else:
                    self._send("<!doctype html>" + tablet.tail, "html")

            def do_POST(self) -> None:
                told = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                self._send(json.dumps(tablet._asked(told)), "json")

            def _send(self, text: str, kind: str) -> None:
                self.send_response(200)
                self.send_header("Content-Type", f"text/{kind}; charset=utf-8")
                self.send_header("Access-Control-Allow-Origin", "*")
                self.end_headers()
                with contextlib.suppress(ConnectionError):  # killed meanwhile
                    self.wfile.write(text.encode())

            def log_message(self, *_: object) -> None:
                """Print nothing."""

        return Handler


class Firefox:
    """The system's Firefox, by a script under Node."""

    name = "firefox"

    def __init__(self, binary: str, preferences: Mapping[str, object] | None = None) -> None:
        self._node = subprocess.Popen(
            [node(), str(PROJECT / "tests/firefox/remote.mjs"), binary, json.dumps(preferences or {})],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=PROJECT,
        )

    def close(self) -> None:
        self._node.communicate(timeout=LONGEST_S)

    def fresh(self) -> None:
        self._ask("open", "about:blank")

    def open(self, address: str) -> None:
        self._ask("open", address)

    def run(self, script: str, *given: object) -> Any:
        return self._ask("run", script, *given)

    def _ask(self, *request: object) -> Any:
        assert self._node.stdin is not None
        assert self._node.stdout is not None
        self._node.stdin.write(json.dumps(request) + "\n")
        self._node.stdin.flush()
        return _value(json.loads(self._node.stdout.readline()))


def _next(answers: queue.Queue[_Item]) -> _Item:
    try:
        return answers.get(timeout=LONGEST_S)
    except queue.Empty:
        raise AssertionError(f"the page said nothing for {LONGEST_S} s") from None


def _value(answer: Mapping[str, Any]) -> Any:
    assert "fault" not in answer, answer["fault"]
    return answer.get("value")
