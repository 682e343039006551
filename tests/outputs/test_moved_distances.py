"""The printed tables of moved devices against the placement engine: no row puts a device nearer than it does.

The model is that of the placement rule: past the near end of a bend a device is in view over B less A, over a
hill 0.80 of that; each figure here is computed anew by the engine, for every place that a driver may count.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import pytest
from forty_paces.geometry import units
from forty_paces.geometry.placement import look_back, needed_ft, place, simple_view
from forty_paces.geometry.records import HiddenBy, Placement, RoadKind, RuleSet, Situation, Toward
from forty_paces.outputs.common.moved_distances import (
    MovedCell,
    MovedRules,
    MovedTable,
    ViewRow,
    moved_example,
    moved_rules,
    moved_tables,
)

from tests.drawing.samples import US
from tests.rule_files import names, rule_file, unknown_end_ft

SPEEDS_MPH = (25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
TABLES = moved_tables(US)
NEAR_ENDS_FT = (0.0, 10.0, 50.0, 120.0, 200.0, 300.0)


@pytest.fixture(params=TABLES, ids=lambda table: table.visibility.id)
def table(request: pytest.FixtureRequest) -> MovedTable:
    shown: MovedTable = request.param
    return shown


@pytest.fixture
def moved() -> MovedRules:
    shown = moved_rules(US)
    assert shown is not None
    return shown


def answer(
    table: MovedTable,
    speed_mph: float,
    b_ft: float,
    by: tuple[HiddenBy, ...] = (HiddenBy.CURVE,),
    *,
    a_ft: float | None = None,
    c_ft: float | None = None,
    road: RoadKind = RoadKind.TWO_LANE,
) -> Placement:
    return place(
        US,
        Situation(
            road,
            speed_mph,
            **US.reaches(table.visibility.id),
            hidden_behind_ft=b_ft,
            hidden_by=by,
            hidden_from_ft=a_ft,
            hidden_to_ft=c_ft,
        ),
    )


def farthest_ft(placement: Placement) -> float:
    return max(one.distance_ft for one in placement.devices if one.toward is Toward.BEHIND)


def is_seen_soon_enough(placement: Placement) -> bool:
    """Whether the vehicle itself gives drivers the warning, so that no device needs to move."""
    side = placement.approach(Toward.BEHIND)
    assert side is not None
    return side.vehicle_only_ft >= US.up_ft(side.needed_ft)


def cells(table: MovedTable) -> Iterator[tuple[float, ViewRow, MovedCell | None]]:
    for row in table.views:
        for speed_mph, cell in zip(SPEEDS_MPH, row.cells, strict=True):
            yield speed_mph, row, cell


def places(row: ViewRow, table: MovedTable) -> Iterator[tuple[HiddenBy, float, float]]:
    """Every bend and hill of the row: what hides, A and B, as far as the rule reaches."""
    for a_ft in NEAR_ENDS_FT:
        for by, apart_ft in ((HiddenBy.CURVE, row.bend_ft), (HiddenBy.HILL, row.hill_ft)):
            if a_ft + apart_ft <= 500:
                yield by, a_ft, a_ft + apart_ft


def test_every_row_is_the_engines_answer_wherever_the_bend_or_hill_begins(table: MovedTable) -> None:
    compared = 0
    for speed_mph, row, cell in cells(table):
        for by, a_ft, b_ft in places(row, table):
            placement = answer(table, speed_mph, b_ft, (by,), a_ft=a_ft)
            if is_seen_soon_enough(placement):
                assert farthest_ft(placement) == 100
                assert cell is None or cell.distance_ft >= 100
                continue
            wanted_ft = unknown_end_ft(US.hidden, b_ft) if cell is None else cell.distance_ft
            assert farthest_ft(placement) == wanted_ft, (speed_mph, row, by, a_ft)
            compared += 1
    assert compared > 100


def test_a_cell_bears_a_mark_just_where_drivers_get_less_than_it_takes_to_stop(table: MovedTable) -> None:
    for speed_mph, row, cell in cells(table):
        side = answer(table, speed_mph, row.bend_ft, a_ft=0.0).approach(Toward.BEHIND)
        assert side is not None
        assert cell is None or cell.ample == side.ample
    marked = [cell for _, _, cell in cells(table) if cell is not None and not cell.ample]
    assert table.all_ample == (not marked and all(cell.ample for cell in table.beside))


def test_between_two_rows_the_upper_one_gives_the_warning_too(table: MovedTable) -> None:
    for upper, lower in itertools.pairwise(table.views):
        for at, speed_mph in enumerate(SPEEDS_MPH):
            cell = upper.cells[at]
            for apart_ft in range(math.ceil(upper.bend_ft), math.ceil(lower.bend_ft)):
                for by, share in ((HiddenBy.CURVE, 1.0), (HiddenBy.HILL, 0.8)):
                    b_ft = 20 + apart_ft / share
                    if cell is None or b_ft > 500:
                        continue
                    engine = answer(table, speed_mph, b_ft, (by,), a_ft=20.0)
                    assert farthest_ft(engine) <= cell.distance_ft
                    view = simple_view(
                        Situation(
                            RoadKind.TWO_LANE,
                            speed_mph,
                            **US.reaches(table.visibility.id),
                            hidden_behind_ft=b_ft,
                            hidden_by=(by,),
                            hidden_from_ft=20.0,
                        ),
                        Toward.BEHIND,
                    )
                    side = engine.approach(Toward.BEHIND)
                    assert side is not None
                    given_ft = view.warning_ft([(cell.distance_ft, "center of lane or shoulder")])
                    assert not cell.ample or given_ft >= side.needed_ft


def test_the_rows_are_paces_apart_that_a_driver_counts_whole() -> None:
    for row in itertools.chain.from_iterable(table.views for table in TABLES):
        assert row.bend_paces * 2.5 == row.bend_ft
        assert row.hill_paces * 2.5 == row.hill_ft
        assert row.hill_ft * 0.80 >= row.bend_ft  # the hill factor of the placement rule


@pytest.mark.parametrize("by", [(HiddenBy.CURVE,), (HiddenBy.HILL,), (HiddenBy.OBSTRUCTION,)])
def test_past_b_by_four_paces_is_where_the_engine_goes_if_no_end_is_known(
    table: MovedTable, by: tuple[HiddenBy, ...]
) -> None:
    for at, speed_mph in enumerate(SPEEDS_MPH):
        stays_ft = table.stays_ft[at]
        for b_ft in (0, 7.5, 89, 90, 91, 100, 247, 300, 301, 360, 488, 490, 491, 499, 500):
            engine = farthest_ft(answer(table, speed_mph, b_ft, by))
            if stays_ft is not None and b_ft >= stays_ft:
                assert engine == 100
            else:
                assert engine == unknown_end_ft(US.hidden, b_ft)


def test_a_device_stays_from_the_b_that_the_table_names_and_not_a_foot_nearer(table: MovedTable) -> None:
    for stays_ft, speed_mph in zip(table.stays_ft, SPEEDS_MPH, strict=True):
        if stays_ft is None:
            assert farthest_ft(answer(table, speed_mph, 490.0)) > 100
            continue
        assert farthest_ft(answer(table, speed_mph, stays_ft)) == 100
        assert not is_seen_soon_enough(answer(table, speed_mph, stays_ft - 1))


def test_beyond_the_rules_limit_nothing_moves(table: MovedTable) -> None:
    for speed_mph in SPEEDS_MPH:
        assert farthest_ft(answer(table, speed_mph, 501.0, a_ft=0.0)) == 100
        assert farthest_ft(answer(table, speed_mph, 501.0)) == 100


def test_beside_a_straight_road_the_device_goes_past_c_and_as_far_as_the_last_row(table: MovedTable) -> None:
    for cell, speed_mph in zip(table.beside, SPEEDS_MPH, strict=True):
        for c_ft in (0, 50, 90, 91, 137.5, 240, 300, 395, 489, 490):
            placement = answer(table, speed_mph, 40.0, (HiddenBy.OBSTRUCTION,), c_ft=c_ft)
            assert farthest_ft(placement) == max(cell.distance_ft, units.whole_up(c_ft + 10, 10))
        too_far = answer(table, speed_mph, 40.0, (HiddenBy.OBSTRUCTION,), c_ft=491.0)
        assert farthest_ft(too_far) == 100


def test_a_bend_on_a_hill_counts_as_a_hill(table: MovedTable) -> None:
    both = (HiddenBy.CURVE, HiddenBy.HILL)
    for speed_mph, a_ft, b_ft in itertools.product(SPEEDS_MPH, (0.0, 60.0), (200.0, 310.0, 480.0)):
        hill = answer(table, speed_mph, b_ft, (HiddenBy.HILL,), a_ft=a_ft)
        assert farthest_ft(answer(table, speed_mph, b_ft, both, a_ft=a_ft)) == farthest_ft(hill)


@pytest.mark.parametrize("road", [RoadKind.DIVIDED, RoadKind.ONE_WAY])
def test_other_roads_have_the_same_distances_and_a_least_one(
    table: MovedTable, moved: MovedRules, road: RoadKind
) -> None:
    assert moved.elsewhere_ft == 200  # 49 CFR 392.22(b)(2)(v)
    for speed_mph, a_ft, b_ft in itertools.product(
        SPEEDS_MPH, (None, 0.0, 50.0), (60.0, 190.0, 300.0, 500.0)
    ):
        two_lane = farthest_ft(answer(table, speed_mph, b_ft, a_ft=a_ft))
        other = farthest_ft(answer(table, speed_mph, b_ft, a_ft=a_ft, road=road))
        assert other == max(two_lane, moved.elsewhere_ft)


def test_the_look_back_is_the_engines_and_that_of_a_nearer_device_is_no_shorter(table: MovedTable) -> None:
    for at, speed_mph in enumerate(SPEEDS_MPH):
        situation = Situation(
            RoadKind.TWO_LANE, speed_mph, **US.reaches(table.visibility.id), hidden_behind_ft=10.0
        )
        view, need = simple_view(situation, Toward.BEHIND), needed_ft(US, situation, Toward.BEHIND)
        for row in table.looks:
            check = row.checks[at]
            assert (check.look_ft, check.look_s) == look_back(US, view, speed_mph, need, row.distance_ft)
        for distance_ft in range(100, 501, 10):
            upper = max((row for row in table.looks if row.distance_ft <= distance_ft), key=lambda r: r.paces)
            look_ft, look_s = look_back(US, view, speed_mph, need, float(distance_ft))
            assert upper.checks[at].look_ft >= look_ft
            assert upper.checks[at].look_s >= look_s


def test_the_look_back_table_reaches_from_the_rules_nearest_place_to_its_farthest(table: MovedTable) -> None:
    # 49 CFR 392.22(b)(2)(iv): 100 to 500 ft.
    assert [row.distance_ft for row in table.looks] == [100, 200, 300, 400, 500]
    assert [row.paces for row in table.looks] == [40, 80, 120, 160, 200]


def test_the_worked_example_is_the_engines_answer(table: MovedTable, moved: MovedRules) -> None:
    example = moved_example(table, moved)
    assert example is not None
    assert example.speed == "55 mph"
    placement = answer(table, 55.0, example.b_paces * 2.5, a_ft=example.a_paces * 2.5)
    assert farthest_ft(placement) == example.cell.distance_ft > 100


def test_the_night_example_can_be_worked_by_hand(moved: MovedRules) -> None:
    # To stop from 55 mph takes 492.5 ft (Green Book). B less A is 96 paces, 240 ft: 492.5 - 240 = 252.5 ft,
    # and the next whole step of 10 ft is 260 ft, 104 paces.
    night = next(table for table in TABLES if table.by_night)
    example = moved_example(night, moved)
    assert example is not None
    assert (example.a_paces, example.b_paces) == (20, 116)
    assert (example.cell.paces, example.cell.distance_ft, example.cell.ample) == (104, 260, True)


@pytest.mark.parametrize("name", [name for name in names() if name != "us"])
def test_rule_sets_that_move_nothing_for_a_hidden_view_have_no_table(name: str) -> None:
    rules: RuleSet = rule_file(name).rule_set
    assert rules.hidden is None
    assert moved_tables(rules) == ()
    assert moved_rules(rules) is None
