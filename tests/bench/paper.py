"""What a whole build with every PDF costs, today and at an older revision, each with its own content.

The revision is given with ``--before``. It is built once, then today's twice: with nothing kept from an
earlier build, and again. The processor time is that of all processes of a build, the peak memory that of the
largest.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pikepdf

from tests.bench.before import register
from tests.bench.measuring import Table
from tests.bench.revisions import Checkout, today, unpacked, wanted_revision


@dataclass(frozen=True, slots=True)
class Cost:
    """What one build took and made."""

    processor_s: float
    wall_s: float
    peak_mb: float
    documents: int
    pages: int
    written_mb: float


def built(checkout: Checkout, site: Path, cache: Path) -> Cost:
    """Build a revision with all its PDFs; ``SystemExit`` where that fails. ``cache`` is the user's folder."""
    command = [sys.executable, "-m", checkout.package, "build", "--site", str(site)]
    begin = time.perf_counter()
    process = subprocess.Popen(
        command,
        cwd=checkout.folder,
        env={**checkout.environment(), "XDG_CACHE_HOME": str(cache)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(process.pid, 0)
    if status:
        raise SystemExit(f"{checkout.folder} cannot be built")
    pdfs = sorted(site.rglob("*.pdf"))
    pages = 0
    for file in pdfs:
        with pikepdf.open(file) as opened:
            pages += len(opened.pages)
    unit = 1 if sys.platform == "darwin" else 1024
    return Cost(
        used.ru_utime + used.ru_stime,
        time.perf_counter() - begin,
        used.ru_maxrss * unit / 1e6,
        len(pdfs),
        pages,
        sum(file.stat().st_size for file in pdfs) / 1e6,
    )


MEASURES: tuple[tuple[str, int, Callable[[Cost], float]], ...] = (
    ("processor time, s", 0, lambda cost: cost.processor_s),
    ("wall time, s", 0, lambda cost: cost.wall_s),
    ("peak memory of the largest process, MB", 0, lambda cost: cost.peak_mb),
    ("PDF documents", 0, lambda cost: cost.documents),
    ("their pages", 0, lambda cost: cost.pages),
    ("their size, MB", 1, lambda cost: cost.written_mb),
    ("processor time a page of PDF, ms", 0, lambda cost: 1000 * cost.processor_s / cost.pages),
)


def _told(name: str, cost: Cost) -> Cost:
    """The cost, printed at once: the next build may be stopped."""
    print(f"{name}: {cost}", file=sys.stderr, flush=True)
    return cost


def tables(rounds: int) -> Iterator[Table]:
    """One table; ``rounds`` does not apply, as one round takes minutes."""
    revision = wanted_revision()
    with tempfile.TemporaryDirectory() as top:
        older = unpacked(revision, Path(top) / "older")
        register(older)
        cache = Path(top) / "cache"
        costs = [
            _told("before", built(older, Path(top) / "site-before", cache)),
            _told("today", built(today(), Path(top) / "site-now", cache)),
            _told("again", built(today(), Path(top) / "site-again", cache)),
        ]
    first = costs[0]
    rows = [
        (
            title,
            *(f"{of(cost):,.{digits}f}" for cost in costs),
            *(f"{of(x) / of(first):.2f}" for x in costs[1:]),
        )
        for title, digits, of in MEASURES
    ]
    head = ("measure", f"before ({revision})", "today", "again", "today to before", "again to before")
    yield Table("A whole build, each with its own content", head, rows)
