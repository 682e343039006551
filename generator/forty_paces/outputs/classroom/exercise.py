"""The placing exercise: a standalone page where a learner sets devices and gets them marked.

A practice sheet deals situations of the scenes; of every four in a row, a lazy strategy is right in one at
most. A test is one of the site's matched forms, the same as on paper.

Every situation is solved at build time. Answers and available sight distances are in a table of whole feet,
or of whole meters under a rule set written in meters, and the page's script only looks them up and compares.
Nothing is sent to a server; results leave the device only as a file that the user saves. With scripts off,
the page is a list of situations with collapsed answers.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from forty_paces.drawing.scene_blank import (
    HALF,
    SCREEN,
    BlankPlan,
    blank_plan,
    blank_profile,
    reach_ft,
    rises_and_falls,
)
from forty_paces.drawing.scene_frame import DrawingArea
from forty_paces.geometry.records import RoadKind, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.walk import WALKING_SPEED_FPS
from forty_paces.messages.classroom import EXERCISE, TASK, VERDICTS, WRONG_ACROSS
from forty_paces.messages.classroom_answers import LEARNER
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.terms import across_short, across_words, sides_by_name
from forty_paces.outputs.classroom import how_many
from forty_paces.outputs.classroom.forms import SITE_NUMBER, site_forms
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.marking import counts, lazy_attempts, mark
from forty_paces.outputs.classroom.placing_slides import device_values, device_words, needed_words
from forty_paces.outputs.classroom.placing_tasks import Expected, Task, situations, tasks
from forty_paces.outputs.classroom.standalone import (
    ANSWERING,
    KEEPING,
    classroom_modules,
    standalone_page,
)
from forty_paces.outputs.classroom.worksheets import Worksheet
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

LEAST_REACH = {"ft": 550, "m": 165}
"Minimum value of the largest distance that can be set, by unit."
BEYOND_SHARE = 0.1
"How far beyond the rule's farthest device one can be set, as a share of that distance."
FLAG = 36.0
"From the edge of the pavement to where a set device is drawn, in page units."

SCRIPTS = (
    "seeded_random",
    "measure",
    "hundred",
    "marking",
    "score_rows",
    *KEEPING,
    *ANSWERING,
    "placing",
)
"""The page's scripts, in the order in which they build on each other."""


@dataclass(frozen=True, slots=True)
class DrawnRoad:
    """One road without its answer, as the template needs it."""

    above: str
    side: str
    "Empty where the road neither rises nor falls."


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page, under the fleet's rule set."""
    yield Artifact("classroom/placing.html", context.kept(exercise_html))


def exercise_html(context: BuildContext) -> str:
    """The complete page."""
    rules = context.library.rules[context.library.fleet.rules].rule_set
    groups, data, drawn = _exercise(rules, tuple(context.library.scenes.values()))
    data = {**data, "edition": context.library.edition.id}
    practice = groups[: data["practice"]]
    return standalone_page(
        context,
        "classroom/placing.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css"),
        modules=classroom_modules(SCRIPTS),
        data=data,
        data_json=inline_json(data),
        roads=drawn,
        plain=[_own(group) for group in practice],
        tests=[form["name"] for form in data["forms"]],
        hundreds=[how_many.blank(f"hundred-{toward}") for toward in Toward],
        assumed=how_many.assumed(rules),
        road_words={kind: TASK[f"road-{kind}"] for kind in RoadKind},
        pace=LengthFormat(rules).pace(),
        device_words=device_words,
    )


@cached_by_language(maxsize=2)  # a preview builds again after every edit; few edits change rules or scenes
def _exercise(
    rules: RuleSet, scenes: tuple[Scene, ...]
) -> tuple[tuple[tuple[Task, ...], ...], dict[str, Any], tuple[DrawnRoad, ...]]:
    """The tasks by scene, the script's data and the drawn roads."""
    practice = tasks(rules, situations(rules, scenes))
    tests = site_forms(rules)
    groups = practice + tuple((task,) for form in tests for task in form)
    plans = [
        blank_plan(group[0].solved, rules, prefix=f"road-{index}", room=_room(group[0].scene), flags=FLAG)
        for index, group in enumerate(groups)
    ]
    data = {
        **table(rules, groups, plans),
        "practice": len(practice),
        "forms": list(_forms(tests, len(practice))),
    }
    return groups, data, tuple(_drawn(rules, plan) for plan in plans)


