"""How long an author waits for ``fortypaces check``, as ratios against bare YAML loading.

The baseline reads the same files with PyYAML's own loaders, which keep no line numbers, check nothing and
do not resolve shared passages. Then the same content two and four times over: a check that grows faster
than its content would show here.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import yaml
from forty_paces.authoring.library import inspect_project
from forty_paces.authoring.yaml_tree import parse_file

from tests.bench.measuring import PROJECT, Table, processor_s


def files(project: Path) -> list[Path]:
    """Every content file."""
    return sorted((project / "content").rglob("*.yml"))


def load_all(project: Path, loader: type) -> None:
    """The baseline."""
    for file in files(project):
        yaml.load(file.read_text(encoding="utf-8"), Loader=loader)


def read_all(project: Path) -> None:
    """Parse the files into trees with line and column, errors included."""
    for file in files(project):
        parse_file(file, file.name)


def times_over(project: Path, times: int, folder: Path) -> Path:
    """The project with every procedure ``times`` over; the clashes of the copies cost the check time too."""
    grown = folder / f"times-{times}"
    shutil.copytree(project / "content", grown / "content")
    for file in (project / "content/procedures").glob("*.yml"):
        for copy in range(1, times):
            text = file.read_text(encoding="utf-8").replace(
                f"id: {file.stem}\n", f"id: {file.stem}-{copy}\n", 1
            )
            (grown / f"content/procedures/{file.stem}-{copy}.yml").write_text(text, encoding="utf-8")
    return grown


def tables(rounds: int) -> Iterator[Table]:
    """Two tables."""
    base = processor_s(lambda: load_all(PROJECT, yaml.CSafeLoader), rounds)
    rows = []
    for name, work in (
        ("PyYAML's compiled loader", lambda: load_all(PROJECT, yaml.CSafeLoader)),
        ("PyYAML's pure loader", lambda: load_all(PROJECT, yaml.SafeLoader)),
        ("trees with places, traps refused", lambda: read_all(PROJECT)),
        ("the whole check", lambda: inspect_project(PROJECT)),
    ):
        taken = processor_s(work, rounds)
        rows.append((name, f"{taken:.3f}", f"{taken / base:.2f}"))
    size = sum(file.stat().st_size for file in files(PROJECT))
    title = f"Reading {len(files(PROJECT))} files, {size:,} bytes"
    yield Table(title, ("work", "processor s", "times the compiled loader"), rows)

    rows = []
    with tempfile.TemporaryDirectory() as folder:
        once = processor_s(lambda: inspect_project(PROJECT), rounds)
        for times in (1, 2, 4):
            grown = times_over(PROJECT, times, Path(folder))
            taken = processor_s(lambda project=grown: inspect_project(project), rounds)
            count = len(list((grown / "content/procedures").glob("*.yml")))
            rows.append((f"{count} ({times} times over)", f"{taken:.3f}", f"{taken / once:.2f}"))
    yield Table("The check, as content grows", ("procedures", "processor s", "times the real content"), rows)
