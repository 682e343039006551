"""Solving scenes, building tables and starting the command: today's beside an older revision's.

The older revision is given with ``--before`` and runs its own code on its own content. Processor time, the
two in turns; of several rounds the median. Each side does its own work: today's engine looks from every
lane, measures the walk and judges the room to walk, and today's explorer solves every row as a scene.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.bench.measuring import Table
from tests.bench.revisions import Checkout, today, unpacked, wanted_revision

COMMANDS: tuple[Sequence[str], ...] = (
    ("place", "--road", "two-lane", "--speed", "55"),
    ("stopping", "--speed", "55"),
    ("verify", "--help"),
)

LIBRARIES = ("-c", "import click, yaml, pydantic; pydantic.BaseModel")

CHILD = """
import importlib, json, sys, time
from pathlib import Path

package, project, scenes = sys.argv[1], Path(sys.argv[2]), set(sys.argv[3].split(","))
part = lambda name: importlib.import_module(f"{package}.{name}")
library = part("authoring.library").load_library(project)
filed = library.rules["us"]
place_in_scene = part("geometry.solver").place_in_scene
try:
    finder_data = part("outputs.cab.placement_data").placement_data
except ImportError:
    finder_data = part("authoring.worked_examples").placement_table
explorer = part("outputs.classroom.sight_table").table

def taken_ms(work):
    begin = time.process_time()
    work()
    return 1e3 * (time.process_time() - begin)

solved = {}
for scene in library.scenes.values():
    if scene.id in scenes:
        place_in_scene(filed.rule_set, scene)
        solved[scene.id] = taken_ms(lambda: place_in_scene(filed.rule_set, scene))
finder_ms = taken_ms(lambda: finder_data(filed))
explorer_ms = taken_ms(lambda: explorer(filed.rule_set))
print(json.dumps({"scenes": solved, "finder": finder_ms, "explorer": explorer_ms}))
"""


def measured(checkout: Checkout, scenes: Sequence[str]) -> dict[str, Any]:
    """What a process of this revision measured of itself."""
    printed = checkout.run("-c", CHILD, checkout.package, str(checkout.folder), ",".join(scenes))
    values: dict[str, Any] = json.loads(printed)
    return values


def start_ms(checkout: Checkout, arguments: Sequence[str]) -> float:
    """Processor milliseconds of a whole process."""
    with subprocess.Popen(
        [sys.executable, *arguments],
        cwd=checkout.folder,
        env=checkout.environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(arguments)} ended with {process.returncode} in {checkout.folder}")
    return 1e3 * (usage.ru_utime + usage.ru_stime)


def in_turns(sides: Mapping[str, Checkout], rounds: int) -> Table:
    """Solving and tables."""
    folders = [
        {path.stem for path in (one.folder / "content/scenes").glob("*.yml")} for one in sides.values()
    ]
    scenes = sorted(set.intersection(*folders))
    taken: dict[str, list[dict[str, Any]]] = {side: [] for side in sides}
    for _ in range(rounds):
        for side, checkout in sides.items():
            taken[side].append(measured(checkout, scenes))

    def ms(side: str, *keys: str) -> float:
        found = []
        for one in taken[side]:
            value: Any = one
            for key in keys:
                value = value[key]
            found.append(float(value))
        return statistics.median(found)

    before, now = sides
    rows = []
    ratios = []
    for scene in scenes:
        old, new = ms(before, "scenes", scene), ms(now, "scenes", scene)
        ratios.append(new / old)
        rows.append((scene, f"{old:.1f}", f"{new:.1f}", f"{new / old:.2f}"))
    rows.append(("scenes, geometric mean", "", "", f"{statistics.geometric_mean(ratios):.2f}"))
    for title, key in (
        ("what the cab finder answers from", "finder"),
        ("table of the sight explorer", "explorer"),
    ):
        old, new = ms(before, key), ms(now, key)
        rows.append((title, f"{old:.0f}", f"{new:.0f}", f"{new / old:.2g}"))
    return Table(
        "Scenes and tables of the US rule set", ("", "before, ms", "today, ms", "today / before"), rows
    )


def starts(sides: Mapping[str, Checkout], rounds: int) -> Table:
    """The command, from the shell to the answer, with bytecode at hand."""
    now = sides["today"]
    wanted = {("libraries",): (now, LIBRARIES)}
    for command in COMMANDS:
        for side, checkout in sides.items():
            wanted[(*command, side)] = (checkout, ("-m", checkout.package, *command))
    for checkout, arguments in wanted.values():
        start_ms(checkout, arguments)
    taken: dict[tuple[str, ...], list[float]] = {key: [] for key in wanted}
    for _ in range(rounds):
        for key, (checkout, arguments) in wanted.items():
            taken[key].append(start_ms(checkout, arguments))
    middle = {key: statistics.median(found) for key, found in taken.items()}
    libraries = middle[("libraries",)]
    rows = [("click, PyYAML and pydantic imported", "", f"{libraries:.0f}", "", "1.00")]
    for command in COMMANDS:
        old, new = (middle[(*command, side)] for side in sides)
        rows.append(
            (
                f"`{' '.join(command)}`",
                f"{old:.0f}",
                f"{new:.0f}",
                f"{new / old:.2f}",
                f"{new / libraries:.2f}",
            )
        )
    head = ("", "before, ms", "today, ms", "today / before", "today / the libraries")
    return Table("From the shell to the answer", head, rows)


def tables(rounds: int) -> Iterator[Table]:
    """Both tables."""
    with tempfile.TemporaryDirectory() as top:
        sides = {"before": unpacked(wanted_revision(), Path(top) / "before"), "today": today()}
        yield starts(sides, 3 * rounds)
        yield in_turns(sides, min(rounds, 3))
