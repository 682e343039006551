"""A procedure as it is shown: numbered, filtered for a vehicle, every text under its stable key.

In: a Procedure and, for a vehicle's own edition, that vehicle. Out: frozen
views that the templates of site, cab, cards and classroom walk through, so that
all four show the same strings under the same keys. Refuses to know HTML.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Block, FactCluster, Line, Never, Notice, Procedure, Step
from forty_paces.authoring.models.record import CONDITION_WORDS, Condition


@dataclass(frozen=True, slots=True)
class LineView:
    """A by-heart, report or roll-again line, or a never-line, with its key."""

    key: str
    text_key: str
    text: str
    why: str | None
    condition: str
    "Such as 'With air brakes'; empty where it always applies or is known to."
    when: tuple[Condition, ...]
    source: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepView:
    """One read-and-do step."""

    key: str
    number: int
    "Counts on through the blocks of a procedure, from 1."
    step: Step
    condition: str
    other_way: tuple[LineView, ...] = ()
    "What is done where the step cannot be done; empty where it decides nothing."

    @property
    def notice(self) -> Notice | None:
        """The notice that stands before this step."""
        return self.step.notice


@dataclass(frozen=True, slots=True)
class BlockView:
    """A titled run of steps."""

    key: str
    block: Block
    steps: tuple[StepView, ...]


@dataclass(frozen=True, slots=True)
class ProcedureView:
    """Everything a template needs to show one procedure."""

    procedure: Procedure
    vehicle: Vehicle | None
    by_heart: tuple[LineView, ...]
    blocks: tuple[BlockView, ...]
    never: tuple[LineView, ...]
    facts: tuple[FactCluster, ...]
    report: tuple[LineView, ...]
    roll_again: tuple[LineView, ...]
    source_ids: tuple[str, ...]
    "Every source cited, once, in order of first use."

    @property
    def key(self) -> str:
        """The procedure's id, which starts every key."""
        return self.procedure.id

    @property
    def step_count(self) -> int:
        """How many steps the view shows."""
        return sum(len(block.steps) for block in self.blocks)


def view_procedure(procedure: Procedure, vehicle: Vehicle | None = None) -> ProcedureView:
    """The procedure for one vehicle, or for all: lines that cannot apply are left out.

    A line whose condition is known to hold is shown without it; one whose
    condition is unknown is shown with it.
    """
    root = procedure.id
    number = 0
    blocks: list[BlockView] = []
    for block in procedure.blocks:
        steps: list[StepView] = []
        for step in block.steps:
            if not _may_apply(step.when, vehicle):
                continue
            number += 1
            key = f"{root}/blocks/{block.id}/steps/{step.id}"
            instead = step.if_not.lines if step.if_not else ()
            other_way = _lines(key, "if_not/lines", instead, vehicle)
            steps.append(StepView(key, number, step, _condition(step.when, vehicle), other_way))
        if steps:
            blocks.append(BlockView(f"{root}/blocks/{block.id}", block, tuple(steps)))
    return ProcedureView(
        procedure=procedure,
        vehicle=vehicle,
        by_heart=_lines(root, "by_heart", procedure.by_heart, vehicle),
        blocks=tuple(blocks),
        never=_lines(root, "never", procedure.never, vehicle),
        facts=procedure.facts,
        report=_lines(root, "report", procedure.report, vehicle),
        roll_again=_lines(root, "roll_again", procedure.roll_again, vehicle),
        source_ids=_sources(procedure),
    )


def condition_words(when: Iterable[Condition]) -> str:
    """'With air brakes and a trailer'; empty where there is no condition."""
    words = [CONDITION_WORDS[condition] for condition in when]
    return f"With {' and '.join(words)}" if words else ""


def _may_apply(when: tuple[Condition, ...], vehicle: Vehicle | None) -> bool:
    return vehicle is None or vehicle.meets(when) is not False


def _condition(when: tuple[Condition, ...], vehicle: Vehicle | None) -> str:
    known = vehicle is not None and vehicle.meets(when) is True
    return "" if known else condition_words(when)


def _lines(
    root: str, part: str, lines: Iterable[Line | Never], vehicle: Vehicle | None
) -> tuple[LineView, ...]:
    shown = []
    for line in lines:
        if not _may_apply(line.when, vehicle):
            continue
        key = f"{root}/{part}/{line.id}"
        field, text = ("text", line.text) if isinstance(line, Never) else ("do", line.do)
        condition = _condition(line.when, vehicle)
        shown.append(LineView(key, f"{key}/{field}", text, line.why, condition, line.when, line.source))
    return tuple(shown)


def _sources(procedure: Procedure) -> tuple[str, ...]:
    cited: dict[str, None] = {}
    lines: tuple[Line | Never, ...] = (
        *procedure.by_heart,
        *procedure.never,
        *procedure.report,
        *procedure.roll_again,
    )
    for line in lines:
        cited.update(dict.fromkeys(line.source))
    for block in procedure.blocks:
        for step in block.steps:
            cited.update(dict.fromkeys(step.source))
            if step.notice is not None:
                cited.update(dict.fromkeys(step.notice.source))
            if step.measure is not None:
                cited.update(dict.fromkeys(step.measure.source))
            for instead in step.if_not.lines if step.if_not else ():
                cited.update(dict.fromkeys(instead.source))
    for row in procedure.decision.rows if procedure.decision else ():
        cited.update(dict.fromkeys(row.source))
    for cluster in procedure.facts:
        for fact in cluster.items:
            cited.update(dict.fromkeys(fact.source))
    return tuple(cited)
