"""The printed tables of moved devices: how far out a hidden view moves the outermost one, and the look-back.

The driver counts, from the vehicle: A to the near end of a bend or of the top of a hill, B to where the
pavement of the approaching lane goes out of sight, C to the far end of something beside a straight road. How
far a device past A is in view depends on B - A alone, so one table serves every place. Every figure is from
the placement engine, for a level road; the upper of two rows puts the device farther out, never nearer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.placement import (
    asks_for,
    look_back,
    nearest_first,
    needed_ft,
    place,
    simple_view,
)
from forty_paces.geometry.records import (
    HiddenBy,
    HiddenViewRule,
    RoadKind,
    RuleSet,
    Situation,
    Toward,
    VisibilityClass,
)
from forty_paces.geometry.simple_view import HILL_FACTOR
from forty_paces.messages import quantities
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.quantities import posted_speeds

VIEW_STEP_PACES = 16
"Between two rows of the table; over a hill they are then 20 paces apart."
LOOK_ROWS = 5
EXAMPLE_A_PACES = 20
"Where the bend of a worked example begins."


@dataclass(frozen=True, slots=True)
class MovedCell:
    """Where the outermost device goes in one case."""

    distance_ft: float
    paces: int
    ample: bool


@dataclass(frozen=True, slots=True)
class ViewRow:
    """The devices for one distance from A to B, one cell for each speed."""

    bend_ft: float
    bend_paces: int
    hill_ft: float
    "The distance from A to B at which a device over a hill is in view as long as on the bend."
    hill_paces: int
    cells: tuple[MovedCell | None, ...]
    "None where drivers at that speed would see the device too briefly for it to count."


@dataclass(frozen=True, slots=True)
class LookBack:
    """The look-back check of a device: how far traffic must be in view, and for how long."""

    look_ft: float
    look_s: float


@dataclass(frozen=True, slots=True)
class LookRow:
    """The look-back checks at one distance of the device, one for each speed."""

    distance_ft: float
    paces: int
    checks: tuple[LookBack, ...]


@dataclass(frozen=True, slots=True)
class MovedTable:
    """Everything about moved devices in one visibility class, one column for each posted speed."""

    visibility: VisibilityClass
    speeds: tuple[str, ...]
    stays_ft: tuple[float | None, ...]
    "Least B at which the device stays where the rule sets it; None where no B within the limit is enough."
    views: tuple[ViewRow, ...]
    beside: tuple[MovedCell, ...]
    "Past C by the step of the rule, the device stands no nearer than this."
    looks: tuple[LookRow, ...]

    @property
    def by_night(self) -> bool:
        """Whether the look-back is counted in seconds, from headlights that come into view."""
        return self.visibility.reflecting_ft is not None

    @property
    def all_ample(self) -> bool:
        """Whether every distance in the table gives drivers the warning that it takes to stop."""
        cells = (cell for cells in (self.beside, *(row.cells for row in self.views)) for cell in cells)
        return all(cell.ample for cell in cells if cell is not None)


@dataclass(frozen=True, slots=True)
class MovedRules:
    """What the texts about moved devices need: the rule's range, in its own unit and in paces."""

    rules: RuleSet
    hidden: HiddenViewRule
    elsewhere_ft: float | None
    "Least distance of the far device on divided and one-way roads; None where the tables' own are no less."

    @property
    def step_paces(self) -> int:
        """Paces in one step of the rule."""
        return self.paces(self.hidden.step_ft)

    @property
    def counts(self) -> tuple[int, int, int]:
        """The first three whole steps of the rule's range: 40, 44, 48."""
        first_ft, step_ft = self.hidden.from_ft, self.hidden.step_ft
        return (self.paces(first_ft), self.paces(first_ft + step_ft), self.paces(first_ft + 2 * step_ft))

    def paces(self, length_ft: float) -> int:
        """A length in paces, rounded up."""
        return units.paces(length_ft, self.rules.pace_ft)

    def length(self, length_ft: float) -> str:
        """A length in the rule set's own unit."""
        return quantities.length(self.rules, length_ft)

    def least(self, length_ft: float) -> str:
        """A least length in the rule set's own unit, rounded up."""
        return quantities.length_up(self.rules, length_ft)

    def look(self, table: MovedTable, check: LookBack) -> str:
        """A look-back check in words: seconds by night, otherwise length, paces and lane lines."""
        if table.by_night:
            return quantities.look_seconds(check.look_s)
        return quantities.look_length(self.rules, check.look_ft)


@dataclass(frozen=True, slots=True)
class MovedExample:
    """One case worked through the table, by paces."""

    speed: str
    a_paces: int
    b_paces: int
    cell: MovedCell


def moved_rules(rules: RuleSet) -> MovedRules | None:
    """The range for the texts; None where the rule set moves no device."""
    if rules.hidden is None:
        return None
    road = _road(rules)
    bases = {
        kind: max((_base_ft(rules, kind, mph) for mph, _ in posted_speeds(rules)), default=0.0)
        for kind in RoadKind
    }
    others = max(bases[kind] for kind in RoadKind if kind is not road)
    return MovedRules(rules, rules.hidden, others if others > bases[road] else None)


@cached_by_language(maxsize=32)
def moved_tables(rules: RuleSet, *, fast_only: bool = False) -> tuple[MovedTable, ...]:
    """A table for each visibility class; none where the rule set moves no device.

    ``fast_only`` leaves out the slowest of the posted speeds, for narrow paper. Speeds at which no device
    stands toward the traffic have no column. Cached, because many documents show the same tables.
    """
    if rules.hidden is None:
        return ()
    road = _road(rules)
    speeds = [
        posted
        for posted in posted_speeds(rules)[1 if fast_only else 0 :]
        if asks_for(rules, road, Toward.BEHIND, posted[0])
    ]
    if not speeds:
        return ()
    return tuple(_table(rules, rules.hidden, road, speeds, seen) for seen in rules.visibility)


