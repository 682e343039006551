"""Atomic publication: build in a staging folder, then swap it with the site.

A failed or killed build never touches the last good site, and a folder that holds anything but an edition
is never replaced. On Linux and macOS the exchange is one system call, so that the path always leads to a
complete site. Elsewhere it is two renames, and a build killed between them is repaired at the next build
(:func:`clear_leftovers`).
"""

from __future__ import annotations

import ctypes
import datetime as dt
import errno
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from forty_paces.outputs.common.files import naming
from forty_paces.outputs.edition.edition_file import RECORD, UNLISTED, files_below, seal
from forty_paces.outputs.edition.verification import verify

TAKEN = "holds files that are no edition, and would be lost; name another folder, or empty this one"

_STAGE = ".site-stage-"
_RETIRED = ".site-retired-"
_OWNER = ".owner"
_AT_FDCWD = -100
_RENAME_EXCHANGE = 2  # Linux renameat2(2)
_RENAME_SWAP = 2  # macOS renamex_np(2)


def open_stage(site: Path) -> Path:
    """Create an empty staging folder beside ``site``, marked with this process as its owner.

    Raises ``OSError`` before anything is built: where the folder cannot be written, where ``site``
    is a file, or where it holds files that are no edition and would be lost.
    """
    if site.exists() and not site.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(site))
    if site.exists() and any(site.iterdir()) and not (site / RECORD).is_file():
        raise FileExistsError(errno.EEXIST, TAKEN, str(site))
    site.parent.mkdir(parents=True, exist_ok=True)
    stage = Path(tempfile.mkdtemp(prefix=_STAGE, dir=site.parent))
    stage.chmod(0o755)
    _owner_note(stage).write_text(str(os.getpid()), encoding="ascii")
    return stage


def publish(stage: Path, site: Path) -> None:
    """Replace ``site`` by the finished ``stage`` and delete the old folder.

    Raises ``OSError`` where the system refuses; ``site`` is then unchanged.
    """
    _flush()
    if not site.exists():
        stage.rename(site)
    elif _exchange(stage, site):
        shutil.rmtree(stage, ignore_errors=True)
    else:
        _exchange_by_renaming(stage, site)
    _owner_note(stage).unlink(missing_ok=True)


def publish_set(
    out: Path, files: Iterable[tuple[str, bytes]], about: Mapping[str, Any], day: dt.date
) -> None:
    """Write printed files into a sealed folder: aside, whole, and then in one step, as a build does.

    Files of the same edition that the folder holds stay beside them, so that cards of several vehicles can
    be gathered; those of another edition go. Raises ``OSError``, also where the folder holds anything else.
    """
    clear_leftovers(out)
    stage = open_stage(out)
    try:
        before = verify(out) if (out / RECORD).is_file() else None
        if before is not None and before.whole and before.edition == about["edition"]:
            for path, file in files_below(out).items():
                if path not in UNLISTED:
                    _write_below(stage, path, file.read_bytes())
        for path, data in files:
            _write_below(stage, path, data)
        seal(stage, about, day, installs=False)
        publish(stage, out)
    except BaseException:
        discard(stage)
        raise


def _write_below(folder: Path, path: str, data: bytes) -> None:
    file = folder / path
    file.parent.mkdir(parents=True, exist_ok=True)
    with naming(file):
        file.write_bytes(data)


def _exchange_by_renaming(stage: Path, site: Path) -> None:
    """Swap by two renames; the first is undone where the second fails."""
    retired = Path(tempfile.mkdtemp(prefix=_RETIRED, dir=site.parent))
    kept = retired / site.name
    try:
        site.rename(kept)
        stage.rename(site)
    except OSError:
        if kept.exists():
            kept.rename(site)
        retired.rmdir()
        raise
    shutil.rmtree(retired, ignore_errors=True)


def discard(stage: Path) -> None:
    """Remove the staging folder of a failed build."""
    shutil.rmtree(stage, ignore_errors=True)
    _owner_note(stage).unlink(missing_ok=True)


def clear_leftovers(site: Path) -> None:
    """Restore a site that a killed build left renamed, and remove staging folders whose owner has ended."""
    for folder in sorted(site.parent.glob(_RETIRED + "*")):
        kept = folder / site.name
        if not kept.is_dir() and any(folder.iterdir()):
            continue  # belongs to another site, which may still be restored from it
        if kept.is_dir() and not site.exists():
            kept.rename(site)
        shutil.rmtree(folder, ignore_errors=True)
    for stage in sorted(site.parent.glob(_STAGE + "*")):
        if stage.is_dir() and not _is_owned(stage):
            discard(stage)
        elif (
            stage.suffix == _OWNER
            and not stage.with_suffix("").exists()
            and not _is_owned(stage.with_suffix(""))
        ):
            stage.unlink(missing_ok=True)


def _owner_note(stage: Path) -> Path:
    # Beside the staging folder, not in it: MkDocs empties that folder before it builds.
    return stage.with_name(stage.name + _OWNER)


def _is_owned(stage: Path) -> bool:
    """Whether the process that opened ``stage`` still runs. True where the system cannot tell (Windows)."""
    try:
        owner = int(_owner_note(stage).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return False
    if sys.platform == "win32":  # os.kill would terminate the process there
        return True
    try:
        os.kill(owner, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _flush() -> None:
    """Flush data to disk before the swap, so that a power cut cannot leave empty files."""
    if hasattr(os, "sync"):
        os.sync()


def _exchange(this: Path, other: Path) -> bool:
    """Exchange two folders atomically; False where the system has no call for it."""
    first, second = os.fsencode(this), os.fsencode(other)
    try:
        if sys.platform == "linux":
            libc = ctypes.CDLL(None, use_errno=True)
            return bool(libc.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, _RENAME_EXCHANGE) == 0)
        if sys.platform == "darwin":
            libc = ctypes.CDLL(None, use_errno=True)
            return bool(libc.renamex_np(first, second, _RENAME_SWAP) == 0)
    except (AttributeError, OSError):
        return False
    return False
