"""Scenes solved once: the same answer as the solver's, the same errors, and no second computation."""

from __future__ import annotations

from dataclasses import replace

import pytest
from forty_paces.geometry import sight, solver
from forty_paces.geometry.solver import place_in_scene

from tests.drawing.samples import RULES, SCENE_NAMES, US, scene


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_an_answer_held_is_the_solver_s(name: str) -> None:
    assert place_in_scene(US, scene(name)) == solver.solve_scene(US, scene(name))


def test_an_equal_question_is_not_solved_again(monkeypatch: pytest.MonkeyPatch) -> None:
    solver.solve_scene.cache_clear()
    asked = []
    monkeypatch.setattr(
        solver,
        "place_in_scene",
        lambda *given, **named: asked.append(given) or place_in_scene(*given, **named),
    )
    here = scene("quarry-bend")
    for speed_mph in (40.0, 40.0, 45.0, 40.0):
        solver.solve_scene(US, replace(here, speed_mph=speed_mph))
    assert [40.0, 45.0] == [given.speed_mph for _, given in asked]
    solver.solve_scene.cache_clear()


@pytest.mark.parametrize("name", ["drover-crest", "basin-highway-right", "otter-bends", "heron-creek-bend"])
def test_what_is_remembered_of_a_road_is_what_would_be_found_again(name: str) -> None:
    """In dark and light, slow and fast, near and far, in an order in which ranges fall and rise."""
    sight.known_viewers.cache_clear()
    here = scene(name)
    for speed_mph in (70.0, 25.0, 50.0):
        for reach_ft in (900.0, 150.0, 2_000.0, 400.5, 1_500.0):
            tried = replace(here, speed_mph=speed_mph, visibility=None, detection_ft=reach_ft)
            afresh = place_in_scene(US, tried)
            remembered = place_in_scene(US, tried, observers=sight.remembering_viewers)
            assert afresh == remembered, (speed_mph, reach_ft)
            for side, again in zip(afresh.sides, remembered.sides, strict=True):
                for spot in side.tried:
                    for lane, other in zip(side.view.lanes, again.view.lanes, strict=True):
                        assert lane.device_sight(*spot) == other.device_sight(*spot), (speed_mph, reach_ft)
    assert sight.known_viewers.cache_info().misses <= 2, "one group of observers for each direction"


def test_another_rule_set_is_another_question() -> None:
    here = scene("sawmill-straight")
    assert solver.solve_scene(US, here) != solver.solve_scene(RULES["ontario"], here)


def test_what_cannot_be_answered_is_refused_as_the_solver_refuses_it() -> None:
    with pytest.raises(LookupError):
        solver.solve_scene(US, replace(scene("sawmill-straight"), visibility="moonlight", detection_ft=None))
