"""What an author waits for in a carrier's own project: check over the library, and a preview after an edit.

The project is begun with ``fortypaces init`` and has one procedure of its own. Both are compared in one run:
check of the library standing alone with check of a project that lies over it, and the first build of a
preview with the one after an edit of the procedure.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner
from forty_paces.authoring.library import inspect_project
from forty_paces.cli import main
from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.bench.measuring import PROJECT, Table, processor_s

EDITED = "procedures/fog.yml"


def begun(folder: Path) -> Path:
    """A carrier's project with a procedure of its own in place of the library's."""
    project = folder / "carrier"
    CliRunner().invoke(main, ["init", str(project)], catch_exceptions=False)
    own = project / "content" / EDITED
    own.parent.mkdir()
    shutil.copy(PROJECT / "content" / EDITED, own)
    return project


def preview_s(project: Path, site: Path, *, first: bool = False) -> tuple[float, float]:
    """Processor seconds and seconds of one build as ``mkdocs serve`` does it."""
    start, began = time.process_time(), time.monotonic()
    config = load_config(str(project / "mkdocs.yml"), site_dir=str(site))
    if first:
        config.plugins.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/")
    return time.process_time() - start, time.monotonic() - began


def tables(rounds: int) -> Iterator[Table]:
    """Two tables."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with tempfile.TemporaryDirectory() as folder:
        project = begun(Path(folder))
        alone = processor_s(lambda: inspect_project(PROJECT), rounds)
        over = processor_s(lambda: inspect_project(project), rounds)
        rows = [
            ("the library alone", f"{alone * 1e3:.0f}", "1.0"),
            ("a project over it", f"{over * 1e3:.0f}", f"{over / alone:.2f}"),
        ]
        yield Table("Check of all content", ("content", "processor ms", "ratio"), rows)
        first = preview_s(project, Path(folder) / "site", first=True)
        own = project / "content" / EDITED
        again = []
        for turn in range(rounds):
            text = own.read_text(encoding="utf-8")
            own.write_text(f"# edit {turn}\n{text}", encoding="utf-8")
            again.append(preview_s(project, Path(folder) / "site"))
        after, waited = (min(one) for one in zip(*again, strict=True))
        rows = [
            ("the first, with the start of the preview", f"{first[0]:.1f}", f"{first[1]:.1f}", "1.0"),
            ("after an edit of one procedure", f"{after:.1f}", f"{waited:.1f}", f"{after / first[0]:.2f}"),
        ]
        yield Table("Builds of a preview without cards", ("build", "processor s", "s", "ratio"), rows)
