"""Absurd command lines: no traceback, no control byte printed, exit status 0, 1 or 2.

Forty lines in an ordinary run, always the same; 2,000 in `make soak`, each within two seconds of processor
time, `languages` within ten. Verbs that build or begin a project are called only with an option that they
refuse.
"""

from __future__ import annotations

import contextlib
import random
import re
import time
from collections import Counter
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from forty_paces.authoring.findings import is_unseen
from forty_paces.cli import VERBS, main

from tests.projects import small_project
from tests.soaking import SOAK, TooLong, cases, processor_limit

pytestmark = pytest.mark.soak

BUILDING = ("build", "cards", "editions", "init", "worksheet")
REFUSED = "--no-such-option"
"""Given twice: an option before it may take the first one as its value."""
MOST_PROCESSOR_S = 2.0
LONGER_S = {"languages": 10.0}
"""`languages extract` reads every template of every page; that alone takes two seconds or three."""
VALUES = (
    *("", " ", "0", "-1", "1e999", "nan", "inf", "-inf", "55", "6000000000000000000000", "0x10"),
    *(
        "\uff11\uff12",
        "\u0663",
        "\u202e55",
        "\x1b[2J",
        "a\x00b",
        "\x08",
        "\ud800",
        "\u00e9" * 300,
        "a" * 20_000,
    ),
    *(
        "../..",
        "/dev/null",
        "/dev/zero",
        "~",
        "-",
        "--",
        "=",
        "two-lane",
        "us-fmcsa",
        "content",
        "mkdocs.yml",
    ),
    *("%s%n", "{0}", "$(id)", "<script>", "; ls", "*"),
)


def options_of(command: click.Command) -> list[str]:
    """The options of a verb, and the verbs below it with theirs."""
    below = command.commands.values() if isinstance(command, click.Group) else ()
    own = [name for parameter in command.params for name in (*parameter.opts, *parameter.secondary_opts)]
    return [
        *(name for name in own if name.startswith("-")),
        *(name for one in below for name in (str(one.name), *options_of(one))),
    ] or ["--help"]


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_project(tmp_path_factory.mktemp("absurd"))


def test_no_command_line_brings_a_traceback_or_prints_a_control_byte(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(project)
    rng = random.Random(19)
    slowest = (0.0, [""])
    counted: Counter[str] = Counter()
    for number in range(cases(40, soak=2_000)):
        verb = rng.choice(VERBS)
        command = main.get_command(click.Context(main), verb)
        assert command is not None
        names = options_of(command)
        words = [rng.choice((rng.choice(names), rng.choice(VALUES))) for _ in range(rng.randrange(7))]
        line = [verb, *words, *([REFUSED] * 2 if verb in BUILDING else [])]
        begin = time.process_time()
        try:
            with processor_limit(LONGER_S.get(verb, MOST_PROCESSOR_S)) if SOAK else contextlib.nullcontext():
                result = CliRunner().invoke(main, line)
        except TooLong as fault:
            raise AssertionError((number, line)) from fault
        if verb not in LONGER_S:
            slowest = max(slowest, (time.process_time() - begin, line))
        assert result.exit_code in (0, 1, 2), (number, line, result.output)
        assert "Traceback" not in result.output, (number, line)
        assert "fault of its own" not in result.output, (number, line, result.output)
        printed = re.sub(r"\n", "", result.output)
        assert [] == [one for one in printed if is_unseen(one)], (number, line, result.output[-300:])
        counted[verb] += 1
    print(f"\n{dict(sorted(counted.items()))}")
    print(f"{cases(40, soak=2_000)} command lines; the slowest took {slowest[0]:.1f} s: {slowest[1]}")
