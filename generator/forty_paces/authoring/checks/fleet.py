"""Checks of fleet.yml: the carrier's own conditions, its numbers, and whom the texts say to call."""

from __future__ import annotations

import re
from collections.abc import Iterator

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.fleet import NOT_ENTERED
from forty_paces.authoring.models.procedure import DecisionRow, Procedure, Step
from forty_paces.authoring.models.record import Condition, Service
from forty_paces.authoring.parsed_content import ParsedContent

_ASKS = r"\b(?:ask|call|tell|give|say|phone|ring|text)\b[^.!?]*?"


def check_own_conditions(draft: ParsedContent) -> Iterator[Finding]:
    """Own conditions have ids of their own, and vehicles name only such conditions, each once."""
    if draft.fleet is None:
        return
    document, fleet = draft.fleet.document, draft.fleet.record
    taken = {condition.value for condition in Condition}
    for i, one in enumerate(fleet.conditions):
        loc: Loc = ("conditions", i, "id")
        if one.id in taken:
            wrong = f'the id "{one.id}" is a condition already'
            yield document.finding(loc, wrong, fix="give yours another id, or use the one that is there")
        elif one.id.startswith("no-"):
            wrong = f'the id "{one.id}" begins with "no-", which stands for the absence of a condition'
            yield document.finding(loc, wrong, fix=f'name what is there: "{one.id.removeprefix("no-")}"')
        taken.add(one.id)
    known = [one.id for one in fleet.conditions]
    for i, vehicle in enumerate(fleet.vehicles):
        for part in ("has", "has_not"):
            for j, name in enumerate(getattr(vehicle, part)):
                loc = ("vehicles", i, part, j)
                if name not in known:
                    wrong = f'no condition "{name}" is declared below conditions'
                    yield document.finding(loc, wrong, fix=name_one_of(name, known))
                elif part == "has_not" and name in vehicle.has:
                    wrong = f'"{vehicle.id}" both has and has not "{name}"'
                    yield document.finding(loc, wrong, fix="keep one of the two")


def check_numbers(draft: ParsedContent) -> Iterator[Finding]:
    """Advice for every telephone number that still waits to be entered."""
    if draft.fleet is None:
        return
    for i, phone in enumerate(draft.fleet.record.phones):
        if phone.number == NOT_ENTERED:
            wrong = f'the number of "{phone.who}" is not yet entered, and every page says so'
            fix = "write the number as it is dialed, or where a driver finds it"
            yield draft.fleet.document.finding(("phones", i, "number"), wrong, fix=fix, advice=True)


def check_calls(draft: ParsedContent) -> Iterator[Finding]:
    """A step that says to call somebody names whom; no two numbers serve for one, and none is missing."""
    yield from _numbers(draft)
    wanted: set[Service] = set()
    patterns = {
        Service.EMERGENCY: re.compile(
            rf"{_ASKS}\b{re.escape(draft.jurisdiction.emergency)}\b", re.IGNORECASE
        ),
        Service.DISPATCH: re.compile(rf"{_ASKS}\bdispatch\b", re.IGNORECASE),
    }
    for filed in draft.procedures:
        for loc, item in _callers(filed.record):
            for service, pattern in patterns.items():
                texts = _texts(item)
                if service not in item.calls and any(pattern.search(text) for text in texts):
                    wrong = f"this says to call {service.value}, but has no button for it"
                    listed = ", ".join(one.value for one in (*item.calls, service))
                    yield filed.document.finding(loc, wrong, fix=f"add calls: [{listed}]")
            wanted.update(item.calls)
    for way in draft.ways_out.record.ways if draft.ways_out is not None else ():
        wanted.update(way.calls)
    yield from _unserved(draft, wanted)


def _numbers(draft: ParsedContent) -> Iterator[Finding]:
    """No two numbers of the fleet serve for the same, and each that serves can be dialed."""
    if draft.fleet is None:
        return
    seen: dict[Service, str] = {}
    for i, phone in enumerate(draft.fleet.record.phones):
        loc: Loc = ("phones", i, "serves")
        if phone.serves is None:
            continue
        if phone.serves in seen:
            wrong = f'"{seen[phone.serves]}" and "{phone.id}" both serve {phone.serves.value}'
            fix = "keep the one that the button calls"
            yield draft.fleet.document.finding(loc, wrong, fix=fix)
        elif not phone.dial and phone.number != NOT_ENTERED:
            wrong = f'"{phone.number}" cannot be dialed, so no button can call it'
            fix = "write its digits as the number, or leave serves out"
            yield draft.fleet.document.finding(loc, wrong, fix=fix, advice=True)
        seen.setdefault(phone.serves, phone.id)


def _unserved(draft: ParsedContent, wanted: set[Service]) -> Iterator[Finding]:
    """Advice to a carrier that has numbers, but none for a button of the library."""
    if draft.fleet is None or not draft.fleet.record.phones:
        return
    serving = {phone.serves for phone in draft.fleet.record.phones}
    for service in Service:
        if service in wanted and service not in serving:
            wrong = f"no number serves {service.value}, so the buttons that call it are left out"
            fix = f"add serves: {service.value} to the number that is meant"
            yield draft.fleet.document.finding(("phones",), wrong, fix=fix, advice=True)


def _callers(procedure: Procedure) -> Iterator[tuple[Loc, Step | DecisionRow]]:
    for i, block in enumerate(procedure.blocks):
        for j, step in enumerate(block.steps):
            yield ("blocks", i, "steps", j), step
    for i, row in enumerate(procedure.decision.rows if procedure.decision else ()):
        yield ("decision", "rows", i), row


def _texts(item: Step | DecisionRow) -> tuple[str, ...]:
    """The texts that say what is done; reasons are not among them."""
    if isinstance(item, DecisionRow):
        return (item.do,)
    measure = (item.measure.how, item.measure.otherwise) if item.measure else ()
    notice = (item.notice.avoid,) if item.notice else ()
    instead = tuple(line.do for line in item.if_not.lines) if item.if_not else ()
    return (item.do, *measure, *notice, *instead)
