"""Wording rules on hostile texts: each rule's time for a text twice as long, as a ratio.

Every text repeats what makes a careless pattern backtrack to its start. Growth by 2 is
linear and by 4 quadratic. In use no text is longer than the YAML reader allows.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.texts import DriverText, Role
from forty_paces.authoring.wording.registry import RULES
from forty_paces.authoring.wording.rule import ProcedureTexts, Rule

from tests.bench.measuring import PROJECT, Table

FILLERS = (
    *(
        "a",
        "w.",
        "/",
        " / ",
        "never no ",
        "not ",
        "all it ",
        "is not ",
        "“",
        '"',
        "A",
        "AA ",
        "1",
        "1,",
        "1 ",
    ),
    *(". ", "A. ", "...", ", ", "if a, ", "walk, ", "past ", "ease the ", "except ", "and then "),
)
LENGTHS = (8_000, 16_000)
FLOOR_S = 2e-4
"""Shorter times are within the clock's resolution."""


def tables(rounds: int) -> Iterator[Table]:
    """The worst growth of each rule over all texts, and the text that caused it."""
    procedure = load_library(PROJECT).procedures[0]
    rows = []
    for rule in RULES:
        growth, filler = max((_growth(rule, one, procedure, rounds), one) for one in FILLERS)
        rows.append((rule.name, f"{growth:.1f}", repr(filler)))
    yield Table("Twice the text", ("rule", "time, shorter = 1", "text repeated"), rows)


def _growth(rule: Rule, filler: str, procedure: Procedure, rounds: int) -> float:
    short, long = (_seconds(rule, filler, length, procedure, rounds) for length in LENGTHS)
    return 1.0 if long < FLOOR_S else long / max(short, FLOOR_S / 2)


def _seconds(rule: Rule, filler: str, length: int, procedure: Procedure, rounds: int) -> float:
    """Median time of one check; each call has a text of its own, since parts of texts are cached."""
    return statistics.median(
        _timed(
            lambda sheet: list(rule.check(sheet)),
            _sheet(f"{number}x{filler * (length // len(filler))}", procedure),
        )
        for number in range(rounds)
    )


def _sheet(text: str, procedure: Procedure) -> ProcedureTexts:
    said = tuple(
        DriverText("x", ("x",), role, text) for role in (Role.STEP, Role.WHY, Role.FINISHED, Role.NEVER)
    )
    return ProcedureTexts(said, Glossary(), procedure)


def _timed(check: Callable[[ProcedureTexts], object], sheet: ProcedureTexts) -> float:
    start = time.process_time()
    check(sheet)
    return time.process_time() - start
