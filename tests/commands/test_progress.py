"""Progress of long commands: a bar on a terminal, plain lines elsewhere, nothing with --quiet.

The terminal is a real one, a pseudo-terminal of the operating system. Data goes to the other stream and is
the same in all three cases.
"""

from __future__ import annotations

import contextlib
import io
import os
import pty
import re
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.commands.progress import show_progress
from forty_paces.outputs.common.progress import NO_PROGRESS, track

from tests.projects import ALONE, PROJECT, one_core, pages_and_pdfs, small_project

pytestmark = pytest.mark.long  # whole builds, or every card laid out

CASES = {
    "build": ("Building", ["build", "--no-cards"]),
    "editions": ("Editions", ["editions", "--no-pdf", "--jobs=1", "--vehicle=coach", "--vehicle=tanker"]),
    "cards": ("Cards", ["cards", "--size", "a5", "--vehicle", "all", "--only", "ALL2"]),
    "cards --status": ("Cards", ["cards", "--status", "--json", "--size", "a5", "--vehicle", "all"]),
    "cards --fits": ("Cards", ["cards", "--fits", "--json"]),
    "worksheet": ("Worksheets", ["worksheet", "--variants", "1"]),
}
"""Every command that may take long: the label of its progress, and short arguments for it.

How a build counts its PDFs is seen in tests/outputs/edition/test_reproducible.py, which makes them.
"""

OWN_PROCESS = "cards --status"
"""The case that runs as it would from a shell. The others share this process, which has all modules."""


@dataclass(frozen=True)
class Ran:
    data: str
    stderr: str


