"""Every text of the two checklists of a trip, with its role and its stable address, in page order.

The counterpart of :mod:`forty_paces.authoring.texts` for checklists.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip, PointGroup
from forty_paces.authoring.texts import DriverText, Role


def before_trip_texts(trip: BeforeTrip) -> tuple[DriverText, ...]:
    """The look before a trip: ``groups/cab/points/devices/right``."""
    return tuple(_before(trip))


def after_event_texts(event: AfterEvent) -> tuple[DriverText, ...]:
    """The record after an event: ``deadlines/alcohol-aim/what``."""
    return tuple(_after(event))


def _before(trip: BeforeTrip) -> Iterator[DriverText]:
    yield DriverText("title", ("title",), Role.TITLE, trip.title)
    yield DriverText(
        "know_first", ("know_first",), Role.LOCAL_RULE, trip.know_first.text, trip.know_first.source
    )
    yield from _groups("groups", trip.groups)
    yield DriverText("finished", ("finished",), Role.FINISHED, trip.finished)
    yield DriverText("local_rule", ("local_rule",), Role.LOCAL_RULE, trip.local_rule)


def _after(event: AfterEvent) -> Iterator[DriverText]:
    yield DriverText("title", ("title",), Role.TITLE, event.title)
    yield DriverText(
        "know_first", ("know_first",), Role.LOCAL_RULE, event.know_first.text, event.know_first.source
    )
    for i, call in enumerate(event.calls):
        yield DriverText(f"calls/{call.phone}/say", ("calls", i, "say"), Role.VALUE, call.say)
    for i, item in enumerate(event.record):
        address, loc = f"record/{item.id}", ("record", i)
        yield DriverText(f"{address}/write", (*loc, "write"), Role.LABEL, item.write, item.source)
        if item.hint is not None:
            yield DriverText(f"{address}/hint", (*loc, "hint"), Role.HOW, item.hint, item.source)
    for i, picture in enumerate(event.pictures):
        address, loc = f"pictures/{picture.id}", ("pictures", i)
        yield DriverText(f"{address}/show", (*loc, "show"), Role.LABEL, picture.show, picture.source)
        yield DriverText(f"{address}/why", (*loc, "why"), Role.WHY, picture.why, picture.source)
    for i, due in enumerate(event.deadlines):
        address, loc = f"deadlines/{due.id}", ("deadlines", i)
        yield DriverText(f"{address}/what", (*loc, "what"), Role.LABEL, due.what, due.source)
        yield DriverText(f"{address}/applies", (*loc, "applies"), Role.SEE, due.applies, due.source)
        yield DriverText(f"{address}/past", (*loc, "past"), Role.OTHERWISE, due.past, due.source)
    for i, defect in enumerate(event.hand_over):
        address, loc = f"hand_over/{defect.id}", ("hand_over", i)
        yield DriverText(f"{address}/part", (*loc, "part"), Role.LABEL, defect.part, defect.source)
        yield DriverText(f"{address}/tell", (*loc, "tell"), Role.VALUE, defect.tell, defect.source)
    yield from _groups("fit_to_roll", event.fit_to_roll)
    yield DriverText("finished", ("finished",), Role.FINISHED, event.finished)
    yield DriverText("local_rule", ("local_rule",), Role.LOCAL_RULE, event.local_rule)


def _groups(part: str, groups: tuple[PointGroup, ...]) -> Iterator[DriverText]:
    for i, group in enumerate(groups):
        address, loc = f"{part}/{group.id}", (part, i)
        yield DriverText(f"{address}/title", (*loc, "title"), Role.CLUSTER_TITLE, group.title)
        for j, point in enumerate(group.points):
            at: str = f"{address}/points/{point.id}"
            there: Loc = (*loc, "points", j)
            yield DriverText(f"{at}/what", (*there, "what"), Role.LABEL, point.what, point.source)
            yield DriverText(f"{at}/right", (*there, "right"), Role.VALUE, point.right, point.source)
            yield DriverText(
                f"{at}/otherwise", (*there, "otherwise"), Role.OTHERWISE, point.otherwise, point.source
            )
