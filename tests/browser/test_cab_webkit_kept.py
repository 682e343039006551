"""The cab file in WebKit, killed a little after three taps and opened again on the same data.

A WebKit that a driver steers keeps nothing on the disk, so this one is started like any browser.
A script at the end of a copy of the cab file taps, and reports by asking a server on this machine for images;
the copy has no content security policy, which would forbid both. All else of it is the cab file.
"""

from __future__ import annotations

import json
import re
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

from tests.browser import own_webkit
from tests.browsers import KEPT_ROWS
from tests.soaking import SOAK, cases

pytestmark = pytest.mark.browser

DEADLINE_S = 60
KILLS = cases(1, soak=20)
KILLED_AFTER_S = (0.5, 1.0, 2.0) if SOAK else (1.0,)

TAPS = """
location.hash = "tire-fire/list";
const report = (what) => {
  new Image().src = "http://127.0.0.1:PORT/?" + encodeURIComponent(JSON.stringify(what));
};
const keptRows = KEPT_ROWS;
const begin = async () => {
  if (document.documentElement.classList.contains("is-starting")) return void setTimeout(begin, 20);
  const kept = await keptRows();
  const ticks = kept.filter((row) => row[2] === "ticks").map((row) => row[3]);
  const log = kept.filter((row) => row[2] === "log").map((row) => row[4].what.replace(/[/]do$/, ""));
  const checked = document.querySelectorAll("#tire-fire [data-tick]:checked").length;
  report({ opened: { ticks, log, checked } });
  if (ticks.length) return;
  const steps = [...document.querySelectorAll("#tire-fire .step:not([hidden])")].slice(0, 3);
  steps.forEach((step) => step.querySelector("[data-tick]").click());
  report({ tapped: steps.map((step) => step.dataset.step) });
  setInterval(() => report({ said: document.documentElement.dataset.kept }), 50);
};
begin();
"""


class Listener:
    """What the page reports, in the order of arrival."""

    def __init__(self) -> None:
        self.reports: list[dict[str, Any]] = []
        reports = self.reports

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                reports.append(json.loads(unquote(self.path.split("?", 1)[1])))
                self.send_response(204)
                self.end_headers()

            def log_message(self, *_: object) -> None:
                """Print nothing."""

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def latest(self, name: str) -> Any:
        """The last value reported under this name; waits for the first."""
        end = time.monotonic() + DEADLINE_S
        while True:
            values = [report[name] for report in list(self.reports) if name in report]
            if values:
                return values[-1]
            assert time.monotonic() < end, f"no {name} came; so far: {self.reports}"
            time.sleep(0.02)

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


@contextmanager
def cab_in_own_webkit(binary: str, display: str, folder: Path, page: Path) -> Iterator[Listener]:
    """A separate WebKit whose data stay in the folder; all of its processes are killed at once at the end."""
    listener = Listener()
    text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page.read_text(encoding="utf-8"))
    head, end, rest = text.rpartition("</body>")
    script = TAPS.replace("PORT", str(listener.server.server_port)).replace("KEPT_ROWS", KEPT_ROWS)
    copy = folder / "cab.html"
    copy.write_text(f"{head}<script>{script}</script>{end}{rest}", encoding="utf-8")
    process = own_webkit.start(binary, display, folder, copy.as_uri())
    try:
        yield listener
    finally:
        own_webkit.kill(process)
        listener.close()


@pytest.mark.long
@pytest.mark.soak
@pytest.mark.parametrize("seconds", KILLED_AFTER_S)
@pytest.mark.parametrize("turn", range(KILLS))
def test_a_webkit_killed_a_little_after_a_tap_has_kept_it(
    webkit_binary: str,
    display: str,
    cab_file: Path,
    tmp_path: Path,
    seconds: float,
    turn: int,
    record_property: Callable[[str, object], None],
) -> None:
    with cab_in_own_webkit(webkit_binary, display, tmp_path, cab_file) as first:
        tapped = first.latest("tapped")
        time.sleep(seconds)
        said = first.latest("said")
    assert len(tapped) == 3
    record_property("kept", said)
    with cab_in_own_webkit(webkit_binary, display, tmp_path, cab_file) as second:
        opened = second.latest("opened")
    # What one tap changes is written together: a mark without its line would be a false record.
    assert set(opened["ticks"]) == set(opened["log"])
    # A machine so loaded that it has not written yet has not said so either.
    assert (set(opened["ticks"]), said) == (set(tapped), "kept") or said == "writing"
    assert opened["checked"] == len(opened["ticks"])
