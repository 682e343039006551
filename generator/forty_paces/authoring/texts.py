"""Lists every text of a procedure that a driver sees, with its role and stable address.

An address uses ids, not positions, so it stays valid when a step is inserted:
``blocks/get-out/steps/stop-engine/do``. Lines without an id of their own (cues,
tools) are numbered from 1.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip, PointGroup
from forty_paces.authoring.models.procedure import OtherWay, Procedure, Step


class Role(Enum):
    """What a text is for; wording rules depend on it."""

    TITLE = "title"
    TILE = "tile"
    CUE = "cue"
    BY_HEART = "by-heart line"
    STOPPED = "stopped line"
    NEED = "tool"
    BLOCK_TITLE = "block title"
    HAZARD = "hazard"
    CONSEQUENCE = "consequence"
    AVOID = "way to keep clear"
    STEP = "step"
    HOW = "way to measure"
    OTHERWISE = "fallback"
    ANSWER = "answer"
    OTHER_WAY = "line of the other way"
    DECISION_TITLE = "decision title"
    SEE = "condition"
    CHOICE = "choice"
    NEVER = "never line"
    FINISHED = "finished line"
    CLUSTER_TITLE = "cluster title"
    LABEL = "label"
    VALUE = "fact"
    REPORT = "report line"
    ROLL_AGAIN = "roll-again line"
    WHY = "reason"
    LOCAL_RULE = "local rule"


ORDERS = frozenset({Role.BY_HEART, Role.STEP, Role.OTHER_WAY, Role.CHOICE, Role.REPORT, Role.ROLL_AGAIN})
"""Roles of texts that are one instruction to the driver."""


@dataclass(frozen=True, slots=True)
class DriverText:
    """One text of a procedure."""

    address: str
    "Path by ids within the procedure: 'by_heart/hold-wheel/do'."
    loc: Loc
    "Path by keys and positions in the file."
    role: Role
    text: str
    sources: tuple[str, ...] = ()
    "Ids of the sources cited for it; empty if the model has no source here."


def texts(procedure: Procedure) -> tuple[DriverText, ...]:
    """Every driver-facing text, in page order."""
    return tuple(_texts(procedure))


def _texts(procedure: Procedure) -> Iterator[DriverText]:
    yield DriverText("title", ("title",), Role.TITLE, procedure.title)
    yield DriverText("tile", ("tile",), Role.TILE, procedure.tile)
    yield from _counted("cues", procedure.cues, Role.CUE)
    yield from _lines(procedure, "by_heart", Role.BY_HEART)
    yield DriverText("stopped", ("stopped",), Role.STOPPED, procedure.stopped)
    yield from _counted("need", procedure.need, Role.NEED)
    for i, block in enumerate(procedure.blocks):
        address, loc = f"blocks/{block.id}", ("blocks", i)
        yield DriverText(f"{address}/title", (*loc, "title"), Role.BLOCK_TITLE, block.title)
        for j, step in enumerate(block.steps):
            yield from _step(step, f"{address}/steps/{step.id}", (*loc, "steps", j))
    yield from _decision(procedure)
    for i, never in enumerate(procedure.never):
        address, place = f"never/{never.id}", ("never", i)
        yield DriverText(f"{address}/text", (*place, "text"), Role.NEVER, never.text, never.source)
        yield DriverText(f"{address}/why", (*place, "why"), Role.WHY, never.why, never.source)
    yield DriverText("finished", ("finished",), Role.FINISHED, procedure.finished)
    yield from _facts(procedure)
    yield from _lines(procedure, "report", Role.REPORT)
    yield from _lines(procedure, "roll_again", Role.ROLL_AGAIN)
    yield DriverText("local_rule", ("local_rule",), Role.LOCAL_RULE, procedure.local_rule)


def _counted(part: str, lines: tuple[str, ...], role: Role) -> Iterator[DriverText]:
    for i, text in enumerate(lines):
        yield DriverText(f"{part}/{i + 1}", (part, i), role, text)


def _lines(procedure: Procedure, part: str, role: Role) -> Iterator[DriverText]:
    for i, line in enumerate(getattr(procedure, part)):
        address, loc = f"{part}/{line.id}", (part, i)
        yield DriverText(f"{address}/do", (*loc, "do"), role, line.do, line.source)
        if line.why is not None:
            yield DriverText(f"{address}/why", (*loc, "why"), Role.WHY, line.why, line.source)


def _step(step: Step, address: str, loc: Loc) -> Iterator[DriverText]:
    if step.notice is not None:
        for name, role in (
            ("hazard", Role.HAZARD),
            ("consequence", Role.CONSEQUENCE),
            ("avoid", Role.AVOID),
        ):
            text = getattr(step.notice, name)
            yield DriverText(
                f"{address}/notice/{name}", (*loc, "notice", name), role, text, step.notice.source
            )
    yield DriverText(f"{address}/do", (*loc, "do"), Role.STEP, step.do, step.source)
    yield DriverText(f"{address}/why", (*loc, "why"), Role.WHY, step.why, step.source)
    if step.measure is not None:
        for name, role in (("how", Role.HOW), ("otherwise", Role.OTHERWISE)):
            text = getattr(step.measure, name)
            yield DriverText(
                f"{address}/measure/{name}", (*loc, "measure", name), role, text, step.measure.source
            )
    if step.if_not is not None:
        yield from _other_way(step.if_not, f"{address}/if_not", (*loc, "if_not"))


def _other_way(way: OtherWay, address: str, loc: Loc) -> Iterator[DriverText]:
    for name in ("can", "title"):
        yield DriverText(f"{address}/{name}", (*loc, name), Role.ANSWER, getattr(way, name))
    for i, line in enumerate(way.lines):
        at, there = f"{address}/lines/{line.id}", (*loc, "lines", i)
        yield DriverText(f"{at}/do", (*there, "do"), Role.OTHER_WAY, line.do, line.source)
        if line.why is not None:
            yield DriverText(f"{at}/why", (*there, "why"), Role.WHY, line.why, line.source)


def _decision(procedure: Procedure) -> Iterator[DriverText]:
    if procedure.decision is None:
        return
    yield DriverText("decision/title", ("decision", "title"), Role.DECISION_TITLE, procedure.decision.title)
    for i, row in enumerate(procedure.decision.rows):
        address, loc = f"decision/rows/{row.id}", ("decision", "rows", i)
        yield DriverText(f"{address}/see", (*loc, "see"), Role.SEE, row.see, row.source)
        yield DriverText(f"{address}/do", (*loc, "do"), Role.CHOICE, row.do, row.source)


def _facts(procedure: Procedure) -> Iterator[DriverText]:
    for i, cluster in enumerate(procedure.facts):
        address, loc = f"facts/{cluster.id}", ("facts", i)
        yield DriverText(f"{address}/title", (*loc, "title"), Role.CLUSTER_TITLE, cluster.title)
        for j, fact in enumerate(cluster.items):
            at, there = f"{address}/items/{fact.id}", (*loc, "items", j)
            yield DriverText(f"{at}/label", (*there, "label"), Role.LABEL, fact.label, fact.source)
            yield DriverText(f"{at}/value", (*there, "value"), Role.VALUE, fact.value, fact.source)


def texts_by_id(procedure: Procedure) -> dict[str, str]:
    """The texts of one procedure by id, in reading order."""
    return {f"{procedure.id}/{text.address}": text.text for text in texts(procedure)}


def list_texts(before: BeforeTrip | None, after: AfterEvent | None) -> dict[str, str]:
    """The lines of the two lists that can be taught, by their ids on the pages.

    Such as ``before-trip/cab/devices/right`` and ``after-event/deadlines/alcohol-aim/what``.
    """
    found: dict[str, str] = {}
    if before is not None:
        found["before-trip/know_first"] = before.know_first.text
        found.update(_points("before-trip", before.groups))
        found["before-trip/finished"] = before.finished
    if after is not None:
        found["after-event/know_first"] = after.know_first.text
        found |= {f"after-event/calls/{call.phone}/say": call.say for call in after.calls}
        found |= {f"after-event/record/{item.id}/write": item.write for item in after.record}
        found |= {f"after-event/record/{item.id}/hint": item.hint for item in after.record if item.hint}
        found |= {f"after-event/pictures/{one.id}/show": one.show for one in after.pictures}
        found |= {f"after-event/pictures/{one.id}/why": one.why for one in after.pictures}
        for due in after.deadlines:
            at = f"after-event/deadlines/{due.id}"
            found |= {f"{at}/what": due.what, f"{at}/applies": due.applies, f"{at}/past": due.past}
        found |= {f"after-event/hand_over/{part.id}/tell": part.tell for part in after.hand_over}
        found.update(_points("after-event", after.fit_to_roll))
        found["after-event/finished"] = after.finished
    return found


def _points(root: str, groups: Iterable[PointGroup]) -> Iterator[tuple[str, str]]:
    for group in groups:
        for point in group.points:
            yield f"{root}/{group.id}/{point.id}/right", point.right
            yield f"{root}/{group.id}/{point.id}/otherwise", point.otherwise


def string_hash(text: str) -> str:
    """First twelve hexadecimal digits of the text's SHA-256, as recorded by editions."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def string_hashes(strings: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The hash of each text by its id, to detect changes since an edition."""
    return {key: string_hash(text) for key, text in sorted(strings)}


def changed_texts(before: Mapping[str, str], now: Mapping[str, str]) -> dict[str, str]:
    """Compare two mappings of id to hash: 'new', 'changed' or 'gone' by id, without unchanged ones."""
    changes: dict[str, str] = {}
    for name in sorted({*before, *now}):
        if name not in before:
            changes[name] = "new"
        elif name not in now:
            changes[name] = "gone"
        elif before[name] != now[name]:
            changes[name] = "changed"
    return changes