def _forms(tests: tuple[tuple[Task, ...], ...], first: int) -> Iterator[dict[str, Any]]:
    """Each form with its name and the places of its roads, which begin at ``first``."""
    for variant, form in enumerate(tests):
        yield {
            "name": Worksheet(SITE_NUMBER, variant, form).name,
            "scenes": list(range(first, first + len(form))),
        }
        first += len(form)


def _room(scene: Scene) -> DrawingArea:
    """The whole width, or half of it where the road's profile stands beside."""
    return HALF if rises_and_falls(scene) else SCREEN


def _drawn(rules: RuleSet, plan: BlankPlan) -> DrawnRoad:
    solved, side = plan.solved, ""
    if rises_and_falls(solved.scene):
        side = blank_profile(solved, rules, prefix=f"{plan.prefix}-side", room=HALF)
    return DrawnRoad(plan.draw(), side)


def table(rules: RuleSet, groups: tuple[tuple[Task, ...], ...], plans: list[BlankPlan]) -> dict[str, Any]:
    """The data that the script looks up, as plain values for JSON.

    ``tasks`` are grouped by scene, as the random generator draws from them; ``lazy`` says where a lazy
    strategy is right. ``across`` and ``sides`` are words for a device's place. A task refers to its scene,
    its texts in ``lights`` and ``needs`` and its ``curves``: for each side, the warning distance with a
    device at each multiple of ``step``, rounded down. ``walk`` is the time in seconds for walking out and
    back, for each unit of distance. Lengths are in whole feet, or in whole meters if ``measure`` says so.
    """
    pool = _Pool()
    lengths, reach = LengthFormat(rules), reach_of(rules)
    return {
        **lengths.for_script(reach),
        "across": [across_words(words) for words in pool.across(groups)],
        "across_short": [across_short(words) for words in pool.across(groups)],
        "sides": sides_by_name(),
        "words": {**LEARNER, **EXERCISE},
        "verdicts": dict(VERDICTS),
        "wrong_across": dict(WRONG_ACROSS),
        "walk": walk_seconds(lengths),
        "step": lengths.step,
        "reach": reach,
        "scenes": [_scene(group[0], plan) for group, plan in zip(groups, plans, strict=True)],
        "tasks": [[_task(task, pool) for task in group] for group in groups],
        "lights": list(pool.lights),
        "needs": list(pool.needs),
        "curves": list(pool.curves),
        "whys": list(pool.whys),
        "hundred": how_many.for_script(),
    }


def walk_seconds(lengths: LengthFormat) -> float:
    """Seconds for walking out and back, for each unit of distance."""
    return round(2 * lengths.ft(1) / WALKING_SPEED_FPS, 4)


