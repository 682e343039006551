"""Distance tables in the cab file, readable without scripts.

They show the rule's own distances on each road, and where a hidden view moves the outermost device for
every visibility class. Every figure comes from the placement engine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from forty_paces.drawing.quantities import both_lengths, posted_speeds, speed_band
from forty_paces.geometry import units
from forty_paces.geometry.explanation import length
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import (
    DeviceRule,
    Layout,
    RoadKind,
    RuleSet,
    Situation,
    Toward,
    VisibilityClass,
)

ROAD_WORDS = {
    RoadKind.TWO_LANE: "Two-lane road",
    RoadKind.DIVIDED: "Divided road",
    RoadKind.ONE_WAY: "One-way road or ramp",
}
"""Label of each kind of road in the cab file."""

MOVED_WORDS = {
    RoadKind.TWO_LANE: "Two-lane road, either side",
    RoadKind.DIVIDED: "Divided or one-way road",
}
"""Titles of the tables of moved devices; on level road both sides have the same distances."""

WHERE = {Toward.BEHIND: "behind", Toward.AHEAD: "ahead"}

HIDDEN_SHARES = (0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
"""Hidden distances shown, as fractions of the farthest that the rule covers."""


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


@dataclass(frozen=True, slots=True)
class Cell:
    """Position of the outermost device in one case."""

    distance: str
    paces: str
    ample: bool


@dataclass(frozen=True, slots=True)
class MovedRow:
    """The row of one posted speed."""

    speed: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class MovedTable:
    """One road and one visibility class, on level road."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[MovedRow, ...]


def base_tables(rules: RuleSet) -> tuple[BaseTable, ...]:
    """The rule's own distances; roads with the same devices at the same speeds share a table."""
    shared: dict[tuple[object, ...], list[Layout]] = {}
    for layout in rules.layouts:
        shared.setdefault((layout.devices, layout.speed_from_mph, layout.speed_below_mph), []).append(layout)
    return tuple(_base(rules, layouts) for layouts in shared.values())


@lru_cache(maxsize=8)
def moved_tables(rules: RuleSet) -> tuple[MovedTable, ...]:
    """Where a hidden view moves the outermost device; empty where the rule set moves none.

    Cached, because each vehicle's cab file has the same tables.
    """
    return tuple(_moved(rules)) if rules.hidden else ()


def _base(rules: RuleSet, layouts: list[Layout]) -> BaseTable:
    first = layouts[0]
    words = [ROAD_WORDS[layout.road] for layout in layouts]
    title = ", ".join([words[0], *(word.lower() for word in words[1:])])
    if (first.speed_from_mph, first.speed_below_mph) != (0.0, math.inf):
        title += f", posted {speed_band(first, rules.posted_in)}"
    rows = tuple(
        BaseRow(
            where=f"{number}, {WHERE[rule.toward]}",
            distance=_range(rule, rules.metric),
            paces=f"{units.paces(rule.distance_ft, rules.pace_ft)} paces",
            across=rule.across,
        )
        for number, rule in enumerate(first.devices, 1)
    )
    return BaseTable(title, rows, first.forbidden or first.note)


def _range(rule: DeviceRule, metric: bool) -> str:
    near = both_lengths(rule.distance_ft, metric)
    if rule.at_most_ft is not None:
        return f"{near} to {both_lengths(rule.at_most_ft, metric)}"
    return f"within {near}" if rule.within else near


def _moved(rules: RuleSet) -> Iterator[MovedTable]:
    assert rules.hidden is not None
    hidden = [rules.hidden.within_ft * share for share in HIDDEN_SHARES]
    columns = tuple(length(rules, ft) for ft in hidden)
    for visibility in rules.visibility:
        for road in (RoadKind.TWO_LANE, RoadKind.DIVIDED):
            rows = tuple(
                MovedRow(words, tuple(_cell(rules, road, speed, ft, visibility) for ft in hidden))
                for speed, words in posted_speeds(rules)
            )
            yield MovedTable(f"{MOVED_WORDS[road]}, {visibility.title.lower()}", columns, rows)


def _cell(rules: RuleSet, road: RoadKind, speed_mph: float, hidden_ft: float, seen: VisibilityClass) -> Cell:
    situation = Situation(
        road,
        speed_mph,
        seen.detection_ft,
        hidden_behind_ft=hidden_ft,
        reflecting_ft=seen.reflecting_ft,
    )
    placement = place(rules, situation)
    behind = [device for device in placement.devices if device.toward is Toward.BEHIND]
    approach = placement.approach(Toward.BEHIND)
    if not behind or approach is None:
        return Cell("none", "", ample=False)
    outermost = max(behind, key=lambda device: device.distance_ft)
    return Cell(length(rules, outermost.distance_ft), f"{outermost.paces} paces", approach.ample)
