"""Command, cab script, drawing and printed tables give one answer, on the same situations in every rule set.

Each situation is put to all of them as a user would: typed as options, tapped as choices, looked up.
"""

from __future__ import annotations

import json
import math
import random
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.cli import main
from forty_paces.commands import place as place_verb
from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic import draw_placement
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import HiddenBy, Placement, RoadKind, RuleSet, Situation, Surface, Toward
from forty_paces.geometry.walk import walking_order
from forty_paces.messages.answer import as_values
from forty_paces.messages.quantities import MILE_STEPS, hidden_length, length, paces, posted_speeds
from forty_paces.outputs.cab.placement_data import GRADES_PCT, placement_data, speeds
from forty_paces.outputs.cab.screens import base_tables
from forty_paces.outputs.common.moved_distances import MovedTable, moved_rules, moved_tables

from tests.drawing.samples import SVG
from tests.outputs.cab.test_placement_script import run_script
from tests.rule_files import PROJECT, names, rule_file, unknown_end_ft

SITUATIONS = 100
"For each rule set: 600 in all."
CAUSES: tuple[tuple[HiddenBy, ...], ...] = (
    (HiddenBy.CURVE,),
    (HiddenBy.HILL,),
    (HiddenBy.OBSTRUCTION,),
    (HiddenBy.CURVE, HiddenBy.HILL),
)


@dataclass(frozen=True)
class Asked:
    """One situation, in whole units of the rule set and by the places of the script's choices."""

    road: RoadKind
    speed: int
    grade: int
    visibility: int
    surface: Surface
    by: tuple[HiddenBy, ...]
    sights: dict[Toward, int | None]
    near: int | None
    far: int | None


def asked(rules: RuleSet) -> list[Asked]:
    """Every road, speed, light and cause, combined by a fixed seed; half are level, as the tables are."""
    chance = random.Random(f"one answer {rules.id}")
    unit_ft = rules.unit_ft
    roads, level = list(RoadKind), GRADES_PCT.index(0.0)
    posted = [int(rules.posted(mph)) for mph, _ in posted_speeds(rules)]
    choices = [int(rules.posted(mph)) for mph in speeds(rules)]
    made = []
    for at in range(SITUATIONS):
        by = CAUSES[at % 4]
        plain = at % 2 == 0
        sights = {
            toward: chance.choice((None, chance.randrange(0, int(620 / unit_ft)), int(500 / unit_ft)))
            for toward in Toward
        }
        beside = by == (HiddenBy.OBSTRUCTION,)
        most = max([30, *(sight for sight in sights.values() if sight)])
        made.append(
            Asked(
                road=roads[at % 3],
                speed=choices.index(chance.choice(posted)) if plain else chance.randrange(len(choices)),
                grade=level if plain else chance.randrange(len(GRADES_PCT)),
                visibility=chance.randrange(len(rules.visibility)),
                surface=Surface.NORMAL if plain else chance.choice(list(Surface)),
                by=by,
                sights=sights,
                near=None if beside else chance.choice((None, 0, chance.randrange(most))),
                far=chance.choice((None, chance.randrange(most))) if beside else None,
            )
        )
    return made


def situation(rules: RuleSet, one: Asked) -> Situation:
    def ft(count: int | None) -> float | None:
        return None if count is None else count * rules.unit_ft

    seen = {
        toward: math.inf if count is None else count * rules.unit_ft for toward, count in one.sights.items()
    }
    return Situation(
        road=one.road,
        speed_mph=speeds(rules)[one.speed],
        **rules.reaches(rules.visibility[one.visibility].id),
        hidden_behind_ft=seen[Toward.BEHIND],
        hidden_ahead_ft=seen[Toward.AHEAD],
        grade_pct=GRADES_PCT[one.grade],
        surface=one.surface,
        hidden_by=one.by,
        hidden_from_ft=ft(one.near),
        hidden_to_ft=ft(one.far),
    )


@pytest.fixture(scope="module", params=names())
def rules_of_file(request: pytest.FixtureRequest) -> RuleFile:
    return rule_file(request.param)


