"""Pages of roads drawn to scale: sight lines, hidden stretches and every device of a scene.

Scenes are solved under the carrier's rule set; a scene that it does not cover has no page.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from forty_paces.drawing.formats import Size
from forty_paces.drawing.profile import draw_profile, shows_crest
from forty_paces.drawing.scene_plan import draw_scene
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import ScenePlacement, solve_scene
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.scenes import explain
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """``placing/roads.html`` and a page for each scene that the carrier's rule set covers."""
    rules = context.library.rules[context.library.fleet.rules].rule_set
    solved = tuple(_solved(rules, scene) for scene in context.library.scenes.values())
    shown = tuple(entry for entry in solved if entry is not None)
    yield context.page("placing/roads", "pages/scenes", scenes=tuple(entry.scene for entry in shown))
    for entry in shown:
        yield context.page(
            f"placing/roads/{entry.scene.id}",
            "pages/scene",
            rules=rules,
            scene=entry.scene,
            words=explain(rules, entry),
            placement=entry.placement,
            drawings=_drawings(entry, rules),
        )


@lru_cache(maxsize=64)
def _solved(rules: RuleSet, scene: Scene) -> ScenePlacement | None:
    try:
        return solve_scene(rules, scene)
    except LookupError:  # the rule set does not cover such a road or light
        return None


@cached_by_language(maxsize=64)  # a preview draws again after every edit, and few edits change a scene
def _drawings(solved: ScenePlacement, rules: RuleSet) -> tuple[tuple[str, str], ...]:
    drawn = []
    for size in (Size.WIDE, Size.TALL):
        drawn.append((size.value, draw_scene(solved, rules, prefix=f"plan-{size.value}", size=size)))
    if shows_crest(solved):
        for size in (Size.WIDE, Size.TALL):
            drawn.append((size.value, draw_profile(solved, rules, prefix=f"profile-{size.value}", size=size)))
    return tuple(drawn)
