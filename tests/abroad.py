"""The placing exercise and the sight explorer under metric rule sets, made once for all workers."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.classroom.exercise import exercise_html
from forty_paces.outputs.classroom.sight_page import sight_html
from forty_paces.outputs.common.context import BuildContext

from tests.projects import PROJECT
from tests.rule_files import under_rules
from tests.sharing import made_once, shared_folder

ABROAD = ("australia-sa", "germany", "uk")
"""A range that the rule leaves open; one device at one distance; meters beside miles an hour."""


@pytest.fixture(scope="session")
def tools_abroad(library: Library, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """``placing-NAME.html`` and ``sight-NAME.html`` for each of those rule sets."""

    def make(folder: Path) -> None:
        made = {}
        for name in ABROAD:
            context = BuildContext(under_rules(name, library), PROJECT / "site_overrides")
            made |= {f"placing-{name}": exercise_html(context), f"sight-{name}": sight_html(context)}
        folder.mkdir()
        for name, html in made.items():
            (folder / f"{name}.html").write_text(html, encoding="utf-8")

    return made_once(shared_folder(tmp_path_factory, worker_id) / "tools-abroad", make)
