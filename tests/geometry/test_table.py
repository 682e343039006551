"""The lookup table: every row equals the engine's answer, and the size stays small."""

import json
import math
import random
from dataclasses import replace

import pytest
from forty_paces.authoring.worked_examples import placement_table
from forty_paces.geometry import table_axes
from forty_paces.geometry.answer import as_values
from forty_paces.geometry.placement import place, streams
from forty_paces.geometry.records import RoadKind, Situation, Toward
from forty_paces.geometry.table import TableReader, build_table
from forty_paces.geometry.table_builder import TABLE_CAUSES
from forty_paces.geometry.table_pools import ALPHABET, code, place_of
from forty_paces.geometry.walk import walking_seconds

from tests.rule_files import names, rule_file

SMALL_BYTES = 140_000
"Share of a cab file that may have 1.2 MB."


@pytest.fixture(scope="module", params=names())
def rules(request):
    return rule_file(request.param)


@pytest.fixture(scope="module")
def reader(rules):
    return TableReader(placement_table(rules))


def situation(rules, axes, at):
    """The situation at six indexes on the axes."""
    road, speed, grade, visibility, behind, ahead = at
    return Situation(
        road=list(RoadKind)[road],
        speed_mph=axes.speeds_mph[speed],
        **rules.reaches(rules.visibility[visibility].id),
        hidden_by=TABLE_CAUSES,
        hidden_behind_ft=axes.hidden_ft[behind],
        hidden_ahead_ft=axes.hidden_ft[ahead],
        grade_pct=axes.grades_pct[grade],
    )


def every_row(rules, axes):
    """Each row of each side: one side takes every hidden distance while the other is clear."""
    for road, kind in enumerate(RoadKind):
        for speed in range(len(axes.speeds_mph)):
            for grade in range(len(axes.grades_pct)):
                for visibility in range(len(rules.visibility)):
                    for hidden in range(len(axes.hidden_ft)):
                        yield road, speed, grade, visibility, hidden, 0
                        if hidden and Toward.AHEAD in streams(kind):
                            yield road, speed, grade, visibility, 0, hidden


@pytest.mark.long
def test_every_row_is_what_the_engine_says(rules, reader):
    plain, axes = rules.rule_set, table_axes.axes_for(rules.rule_set)
    rows = 0
    for at in every_row(plain, axes):
        expected = as_values(place(plain, situation(plain, axes, at)))
        assert reader.lookup(*at) == expected, at
        rows += 1
    choices = len(axes.speeds_mph) * len(axes.grades_pct) * len(plain.visibility)
    assert rows == choices * (4 * len(axes.hidden_ft) - 1)


def test_both_sides_together_are_what_the_engine_says(rules, reader):
    plain, axes = rules.rule_set, table_axes.axes_for(rules.rule_set)
    chance = random.Random(40)
    sizes = [3, len(axes.speeds_mph), len(axes.grades_pct), len(plain.visibility)] + [len(axes.hidden_ft)] * 2
    for _ in range(1000):
        at = [chance.randrange(size) for size in sizes]
        assert reader.lookup(*at) == as_values(place(plain, situation(plain, axes, at))), at


def test_the_walk_of_any_two_outermost_places_is_twice_their_sum(reader):
    table = reader.table
    for layout in table["layouts"]:
        outer = {side: layout["outer"][side] for side in ("behind", "ahead")}
        for behind, one in enumerate(outer["behind"]):
            for ahead, other in enumerate(outer["ahead"]):
                place_in_grid = behind * len(outer["ahead"]) + ahead
                walk = place_of(layout["walk"][2 * place_in_grid : 2 * place_in_grid + 2])
                lengths = table["lengths"]["ft"]
                expected_ft = 2 * (lengths[one] + lengths[other])
                assert table["walks"]["ft"][walk] == pytest.approx(expected_ft, abs=0.3)
                assert table["walks"]["seconds"][walk] == walking_seconds(table["walks"]["ft"][walk])


def test_the_worked_examples_stand_in_the_table_as_they_were_worked_out(rules, reader):
    written = {example.id for example in rules.examples}
    carried = reader.table["examples"]
    assert {example["id"] for example in carried} <= written
    assert len(carried) >= 2
    assert reader.disagreements() == []


def test_the_federal_table_carries_every_example_on_its_axes():
    carried = {e["id"] for e in TableReader(placement_table(rule_file("us"))).table["examples"]}
    # The table has no axis for where a curve begins or an obstruction ends.
    off_the_axes = {
        "whole-steps",
        "curve-ahead",
        "both-sides",
        "divided-curve",
        "hill-known",
        "bend-and-hill",
    }
    assert carried == {example.id for example in rule_file("us").examples} - off_the_axes


