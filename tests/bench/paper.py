"""What a whole build with every PDF costs, today and at an older revision, each with its own content.

The revision is given with ``--before``. Each is built once, in turns; the processor time is that of all its
processes, and the peak memory that of the largest of them.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
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


def built(checkout: Checkout, site: Path) -> Cost:
    """Build a revision with all its PDFs; ``SystemExit`` where that fails."""
    command = [sys.executable, "-m", checkout.package, "build", "--site", str(site)]
    begin = time.perf_counter()
    process = subprocess.Popen(
        command,
        cwd=checkout.folder,
        env=checkout.environment(),
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


def tables(rounds: int) -> Iterator[Table]:
    """One table; ``rounds`` does not apply, as one round takes minutes."""
    revision = wanted_revision()
    with tempfile.TemporaryDirectory() as top:
        older = unpacked(revision, Path(top) / "older")
        register(older)
        before = built(older, Path(top) / "site-before")
        now = built(today(), Path(top) / "site-now")
    rows = [
        (title, f"{old:,.{digits}f}", f"{new:,.{digits}f}", f"{new / old:.2f}")
        for title, digits, old, new in (
            ("processor time, s", 0, before.processor_s, now.processor_s),
            ("wall time, s", 0, before.wall_s, now.wall_s),
            ("peak memory of the largest process, MB", 0, before.peak_mb, now.peak_mb),
            ("PDF documents", 0, before.documents, now.documents),
            ("their pages", 0, before.pages, now.pages),
            ("their size, MB", 1, before.written_mb, now.written_mb),
            (
                "processor time a page of PDF, ms",
                0,
                1000 * before.processor_s / before.pages,
                1000 * now.processor_s / now.pages,
            ),
        )
    ]
    head = ("measure", f"before ({revision})", "today", "today to before")
    yield Table("A whole build, each with its own content", head, rows)
