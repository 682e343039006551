"""Calls that are one tap away in the cab file: on every screen, and in the steps that say to call."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.record import Service
from forty_paces.messages.cab import SCREENS


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
