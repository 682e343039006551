"""How things are measured here, and how it is told.

In: something to run. Out: processor seconds, peak memory, Markdown tables.
Processor time is taken rather than the clock's: other work on the machine does
not count. Ratios are what is to be read; seconds stand only beside them.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
_BYTES = 1 if sys.platform == "darwin" else 1024
"""What ru_maxrss counts in."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table, ready to be printed."""

    title: str
    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    note: str = ""

    def markdown(self) -> str:
        """As Markdown: words to the left, figures to the right."""
        marks = ["---", *["---:"] * (len(self.head) - 1)]
        lines = [f"| {' | '.join(row)} |" for row in (self.head, marks, *self.rows)]
        return "\n".join([f"**{self.title}**", "", *lines, *(["", self.note] if self.note else [])])


@dataclass(frozen=True, slots=True)
class Used:
    """What one process took from start to end, its own children's processor time with it."""

    processor_s: float
    peak_mb: float
    "Of the process itself; a child of its own is not in it."


def processor_s(work: Callable[[], object], rounds: int) -> float:
    """Median processor seconds of one call, after one that warms up."""
    work()
    taken = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        taken.append(time.process_time() - begin)
    return statistics.median(taken)


def run(arguments: Sequence[str], folder: Path) -> Used:
    """Run Python with these arguments in a folder; ``SystemExit`` with its words where it fails."""
    surroundings = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(PROJECT)}
    # Set, it would have our modules compiled in every round, beside a baseline that pip compiled once.
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    log = folder / "run.log"
    with log.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, *arguments], cwd=folder, env=surroundings, stdout=out, stderr=out
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(arguments)} ended with {process.returncode}:\n{log.read_text()}")
    log.unlink()
    return Used(usage.ru_utime + usage.ru_stime, usage.ru_maxrss * _BYTES / 1e6)
