"""The start screen of the cab file: where each procedure is opened from, calls, and tools."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.messages.cab import SCREENS
from forty_paces.outputs.cab.data import PhoneLine
from forty_paces.outputs.common.families import Family

CALLED_FROM_START = ("emergency", "dispatch")
"""Ids of the numbers in ``fleet.yml`` that the start screen dials."""


@dataclass(frozen=True, slots=True)
class StartTool:
    """A tool of the start screen; the short title is for screens too narrow for the long one."""

    id: str
    symbol: str
    href: str

    @property
    def title(self) -> str:
        """The whole title."""
        return SCREENS[self.id]

    @property
    def short(self) -> str:
        """The title where there is little room."""
        return SCREENS[f"{self.id}-short"]


def screen_before(listed: Iterable[Family]) -> dict[str, str]:
    """The screen that each procedure is opened from: that of its family, or the start for a family of one."""
    return {
        procedure.id: "start" if family.only else family.screen
        for family in listed
        for procedure in family.procedures
    }


def start_calls(phones: Iterable[PhoneLine]) -> tuple[PhoneLine, ...]:
    """The numbers that the start screen dials, emergency first."""
    dialed = {phone.id: phone for phone in phones if phone.dial}
    return tuple(dialed[name] for name in CALLED_FROM_START if name in dialed)
