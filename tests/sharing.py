"""What one worker of a run makes for all of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from filelock import FileLock
from forty_paces.authoring.library import Library, load_library

from tests.projects import PROJECT


@cache
def real_library() -> Library:
    """The repository's own content, loaded once for the fixture and for what modules take from it: frozen."""
    return load_library(PROJECT)


def shared_folder(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The temporary folder of the run, the same for all of its workers."""
    base = tmp_path_factory.getbasetemp()
    return base if worker_id == "master" else base.parent


def made_once(target: Path, make: Callable[[Path], object]) -> Path:
    """A file or folder of a shared folder: whoever asks first makes it, and the others wait for it."""
    with FileLock(f"{target}.lock"):
        if not target.exists():
            make(target)
    return target
