"""Shared by all tests: the real content, the real site built once, and one Chromium."""

from __future__ import annotations

import atexit
import datetime as dt
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from filelock import FileLock
from forty_paces.authoring.library import Library, load_library
from forty_paces.outputs.cards import print_run
from forty_paces.outputs.paper import layout_cache, pdf
from forty_paces.plugin import build_site
from hypothesis import settings

from tests.browsers import chromium, new_context, open_page, playwright
from tests.printed import edition_cards
from tests.soaking import SOAK
from tests.spanish import two_language_project

__all__ = ["chromium", "edition_cards", "new_context", "open_page", "playwright"]

PROJECT = Path(__file__).parent.parent

CACHE = "FORTYPACES_TEST_CACHE"
"""Environment variable: the cache folder of this run, by which workers know that it is there already."""

if CACHE not in os.environ:
    # A run begins with an empty cache folder, never the user's, and its workers share what they lay out: one
    # layout for each document. Tests of layouts being the same each time set `layout_cache.OFF`.
    os.environ[CACHE] = os.environ["XDG_CACHE_HOME"] = tempfile.mkdtemp(prefix="forty-paces-tests-")
    atexit.register(shutil.rmtree, os.environ[CACHE], ignore_errors=True)
    if not sys.platform.startswith("linux"):  # elsewhere the variable moves no cache folder
        os.environ[layout_cache.OFF] = "1"

# Every run tries the same examples, without time limits; only `make soak` explores at random.
settings.register_profile("same-every-time", deadline=None, derandomize=True, database=None)
settings.register_profile("soak", deadline=None, max_examples=2_000, print_blob=True)
settings.load_profile("soak" if SOAK else "same-every-time")


@pytest.fixture(scope="session")
def library() -> Library:
    """The repository's own content."""
    return load_library(PROJECT)


def newest_day(library: Library) -> dt.date:
    """The first day on which no date in the content is in the future."""
    days = [procedure.effective for procedure in library.procedures]
    for source in library.sources.values():
        days += [source.checked] if source.checked else []
        days += [source.watch.looked] if source.watch else []
    return max(days)


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's own site without PDFs, built once and shared by all test workers."""
    shared = _shared_by_workers(tmp_path_factory, worker_id)
    with FileLock(shared / "built.lock"):
        if not (shared / "built").exists():
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(pdf, "missing", lambda: "this edition is for tests that read no PDF")
                build_site(PROJECT, site_dir=shared / "built")
    return shared / "built"


@pytest.fixture(scope="session")
def spanish_site(library: Library, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's site in English and Spanish without PDFs, built once and shared by all workers."""
    shared = _shared_by_workers(tmp_path_factory, worker_id)
    with FileLock(shared / "spanish.lock"):
        if not (shared / "spanish").exists():
            project = shared / "spanish-project"
            project.mkdir()
            two_language_project(library, project)
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(pdf, "missing", lambda: "this edition is for tests that read no PDF")
                build_site(project, site_dir=shared / "spanish")
    return shared / "spanish"


@pytest.fixture(scope="session")
def printed_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's own site with a file for every PDF, for tests of what leads there.

    The files are no PDFs: laying these out takes several times as long as all else. What they show is tested
    on the cards of ``edition_cards`` and on the papers of the classroom.
    """
    shared = _shared_by_workers(tmp_path_factory, worker_id)
    with FileLock(shared / "printed.lock"):
        if not (shared / "printed").exists():
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(print_run, "card_pdfs", lambda context, entries, watch: _in_place_of(entries))
                patch.setattr(pdf, "pdfs", lambda documents, watch: _in_place_of(documents))
                build_site(PROJECT, site_dir=shared / "printed")
    return shared / "printed"


def _in_place_of(documents: Iterable[object]) -> Iterator[bytes]:
    return (b"%PDF-1.7 of a test" for _ in documents)


def _shared_by_workers(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    base = tmp_path_factory.getbasetemp()
    return base if worker_id == "master" else base.parent
