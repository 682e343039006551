"""Mutation tests: each mutant is put into a copy of the code, and its tests must fail."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.projects import PROJECT
from tests.soak.mutants import EQUIVALENT, MUTANTS, Mutant
from tests.soaking import SOAK

pytestmark = [pytest.mark.soak, pytest.mark.long]
TRIED = MUTANTS if SOAK else MUTANTS[:1]
LONGEST_S = 900
"""A mutant that never ends counts as noticed too."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the code, tests and content of the repository that may be changed."""
    folder = tmp_path_factory.mktemp("mutants") / "repository"
    names = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    for name in filter(None, names):
        if (PROJECT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(PROJECT / name, folder / name)
    return folder


def run(copy: Path, tests: str) -> int:
    first, *others = shlex.split(tests)
    options = [first, *others]
    paths = [f"tests/{word}" if (copy / "tests" / word).exists() else word for word in options]
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *paths]
    surroundings = {**os.environ, "PYTHONPATH": str(copy / "generator"), "FORTYPACES_SOAK": ""}
    try:
        done = subprocess.run(
            command, cwd=copy, env=surroundings, capture_output=True, check=False, timeout=LONGEST_S
        )
    except subprocess.TimeoutExpired:
        return 1
    return done.returncode


def test_every_mutant_changes_a_text_that_stands_in_its_module() -> None:
    for mutant in MUTANTS:
        code = (PROJECT / "generator/forty_paces" / f"{mutant.module}.py").read_text(encoding="utf-8")
        assert mutant.text in code, mutant.name
    assert set(EQUIVALENT) <= {mutant.name for mutant in MUTANTS}
    assert len({mutant.name for mutant in MUTANTS}) == len(MUTANTS) >= 60


@pytest.mark.parametrize("tests", sorted({mutant.tests for mutant in TRIED}))
def test_the_tests_pass_while_nothing_is_changed(copy: Path, tests: str) -> None:
    assert run(copy, tests) == 0


@pytest.mark.parametrize("mutant", TRIED, ids=lambda mutant: mutant.name)
def test_a_mutant_is_noticed(copy: Path, mutant: Mutant) -> None:
    file = copy / "generator/forty_paces" / f"{mutant.module}.py"
    code = file.read_text(encoding="utf-8")
    file.write_text(code.replace(mutant.text, mutant.instead, 1), encoding="utf-8")
    try:
        assert (run(copy, mutant.tests) == 0) == (mutant.name in EQUIVALENT)
    finally:
        file.write_text(code, encoding="utf-8")
