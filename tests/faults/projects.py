"""A small complete project, and copies of it with one file replaced.

``base/`` is the project; it has no findings. Every ``<fault>.yml`` beside this module
replaces the file that its first line names, and contains the fault it is named after;
``<fault>.txt`` is the exact output.
"""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

from forty_paces.authoring.library import Inspection, inspect_project

HERE = Path(__file__).parent
BASE = HERE / "base"
TODAY = dt.date(2026, 3, 1)
"""A day on which everything in the base project is in force and no review is due."""

STANDS_IN = "# stands in for "

FAULTS = sorted(path.stem for path in HERE.glob("*.yml"))


def fault_text(name: str) -> str:
    return (HERE / f"{name}.yml").read_text(encoding="utf-8")


def expected(name: str) -> str:
    return (HERE / f"{name}.txt").read_text(encoding="utf-8")


def replaced_file(name: str) -> str:
    """The path, relative to the project, of the file that a fault replaces."""
    first = fault_text(name).splitlines()[0]
    assert first.startswith(STANDS_IN), first
    return first.removeprefix(STANDS_IN)


def project_with(folder: Path, path: str, content: str | bytes) -> Path:
    """A copy of the base project with the content of one file replaced."""
    project = folder / "project"
    shutil.copytree(BASE, project)
    file = project / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return project


def inspected(folder: Path, path: str, content: str | bytes) -> Inspection:
    return inspect_project(project_with(folder, path, content), TODAY)


def messages(inspection: Inspection) -> str:
    return "".join(f"{finding}\n" for finding in inspection.findings)
