"""Killed at any moment: what `build`, `editions`, `cards` and `worksheet` write is whole, the old or the new.

Every run would write another edition than the one that is there. It is killed at a random moment, alone or
with every process that it started, and counts only where the kill met it alive; then every file of every
folder is compared with its record. The next run removes what the killed ones left. `make soak` kills 250
times.
"""

from __future__ import annotations

import contextlib
import itertools
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from forty_paces.outputs.edition.verification import verify

from tests.projects import PROJECT, small_project
from tests.soaking import SOAK, cases

pytestmark = [pytest.mark.long, pytest.mark.soak]

FLEET = "content/fleet.yml"


@dataclass(frozen=True)
class Verb:
    """One command line, and the folders that it writes."""

    words: tuple[str, ...]
    writes: tuple[str, ...]
    kills: int
    "In `make soak`."


VERBS = {
    "build": Verb(("build", "--no-cards"), ("site",), 100),
    "editions": Verb(
        ("editions", "--no-pdf", "--vehicle", "coach", "--vehicle", "tanker"),
        ("editions/coach", "editions/tanker"),
        50,
    ),
    "cards": Verb(("cards", "--size", "half-letter", "--vehicle", "coach", "--only", "WEA5"), ("cards",), 50),
    "worksheet": Verb(("worksheet", "--number", "7"), ("worksheets",), 50),
}


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = small_project(tmp_path_factory.mktemp("kills"))
    (folder / "content/scenes").mkdir()
    for scene in sorted((PROJECT / "content/scenes").glob("*.yml"))[:2]:
        shutil.copy(scene, folder / "content/scenes")
    return folder


@pytest.fixture
def other_content(project: Path) -> Iterator[Iterator[None]]:
    """Each step makes the content that of another edition."""
    before = (project / FLEET).read_text(encoding="utf-8")

    def steps() -> Iterator[None]:
        for day in itertools.cycle(("2026-11-27", "2026-11-28")):
            text, count = re.subn(r"(?m)\A", f"edition_date: {day}\n", before)
            assert count == 1
            (project / FLEET).write_text(text, encoding="utf-8")
            yield

    yield steps()
    (project / FLEET).write_text(before, encoding="utf-8")


def started(project: Path, verb: Verb) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "forty_paces", *verb.words, "--quiet"],
        cwd=project,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


def leftovers(project: Path, verb: Verb) -> list[Path]:
    """Staging folders beside what the verb writes."""
    return [path for name in verb.writes for path in (project / name).parent.glob(".site-*")]


@pytest.mark.parametrize("name", VERBS)
def test_killed_at_any_moment_what_was_written_is_whole_each_time(
    project: Path, other_content: Iterator[None], name: str
) -> None:
    verb = VERBS[name]
    chance = random.Random() if SOAK else random.Random(4080)
    next(other_content)
    begin = time.monotonic()
    assert started(project, verb).wait() == 0
    whole_run = time.monotonic() - begin
    killed = staged = 0
    while killed < cases(2, soak=verb.kills):
        next(other_content)
        begin = time.monotonic()
        running = started(project, verb)
        try:
            assert running.wait(chance.uniform(0.1, 1.05) * whole_run) == 0
            whole_run = time.monotonic() - begin  # the machine has become faster: measure anew
        except subprocess.TimeoutExpired:
            if chance.random() < 0.5:
                running.send_signal(signal.SIGKILL)
            else:
                os.killpg(running.pid, signal.SIGKILL)
            killed += running.wait() == -signal.SIGKILL
            staged += bool(leftovers(project, verb))
        for written in verb.writes:
            assert verify(project / written).differences == (), (killed, written)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(running.pid, signal.SIGKILL)  # what went on after its parent
    print(f"\n{name}: killed {killed} times, {staged} of them with a folder half written")
    next(other_content)
    assert started(project, verb).wait() == 0
    assert [] == leftovers(project, verb), "the next run clears what the killed ones left"
    for written in verb.writes:
        assert verify(project / written).whole
