"""Checks of fleet.yml: the carrier's own conditions, and numbers that nobody has entered yet."""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.fleet import NOT_ENTERED
from forty_paces.authoring.models.record import Condition
from forty_paces.authoring.parsed_content import ParsedContent


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
