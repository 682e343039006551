"""Small complete projects for tests that build: the repository's overrides and a little of its content."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from forty_paces.outputs.common.procedure_view import ProcedureView

PROJECT = Path(__file__).resolve().parents[1]
ALONE = ("flood", "hydroplaning", "rail-crossing")
"""Procedures whose decisions lead to none but one another; the first leads to no other at all."""


def small_project(folder: Path, procedures: Iterable[str] = ALONE, *, linked: bool = True) -> Path:
    """A separate project in ``folder``, with three procedures, one rule set and no lessons.

    The overrides are the repository's own: ``linked``, or copied where they must not change meanwhile.
    """
    content = folder / "content"
    (content / "procedures").mkdir(parents=True)
    (content / "rules").mkdir()
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    overrides = folder / "site_overrides"
    if linked:
        overrides.symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    else:
        shutil.copytree(PROJECT / "site_overrides", overrides)
    for path in PROJECT.glob("content/*"):
        if path.is_file() and path.name != "ways_out.yml":  # it leads to procedures that are not here
            shutil.copy(path, content)
    shutil.copy(PROJECT / "content/rules/us.yml", content / "rules")
    for name in procedures:
        shutil.copy(PROJECT / f"content/procedures/{name}.yml", content / "procedures")
    return folder


def project_abroad(folder: Path, rules_id: str) -> Path:
    """The repository's own content in ``folder``, for a carrier whose fleet.yml names another rule set."""
    shutil.copytree(PROJECT / "content", folder / "content")
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    fleet = folder / "content" / "fleet.yml"
    fleet_text, count = re.subn(r"(?m)^rules: us$", f"rules: {rules_id}", fleet.read_text(encoding="utf-8"))
    assert count == 1
    fleet.write_text(fleet_text, encoding="utf-8")
    # Units are looked at here, and not the law: a rule set that names no country refuses no text.
    rules = folder / "content" / "rules" / f"{rules_id}.yml"
    without = re.sub(r"(?m)^country: .*\n", "", rules.read_text(encoding="utf-8"))
    rules.write_text(without, encoding="utf-8")
    return folder


@contextmanager
def one_core() -> Iterator[None]:
    """As on a machine with one core: no other processes are started, which would import everything again."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "cpu_count", lambda: 1)
        patch.setattr(os, "sched_getaffinity", lambda _: {0}, raising=False)
        yield


def pages_and_pdfs(site: Path) -> tuple[int, int]:
    """How many pages of the site's own look, and how many PDFs, a built site has."""
    pages = sum("md-main" in page.read_text(encoding="utf-8") for page in site.rglob("*.html"))
    return pages, sum(1 for _ in site.rglob("*.pdf"))


def step_count(view: ProcedureView) -> int:
    """Number of steps in a procedure's view."""
    return sum(len(block.steps) for block in view.blocks)
