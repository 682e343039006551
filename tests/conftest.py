"""Shared by all tests: the real content, the real site built once, and one Chromium."""

from __future__ import annotations

import atexit
import datetime as dt
import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards import print_run
from forty_paces.outputs.paper import layout_cache, pdf
from forty_paces.plugin import build_site
from hypothesis import settings

from tests.browsers import chromium, new_context, open_page, playwright
from tests.printed import edition_cards
from tests.projects import PROJECT
from tests.sharing import made_once, real_library, shared_folder
from tests.soaking import SOAK
from tests.spanish import two_language_project

__all__ = ["chromium", "edition_cards", "new_context", "open_page", "playwright"]

# Parsed pages and loaded content are great trees that stay. Python would look through them for garbage after
# every few hundred new objects, which is a third of the time of parsing a page.
gc.set_threshold(50_000, 20, 50)

CACHE = "FORTYPACES_TEST_CACHE"
"""Environment variable: the cache folder of this run, by which workers know that it is there already."""

if CACHE not in os.environ:
    # A run begins with an empty cache folder, never the user's, and its workers share what they lay out: one
    # layout for each document. Tests of layouts being the same each time set `layout_cache.OFF`.
    os.environ[CACHE] = os.environ["XDG_CACHE_HOME"] = tempfile.mkdtemp(prefix="forty-paces-tests-")
    atexit.register(shutil.rmtree, os.environ[CACHE], ignore_errors=True)
    if not sys.platform.startswith("linux"):  # elsewhere the variable moves no cache folder
        os.environ[layout_cache.OFF] = "1"

# The processes that tests start need not compile every module anew, whatever the shell says of that.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# Every run tries the same examples, without time limits; only `make soak` explores at random.
settings.register_profile("same-every-time", deadline=None, derandomize=True, database=None)
settings.register_profile("soak", deadline=None, max_examples=2_000, print_blob=True)
settings.load_profile("soak" if SOAK else "same-every-time")


@pytest.fixture(scope="session")
def library() -> Library:
    """The repository's own content."""
    return real_library()


def newest_day(library: Library) -> dt.date:
    """The first day on which no date in the content is in the future."""
    days = [procedure.effective for procedure in library.procedures]
    for source in library.sources.values():
        days += [source.checked] if source.checked else []
        days += [source.watch.looked] if source.watch else []
    return max(days)


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's own site with a file in place of every PDF, built once and shared by all test workers.

    To lay the PDFs out takes several times as long. What they show is tested on the cards of
    ``edition_cards`` and on the papers of the classroom.
    """

    def build(site: Path) -> None:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(pdf, "missing", lambda: "")
            patch.setattr(print_run, "card_pdfs", lambda context, entries, watch: _in_place_of(entries))
            patch.setattr(pdf, "pdfs", lambda documents, watch: _in_place_of(documents))
            build_site(PROJECT, site_dir=site)

    return made_once(shared_folder(tmp_path_factory, worker_id) / "built", build)


def _in_place_of(documents: Iterable[object]) -> Iterator[bytes]:
    return (b"%PDF-1.7 of a test" for _ in documents)


@pytest.fixture(scope="session")
def spanish_site(library: Library, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's site in English and Spanish without PDFs, built once and shared by all workers."""

    def build(site: Path) -> None:
        project = site.with_name("spanish-project")
        project.mkdir()
        two_language_project(library, project)
        _without_pdfs(project, site)

    return made_once(shared_folder(tmp_path_factory, worker_id) / "spanish", build)


def _without_pdfs(project: Path, site: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pdf, "missing", lambda: "this edition is for tests that read no PDF")
        build_site(project, site_dir=site)
