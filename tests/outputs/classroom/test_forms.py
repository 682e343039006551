"""Matched tests: every form has the same make, is solved by the engine, and fails the lazy strategies."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from forty_paces.geometry.records import Toward
from forty_paces.geometry.scene import Light
from forty_paces.geometry.solver import place_in_scene
from forty_paces.outputs.classroom.documents import class_papers
from forty_paces.outputs.classroom.forms import (
    NoForm,
    RoadPurpose,
    difficulty,
    form_tasks,
    kind_of,
    makes_forms,
    site_forms,
)
from forty_paces.outputs.classroom.marking import SetDevice, counts, lazy_attempts, mark
from forty_paces.outputs.classroom.placing_tasks import Task
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PAPERS

from tests.outputs.classroom.lesson_samples import PROJECT, real_library
from tests.soaking import cases

RULES = real_library().rules["us"].rule_set
NUMBERS = range(cases(6, soak=400))


def share(tasks: tuple[Task, ...], attempts: list[tuple[SetDevice, ...]]) -> float:
    """The share of situations that count."""
    right = [counts(mark(task.expected, attempt)) for task, attempt in zip(tasks, attempts, strict=True)]
    return sum(right) / len(right)


@pytest.mark.soak
def test_every_form_has_the_same_make_and_both_lazy_strategies_stay_under_30_percent() -> None:
    for number in NUMBERS:
        tasks = form_tasks(RULES, number, 0)
        assert Counter(map(kind_of, tasks)) == dict.fromkeys(RoadPurpose, 1), number
        moved = [sum(device.moved for device in task.expected) for task in tasks]
        assert sum(moved) == 3, number
        assert all(
            (kind_of(t) is RoadPurpose.STRAIGHT) == (n == 0) for t, n in zip(tasks, moved, strict=True)
        )
        never, out, _ = zip(*(lazy_attempts(task) for task in tasks), strict=True)
        assert share(tasks, list(never)) == 0.25, number
        assert share(tasks, list(out)) == 0.0, number
        computed = [
            tuple(SetDevice(one.toward, one.distance_ft, one.across) for one in task.expected)
            for task in tasks
        ]
        assert share(tasks, computed) == 1.0, number


def test_the_answers_are_the_engines_own_and_no_nearer_place_is_right() -> None:
    for task in form_tasks(RULES, 7, 2):
        solved = place_in_scene(RULES, task.scene).placement
        placed = {(one.toward, one.distance_ft) for one in solved.devices}
        assert {(one.toward, one.distance_ft) for one in task.expected} == placed
        for one in task.expected:
            if one.moved:
                assert one.low_ft >= one.distance_ft
                approach = solved.approach(one.toward)
                assert approach is not None
                assert approach.ample


def test_a_trap_looks_hidden_on_the_side_whose_device_stays() -> None:
    for number in range(4):
        (trap,) = (task for task in form_tasks(RULES, number, 0) if kind_of(task) is RoadPurpose.TRAP)
        (moves,) = (one.toward for one in trap.expected if one.moved)
        other = Toward.AHEAD if moves is Toward.BEHIND else Toward.BEHIND
        side = trap.side(other)
        assert side is not None
        assert side.hidden_ft < 1.2 * RULES.hidden.within_ft


def test_titles_agree_with_the_light_and_difficulty_stands_beside_the_road() -> None:
    for number in range(4):
        for task in form_tasks(RULES, number, 1):
            scene = task.scene
            assert ("night" in scene.title) == (scene.light is Light.NIGHT) == (scene.visibility == "night")
            assert f"({difficulty(task)})" in scene.place
            assert not re.search(r"trap|moved|hidden", scene.title)


def test_the_same_number_gives_the_same_roads_and_neighbors_differ() -> None:
    first = [task.scene for task in form_tasks(RULES, 3, 0)]
    form_tasks.cache_clear()
    assert first == [task.scene for task in form_tasks(RULES, 3, 0)]
    assert not {scene.road for scene in first if "straight" not in scene.id} & {
        task.scene.road for task in form_tasks(RULES, 3, 1)
    }


def test_a_class_gets_one_file_and_its_keys_another() -> None:
    context = BuildContext(real_library(), PROJECT / "site_overrides")
    sheets, keys = class_papers(context, PAPERS["letter"], number=3, variants=2)
    assert ("classroom/sheets/test-3-class", "classroom/sheets/test-3-keys") == (sheets.path, keys.path)
    assert [2, 0] == [
        len(re.findall(r"<main aria-label=\"Test 3 [AB]\"", one.html)) for one in (sheets, keys)
    ]
    assert "Answer key of test 3 B" in keys.html
    assert keys.pages == 8
    assert "Answer key" not in sheets.html
    for one in (sheets, keys):
        ids = re.findall(r"\bid=\"([^\"]+)\"", one.html)
        assert len(ids) == len(set(ids))


def test_a_rule_set_that_moves_no_device_makes_no_form() -> None:
    with pytest.raises(NoForm, match="no device moves"):
        form_tasks(real_library().rules["germany"].rule_set, 1, 0)


@pytest.mark.parametrize("toward", list(Toward))
def test_a_rule_set_with_devices_on_one_side_alone_makes_no_form(toward: Toward) -> None:
    """Two sides look alike in a trap, so without the other side there is none."""
    layouts = tuple(
        replace(one, devices=tuple(device for device in one.devices if device.toward is toward))
        for one in RULES.layouts
    )
    rules = replace(RULES, layouts=layouts)
    assert not makes_forms(rules)
    assert () == site_forms(rules)
    with pytest.raises(NoForm):
        form_tasks(rules, 1, 0)