def start(words: list[str], errors: int, folder: Path) -> subprocess.Popen[str]:
    known = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
    return subprocess.Popen(
        [sys.executable, "-m", "forty_paces", *words],
        cwd=folder,
        env={**known, "PYTHONPATH": str(PROJECT / "generator"), "TERM": "xterm", "COLUMNS": "100"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=errors,
        text=True,
    )


def piped(words: list[str], folder: Path) -> Ran:
    running = start(words, subprocess.PIPE, folder)
    data, stderr = running.communicate()
    assert running.returncode == 0, stderr
    return Ran(data, stderr)


END = "\x04"
"""Sent last by this process: a helper of its pools may hold the terminal open for as long as it lives."""


def read_to_the_end(ours: int) -> str:
    """What a terminal has been sent until its other side is closed, or says that this is all."""
    shown = b""
    while not shown.endswith(END.encode()):
        try:
            got = os.read(ours, 65536)
        except OSError:  # how Linux reports that the other side was closed
            break
        if not got:
            break
        shown += got
    os.close(ours)
    return shown.decode().removesuffix(END)


def on_a_terminal(words: list[str], folder: Path, *, exit_status: int = 0) -> Ran:
    """The error stream is a terminal; the data is piped on."""
    ours, theirs = pty.openpty()
    running = start(words, theirs, folder)
    os.close(theirs)
    stderr = read_to_the_end(ours)
    data, _ = running.communicate()
    assert running.returncode == exit_status, stderr
    return Ran(data, stderr)


def in_this_process(words: list[str], _: Path) -> Ran:
    """Neither stream is a terminal."""
    with one_core():
        done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    return Ran(done.stdout, done.stderr)


def in_this_process_on_a_terminal(words: list[str], _: Path) -> Ran:
    ours, theirs = pty.openpty()
    data = io.StringIO()
    with ThreadPoolExecutor(1) as readers:
        reading = readers.submit(read_to_the_end, ours)
        with os.fdopen(theirs, "w", encoding="utf-8") as terminal:
            try:
                with contextlib.redirect_stderr(terminal), contextlib.redirect_stdout(data), one_core():
                    main(words)
            except SystemExit as ended:
                status = ended.code
            finally:
                terminal.write(END)
        stderr = reading.result()
    assert not status, stderr
    return Ran(data.getvalue(), stderr)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project with one procedure, one scene and two vehicles."""
    folder = small_project(tmp_path_factory.mktemp("long") / "project", ALONE[:1], linked=False)
    fleet = folder / "content/fleet.yml"
    before, others = fleet.read_text(encoding="utf-8").split("  - id: straight-truck\n")
    fleet.write_text(before + others[others.index("  - id: coach\n") :], encoding="utf-8")
    (folder / "content/scenes").mkdir()
    scene = PROJECT / "content/scenes/ferris-ramp.yml"
    (folder / "content/scenes/ferris-ramp.yml").write_bytes(scene.read_bytes())
    return folder


@pytest.mark.parametrize("case", CASES)
def test_a_bar_on_a_terminal_plain_lines_elsewhere_nothing_when_quiet(
    project: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    label, words = CASES[case]
    monkeypatch.chdir(project)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "100")
    in_a_process = case == OWN_PROCESS
    shown = (on_a_terminal if in_a_process else in_this_process_on_a_terminal)(words, project)
    counts = re.findall(rf"{label}  \[[#-]+\]  (\d+)/(\d+)", shown.stderr)
    assert counts, shown.stderr
    done, expected = map(int, counts[-1])
    assert 0 == int(counts[0][0])
    assert done == expected > 0
    assert sorted(int(one) for one, _ in counts) == [int(one) for one, _ in counts]
    assert all(int(one) <= int(of) for one, of in counts)
    assert "\r" in shown.stderr
    if case == "build":
        pages, pdfs = pages_and_pdfs(project / "site")
        assert done > pdfs + pages > 10

    off_a_terminal = piped if in_a_process else in_this_process
    plain = off_a_terminal(words, project)
    taken, *lines = plain.stderr.splitlines()
    assert f"Project: {project}" == taken
    assert f"{label}: 0 of " in lines[0]
    assert f"{label}: {done} of {expected}" == lines[-1]
    assert all(re.fullmatch(rf"{label}: \d+ of \d+", line) for line in lines), lines
    assert not re.search(r"[\r\x1b#]", plain.stderr)

    if case == "editions":  # the second run finds everything up to date
        assert "2 built" in shown.data
        assert "2 unchanged" in plain.data
    else:
        assert shown.data == plain.data

    if case == "build":  # tests/outputs/edition/test_build.py has three quiet ones, which say nothing
        return
    quiet = in_this_process([*words, "--quiet"], project)
    assert "" == quiet.stderr
    if "--json" in words:
        assert plain.data == quiet.data, "what was asked for is no chatter"
    else:
        assert "" == quiet.data


def test_a_bar_ends_its_line_before_findings_are_reported(project: Path) -> None:
    """Whole procedures fit no A6 card."""
    ran = on_a_terminal(["cards", "--size", "a6"], project, exit_status=1)
    *bar, first = re.split(r"(?<=\d/\d)[^\n]*\n", ran.stderr, maxsplit=1)
    assert "Cards  [" in "".join(bar)
    assert "Cards  [" not in first
    assert first.startswith("content/")
    assert "" == ran.data


@pytest.mark.parametrize(("number", "at_most"), [(1, 2), (9, 10), (10, 11), (11, 12), (1000, 11)])
def test_without_a_terminal_the_whole_work_takes_about_ten_lines(
    capsys: pytest.CaptureFixture[str], number: int, at_most: int
) -> None:
    with show_progress("Work") as watch:
        assert list(range(number)) == list(track(range(number), number, watch))
    captured = capsys.readouterr()
    assert "" == captured.out
    lines = captured.err.splitlines()
    assert (f"Work: 0 of {number}", f"Work: {number} of {number}") == (lines[0], lines[-1])
    assert len(lines) <= at_most
    assert len(set(lines)) == len(lines)


def test_work_that_grows_is_reported_with_what_is_known_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    with show_progress("Work") as watch:
        watch.expect(2)
        watch.step()
        watch.expect(2)
        for _ in range(3):
            watch.step()
    assert ["Work: 0 of 2", "Work: 1 of 2", "Work: 2 of 4", "Work: 3 of 4", "Work: 4 of 4"] == (
        capsys.readouterr().err.splitlines()
    )


@pytest.mark.parametrize("listener", [lambda: NO_PROGRESS, None])
def test_nothing_to_do_and_nobody_to_tell_say_nothing(
    capsys: pytest.CaptureFixture[str], listener: Callable[[], object] | None
) -> None:
    with show_progress("Work", quiet=listener is not None) as watch:
        assert [] == list(track([], 0, watch))
    assert ("", "") == tuple(capsys.readouterr())
