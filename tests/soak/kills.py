"""Kills at a moment: at random, or aimed by what a run has written so far.

The file system alone is watched, about every half millisecond, so that nothing in the commands knows of it.
"""

from __future__ import annotations

import contextlib
import enum
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

LOOK_S = 0.0005
LONGEST_S = 600.0
ORPHANS_S = 2.0
"""For how long at most processes may go on whose parent was killed."""


class Aim(enum.Enum):
    """What a kill waits for."""

    RANDOM = "at random"
    STAGED = "staging folder"
    FILLED = "files in it"
    EXCHANGED = "exchange"


class Phase(enum.Enum):
    """Where a kill met a run."""

    BEFORE = "before writing"
    STAGED = "while the staging folder existed"
    AFTER = "after the exchange"


@dataclass
class Course:
    """How long a whole run took, and its parts; what aimed kills are timed by."""

    run_s: float = 0.0
    staged_s: float = 0.0
    "From the staging folder to the exchange."
    after_s: float = 0.0
    "From the exchange to the end."


@dataclass
class Run:
    """A command at work on folders that exist; every process that it starts has its standard output."""

    words: tuple[str, ...]
    project: Path
    folders: tuple[Path, ...]
    process: subprocess.Popen[bytes] = field(init=False)
    before: dict[Path, int] = field(init=False)
    "The inode of each folder when the run began."
    begun: float = field(init=False)

    def __post_init__(self) -> None:
        self.before = {folder: folder.stat().st_ino for folder in self.folders if folder.exists()}
        self.begun = time.monotonic()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "forty_paces", *self.words, "--quiet"],
            cwd=self.project,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )

    def stages(self) -> list[Path]:
        """Staging folders of this run: an old folder that was exchanged, and is being deleted, is none."""
        found = []
        for parent in {folder.parent for folder in self.folders}:
            for path in parent.glob(".site-stage-*"):
                with contextlib.suppress(FileNotFoundError):
                    if path.is_dir() and path.stat().st_ino not in self.before.values():
                        found.append(path)
        return found

    def holds(self, count: int) -> bool:
        """Whether the staging folders have so many files."""
        return sum(len(names) for stage in self.stages() for _, _, names in os.walk(stage)) >= count

    def exchanged(self) -> bool:
        """Whether a new folder is in the place of an old one."""
        for folder, inode in self.before.items():
            try:
                if folder.stat().st_ino != inode:
                    return True
            except FileNotFoundError:  # between two renames, where the system has no exchange
                return True
        return False

    def phase(self) -> Phase:
        """Where it was when it was killed."""
        if self.stages():
            return Phase.STAGED
        return Phase.AFTER if self.exchanged() else Phase.BEFORE

    def reaches(self, seen: Callable[[], bool]) -> bool:
        """Wait for what is to be seen in the file system; False where the run ended without it."""
        while not seen():
            assert time.monotonic() < self.begun + LONGEST_S, f"not seen within {LONGEST_S:.0f} s"
            if self.ends_within(LOOK_S):
                return False
        return True

    def ends_within(self, seconds: float) -> bool:
        try:
            self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            return False
        return True

    def kill(self, chance: random.Random) -> Phase | None:
        """Kill it, alone or with all that it started, and say where; None where it had ended by itself.

        Nothing that it started is alive afterwards.
        """
        alone = chance.random() < 0.5
        if alone:
            self.process.send_signal(signal.SIGKILL)
        else:
            os.killpg(self.process.pid, signal.SIGKILL)
        killed = self.process.wait() == -signal.SIGKILL
        phase = self.phase()
        deadline = time.monotonic() + chance.uniform(0, ORPHANS_S) * alone
        while self._any_alive() and time.monotonic() < deadline:
            self.ends_within(LOOK_S)
        self.output()
        return phase if killed else None

    def whole(self) -> Course:
        """Let it end, and tell how it went."""
        course = Course()
        if self.reaches(lambda: bool(self.stages())):
            staged = time.monotonic()
            if self.reaches(self.exchanged):
                exchanged = time.monotonic()
                self.process.wait()
                course = Course(0.0, exchanged - staged, time.monotonic() - exchanged)
        course.run_s = time.monotonic() - self.begun
        said = self.output()
        assert self.process.returncode == 0, said
        return course

    def output(self) -> str:
        """What it printed, once every process that it started has ended."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)  # what goes on after its parent
        assert self.process.stdout is not None
        with self.process.stdout as stream:
            printed = stream.read().decode(errors="replace")
        # Until it is collected, an ended process still counts as the owner of its staging folder.
        deadline = time.monotonic() + ORPHANS_S
        while self._any_alive() and time.monotonic() < deadline:
            time.sleep(LOOK_S)
        return printed

    def _any_alive(self) -> bool:
        try:
            os.killpg(self.process.pid, 0)
        except ProcessLookupError:
            return False
        return True


def aimed(run: Run, aim: Aim, files: int, course: Course, chance: random.Random) -> bool:
    """Wait until the moment of a kill has come; False where the run ended before.

    ``files`` is how many a whole run writes.
    """
    if aim is Aim.RANDOM:
        return not run.ends_within(chance.uniform(0.1, 1.05) * course.run_s)
    if aim is Aim.STAGED:
        seen, longest = run.reaches(lambda: bool(run.stages())), course.staged_s / 2
    elif aim is Aim.FILLED:
        wanted = chance.randint(1, files)
        seen, longest = run.reaches(lambda: run.holds(wanted) or run.exchanged()), course.staged_s / 10
    else:
        seen, longest = run.reaches(run.exchanged), course.after_s
    return seen and not run.ends_within(chance.uniform(0, longest))
