"""Build aside, then swap: a failed or killed build never touches the last good site.

In: the folder readers use. Out: a staging folder beside it, and one atomic
exchange when the build is whole. Refuses to know what is being built, and to
take the place of a folder that holds anything but an edition.

On Linux and macOS the exchange is one system call, so that at every moment the
name leads to a whole site. Elsewhere it is two renames, and the moment between
them is repaired at the next build (:func:`clear_leftovers`).
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
import tempfile
from pathlib import Path

from forty_paces.outputs.edition.edition_file import RECORD

TAKEN = "holds files that are no edition, and would be lost; name another folder, or empty this one"

_STAGE = ".site-stage-"
_RETIRED = ".site-retired-"
_OWNER = ".owner"
_AT_FDCWD = -100
_RENAME_EXCHANGE = 2  # Linux renameat2(2)
_RENAME_SWAP = 2  # macOS renamex_np(2)


def open_stage(site: Path) -> Path:
    """A new empty folder beside ``site``, marked with this process as its owner.

    Raises ``OSError`` before anything is built: where the folder cannot be written, where a file
    has its name, or where what it holds is no edition and would be lost.
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
    """Put the finished ``stage`` in the place of ``site`` and remove what stood there.

    Raises ``OSError`` where the system refuses; then ``site`` is what it was.
    """
    _flush()
    if not site.exists():
        stage.rename(site)
    elif _exchange(stage, site):
        shutil.rmtree(stage, ignore_errors=True)
    else:
        _exchange_by_renaming(stage, site)
    _owner_note(stage).unlink(missing_ok=True)


def _exchange_by_renaming(stage: Path, site: Path) -> None:
    """Two renames; where the second fails the first is taken back."""
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
    """Remove a stage whose build failed."""
    shutil.rmtree(stage, ignore_errors=True)
    _owner_note(stage).unlink(missing_ok=True)


def clear_leftovers(site: Path) -> None:
    """Bring back a site that a kill left retired, and remove stages whose owner is gone."""
    for folder in sorted(site.parent.glob(_RETIRED + "*")):
        kept = folder / site.name
        if not kept.is_dir() and any(folder.iterdir()):
            continue  # some other folder's, which may be wanted back
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
    # Beside the stage, not in it: MkDocs empties the stage before it builds.
    return stage.with_name(stage.name + _OWNER)


def _is_owned(stage: Path) -> bool:
    """Whether the process that opened ``stage`` still runs. Where that cannot be told, yes."""
    try:
        owner = int(_owner_note(stage).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return False
    if sys.platform == "win32":  # os.kill would end the process there, not ask after it
        return True
    try:
        os.kill(owner, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _flush() -> None:
    """Have the data on disk before the name leads to it, so that a power cut cannot show empty files."""
    if hasattr(os, "sync"):
        os.sync()


def _exchange(one: Path, other: Path) -> bool:
    """Swap two folders in one step; False where the system has no call for it."""
    first, second = os.fsencode(one), os.fsencode(other)
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