@pytest.fixture(scope="module")
def answers(rules_of_file: RuleFile) -> list[tuple[Asked, Placement]]:
    rules = rules_of_file.rule_set
    return [(one, place(rules, situation(rules, one))) for one in asked(rules)]


def test_they_are_more_than_500_situations_and_reach_every_kind_of_answer() -> None:
    assert SITUATIONS * len(names()) >= 500
    federal = rule_file("us").rule_set
    placements = [place(federal, situation(federal, one)) for one in asked(federal)]
    assert sum(device.moved for one in placements for device in one.devices) >= 20
    assert {side.ample for one in placements for side in one.approaches} == {True, False}


def options(rules: RuleSet, one: Asked) -> list[str]:
    words = ["--rules", rules.id, "--road", str(one.road)]
    words += [
        "--speed",
        f"{rules.posted(speeds(rules)[one.speed]):g}",
        "--grade",
        f"{GRADES_PCT[one.grade]:g}",
    ]
    words += ["--visibility", rules.visibility[one.visibility].id, "--surface", str(one.surface)]
    hidden = {f"--hidden-{toward}": count for toward, count in one.sights.items() if count is not None}
    if hidden:
        words += [word for name, count in hidden.items() for word in (name, str(count))]
        words += [word for cause in one.by for word in ("--hidden-by", str(cause))]
        words += [] if one.near is None else ["--hidden-from", str(one.near)]
        words += [] if one.far is None else ["--hidden-to", str(one.far)]
    return words


def test_the_command_gives_the_engines_answer(
    rules_of_file: RuleFile, answers: list[tuple[Asked, Placement]], monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = rules_of_file.rule_set
    monkeypatch.setattr(place_verb, "rule_set_in_force", lambda project, name: rules)
    for one, answer in answers:
        words = ["place", "--project", str(PROJECT), "--json", *options(rules, one)]
        run = CliRunner().invoke(main, words)
        assert run.exit_code == 0, run.output
        values = json.loads(run.stdout)
        assert {key: values[key] for key in as_values(rules, answer)} == as_values(rules, answer), words


def test_the_cab_script_gives_the_engines_answer(
    rules_of_file: RuleFile, answers: list[tuple[Asked, Placement]], tmp_path: Path
) -> None:
    rules = rules_of_file.rule_set
    made: list[dict[str, Any]] = []
    for one, _ in answers:
        where = situation(rules, one)
        made.append(
            {
                "road": str(one.road),
                "speed": one.speed,
                "grade": one.grade,
                "surface": str(one.surface),
                "visibility": one.visibility,
                "hidden": {
                    str(toward): None
                    if count is None
                    else {
                        "by": [str(cause) for cause in one.by],
                        "sight_ft": count * rules.unit_ft,
                        "near_ft": where.hidden_from_ft,
                        "far_ft": where.hidden_to_ft,
                    }
                    for toward, count in one.sights.items()
                },
            }
        )
    computed = run_script(placement_data(rules_of_file), tmp_path, situations=made, looks=[])["placements"]
    for (one, answer), values in zip(answers, computed, strict=True):
        values.pop("vehicle_only_ft")
        assert values == as_values(rules, answer), one


def test_the_drawing_shows_the_engines_answer(
    rules_of_file: RuleFile, answers: list[tuple[Asked, Placement]]
) -> None:
    rules = rules_of_file.rule_set
    for one, answer in answers:
        where = situation(rules, one)
        root = ElementTree.fromstring(draw_placement(answer, rules, where, prefix="d", size=Size.TALL))
        texts = ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]
        shown = sorted(text for text in texts if re.fullmatch(r"\d+ paces?", text))
        paced = [device for device in answer.devices if device.distance_ft]
        assert shown == sorted(paces(device.paces) for device in paced), one
        for device in paced:
            assert length(rules, device.distance_ft) in texts, one
        numbers = sorted(text for text in texts if re.fullmatch(r"\d", text))
        assert numbers == [str(at) for at, _ in enumerate(walking_order(answer.devices), 1)], one
        words = " ".join(texts)
        for toward, count in one.sights.items():
            if count is not None and (toward is Toward.BEHIND or one.road is RoadKind.TWO_LANE):
                assert hidden_length(rules, count * rules.unit_ft) in words, one