def test_a_table_that_lies_is_found_out_by_its_own_examples():
    table = json.loads(placement_table(rule_file("us")))
    table["lengths"]["own"] = [length + 10 for length in table["lengths"]["own"]]
    assert TableReader(json.dumps(table)).disagreements() == [e["id"] for e in table["examples"]]
    table = json.loads(placement_table(rule_file("us")))
    table["needed"]["own"][0] += 1  # a row that no example uses
    assert TableReader(json.dumps(table)).disagreements() == []
    table["needed"]["own"] = [length + 1 for length in table["needed"]["own"]]
    assert TableReader(json.dumps(table)).disagreements() == [e["id"] for e in table["examples"]]


def test_the_table_is_small(rules):
    assert len(placement_table(rules).encode()) < SMALL_BYTES


def test_the_same_rules_always_make_the_same_table(rules):
    assert placement_table(rules) == placement_table(rules)


def test_a_reader_that_does_not_know_the_version_says_so():
    table = json.loads(build_table(rule_file("us").rule_set))
    table["version"] = 99
    with pytest.raises(ValueError, match="does not know version 99"):
        TableReader(json.dumps(table))


def test_of_two_devices_at_one_distance_the_table_moves_the_one_that_the_engine_moves():
    plain = rule_file("us").rule_set
    axes = table_axes.axes_for(plain)
    layouts = [
        replace(
            layout,
            devices=tuple(
                replace(layout.devices[-1], toward=Toward.BEHIND, distance_ft=100.0, across=across)
                for across in ("traffic side", "center of lane or shoulder")
            ),
        )
        for layout in plain.layouts
    ]
    paired = replace(plain, layouts=tuple(layouts))
    pair_reader = TableReader(build_table(paired))
    for hidden in range(len(axes.hidden_ft)):
        at = (0, 8, 2, 0, hidden, 0)
        assert pair_reader.lookup(*at) == as_values(place(paired, situation(paired, axes, at)))


def test_what_the_documentation_says_of_columns_holds(reader):
    table = reader.table
    for name in ("lengths", "warnings", "needed", "shortfalls", "walks"):
        assert len({len(column) for column in table[name].values()}) == 1, name
    axes = table["axes"]
    grades, visibilities = len(axes["grade"]["pct"]), len(axes["visibility"]["id"])
    speeds, hidden = len(axes["speed"]["mph"]), len(axes["hidden"]["length"])
    assert len(table["needed"]["ft"]) == speeds * grades
    assert len(table["vehicle"]) == hidden * visibilities
    assert all(len(grid) == 2 * speeds * grades * visibilities for grid in table["grids"])
    assert all(len(block) == 2 * hidden for block in table["blocks"])
    assert table["lengths"]["ft"] == sorted(table["lengths"]["ft"])
    assert all(len(table["layout"][road]) == speeds for road in axes["road"])
    assert axes["grade"]["mirror"] == [grades - 1 - place for place in range(grades)]
    assert axes["visibility"]["id"][axes["visibility"]["default"]] == "night"
    assert table["alphabet"] == ALPHABET


def test_the_vehicle_alone_gives_the_nearer_of_hiding_place_and_range(rules, reader):
    plain, axes = rules.rule_set, table_axes.axes_for(rules.rule_set)
    expected = [
        round(plain.down_ft(min(hidden_ft, entry.detection_ft)), 1)
        for hidden_ft in axes.hidden_ft
        for entry in plain.visibility
    ]
    table = reader.table
    assert [table["warnings"]["ft"][warning] for warning in table["vehicle"]] == expected


def test_no_slot_is_left_open_in_an_answer(reader):
    answer = json.dumps(reader.lookup(0, 5, 1, 0, 6, 3))
    assert "{" not in answer.replace('{"', "").replace(": {", "").replace(", {", "").replace("[{", "")


@pytest.mark.parametrize("place_in_pool", [0, 1, 87, 88, 89, 7743])
def test_codes_come_back_as_places(place_in_pool):
    assert place_of(code(place_in_pool)) == place_in_pool


@pytest.mark.parametrize("place_in_pool", [-1, 7744])
def test_places_that_do_not_fit_are_refused(place_in_pool):
    with pytest.raises(ValueError, match="does not fit"):
        code(place_in_pool)


def test_situations_off_the_axes_have_no_place():
    rules = rule_file("us").rule_set
    axes = table_axes.axes_for(rules)
    on = Situation(
        RoadKind.TWO_LANE,
        55.0,
        250.0,
        300.0,
        math.inf,
        -6.0,
        reflecting_ft=500.0,
        hidden_by=TABLE_CAUSES,
    )
    assert table_axes.places(rules, axes, on) == [0, 8, 0, 0, 6, 0]
    assert situation(rules, axes, [0, 8, 0, 0, 6, 0]) == on
    for off in (
        replace(on, hidden_behind_ft=301.0),
        replace(on, reflecting_ft=None),
        replace(on, hidden_from_ft=0.0),
        replace(on, hidden_to_ft=400.0),
    ):
        assert table_axes.places(rules, axes, off) is None
