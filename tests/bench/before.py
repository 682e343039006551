"""Today's cab file beside the one of an older revision, built from that revision's own code and content.

Both are opened from a folder in one Chromium, in turns, at full speed and with the processor slowed six
times. The revision is given with ``--before``; it is unpacked into a temporary folder and built there.
"""

from __future__ import annotations

import statistics
import tempfile
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from bs4 import BeautifulSoup
from forty_paces.authoring.library import load_library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import sync_playwright

from tests.bench.cab import SLOWDOWN, SOUGHT, Opened, Subject, opened_in_turns
from tests.bench.measuring import PROJECT, Table
from tests.bench.revisions import Checkout, unpacked, wanted_revision


def built_from(revision: str, folder: Path) -> Path:
    """The cab file of a revision; ``SystemExit`` where it cannot be unpacked or built."""
    checkout = unpacked(revision, folder)
    register(checkout)
    site = folder / "out"
    checkout.run("-m", checkout.package, "build", "--no-cards", "--site", str(site))
    return site / "cab.html"


def register(checkout: Checkout) -> None:
    """Register the revision's own plugin for MkDocs: it is found before the one that is installed today."""
    project = tomllib.loads((checkout.folder / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    name, version = project["name"], project["version"]
    info = checkout.path / f"{name.replace('-', '_')}-{version}.dist-info"
    info.mkdir()
    metadata = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
    (info / "METADATA").write_text(metadata, encoding="utf-8")
    lines = [
        line
        for group, entries in project["entry-points"].items()
        for line in (f"[{group}]", *(f"{entry} = {target}" for entry, target in entries.items()))
    ]
    (info / "entry_points.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def taps_to_first_step(file: Path) -> tuple[str, ...]:
    """The taps from the start screen to the first step: through the tile of a family where there is one."""
    page = BeautifulSoup(file.read_text(encoding="utf-8"), "html.parser")
    family = page.select_one(f'.listing:has(.tile[href="#{SOUGHT}"])')
    through = (f'.family[href="#{family["id"]}"]',) if family else ()
    return (*through, f'.tile[href="#{SOUGHT}"]', "[data-next]")


def tables(rounds: int) -> Iterator[Table]:
    """One row for each measure: before, today, and the ratio; at full speed and slowed."""
    revision = wanted_revision()
    with tempfile.TemporaryDirectory() as top, sync_playwright() as playwright:
        today = Path(top) / "today" / "cab.html"
        today.parent.mkdir()
        library = load_library(PROJECT)
        today.write_text(cab_html(BuildContext(library, PROJECT / "site_overrides")), encoding="utf-8")
        files = {"before": built_from(revision, Path(top) / "before"), "today": today}
        subjects = [
            Subject(name, file, taps_to_first_step(file), f"#{SOUGHT} .step.is-now .step__do")
            for name, file in files.items()
        ]
        for slowdown in (1, SLOWDOWN):
            found = opened_in_turns(playwright, subjects, 3 * rounds, slowdown)
            yield beside(revision, subjects, found, slowdown)


def beside(
    revision: str, subjects: Sequence[Subject], found: Mapping[str, Sequence[Opened]], slowdown: int
) -> Table:
    """The two files beside each other on a processor slowed that many times."""
    rows = []
    for title, measure in (
        ("first contentful paint, ms", "paint_ms"),
        ("first screen whole (largest contentful paint), ms", "whole_ms"),
        ("taps to first step in sight, ms", "step_ms"),
        ("their processor time, ms", "work_ms"),
        ("bytes", "bytes_"),
        ("bytes, gzipped", "packed"),
    ):
        old, new = (statistics.median(getattr(one, measure) for one in of) for of in found.values())
        rows.append((title, f"{old:,.0f}", f"{new:,.0f}", f"{new / old:.2f}"))
    counts = [len(subject.taps) for subject in subjects]
    each = [
        statistics.median(one.step_ms for one in found[subject.name]) / len(subject.taps)
        for subject in subjects
    ]
    rows.insert(4, ("taps to it", *(f"{count}" for count in counts), f"{counts[1] / counts[0]:.2f}"))
    rows.insert(5, ("one tap, ms", *(f"{one:,.0f}" for one in each), f"{each[1] / each[0]:.2f}"))
    rounds = len(found[subjects[0].name])
    return Table(
        f"Cold, from a folder, processor slowed {slowdown} times; median of {rounds}",
        ("measure", f"before ({revision})", "today", "today to before"),
        rows,
    )