def outermost_ft(answer: Placement) -> float:
    return max(device.distance_ft for device in answer.devices if device.toward is Toward.BEHIND)


def read(rules: RuleSet, table: MovedTable, one: Asked) -> tuple[float, str]:
    """Where the printed table sends the far device behind, and how it was found.

    "row": by a row or a rule that is exactly this place; "between": by the upper of two rows; "dash": by the
    rule for a device that is not counted.
    """
    moved_table = moved_rules(rules)
    assert moved_table is not None
    at = table.speeds.index(posted_speeds(rules)[MILE_STEPS.index(speeds(rules)[one.speed])][1])
    b_ft = one.sights[Toward.BEHIND]
    least_ft = 100.0 if one.road is RoadKind.TWO_LANE else moved_table.elsewhere_ft
    assert b_ft is not None
    assert least_ft is not None
    stays_ft = table.stays_ft[at]
    if b_ft > moved_table.hidden.within_ft or (stays_ft is not None and b_ft >= stays_ft):
        return least_ft, "row"
    if one.far is not None:
        past_ft = math.ceil((one.far + 10) / 10) * 10.0
        if past_ft > moved_table.hidden.to_ft:
            return least_ft, "row"
        return max(least_ft, table.beside[at].distance_ft, past_ft), "row"
    unknown_ft = max(least_ft, unknown_end_ft(moved_table.hidden, b_ft))
    if one.near is None:
        return unknown_ft, "row"
    rows = [(row.hill_ft if HiddenBy.HILL in one.by else row.bend_ft, row.cells[at]) for row in table.views]
    upper = [(from_ft, cell) for from_ft, cell in rows if from_ft <= b_ft - one.near]
    if not upper or (cell := upper[-1][1]) is None:
        return unknown_ft, "dash"
    on_it = upper[-1][0] == b_ft - one.near or upper[-1][0] >= table.visibility.detection_ft
    return max(least_ft, cell.distance_ft), "row" if on_it else "between"


def test_the_printed_tables_are_the_engines_answer_and_between_rows_no_nearer() -> None:
    rules = rule_file("us").rule_set
    tables = moved_tables(rules)
    found = dict.fromkeys(("row", "between", "dash"), 0)
    for one in asked(rules):
        if one.sights[Toward.BEHIND] is None or one.grade != GRADES_PCT.index(0.0):
            continue
        if one.surface is not Surface.NORMAL or speeds(rules)[one.speed] not in MILE_STEPS:
            continue
        engine_ft = outermost_ft(place(rules, situation(rules, one)))
        printed_ft, how = read(rules, tables[one.visibility], one)
        assert how != "row" or printed_ft == engine_ft, one
        assert how != "between" or printed_ft >= engine_ft, one
        found[how] += 1
    assert found["row"] >= 15
    assert min(found.values()) >= 1


def test_the_printed_tables_have_the_devices_where_nothing_is_hidden(rules_of_file: RuleFile) -> None:
    rules = rules_of_file.rule_set
    shared = {}
    for layout in rules.layouts:
        key = (layout.devices, layout.speed_from_mph, layout.speed_below_mph)
        shared.setdefault(key, []).append(layout)
    for table, layouts in zip(base_tables(rules), shared.values(), strict=True):
        for layout in layouts:
            low, high = layout.speed_from_mph, layout.speed_below_mph
            speed_mph = low + 1 if math.isinf(high) else (max(low, 10.0) + high) / 2
            answer = place(rules, Situation(layout.road, speed_mph, **rules.reaches()))
            assert [row.across for row in table.rows] == [device.across for device in layout.devices]
            for row, rule in zip(table.rows, layout.devices, strict=True):
                assert length(rules, rule.distance_ft) in row.distance
            fixed = {rule.distance_ft for rule in layout.devices if rule.at_most_ft is None}
            assert fixed <= {device.distance_ft for device in answer.devices}
