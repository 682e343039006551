"""Killed at any moment: what `build`, `editions`, `cards` and `worksheet` write is whole, the old or the new.

Every run would write another edition than the one that is there. Half of the kills come at random, the others
when the file system shows that the run writes: a staging folder is there, holds some files, or was exchanged
with the folder before. A kill counts only where it met the run alive. Then every folder is the old edition or
the new one, byte by byte, and the next run succeeds and removes what the killed one left. `make soak` kills
250 times, and prints where the kills met each command.

What is killed is always a process of its own, with all the processes that it starts. In an ordinary run the
edition before and the next run are made by the same command in this process, which has imported everything
already; in `make soak` they are processes too, by which its kills are timed.
"""

from __future__ import annotations

import contextlib
import itertools
import random
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.outputs.edition.edition_file import RECORD, files_below
from forty_paces.outputs.edition.verification import verify

from tests.projects import ALONE, PROJECT, one_core, small_project
from tests.soak.kills import Aim, Course, Phase, Run, aimed
from tests.soaking import FIRST_SEED, SOAK, cases

pytestmark = [pytest.mark.long, pytest.mark.soak]

FLEET = "content/fleet.yml"
AIMS = (Aim.STAGED, Aim.RANDOM, Aim.EXCHANGED, Aim.RANDOM, Aim.FILLED, Aim.RANDOM) if SOAK else (Aim.FILLED,)
"""An ordinary run kills each command once, while it writes."""
DAYS = ("2026-11-27", "2026-11-28")


@dataclass(frozen=True)
class Verb:
    """One command line, and the folders that it writes."""

    words: tuple[str, ...]
    writes: tuple[str, ...]
    kills: int
    "In `make soak`."
    with_scenes: bool = False


VERBS = {
    "build": Verb(("build", "--no-cards"), ("site",), 100),
    "editions": Verb(
        ("editions", "--no-pdf", "--vehicle", "coach", "--vehicle", "tanker"),
        ("editions/coach", "editions/tanker"),
        50,
    ),
    "cards": Verb(("cards", "--size", "half-letter", "--vehicle", "coach", "--only", "WEA5"), ("cards",), 50),
    "worksheet": Verb(("worksheet", "--number", "7"), ("worksheets",), 50, with_scenes=True),
}


@pytest.fixture
def verb(request: pytest.FixtureRequest) -> Verb:
    return VERBS[request.getfixturevalue("name")]


@pytest.fixture
def project(verb: Verb, tmp_path: Path) -> Path:
    folder = small_project(tmp_path, ALONE[:1])
    if verb.with_scenes:
        (folder / "content/scenes").mkdir()
        for scene in sorted((PROJECT / "content/scenes").glob("*.yml"))[:2]:
            shutil.copy(scene, folder / "content/scenes")
    return folder


@pytest.fixture
def other_content(project: Path) -> Iterator[Iterator[str]]:
    """Each step makes the content that of the edition of another day, and gives the day."""
    before = (project / FLEET).read_text(encoding="utf-8")

    def steps() -> Iterator[str]:
        for day in itertools.cycle(DAYS):
            text, count = re.subn(r"(?m)\A", f"edition_date: {day}\n", before)
            assert count == 1
            (project / FLEET).write_text(text, encoding="utf-8")
            yield day

    yield steps()
    (project / FLEET).write_text(before, encoding="utf-8")


def records(folders: tuple[Path, ...]) -> tuple[bytes, ...]:
    """The record of each folder, which holds the hash of its every file. Fails where one is not whole."""
    for folder in folders:
        seen = verify(folder)
        assert seen.differences == (), folder
        assert seen.whole, folder
    return tuple((folder / RECORD).read_bytes() for folder in folders)


def let_end(words: tuple[str, ...], project: Path, folders: tuple[Path, ...]) -> Course:
    """A run that nobody kills, and its course where kills are timed by it."""
    if SOAK:
        return Run(words, project, folders).whole()
    with contextlib.chdir(project), one_core():
        done = CliRunner().invoke(main, [*words, "--quiet"])
    assert done.exit_code == 0, done.output
    return Course()


def leftovers(folders: tuple[Path, ...]) -> list[Path]:
    """Staging folders, and their notes, beside what a verb writes."""
    return sorted({path for folder in folders for path in folder.parent.glob(".site-*")})


@pytest.mark.parametrize("name", VERBS)
def test_killed_at_any_moment_what_was_written_is_whole_and_the_next_run_succeeds(
    project: Path, verb: Verb, other_content: Iterator[str], name: str
) -> None:
    folders = tuple(project / written for written in verb.writes)
    chance = random.Random(FIRST_SEED) if SOAK else random.Random(4080)
    day = next(other_content)
    course = let_end(verb.words, project, folders)
    whole = {day: records(folders)}
    files = sum(len(files_below(folder)) for folder in folders) // (1 if SOAK else 2 * len(folders))

    met: Counter[Phase] = Counter()
    tried: Counter[Aim] = Counter()
    wanted = cases(1, soak=verb.kills)
    while (met.total() < wanted or not met[Phase.STAGED]) and tried.total() < 3 * wanted + 6:
        aim = AIMS[met.total() % len(AIMS)]
        tried[aim] += 1
        before, day = day, next(other_content)
        run = Run(verb.words, project, folders)
        if aimed(run, aim, files, course, chance):
            phase = run.kill(chance)
            met.update([phase] if phase else [])
        else:
            phase = None
            said = run.output()
            assert run.process.returncode == 0, said
        left = records(folders)
        last = let_end(verb.words, project, folders)
        course = last if last.staged_s else course  # `editions` leaves a folder of the same edition alone
        assert [] == leftovers(folders), (aim, "the next run clears what the killed one left")
        assert whole.setdefault(day, records(folders)) == records(folders), aim
        allowed = zip(whole[before], whole[day], strict=True)
        for folder, record, either in zip(folders, left, allowed, strict=True):
            assert record in either, (folder, aim, phase)
    assert len(set(whole.values())) == len(DAYS), "every run is to write another edition"
    print(f"\n{name}: killed {met.total()} times,", ", ".join(f"{met[one]} {one.value}" for one in Phase))
    print(f"{name}: tried", ", ".join(f"{tried[one]} by {one.value}" for one in Aim), flush=True)
    assert met.total() >= wanted, "too many runs ended before they were killed"
    assert met[Phase.STAGED] > 0, "no kill met the command while it wrote"