def moved_example(table: MovedTable, limits: MovedRules) -> MovedExample | None:
    """A case just as the table has it, at a middle speed; of a device that moves, if there is one."""
    at, begins = len(table.speeds) // 2, EXAMPLE_A_PACES
    most = limits.hidden.within_ft / limits.rules.pace_ft - begins
    shown = [(row, cell) for row in table.views if row.bend_paces <= most and (cell := row.cells[at])]
    moved = [one for one in shown if one[1].distance_ft > limits.hidden.from_ft] or shown
    if not moved:
        return None
    row, cell = moved[len(moved) // 2 - 1 if len(moved) > 1 else 0]
    return MovedExample(table.speeds[at], begins, begins + row.bend_paces, cell)


def _road(rules: RuleSet) -> RoadKind:
    """The kind of road that the tables are for: two-lane, unless no device stands behind there."""
    two_lane = any(asks_for(rules, RoadKind.TWO_LANE, Toward.BEHIND, mph) for mph, _ in posted_speeds(rules))
    return RoadKind.TWO_LANE if two_lane else RoadKind.DIVIDED


def _base_ft(rules: RuleSet, road: RoadKind, speed_mph: float) -> float:
    asked = nearest_first(rules.layout(road, speed_mph), Toward.BEHIND)
    return asked[-1].distance_ft if asked else 0.0


def _table(
    rules: RuleSet,
    hidden: HiddenViewRule,
    road: RoadKind,
    speeds: list[tuple[float, str]],
    seen: VisibilityClass,
) -> MovedTable:
    plain = [Situation(road, mph, **rules.reaches(seen.id)) for mph, _ in speeds]
    return MovedTable(
        visibility=seen,
        speeds=tuple(words for _, words in speeds),
        stays_ft=tuple(_stays_ft(rules, hidden, situation) for situation in plain),
        views=tuple(_views(rules, hidden, road, speeds, seen)),
        beside=tuple(
            _cell(
                rules,
                Situation(
                    road,
                    mph,
                    **rules.reaches(seen.id),
                    hidden_behind_ft=0.0,
                    hidden_by=(HiddenBy.OBSTRUCTION,),
                    hidden_to_ft=0.0,
                ),
            )
            for mph, _ in speeds
        ),
        looks=tuple(_looks(rules, hidden, plain)),
    )


def _stays_ft(rules: RuleSet, hidden: HiddenViewRule, situation: Situation) -> float | None:
    """The stopping sight distance, if the vehicle is made out from there and the rule reaches so far."""
    least_ft = rules.up_ft(needed_ft(rules, situation, Toward.BEHIND))
    return least_ft if least_ft <= min(situation.detection_ft, hidden.within_ft) + units.FUZZ else None


def _views(
    rules: RuleSet,
    hidden: HiddenViewRule,
    road: RoadKind,
    speeds: list[tuple[float, str]],
    seen: VisibilityClass,
) -> Iterator[ViewRow]:
    """Rows up to the limit of the rule; none without a device, none that only repeats the row above it."""
    last: tuple[MovedCell | None, ...] = ()
    for count in range(1, math.floor(hidden.within_ft / (VIEW_STEP_PACES * rules.pace_ft) + units.FUZZ) + 1):
        bend_paces = count * VIEW_STEP_PACES
        bend_ft, hill_paces = bend_paces * rules.pace_ft, math.ceil(bend_paces / HILL_FACTOR - units.FUZZ)
        cells = tuple(_view_cell(rules, road, mph, seen, bend_ft) for mph, _ in speeds)
        if any(cells) and cells != last:
            yield ViewRow(bend_ft, bend_paces, hill_paces * rules.pace_ft, hill_paces, cells)
        last = cells


def _view_cell(
    rules: RuleSet, road: RoadKind, speed_mph: float, seen: VisibilityClass, view_ft: float
) -> MovedCell | None:
    """The device where the vehicle stands in the bend: then the vehicle itself is seen no sooner than it."""
    situation = Situation(
        road, speed_mph, **rules.reaches(seen.id), hidden_behind_ft=view_ft, hidden_from_ft=0.0
    )
    if simple_view(situation, Toward.BEHIND).beyond_ft is not None:
        return None
    return _cell(rules, situation)


def _cell(rules: RuleSet, situation: Situation) -> MovedCell:
    placement = place(rules, situation)
    outermost = max((d for d in placement.devices if d.toward is Toward.BEHIND), key=lambda d: d.distance_ft)
    approach = placement.approach(Toward.BEHIND)
    assert approach is not None, "traffic comes from behind on every road"
    return MovedCell(outermost.distance_ft, outermost.paces, approach.ample)


def _looks(rules: RuleSet, hidden: HiddenViewRule, plain: list[Situation]) -> Iterator[LookRow]:
    """From the rule's nearest distance to its farthest; the check at a nearer device is never the shorter."""
    apart_ft = (hidden.to_ft - hidden.from_ft) / (LOOK_ROWS - 1)
    for count in range(LOOK_ROWS):
        distance_ft = hidden.from_ft + count * apart_ft
        checks = []
        for situation in plain:
            view, needed = simple_view(situation, Toward.BEHIND), needed_ft(rules, situation, Toward.BEHIND)
            checks.append(LookBack(*look_back(rules, view, situation.speed_mph, needed, distance_ft)))
        yield LookRow(distance_ft, units.paces(distance_ft, rules.pace_ft), tuple(checks))
