"""How benchmarks measure: processor seconds and peak memory, printed as Markdown tables.

Processor time is used rather than wall time, so that other work on the machine does not count. Ratios are
the result; seconds are given beside them.
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
"""Bytes in one unit of ru_maxrss."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table, ready to be printed."""

    title: str
    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    note: str = ""

    def markdown(self) -> str:
        """As Markdown: words aligned left, figures aligned right."""
        marks = ["---", *["---:"] * (len(self.head) - 1)]
        lines = [f"| {' | '.join(row)} |" for row in (self.head, marks, *self.rows)]
        return "\n".join([f"**{self.title}**", "", *lines, *(["", self.note] if self.note else [])])


@dataclass(frozen=True, slots=True)
class Used:
    """What one process took from start to end, including its children's processor time."""

    processor_s: float
    peak_mb: float
    "Peak of the process itself, without its children."


def processor_s(work: Callable[[], object], rounds: int) -> float:
    """Median processor seconds of one call, after one that warms up."""
    work()
    taken = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        taken.append(time.process_time() - begin)
    return statistics.median(taken)


def with_bytecode(path: Path) -> dict[str, str]:
    """Environment variables for a process that imports from ``path`` and keeps the bytecode of our modules.

    Otherwise they would be compiled in every round, while pip has compiled the libraries once.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(path)}


def run(arguments: Sequence[str], folder: Path) -> Used:
    """Run Python with these arguments in a folder; ``SystemExit`` with its output where it fails."""
    log = folder / "run.log"
    with log.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, *arguments], cwd=folder, env=with_bytecode(PROJECT), stdout=out, stderr=out
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(arguments)} ended with {process.returncode}:\n{log.read_text()}")
    log.unlink()
    return Used(usage.ru_utime + usage.ru_stime, usage.ru_maxrss * _BYTES / 1e6)
