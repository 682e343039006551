"""Building under bad luck: whatever happens, the last good site stays whole."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from forty_paces.cli import main
from forty_paces.outputs.edition.verification import verify

from tests.missing import missing
from tests.projects import small_project

pytestmark = pytest.mark.long  # whole builds, or every card laid out

LIMIT = 300_000
"""Bytes: less than the site's largest file, more than most."""


ALONE_THEN_TWO_AT_ONCE = """
import os, sys
from forty_paces.cli import main
def build():
    try:
        main(sys.argv[1:])
    except SystemExit as ended:
        sys.stdout.flush()
        return ended.code or 0
if build():
    sys.exit("the first build failed")
both = []
for _ in range(2):
    if not (child := os.fork()):
        os._exit(build())
    both.append(child)
statuses = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in both]
sys.exit(f"of two at once: {statuses}" if any(statuses) else 0)
"""
"""Two processes that begin at once where the first one ended, so that each has imported everything."""


@pytest.fixture(scope="module")
def first_build(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    """A small project, and how it was built: once, and then by two processes at once."""
    folder = small_project(tmp_path_factory.mktemp("small"))
    words = [sys.executable, "-c", ALONE_THEN_TWO_AT_ONCE, *command(folder, "--quiet")[3:]]
    return folder, subprocess.run(words, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def project(first_build: tuple[Path, subprocess.CompletedProcess[str]]) -> Path:
    """The same project, for further builds."""
    folder, done = first_build
    assert done.returncode == 0, done.stderr
    return folder


def command(folder: Path, *options: str) -> list[str]:
    return [sys.executable, "-m", "forty_paces", "build", "--no-cards", "--project", str(folder), *options]


def build(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(folder, *options), capture_output=True, text=True, check=False)


def build_here(folder: Path, *options: str) -> Result:
    """The same in this process, which has imported everything, and draws the sight explorer once."""
    return CliRunner().invoke(main, command(folder, *options)[3:])


def is_whole(site: Path) -> bool:
    """Every file of the edition there, to the last bit, and nothing else."""
    return not verify(site).differences


def leftovers(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name.startswith(".site-"))


def test_builds_without_cards_warn_of_nothing_and_two_at_once_leave_a_whole_site(
    first_build: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    folder, done = first_build
    assert (0, "", "") == (done.returncode, done.stdout, done.stderr)
    assert is_whole(folder / "site")
    assert [] == leftovers(folder)


@pytest.fixture
def faulty(project: Path) -> Iterator[Path]:
    """The project with two faults in two files, corrected again afterwards."""
    before = {}
    for name, old, new in (
        ("procedures/hydroplaning.yml", "version:", "verison:"),
        ("procedures/rail-crossing.yml", "group: stopped", "group: parked"),
    ):
        path = project / "content" / name
        before[path] = path.read_text()
        path.write_text(before[path].replace(old, new, 1))
    yield project
    for path, text in before.items():
        path.write_text(text)


def test_findings_stop_the_build_and_are_all_told(faulty: Path) -> None:
    done = build(faulty)
    assert done.returncode == 1
    assert "content/procedures/hydroplaning.yml" in done.stderr
    assert 'fix: write "version"' in done.stderr or "closest: version" in done.stderr
    assert "content/procedures/rail-crossing.yml" in done.stderr
    assert "Traceback" not in done.stderr
    assert is_whole(faulty / "site")
    assert [] == leftovers(faulty)


def test_mkdocs_itself_stops_as_well(faulty: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q"],
        cwd=faulty,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "content/procedures/hydroplaning.yml" in done.stderr
    assert is_whole(faulty / "site")


@contextmanager
def no_room() -> Iterator[None]:
    """No file of this process may be longer, until the end of the block."""
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # a write fails instead of the process dying
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (LIMIT, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, before)


def test_where_a_file_finds_no_room_the_site_stays(project: Path) -> None:
    with no_room():
        done = build_here(project)
    assert (done.exit_code, type(done.exception)) == (1, SystemExit), done.output
    assert "file too large" in done.stderr.lower()
    assert "Traceback" not in done.stderr
    assert is_whole(project / "site")
    assert [] == leftovers(project)


@pytest.fixture
def small_disk(project: Path, tmp_path: Path) -> Iterator[Path]:
    """A small disk with the project's site; needs the right to mount, which a bare CI machine gives."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if os.geteuid() != 0:
        missing("only root may mount a disk")
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=12m", "none", str(disk)], check=True)
    shutil.copytree(project / "site", disk / "site")
    assert is_whole(disk / "site")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_on_a_full_disk_the_site_stays(project: Path, small_disk: Path) -> None:
    site = small_disk / "site"
    filler = small_disk / "filler"
    free = os.statvfs(small_disk)
    filler.write_bytes(b"x" * (free.f_bavail * free.f_frsize - 400_000))
    done = build_here(project, "--site", str(site))
    assert (done.exit_code, type(done.exception)) == (1, SystemExit), done.output
    assert "no space left" in done.stderr.lower()
    assert "Traceback" not in done.stderr
    assert is_whole(site)
    assert [] == leftovers(small_disk)


def test_a_read_only_target_is_reported_before_anything_is_built(project: Path, small_disk: Path) -> None:
    site = small_disk / "site"
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    done = build_here(project, "--site", str(site))
    assert (done.exit_code, type(done.exception)) == (1, SystemExit), done.output
    assert "cannot write beside" in done.stderr
    assert is_whole(site)
