"""What a verb costs from the shell, as a multiple of a Python that does nothing.

Processor seconds of the whole process, the least of some runs: other work on the machine counts little.
Bytecode of our modules is at hand, as it is for the libraries and as pip leaves it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator, Sequence

from tests.bench.measuring import PROJECT, Table, with_bytecode

VERBS: tuple[Sequence[str], ...] = (
    ("stopping", "--speed", "55"),
    ("verify", "--help"),
    ("place", "--road", "two-lane", "--speed", "55"),
    ("place", "--road", "two-lane", "--speed", "55", "--chance"),
    ("place", "--scene", "content/scenes/drover-crest.yml"),
)


def least_s(arguments: Sequence[str], rounds: int) -> float:
    """The least processor seconds of some runs of Python with these arguments."""
    taken = []
    for _ in range(1 + rounds):  # the first may compile
        process = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=PROJECT,
            env=with_bytecode(PROJECT / "generator"),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            raise SystemExit(f"{' '.join(arguments)} ended with {process.returncode}")
        taken.append(usage.ru_utime + usage.ru_stime)
    return min(taken)


def tables(rounds: int) -> Iterator[Table]:
    """Every table."""
    bare = least_s(("-c", "pass"), rounds)
    libraries = least_s(("-c", "import click, yaml, pydantic; pydantic.BaseModel"), rounds)
    rows = [
        ("Python alone", f"{bare * 1e3:.0f}", "1.0"),
        ("click, PyYAML and pydantic imported", f"{libraries * 1e3:.0f}", f"{libraries / bare:.1f}"),
    ]
    for verb in VERBS:
        taken = least_s(("-m", "forty_paces", *verb), rounds)
        rows.append((f"`{' '.join(verb)}`", f"{taken * 1e3:.0f}", f"{taken / bare:.1f}"))
    yield Table("From the shell to the answer", ("command", "processor ms", "Python alone = 1"), rows)
