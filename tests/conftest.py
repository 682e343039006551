"""What tests of every room share: the real content, the real site built once, and one Chromium."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from filelock import FileLock
from forty_paces.authoring.library import Library, load_library
from forty_paces.plugin import build_site
from hypothesis import settings

from tests.browsers import chromium, new_context, open_page, playwright

__all__ = ["chromium", "new_context", "open_page", "playwright"]

PROJECT = Path(__file__).parent.parent

# No test hangs on the clock; in continuous integration the examples are the same in every run.
settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")), print_blob=True)
settings.load_profile("house")


@pytest.fixture(scope="session")
def library() -> Library:
    """The repository's own content."""
    return load_library(PROJECT)


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The repository's own site, whole. Workers that run side by side build it once between them."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent
    site = shared / "built" / "site"
    with FileLock(shared / "built.lock"):
        if not site.exists():
            build_site(PROJECT, site_dir=site)
    return site