def reach_of(rules: RuleSet) -> int:
    """The largest distance that can be set, a multiple of the step in the rule set's unit."""
    lengths = LengthFormat(rules)
    beyond_ft = (1 + BEYOND_SHARE) * rules.farthest_ft
    steps = -(-lengths.up(beyond_ft) // lengths.step)
    return max(LEAST_REACH[lengths.unit], steps * lengths.step)


class _Pool:
    """Values shared by many tasks, each stored once and referred to by index."""

    def __init__(self) -> None:
        self.lights: dict[str, int] = {}
        self.needs: dict[str, int] = {}
        self.whys: dict[str, int] = {}
        self.curves: dict[tuple[int, ...], int] = {}
        self._across: dict[str, int] = {}

    def across(self, groups: tuple[tuple[Task, ...], ...]) -> dict[str, int]:
        for group in groups:
            for task in group:
                for device in task.expected:
                    self._across.setdefault(device.across, len(self._across))
        return self._across

    def where(self, across: str) -> int:
        return self._across[across]

    def light(self, words: str) -> int:
        return self.lights.setdefault(words, len(self.lights))

    def need(self, words: str) -> int:
        return self.needs.setdefault(words, len(self.needs))

    def why(self, words: str) -> int:
        return self.whys.setdefault(words, len(self.whys))

    def curve(self, numbers: tuple[int, ...]) -> int:
        return self.curves.setdefault(numbers, len(self.curves))


def _scene(task: Task, plan: BlankPlan) -> dict[str, Any]:
    scene = task.scene
    sides = (Toward.BEHIND, Toward.AHEAD)
    distances = _distances_ft(task.lengths)
    return {
        "title": scene.title,
        "place": scene.place,
        "road": TASK[f"road-{scene.kind}"],
        "stand": [_points(plan.stand(side, distance) for distance in distances) for side in sides],
        "flag": [_points(plan.flag(side, distance, FLAG) for distance in distances) for side in sides],
    }


def _distances_ft(lengths: LengthFormat) -> list[float]:
    """Every step up to the largest distance that can be set, as far as the road is drawn."""
    farthest = min(reach_of(lengths.rules), lengths.down(reach_ft(lengths.rules)))
    return [lengths.ft(count) for count in range(0, farthest + 1, lengths.step)]


def _points(points: Iterator[tuple[float, float]]) -> list[float]:
    return [round(value, 1) for point in points for value in point]


def _task(task: Task, pool: _Pool) -> dict[str, Any]:
    return {
        "id": task.id,
        "speed": task.lengths.posted_count(task.scene.speed_mph),
        "light": pool.light(task.light),
        "need": pool.need(needed_words(task, task.lengths.rules)),
        "sides": [_side(task, approach.toward, pool) for approach in task.solved.placement.approaches],
        "expected": [_expected(task.lengths, device, pool) for device in task.expected],
        "lazy": int(is_lazily_right(task)),
        "stops": [
            [pair[0].toward.value, *how_many.values(pair, task.lengths)]
            for pair in how_many.compared(task.solved, task.lengths.rules)
        ],
    }


def is_lazily_right(task: Task) -> bool:
    """Whether the situation counts for who never moves a device, or for who always goes as far as possible.

    Who goes far only where the view is hidden has looked at the road.
    """
    never, always, _ = lazy_attempts(task)
    return any(counts(mark(task.expected, attempt)) for attempt in (never, always))


def _side(task: Task, toward: Toward, pool: _Pool) -> dict[str, Any]:
    side, approach = task.side(toward), task.solved.placement.approach(toward)
    assert side is not None, "only sides that traffic comes from are asked for"
    assert approach is not None
    lengths = task.lengths
    warnings_ft = [side.view.warning_ft([tried]) for tried in _tried(task, toward)]
    needed = lengths.up(approach.needed_ft)  # rounded before the comparison, as the figures are shown
    ample = [lengths.down(warning) >= needed for warning in warnings_ft]
    return {
        "toward": toward.value,
        "needed": needed,
        "alone": lengths.down(approach.vehicle_only_ft),
        "alone_ample": lengths.down(approach.vehicle_only_ft) >= needed,
        "curve": pool.curve(tuple(lengths.down(warning) for warning in warnings_ft)),
        "ample": "".join("1" if enough else "0" for enough in ample),
    }


def _tried(task: Task, toward: Toward) -> Iterator[tuple[float, str]]:
    """Device positions to compute: every step, up to the farthest to which the rule set moves a device.

    The position across the road is that of the side's outermost device, or of another device at that device's
    distance.
    """
    lengths, rules = task.lengths, task.lengths.rules
    required = {
        lengths.own(device.distance_ft): device.across for device in task.expected if device.toward is toward
    }
    farthest = lengths.down(rules.hidden.to_ft) if rules.hidden else reach_of(rules)
    for count in range(lengths.step, farthest + 1, lengths.step):
        yield lengths.ft(count), required.get(count, required[max(required)] if required else "")


def _expected(lengths: LengthFormat, device: Expected, pool: _Pool) -> dict[str, Any]:
    return {
        **device_values(lengths, device),
        "paces": device.paces,
        "across": pool.where(device.across),
        "why": pool.why(device.why),
        "source": device.source,
    }


def _own(group: tuple[Task, ...]) -> Task:
    """The scene as written by its author, or the task nearest to it."""
    return min(group, key=lambda task: (task.light != group[0].light, abs(task.scene.speed_mph - 45)))
