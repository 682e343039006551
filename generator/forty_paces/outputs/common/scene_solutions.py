"""A cache of solved scenes, shared by all outputs and by repeated preview builds.

Results are cached by the values of rule set and scene, so that changed content never gets a stale result.
"""

from __future__ import annotations

from functools import lru_cache

from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import ScenePlacement, place_in_scene

HELD = 1024
"""Largest number of cached results; a classroom solves each scene at several speeds and in several lights."""


@lru_cache(maxsize=HELD)
def solve_scene(rules: RuleSet, scene: Scene) -> ScenePlacement:
    """As :func:`place_in_scene`, with its errors; equal arguments are solved once."""
    return place_in_scene(rules, scene)
