"""Scenes solved once: the same answer as the solver's, the same errors, and no second computation."""

from __future__ import annotations

from dataclasses import replace

import pytest
from forty_paces.geometry import solver
from forty_paces.geometry.solver import place_in_scene

from tests.drawing.samples import RULES, SCENE_NAMES, US, scene


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_an_answer_held_is_the_solver_s(name: str) -> None:
    assert place_in_scene(US, scene(name)) == solver.solve_scene(US, scene(name))


def test_an_equal_question_is_not_solved_again(monkeypatch: pytest.MonkeyPatch) -> None:
    solver.solve_scene.cache_clear()
    asked = []
    monkeypatch.setattr(
        solver, "place_in_scene", lambda *given: asked.append(given) or place_in_scene(*given)
    )
    here = scene("quarry-bend")
    for speed_mph in (40.0, 40.0, 45.0, 40.0):
        solver.solve_scene(US, replace(here, speed_mph=speed_mph))
    assert [40.0, 45.0] == [given.speed_mph for _, given in asked]
    solver.solve_scene.cache_clear()


def test_another_rule_set_is_another_question() -> None:
    here = scene("sawmill-straight")
    assert solver.solve_scene(US, here) != solver.solve_scene(RULES["ontario"], here)


def test_what_cannot_be_answered_is_refused_as_the_solver_refuses_it() -> None:
    with pytest.raises(LookupError):
        solver.solve_scene(US, replace(scene("sawmill-straight"), visibility="moonlight", detection_ft=None))
