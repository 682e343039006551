"""Checks where decisions lead: targets exist, and the graph of decisions has no cycle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.procedure import FINISHED, Procedure, Tool
from forty_paces.authoring.parsed_content import ParsedContent


def check_branches(draft: ParsedContent) -> Iterator[Finding]:
    """Every decision row ends or leads to an existing procedure, and no chain of decisions is a cycle."""
    known = draft.names("procedure")
    leads: dict[str, list[tuple[str, Loc]]] = {}
    by_name = {filed.document.name: filed.document for filed in draft.procedures}
    for filed in draft.procedures:
        if filed.record.decision is None:
            for loc in _steps_that_open_the_decision(filed.record):
                wrong = "this step opens the decision, but the procedure has none"
                yield filed.document.finding(loc, wrong, fix='add "decision", or leave "opens" out')
        rows = filed.record.decision.rows if filed.record.decision else ()
        for i, row in enumerate(rows):
            for j, opened in enumerate(row.opens, -1):
                at: Loc = ("decision", "rows", i, *(("leads_to",) if j < 0 else ("or_to", j)))
                if opened not in known:
                    wrong = f'the next procedure "{opened}" does not exist'
                    fix = name_one_of(opened, {*known, FINISHED} if j < 0 else known)
                    yield filed.document.finding(at, wrong, fix=fix)
                else:
                    leads.setdefault(filed.document.name, []).append((opened, at))
    for circle, loc in _circles(leads):
        shown = " > ".join((*circle, circle[0]))
        wrong = f"the decisions lead round in a circle: {shown}"
        fix = f"let one of these rows lead to '{FINISHED}'"
        yield by_name[circle[-1]].finding(loc, wrong, fix=fix)


def _steps_that_open_the_decision(procedure: Procedure) -> Iterator[Loc]:
    for i, block in enumerate(procedure.blocks):
        for j, step in enumerate(block.steps):
            if step.opens is Tool.DECISION:
                yield ("blocks", i, "steps", j, "opens")


def _circles(leads: Mapping[str, list[tuple[str, Loc]]]) -> Iterator[tuple[tuple[str, ...], Loc]]:
    """Cycles, each reported from its alphabetically first procedure, with the path of the row that closes it.

    One shortest cycle per first procedure, by breadth-first search.
    """
    for start in sorted(leads):
        waiting: list[tuple[tuple[str, ...], str, Loc]] = [
            ((start,), target, loc) for target, loc in leads[start]
        ]
        seen: set[str] = set()
        while waiting:
            walked, target, loc = waiting.pop(0)
            if target == start:
                yield walked, loc
                break
            if target in seen or target < start:
                continue
            seen.add(target)
            waiting += [((*walked, target), further, place) for further, place in leads.get(target, [])]


def check_ways_out(draft: ParsedContent) -> Iterator[Finding]:
    """Every way out of a step opens existing procedures and shows existing steps."""
    if draft.ways_out is None:
        return
    document, known = draft.ways_out.document, draft.names("procedure")
    readable = {filed.record.id for filed in draft.procedures}
    steps = {address for filed in draft.procedures for address in _step_addresses(filed.record)}
    seen: set[str] = set()
    for i, way in enumerate(draft.ways_out.record.ways):
        if way.id in seen:
            wrong = f'the id "{way.id}" is used twice in this list'
            yield document.finding(("ways", i, "id"), wrong, fix="give one of them another id")
        seen.add(way.id)
        for j, wanted in enumerate(way.opens):
            if wanted not in known:
                wrong = f'the procedure "{wanted}" does not exist'
                yield document.finding(("ways", i, "opens", j), wrong, fix=name_one_of(wanted, known))
        for j, wanted in enumerate(way.shows):
            procedure = wanted.split("/")[0]
            if wanted not in steps and (procedure in readable or procedure not in known):
                wrong = f'the step "{wanted}" does not exist'
                yield document.finding(("ways", i, "shows", j), wrong, fix=name_one_of(wanted, steps))


def _step_addresses(procedure: Procedure) -> Iterator[str]:
    for block in procedure.blocks:
        for step in block.steps:
            yield f"{procedure.id}/{block.id}/{step.id}"
