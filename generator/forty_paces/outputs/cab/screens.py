"""Screens of the cab file around its procedures: start, ways out of a step, the rule's own distances."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.checklists import WayOut
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.geometry import units
from forty_paces.geometry.records import (
    DeviceLayout,
    DeviceRule,
    RuleSet,
)
from forty_paces.messages.cab import SCREENS
from forty_paces.messages.quantities import paces, printed_length, speed_band
from forty_paces.messages.terms import across_words, side_words
from forty_paces.outputs.cab.data import PhoneLine
from forty_paces.outputs.common.families import Family
from forty_paces.outputs.common.procedure_view import LineView, StepView, view_lines, view_procedure

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


@dataclass(frozen=True, slots=True)
class BaseRow:
    """One device at the rule's own distance."""

    where: str
    distance: str
    paces: str
    across: str


@dataclass(frozen=True, slots=True)
class BaseTable:
    """The devices of one or more kinds of road that share a layout."""

    title: str
    rows: tuple[BaseRow, ...]
    note: str


def base_tables(rules: RuleSet) -> tuple[BaseTable, ...]:
    """The rule's own distances; roads with the same devices at the same speeds share a table."""
    shared: dict[tuple[object, ...], list[DeviceLayout]] = {}
    for layout in rules.layouts:
        shared.setdefault((layout.devices, layout.speed_from_mph, layout.speed_below_mph), []).append(layout)
    return tuple(_base(rules, layouts) for layouts in shared.values())


def _base(rules: RuleSet, layouts: list[DeviceLayout]) -> BaseTable:
    first = layouts[0]
    words = [SCREENS[f"road-{layout.road}"] for layout in layouts]
    title = ", ".join([words[0], *(word.lower() for word in words[1:])])
    if (first.speed_from_mph, first.speed_below_mph) != (0.0, math.inf):
        title = SCREENS["roads-posted"].format(roads=title, speeds=speed_band(first, rules.posted_in))
    rows = tuple(
        BaseRow(
            where=SCREENS["device"].format(number=number, side=side_words(rule.toward)),
            distance=_range(rule, rules.metric),
            paces=paces(units.paces(rule.distance_ft, rules.pace_ft)),
            across=across_words(rule.across),
        )
        for number, rule in enumerate(first.devices, 1)
    )
    return BaseTable(title, rows, first.forbidden or first.note)


def _range(rule: DeviceRule, metric: bool) -> str:
    near = printed_length(rule.distance_ft, metric)
    if rule.at_most_ft is not None:
        return SCREENS["range"].format(low=near, high=printed_length(rule.at_most_ft, metric))
    return SCREENS["within"].format(length=near) if rule.within else near


@dataclass(frozen=True, slots=True)
class WayOutView:
    """One button of the row and its screen."""

    way: WayOut
    href: str
    "Where the button leads: the one procedure that the way out opens, or its own screen."
    lines: tuple[LineView, ...]
    steps: tuple[StepView, ...]
    "Steps of procedures that its screen repeats, under their own keys."
    opens: tuple[Procedure, ...]

    @property
    def screen(self) -> str:
        """The id of its own screen; empty where the button leads straight to a procedure."""
        return "" if self.way.straight_to else f"way-{self.way.id}"


def ways_out_views(library: Library, vehicle: Vehicle | None) -> tuple[WayOutView, ...]:
    """All ways out, without lines that cannot apply to the vehicle."""
    procedures = {procedure.id: procedure for procedure in library.procedures}
    steps = {
        f"{procedure.id}/{block.block.id}/{step.step.id}": step
        for procedure in library.procedures
        for block in view_procedure(procedure, vehicle).blocks
        for step in block.steps
    }
    return tuple(
        WayOutView(
            way=way,
            href=f"#{way.straight_to or f'way-{way.id}'}",
            lines=view_lines(f"ways-out/{way.id}", "lines", way.lines, vehicle),
            steps=tuple(steps[address] for address in way.shows if address in steps),
            opens=tuple(procedures[wanted] for wanted in way.opens),
        )
        for way in library.ways_out
    )
