"""A separate WebKit, started as anybody starts it: its data stay in a folder, and no driver steers it.

Under its driver WebKitGTK's own browser has a private session, whose stores are in memory. Once every page of
an address is closed and its worker has stopped, WebKit opens such a store again without the files in it: no
tablet keeps an edition in a private window.
"""

from __future__ import annotations

import os
import signal
import subprocess
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


def kill(process: subprocess.Popen[bytes]) -> None:
    """End all of its processes at once, as a dead battery does."""
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
