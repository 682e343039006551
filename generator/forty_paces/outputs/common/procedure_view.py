"""A procedure prepared for display: numbered, filtered for a vehicle, every text with its stable key.

The templates of site, cab file, cards and classroom all render these frozen views, so that they show
the same strings under the same keys. Contains no HTML.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import (
    Block,
    FactCluster,
    Group,
    Line,
    Never,
    Notice,
    Procedure,
    Step,
)
from forty_paces.authoring.models.record import Condition, OwnCondition, words_of_condition
from forty_paces.messages.languages import Texts
from forty_paces.messages.terms import TERMS

GROUPS = (Group.STOPPED, Group.ROLLING)
"""The two halves of every start screen, in reading order."""


@dataclass(frozen=True, slots=True)
class LineView:
    """A by-heart, report, roll-again or never line with its key."""

    key: str
    text_key: str
    text: str
    why: str | None
    condition: str
    "Such as 'With air brakes'; empty where the line always applies or is known to apply."
    when: tuple[Condition | OwnCondition, ...]
    source: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepView:
    """One read-and-do step."""

    key: str
    number: int
    "From 1, counted through all blocks of the procedure."
    step: Step
    condition: str
    other_way: tuple[LineView, ...] = ()
    "What to do where the step cannot be done; empty for a step that decides nothing."

    @property
    def notice(self) -> Notice | None:
        """The notice shown before this step."""
        return self.step.notice


@dataclass(frozen=True, slots=True)
class BlockView:
    """A titled group of steps."""

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
        """The procedure's id, the first part of every key."""
        return self.procedure.id

    @property
    def places_devices(self) -> bool:
        """Whether any step puts warning devices out; the time that the rule gives for them runs only then."""
        return any(step.devices_out for block in self.procedure.blocks for step in block.steps)


def view_procedure(procedure: Procedure, vehicle: Vehicle | None = None) -> ProcedureView:
    """The view for one vehicle, or for all vehicles.

    Only lines that are known not to apply are left out. A condition known to hold is not
    shown; where a condition is unknown, the line is kept and shown with it.
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
            other_way = view_lines(key, "if_not/lines", instead, vehicle)
            steps.append(StepView(key, number, step, _condition(step.when, vehicle), other_way))
        if steps:
            blocks.append(BlockView(f"{root}/blocks/{block.id}", block, tuple(steps)))
    return ProcedureView(
        procedure=procedure,
        vehicle=vehicle,
        by_heart=view_lines(root, "by_heart", procedure.by_heart, vehicle),
        blocks=tuple(blocks),
        never=view_lines(root, "never", procedure.never, vehicle),
        facts=procedure.facts,
        report=view_lines(root, "report", procedure.report, vehicle),
        roll_again=view_lines(root, "roll_again", procedure.roll_again, vehicle),
        source_ids=_sources(procedure),
    )


def condition_words(when: Iterable[Condition | OwnCondition]) -> str:
    """'With air brakes and a trailer'; empty where there is no condition."""
    words = [words_of_condition(condition) for condition in when]
    return TERMS["with"].format(conditions=TERMS["and"].join(words)) if words else ""


def _may_apply(when: tuple[Condition | OwnCondition, ...], vehicle: Vehicle | None) -> bool:
    return vehicle is None or vehicle.meets(when) is not False


def _condition(when: tuple[Condition | OwnCondition, ...], vehicle: Vehicle | None) -> str:
    known = vehicle is not None and vehicle.meets(when) is True
    return "" if known else condition_words(when)


def view_lines(
    root: str, part: str, lines: Iterable[Line | Never], vehicle: Vehicle | None
) -> tuple[LineView, ...]:
    """The lines that may apply to the vehicle, with their keys below ``root/part``."""
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


@dataclass(frozen=True, slots=True)
class TileGroup:
    """One half of the start screen."""

    id: str
    title: str
    procedures: tuple[Procedure, ...]


@dataclass(frozen=True, slots=True)
class ToolLink:
    """A tile that opens something other than a procedure."""

    id: str
    titles: Texts
    "The table that has the title under this id."
    symbol: str
    href: str

    @property
    def title(self) -> str:
        """The title, in the language in force."""
        return self.titles[self.id]


def tile_groups(procedures: tuple[Procedure, ...]) -> tuple[TileGroup, ...]:
    """The start tiles in their fixed positions."""
    return tuple(
        TileGroup(
            group.value,
            TERMS[f"group-{group}"],
            tuple(sorted((p for p in procedures if p.group is group), key=lambda p: p.position)),
        )
        for group in GROUPS
    )
