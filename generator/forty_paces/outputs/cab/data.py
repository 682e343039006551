"""Data for the cab file: values for its script, and phone numbers, calls and deadlines for its template.

``placement`` has what the script computes distances from; everything else is only looked up. Calls are one
tap away on every screen, and in the steps that say to call.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.checklists import AfterEvent, Deadline
from forty_paces.authoring.models.fleet import Fleet, Vehicle
from forty_paces.authoring.models.procedure import Line
from forty_paces.authoring.models.record import Condition, OwnCondition, Service
from forty_paces.authoring.texts import list_texts
from forty_paces.messages.cab import ANSWERS, METRIC, SCREENS, WORDS
from forty_paces.messages.languages import Texts
from forty_paces.outputs.cab.guided_walk import FinderView
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import long_date


@dataclass(frozen=True, slots=True)
class PhoneLine:
    """One phone number as the cab file shows it."""

    id: str
    who: str
    number: str
    dial: str
    "Digits for the dialer; empty where the number is to be read off something first."
    call_when: str
    say: str
    when: tuple[Condition | OwnCondition, ...]


@dataclass(frozen=True, slots=True)
class DeadlineGroup:
    """Deadlines that run from the same event."""

    id: str
    event: str
    deadlines: tuple[Deadline, ...]


def data_for(context: BuildContext, vehicle: Vehicle | None, finder: FinderView) -> dict[str, Any]:
    """All values that the script reads, for JSON. ``limit`` is in seconds, ``emergency`` says who is told."""
    fleet = context.library.fleet
    rules = context.library.rules[fleet.rules].rule_set
    vehicles = (vehicle,) if vehicle else fleet.vehicles
    return {
        "carrier": fleet.carrier,
        "edition": context.library.edition.id,
        "day": long_date(context.library.edition.date),
        "versions": {procedure.id: procedure.version for procedure in context.library.procedures},
        "limit": rules.time_limit_s,
        "recordDays": fleet.records_kept_days,
        "vehicles": [_equipment(one, fleet) for one in vehicles],
        "finder": finder.values,
        "emergency": emergency_name(fleet),
        "placement": finder.placement,
        **_spoken(context),
    }


def _spoken(context: BuildContext) -> dict[str, Any]:
    """In a file of another language, the English words of the message that asks for help, and of the record.

    Who answers, the police and the other driver read and hear them in English.
    """
    if context.english is None:
        return {}
    parts = ("help_", "position_line", "position_accuracy", "cargo_", "record_", "labelled", "stopped_at")
    english = {**WORDS.english, **(METRIC.english if context.metric else {})}
    words = {key: text for key, text in english.items() if key.startswith(parts)}
    titles = {procedure.id: procedure.title for procedure in context.english.procedures}
    vehicles = {vehicle.id: vehicle.title for vehicle in context.english.fleet.vehicles}
    return {"spoken": {"words": words, "titles": titles, "vehicles": vehicles}}


def english_lines(context: BuildContext) -> Mapping[str, str]:
    """The English of what is said and written after an event, by its id; nothing in an English file."""
    return list_texts(None, context.english.after_event) if context.english else {}


def help_answers() -> dict[str, tuple[tuple[str, str], ...]]:
    """The answers that the message for help offers: each in English, and as it is shown."""

    def of(table: Texts, *keys: str) -> tuple[tuple[str, str], ...]:
        return tuple((table.english[key], table[key]) for key in keys)

    hurt = of(ANSWERS, "hurt-nobody", "hurt-many", "hurt-unknown")
    needed = (key for key in ANSWERS if key.startswith("need-"))
    return {
        "directions": of(ANSWERS, "northbound", "southbound", "eastbound", "westbound"),
        "hurt": (hurt[0], ("1", "1"), ("2", "2"), *hurt[1:]),
        "cargo": of(WORDS, "cargo_none", "cargo_hazardous", "cargo_placards"),
        "need": of(ANSWERS, *needed),
    }


def _equipment(vehicle: Vehicle, fleet: Fleet) -> dict[str, Any]:
    """The vehicle with the conditions known to hold or not to hold; unknown ones are left out."""
    conditions = (*Condition, *fleet.own_conditions().values())
    answers = {str(condition): vehicle.meets((condition,)) for condition in conditions}
    return {
        "id": vehicle.id,
        "title": vehicle.title,
        "unit": vehicle.unit or "",
        "plate": vehicle.plate or "",
        "has": {name: holds for name, holds in answers.items() if holds is not None},
    }


def phone_lines(fleet: Fleet, after: AfterEvent | None) -> tuple[PhoneLine, ...]:
    """The fleet's numbers in calling order, each with what to say."""
    calls = {call.phone: call for call in after.calls} if after else {}
    lines = []
    for phone in fleet.phones:
        call = calls.get(phone.id)
        lines.append(
            PhoneLine(
                id=phone.id,
                who=phone.who,
                number=phone.number,
                dial=phone.dial,
                call_when=phone.call_when,
                say=call.say if call else "",
                when=call.when if call else (),
            )
        )
    order = {name: place for place, name in enumerate(calls)}
    return tuple(sorted(lines, key=lambda line: order.get(line.id, len(order))))


def not_safe_lines(library: Library) -> tuple[Line, ...]:
    """What is done where nobody can go: the other way of the first step that decides on it, if any."""
    steps = (step for procedure in library.procedures for block in procedure.blocks for step in block.steps)
    return next((step.if_not.lines for step in steps if step.if_not is not None), ())


def deadline_groups(deadlines: Iterable[Deadline]) -> tuple[DeadlineGroup, ...]:
    """Deadlines grouped by the event that they run from, in order of first mention, shortest first."""
    grouped: dict[str, list[Deadline]] = {}
    for deadline in deadlines:
        grouped.setdefault(deadline.from_event, []).append(deadline)
    return tuple(
        DeadlineGroup(f"event-{number}", event, tuple(sorted(same, key=lambda one: one.hours)))
        for number, (event, same) in enumerate(grouped.items(), 1)
    )


@dataclass(frozen=True, slots=True)
class CallButton:
    """A button that dials."""

    service: Service
    phone: str
    "The id of the number in fleet.yml."
    who: str
    number: str
    dial: str
    "For a ``tel:`` link."
    text_to: str
    "For an ``sms:`` link: the number without an extension."
    words: str
    "What the button says."


def call_buttons(fleet: Fleet) -> Mapping[Service, CallButton]:
    """The numbers of the fleet that can be dialed, by what they are for."""
    found: dict[Service, CallButton] = {}
    for phone in fleet.phones:
        if phone.serves is None or not phone.dial:
            continue
        found[phone.serves] = CallButton(
            service=phone.serves,
            phone=phone.id,
            who=phone.who,
            number=phone.number,
            dial=phone.dial,
            text_to=re.sub(r";.*", "", phone.dial),
            words=SCREENS[f"call-{phone.serves}"].format(number=phone.number),
        )
    return MappingProxyType({service: found[service] for service in Service if service in found})


def emergency_name(fleet: Fleet) -> str:
    """Who is told of a danger: the fleet's emergency number, or words for it where it has none."""
    button = call_buttons(fleet).get(Service.EMERGENCY)
    return button.number if button else SCREENS["emergency-number"]
