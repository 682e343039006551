"""The rule's own distances on each road as tables of the cab file, readable without scripts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.records import (
    DeviceRule,
    Layout,
    RuleSet,
)
from forty_paces.messages.cab import SCREENS
from forty_paces.messages.quantities import paces, printed_length, speed_band
from forty_paces.messages.terms import across_words, side_words


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
    shared: dict[tuple[object, ...], list[Layout]] = {}
    for layout in rules.layouts:
        shared.setdefault((layout.devices, layout.speed_from_mph, layout.speed_below_mph), []).append(layout)
    return tuple(_base(rules, layouts) for layouts in shared.values())


def _base(rules: RuleSet, layouts: list[Layout]) -> BaseTable:
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
