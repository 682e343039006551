"""What a build costs beside MkDocs and its material theme on the same Markdown.

The baseline is given the Markdown that our build hands to MkDocs, the same theme,
settings and navigation, and neither our plugin nor our look. Both make the same
number of pages. Our build reads and checks the YAML, computes, draws and seals
besides. What a first build on a machine compiles once, bytecode and templates, is
at hand: the least of the rounds counts.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import yaml

from tests.bench import synthetic
from tests.bench.measuring import PROJECT, Table, Used, least, run

SIZES = ((11, 7, 0), (20, 0, 0), (23, 19, 0), (23, 19, 400))
"""Procedures and scenes of a project, and how many pages it is then brought to by copies."""


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
    """How many pages a site has, the not-found page apart."""
    return sum(1 for path in site.rglob("*.html") if path.name != "404.html")


def compared(procedures: int, scenes: int, rounds: int, folder: Path) -> tuple[int, Used, Used]:
    """Pages, the baseline's best round and ours, in turns."""
    project = synthetic.project(folder / "ours", procedures=procedures, scenes=scenes)
    plain = stock(folder / "stock", project)
    theirs, ours = [], []
    for _ in range(rounds):
        theirs.append(run(["-m", "mkdocs", "build", "--quiet"], plain))
        ours.append(run(["-m", "tests.bench.edition", str(project), "--pages"], project))
    found = pages_of(plain / "site")
    if found != pages_of(project / "site"):
        raise SystemExit(f"{found} pages beside {pages_of(project / 'site')}: not the same work")
    return found, least(theirs), least(ours)


def tables(rounds: int) -> Iterator[Table]:
    """Pages alone beside the baseline, then everything that a build makes."""
    rows = []
    with tempfile.TemporaryDirectory() as top:
        at_hand = 0
        for number, (procedures, scenes, wanted) in enumerate(SIZES):
            extra = max(0, wanted - at_hand) if number == len(SIZES) - 1 else 0
            found, theirs, ours = compared(
                procedures + extra, scenes, min(rounds, 3), Path(top) / str(number)
            )
            at_hand = found
            ratios = (ours.processor_s / theirs.processor_s, ours.peak_mb / theirs.peak_mb)
            figures = (
                f"{theirs.processor_s:.2f}",
                f"{ours.processor_s:.2f}",
                *(f"{one:.2f}" for one in ratios),
            )
            rows.append((f"{found}", *figures))
    head = ("pages", "MkDocs alone, s", "ours, s", "time ratio", "memory ratio")
    yield Table("The same pages, processor time of the whole process", head, rows)
    with tempfile.TemporaryDirectory() as top:
        project = synthetic.project(Path(top) / "whole", procedures=23)
        (project / "content/lessons").symlink_to(PROJECT / "content/lessons")
        yield everything(project)


def everything(project: Path) -> Table:
    """What the outputs cost that only this project makes."""
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
