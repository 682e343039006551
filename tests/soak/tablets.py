"""The three engines as tablets: a page that opens addresses and runs scripts, and nothing else.

Every case has a server on a port of its own, and so an origin with nothing stored.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Protocol

from playwright.sync_api import BrowserContext, Page
from selenium import webdriver

from tests.missing import node

PROJECT = Path(__file__).resolve().parents[2]
LONGEST_S = 240


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


class WebKit:
    """WebKitGTK's own browser, by its own driver."""

    name = "webkit"

    def __init__(self, browser: webdriver.WebKitGTK) -> None:
        self._browser = browser
        browser.set_script_timeout(LONGEST_S)
        browser.set_page_load_timeout(LONGEST_S)

    def fresh(self) -> None:
        self._browser.get("about:blank")

    def open(self, address: str) -> None:
        self._browser.get(address)

    def run(self, script: str, *given: object) -> Any:
        asked = f"""
            const [given, done] = arguments;
            const failed = (fault) => done({{ fault: String(fault) }});
            ({script})(...given).then((value) => done({{ value }}), failed);
        """
        return _value(self._browser.execute_async_script(asked, list(given)))


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


def _value(answer: Mapping[str, Any]) -> Any:
    assert "fault" not in answer, answer["fault"]
    return answer.get("value")
