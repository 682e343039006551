"""What a verb costs from the shell, as a multiple of a Python that does nothing.

Processor seconds of the whole process, the least of some runs: other work on the machine counts little.
Bytecode of our modules is at hand, as it is for the libraries and as pip leaves it. With ``--before``, check
and the start of a preview are set beside an older revision's too, each with its own content.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.bench import revisions
from tests.bench.before import register
from tests.bench.measuring import PROJECT, Table, with_bytecode

VERBS: tuple[Sequence[str], ...] = (
    ("stopping", "--speed", "55"),
    ("verify", "--help"),
    ("place", "--road", "two-lane", "--speed", "55"),
    ("place", "--road", "two-lane", "--speed", "55", "--chance"),
    ("place", "--scene", "content/scenes/drover-crest.yml"),
)

PREVIEW = """
import os, sys
os.environ["NO_MKDOCS_2_WARNING"] = "1"
from mkdocs.commands.build import build
from mkdocs.config import load_config
config = load_config("mkdocs.yml", site_dir=sys.argv[1])
config.plugins.on_startup(command="serve", dirty=False)
build(config)
"""
"""What ``mkdocs serve`` does before it answers."""


def least_s(arguments: Sequence[str], rounds: int, of: revisions.Checkout | None = None) -> float:
    """The least processor seconds of some runs of Python with these arguments, today or ``of`` a revision."""
    taken = []
    for _ in range(1 + rounds):  # the first may compile
        process = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=of.folder if of else PROJECT,
            env=of.environment() if of else with_bytecode(PROJECT / "generator"),
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
    """The verbs, then what an author waits for at the start, beside an older revision if one was named."""
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
    if revisions.REVISION:
        yield beside_older(rounds)


def beside_older(rounds: int) -> Table:
    """Check and the first build of a preview, today and at the older revision."""
    with tempfile.TemporaryDirectory() as top:
        older = revisions.unpacked(revisions.REVISION, Path(top) / "older")
        register(older)
        sides = (older, revisions.today())
        counts = [len(list((one.folder / "content/procedures").glob("*.yml"))) for one in sides]
        rows = [("procedures", *map(str, counts), f"{counts[1] / counts[0]:.2f}", "1.0")]
        for title, arguments, times in (
            ("`check`", ("-m", "{package}", "check"), rounds),
            ("a preview until it answers", ("-c", PREVIEW, f"{top}/site"), 1),
        ):
            taken = []
            for side in sides:
                words = [side.package if word == "{package}" else word for word in arguments]
                taken.append(least_s(words, times, side))
            ratio = taken[1] / taken[0]
            each = ratio * counts[0] / counts[1]
            rows.append((title, f"{taken[0]:.2f}", f"{taken[1]:.2f}", f"{ratio:.2f}", f"{each:.2f}"))
    head = ("", f"before ({revisions.REVISION}), s", "today, s", "today / before", "a procedure")
    return Table("What an author waits for at the start", head, rows)
