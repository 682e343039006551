"""Scenes solved once, however many outputs ask and however often a preview is built.

In: a rule set and a scene. Out: what the solver says, held by value: the same
question has the same answer, so nothing has to be forgotten when content changes.
Refuses to know who asks.
"""

from __future__ import annotations

from functools import lru_cache

from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import ScenePlacement, place_in_scene

HELD = 1024
"""Answers held at most: a classroom asks for each scene at some speeds and in some lights."""


@lru_cache(maxsize=HELD)
def solve_scene(rules: RuleSet, scene: Scene) -> ScenePlacement:
    """As :func:`place_in_scene`, with its errors; an equal question is not solved again."""
    return place_in_scene(rules, scene)
