"""How long an author waits for ``fortypaces check``, as ratios against bare YAML loading.

Run from the project's folder: ``python bench/check.py [--rounds N]``. The baseline
reads the same files with PyYAML's own loaders, which keep no line numbers, check
nothing and know no shared passages. Then the same content two and four times over:
a check that grows faster than its content would show here.

Absolute times depend on the machine and are printed only to be read beside the ratios.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

PROJECT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(PROJECT))

from generator.authoring.library import inspect_project  # noqa: E402
from generator.authoring.yaml_tree import read_tree  # noqa: E402


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Median processor seconds of one call: other work on the machine does not count."""
    work()  # once for the caches
    taken = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        taken.append(time.process_time() - begin)
    return statistics.median(taken)


def files(project: Path) -> list[Path]:
    """Every content file."""
    return sorted((project / "content").rglob("*.yml"))


def load_all(project: Path, loader: type) -> None:
    """The baseline."""
    for file in files(project):
        yaml.load(file.read_text(encoding="utf-8"), Loader=loader)


def read_all(project: Path) -> None:
    """Trees with places, refusals included."""
    for file in files(project):
        read_tree(file, file.name)


def times_over(project: Path, times: int, folder: Path) -> Path:
    """The project with every procedure ``times`` over; that the copies clash costs the check something."""
    grown = folder / f"times-{times}"
    shutil.copytree(project / "content", grown / "content")
    for file in (project / "content/procedures").glob("*.yml"):
        for copy in range(1, times):
            text = file.read_text(encoding="utf-8").replace(
                f"id: {file.stem}\n", f"id: {file.stem}-{copy}\n", 1
            )
            (grown / f"content/procedures/{file.stem}-{copy}.yml").write_text(text, encoding="utf-8")
    return grown


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds

    size = sum(file.stat().st_size for file in files(PROJECT))
    print(f"{len(files(PROJECT))} files, {size:,} bytes, median of {rounds} rounds\n")
    base = seconds(lambda: load_all(PROJECT, yaml.CSafeLoader), rounds)
    print(f"{'work':<44}{'seconds':>9}{'ratio':>8}")
    for name, work in (
        ("PyYAML's compiled loader (baseline)", lambda: load_all(PROJECT, yaml.CSafeLoader)),
        ("PyYAML's pure loader", lambda: load_all(PROJECT, yaml.SafeLoader)),
        ("trees with places, traps refused", lambda: read_all(PROJECT)),
        ("the whole check", lambda: inspect_project(PROJECT)),
    ):
        taken = seconds(work, rounds)
        print(f"{name:<44}{taken:>9.3f}{taken / base:>8.2f}")

    print(f"\n{'procedures':<44}{'seconds':>9}{'ratio':>8}")
    with tempfile.TemporaryDirectory() as folder:
        once = seconds(lambda: inspect_project(PROJECT), rounds)
        for times in (1, 2, 4):
            grown = times_over(PROJECT, times, Path(folder))
            taken = seconds(lambda project=grown: inspect_project(project), rounds)
            count = len(list((grown / "content/procedures").glob("*.yml")))
            print(f"{f'{count} ({times} times over)':<44}{taken:>9.3f}{taken / once:>8.2f}")


if __name__ == "__main__":
    main()
