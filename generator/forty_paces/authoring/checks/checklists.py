"""Checks of before_trip.yml and after_event.yml.

Calls go to numbers in fleet.yml, ids are unique, deadlines are in the order in which they fall due.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from forty_paces.authoring.checks.identity import ids_once
from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.checklists import AfterEvent, PointGroup
from forty_paces.authoring.parsed_content import ParsedContent

_TWICE = "is used twice in this list"


def check_checklists(draft: ParsedContent) -> Iterator[Finding]:
    """Findings in before_trip.yml and after_event.yml beyond a single record."""
    if draft.before_trip is not None:
        document, trip = draft.before_trip.document, draft.before_trip.record
        yield from _groups(document, "groups", trip.groups)
    if draft.after_event is not None:
        document, event = draft.after_event.document, draft.after_event.record
        yield from _groups(document, "fit_to_roll", event.fit_to_roll)
        for part in ("record", "pictures", "deadlines", "hand_over"):
            named = (((part, i, "id"), entry.id) for i, entry in enumerate(getattr(event, part)))
            yield from ids_once(document, named, _TWICE)
        yield from _deadlines(document, event)
        if draft.fleet is not None:
            yield from _calls(document, event, [phone.id for phone in draft.fleet.record.phones])


def _groups(document: Document, part: str, groups: tuple[PointGroup, ...]) -> Iterator[Finding]:
    yield from ids_once(document, (((part, i, "id"), group.id) for i, group in enumerate(groups)), _TWICE)
    points = (
        ((part, i, "points", j, "id"), point.id)
        for i, group in enumerate(groups)
        for j, point in enumerate(group.points)
    )
    yield from ids_once(document, points, _TWICE)


def _deadlines(document: Document, event: AfterEvent) -> Iterator[Finding]:
    for i, (sooner, later) in enumerate(pairwise(event.deadlines)):
        if later.hours < sooner.hours:
            wrong = f'"{later.id}" ({later.hours:g} h) stands below "{sooner.id}" ({sooner.hours:g} h)'
            fix = "put the deadline that falls due first above the other"
            yield document.finding(("deadlines", i + 1, "hours"), wrong, fix=fix)


def _calls(document: Document, event: AfterEvent, known: list[str]) -> Iterator[Finding]:
    seen: set[str] = set()
    for i, call in enumerate(event.calls):
        loc: Loc = ("calls", i, "phone")
        if call.phone not in known:
            wrong = f'there is no phone "{call.phone}" in content/fleet.yml'
            fix = name_one_of(call.phone, known) if known else "add the number to content/fleet.yml"
            yield document.finding(loc, wrong, fix=fix, advice=not known)  # a new carrier has no numbers yet
        elif call.phone in seen:
            wrong = f'the phone "{call.phone}" is called twice'
            yield document.finding(loc, wrong, fix="keep the earlier call")
        seen.add(call.phone)
