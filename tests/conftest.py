"""What tests of every room share: the real content, the real site built once, and one Chromium."""

from __future__ import annotations

from pathlib import Path

import pytest
from filelock import FileLock

from generator.authoring.library import Library, load_library
from generator.plugin import build_site
from tests.browsers import chromium, new_context, open_page, playwright

__all__ = ["chromium", "new_context", "open_page", "playwright"]

PROJECT = Path(__file__).parent.parent


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
