"""A separate WebKit, started as anybody starts it: its data stay in a folder, and no driver steers it.

Under its driver WebKitGTK's own browser has a private session, whose stores are in memory. Once every page of
an address is closed and its worker has stopped, WebKit opens such a store again without the files in it: no
tablet keeps an edition in a private window.
"""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

PLACES = ("HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_RUNTIME_DIR")


def start(binary: str, display: str, folder: Path, address: str) -> subprocess.Popen[bytes]:
    """The browser at an address, with its data in the folder."""
    places = {name: str(folder / name) for name in PLACES}
    for place in places.values():
        Path(place).mkdir(exist_ok=True, mode=0o700)
    return subprocess.Popen(
        [binary, address],
        env={**os.environ, **places, "DISPLAY": display},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


WORKERS = "XDG_DATA_HOME/webkitgtk-4.1/MiniBrowser/serviceworkers"
QUIET_S = 0.5


def worker_scripts(folder: Path) -> list[Path]:
    """The scripts of service workers that WebKit has written to the disk, one for each name it was given."""
    scripts = (folder / WORKERS / "Scripts").rglob("*")
    return [file for file in scripts if file.is_file() and file.name != "salt"]


def wait_until_workers_are_written(folder: Path) -> None:
    """Wait until WebKit has written nothing about workers for half a second.

    It commits the row of a new worker some 10 ms before it writes that worker's script. Killed in between, it
    forgets the worker at its next start: ``test_webkit_forgets_a_worker_only_if_killed_before_its_script``.
    """
    while True:
        files = [file for file in (folder / WORKERS).rglob("*") if file.is_file()]
        if all(time.time() - file.stat().st_mtime > QUIET_S for file in files):
            return
        time.sleep(0.05)


def kill(process: subprocess.Popen[bytes]) -> None:
    """End all of its processes at once, as a dead battery does."""
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
