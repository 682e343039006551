"""What a build costs beside MkDocs and its material theme on the same Markdown.

The baseline gets the Markdown that our build hands to MkDocs, the same theme, settings and navigation, but
neither our plugin nor our overrides. Both make the same number of pages. Our build also reads and checks
the YAML, computes, draws and seals. A round before the others fills the caches of a first build, bytecode
and templates. Rounds are pairs, one build right after the other, and the ratio is the median of the pairs'
ratios: a machine that slows down for a while slows both.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import yaml

from tests.bench import synthetic
from tests.bench.measuring import PROJECT, Table, Used, run

SIZES = ((11, 7, 0), (20, 0, 0), (23, 19, 0), (23, 19, 400))
"""Procedures and scenes of a project, and the number of pages it is then extended to by copies."""

Pair = tuple[Used, Used]
"""The costs of the baseline, and of our build right after it."""


def stock(folder: Path, project: Path) -> Path:
    """The same pages for MkDocs alone."""
    (folder / "docs").mkdir(parents=True)
    run(["-m", "tests.bench.edition", str(project), "--pages", "--markdown", str(folder / "docs")], folder)
    settings = yaml.safe_load((project / "mkdocs.yml").read_text(encoding="utf-8"))
    for name in ("docs_dir", "extra_css", "extra_javascript", "exclude_docs"):
        settings.pop(name, None)
    settings["theme"].pop("custom_dir")
    settings["plugins"] = ["search", "offline"]
    settings["nav"] = yaml.safe_load((folder / "docs/nav.yml").read_text(encoding="utf-8"))
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(settings), encoding="utf-8")
    return folder


def pages_of(site: Path) -> int:
    """How many pages a site has, without the not-found page."""
    return sum(1 for path in site.rglob("*.html") if path.name != "404.html")


def compared(procedures: int, scenes: int, rounds: int, folder: Path) -> tuple[int, list[Pair]]:
    """Pages, and a pair of builds each round."""
    project = synthetic.project(folder / "ours", procedures=procedures, scenes=scenes)
    plain = stock(folder / "stock", project)
    pairs = [
        (
            run(["-m", "mkdocs", "build", "--quiet"], plain),
            run(["-m", "tests.bench.edition", str(project), "--pages"], project),
        )
        for _ in range(rounds + 1)
    ]
    found = pages_of(plain / "site")
    if found != pages_of(project / "site"):
        raise SystemExit(f"{found} pages beside {pages_of(project / 'site')}: not the same work")
    return found, pairs[1:]


def row(pages: int, pairs: Sequence[Pair]) -> tuple[str, ...]:
    """Medians: the baseline's seconds, ours, and the pairs' ratios of time and of memory."""
    middle = statistics.median
    return (
        f"{pages}",
        f"{middle(theirs.processor_s for theirs, _ in pairs):.2f}",
        f"{middle(ours.processor_s for _, ours in pairs):.2f}",
        f"{middle(ours.processor_s / theirs.processor_s for theirs, ours in pairs):.2f}",
        f"{middle(ours.peak_mb / theirs.peak_mb for theirs, ours in pairs):.2f}",
    )


def tables(rounds: int) -> Iterator[Table]:
    """Pages alone beside the baseline, then everything that a build makes."""
    rows = []
    with tempfile.TemporaryDirectory() as top:
        at_hand = 0
        for number, (procedures, scenes, wanted) in enumerate(SIZES):
            extra = max(0, wanted - at_hand)
            # Small builds need many rounds to differ measurably; large ones take long anyway.
            pairs_wanted = min(rounds, 3) if wanted else 3 * rounds
            at_hand, pairs = compared(procedures + extra, scenes, pairs_wanted, Path(top) / str(number))
            rows.append(row(at_hand, pairs))
    head = ("pages", "MkDocs alone, s", "ours, s", "time ratio", "memory ratio")
    yield Table("The same pages, processor time of the whole process; medians of pairs", head, rows)
    with tempfile.TemporaryDirectory() as top:
        project = synthetic.project(Path(top) / "whole", procedures=23)
        shutil.copytree(PROJECT / "content/lessons", project / "content/lessons")
        yield everything(project)


def everything(project: Path) -> Table:
    """The cost of the outputs that only this project has."""
    steps = (
        ("pages", ["--pages"]),
        ("pages, classroom, cab files", []),
        ("pages, classroom, cab files, cards and worksheets with their PDF", ["--cards"]),
    )
    found = [run(["-m", "tests.bench.edition", str(project), *options], project) for _, options in steps]
    rows = [
        (
            name,
            f"{used.processor_s:.1f}",
            f"{used.processor_s / found[0].processor_s:.1f}",
            f"{used.peak_mb:.0f}",
        )
        for (name, _), used in zip(steps, found, strict=True)
    ]
    head = ("output", "processor s", "pages = 1", "peak memory, MB")
    return Table("The real content with everything", head, rows)
