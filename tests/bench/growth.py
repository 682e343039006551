"""How time and memory grow with the content: 10, 100, 1,000 procedures and 1, 50, 500 vehicles.

Every unit is a copy of a real procedure or vehicle. Ratios are per unit, the first
row being 1: a figure that stays near 1 or falls is growth no faster than the content.
"""

from __future__ import annotations

import itertools
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.bench import synthetic
from tests.bench.measuring import Table, Used, run

PROCEDURES = (10, 100, 1000)
VEHICLES = (1, 50, 500)


def tables(rounds: int) -> Iterator[Table]:
    """Checking, building pages, building editions of vehicles. One round each: they are long enough."""
    with tempfile.TemporaryDirectory() as top:
        projects = [
            synthetic.project(Path(top) / str(count), procedures=count, scenes=0) for count in PROCEDURES
        ]
        checked = [run(["-m", "tests.bench.edition", str(one), "--check"], one) for one in projects]
        yield _table("Reading and checking procedures", "procedures", PROCEDURES, checked)
        built = [run(["-m", "tests.bench.edition", str(one), "--pages"], one) for one in projects]
        yield _table("Their pages, built", "procedures", PROCEDURES, built)
    with tempfile.TemporaryDirectory() as top:
        fleets = [
            synthetic.project(Path(top) / str(count), procedures=2, scenes=0, vehicles=count)
            for count in VEHICLES
        ]
        first = [_editions(one) for one in fleets]
        yield _table("Editions of vehicles, two procedures each, without PDF", "vehicles", VEHICLES, first)
        again = [_editions(one) for one in fleets]
        rows = [
            (f"{count:,}", f"{used.processor_s:.1f}", f"{used.processor_s / before.processor_s:.3f}")
            for count, used, before in zip(VEHICLES, again, first, strict=True)
        ]
        head = ("vehicles", "processor s", "time, built = 1")
        yield Table("The same again with nothing changed", head, rows)


def _editions(project: Path) -> Used:
    given = ["--project", str(project), "--out", str(project / "editions"), "--no-pdf", "--jobs", "1"]
    return run(["-m", "tests.bench.edition", str(project), "--editions", *given, "--quiet"], project)


def _table(title: str, unit: str, counts: Sequence[int], found: Sequence[Used]) -> Table:
    """Totals, each unit's share of them, and what one unit more costs."""
    rows = []
    for count, used in zip(counts, found, strict=True):
        time, memory = used.processor_s / count, used.peak_mb / count
        rows.append(
            (
                f"{count:,}",
                f"{used.processor_s:.1f}",
                f"{time / (found[0].processor_s / counts[0]):.2f}",
                f"{used.peak_mb:.0f}",
                f"{memory / (found[0].peak_mb / counts[0]):.2f}",
            )
        )
    pairs = zip(itertools.pairwise(found), itertools.pairwise(counts), strict=True)
    marginal = [
        (after.processor_s - before.processor_s) / (more - less) for (before, after), (less, more) in pairs
    ]
    note = (
        f"One {unit[:-1]} more: {marginal[0] * 1000:.0f} ms in the first stretch, "
        f"{marginal[1] * 1000:.0f} ms in the second ({marginal[1] / marginal[0]:.2f} times)."
    )
    head = (unit, "processor s", "time per unit", "peak memory, MB", "memory per unit")
    return Table(title, head, rows, note)
