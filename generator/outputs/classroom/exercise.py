"""The placing exercise: a standalone page where a learner sets devices and gets them marked.

In: a press. Out: ``classroom/placing.html``, with every situation solved, every
answer and every warning in a table. The script of the page looks up and compares,
and keeps what it knows to itself: no server is asked, and results leave the device
only as a file that somebody saves. With scripts off it is a list of situations with
their answers folded away.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from generator.drawing.scene_blank import SCREEN, BlankPlan, blank_plan
from generator.geometry import units
from generator.geometry.records import RoadKind, Toward
from generator.outputs.artifact import Artifact
from generator.outputs.classroom.marking import VERDICT_WORDS
from generator.outputs.classroom.placing_tasks import Expected, Task, situations, tasks
from generator.outputs.classroom.standing import standing_alone
from generator.outputs.press import Press
from generator.outputs.sealed import embedded

STEP_FT = 10
REACH_FT = 550
"Farthest distance that can be set."
FLAG = 36.0
"From the pavement's edge to where a set device is drawn, in page units."

ROAD_WORDS = {
    RoadKind.TWO_LANE: "two-lane road, traffic both ways",
    RoadKind.DIVIDED: "divided road, traffic from behind only",
    RoadKind.ONE_WAY: "one-way road, traffic from behind only",
}


def artifacts(press: Press) -> Iterator[Artifact]:
    """The page, under the rule set that the fleet works by."""
    yield Artifact("classroom/placing.html", exercise_html(press))


def exercise_html(press: Press) -> str:
    """The whole page."""
    rules = press.library.rules[press.library.fleet.rules].rule_set
    groups = tasks(rules, situations(rules, press.library.scenes.values()))
    plans = [
        blank_plan(group[0].solved, rules, prefix=f"road-{index}", room=SCREEN)
        for index, group in enumerate(groups)
    ]
    data = table(groups, plans)
    return standing_alone(
        press,
        "classroom/placing.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css"),
        scripts=("classroom/lots.js", "classroom/marking.js", "classroom/scores.js", "classroom/placing.js"),
        data=data,
        data_json=embedded(data),
        roads=[plan.draw() for plan in plans],
        plain=[_own(group) for group in groups],
        road_words=ROAD_WORDS,
        pace=units.number(rules.pace_ft, 1),
    )


def table(groups: tuple[tuple[Task, ...], ...], plans: list[BlankPlan]) -> dict[str, Any]:
    """Everything the script looks up, as plain values for JSON.

    ``tasks`` are grouped by scene, as the lots deal them. A task names its scene, its line of
    ``lights`` and its ``curves``: for each side the warning with a device at every tenth foot
    from 10 ft on, in whole feet rounded down.
    """
    pool = _Pool()
    return {
        "across": list(pool.across(groups)),
        "verdicts": {verdict.value: words for verdict, words in VERDICT_WORDS.items()},
        "step": STEP_FT,
        "reach": REACH_FT,
        "scenes": [_scene(group[0], plan) for group, plan in zip(groups, plans, strict=True)],
        "tasks": [[_task(task, pool) for task in group] for group in groups],
        "lights": list(pool.lights),
        "curves": list(pool.curves),
        "whys": list(pool.whys),
    }


class _Pool:
    """Values that many tasks share, each kept once."""

    def __init__(self) -> None:
        self.lights: dict[str, int] = {}
        self.whys: dict[str, int] = {}
        self.curves: dict[tuple[int, ...], int] = {}
        self._across: dict[str, int] = {}

    def across(self, groups: tuple[tuple[Task, ...], ...]) -> dict[str, int]:
        for group in groups:
            for task in group:
                for one in task.expected:
                    self._across.setdefault(one.across, len(self._across))
        return self._across

    def where(self, across: str) -> int:
        return self._across[across]

    def light(self, words: str) -> int:
        return self.lights.setdefault(words, len(self.lights))

    def why(self, words: str) -> int:
        return self.whys.setdefault(words, len(self.whys))

    def curve(self, numbers: tuple[int, ...]) -> int:
        return self.curves.setdefault(numbers, len(self.curves))


def _scene(task: Task, plan: BlankPlan) -> dict[str, Any]:
    scene = task.scene
    sides = (Toward.BEHIND, Toward.AHEAD)
    return {
        "title": scene.title,
        "place": scene.place,
        "road": ROAD_WORDS[scene.kind],
        "stand": [_points(plan.stand(side, distance) for distance in _distances()) for side in sides],
        "flag": [_points(plan.flag(side, distance, FLAG) for distance in _distances()) for side in sides],
    }


def _distances() -> range:
    return range(0, REACH_FT + 1, STEP_FT)


def _points(found: Iterator[tuple[float, float]]) -> list[float]:
    return [round(value, 1) for point in found for value in point]


def _task(task: Task, pool: _Pool) -> dict[str, Any]:
    return {
        "id": task.id,
        "speed": round(task.scene.speed_mph),
        "light": pool.light(task.light),
        "sides": [_side(task, approach.toward, pool) for approach in task.solved.placement.approaches],
        "expected": [_expected(one, pool) for one in task.expected],
    }


def _side(task: Task, toward: Toward, pool: _Pool) -> dict[str, Any]:
    side, approach = task.side(toward), task.solved.placement.approach(toward)
    assert side is not None, "only sides that traffic comes from are asked for"
    assert approach is not None
    points = [point for point in side.curve if point.distance_ft % STEP_FT == 0]
    ample = [point.warning_ft >= approach.needed_ft for point in points]
    return {
        "toward": toward.value,
        "needed": int(units.whole_up(approach.needed_ft)),
        "alone": int(units.whole_down(approach.vehicle_only_ft)),
        "alone_ample": approach.vehicle_only_ft >= approach.needed_ft,
        "curve": pool.curve(tuple(int(units.whole_down(point.warning_ft)) for point in points)),
        "ample": "".join("1" if one else "0" for one in ample),
    }


def _expected(one: Expected, pool: _Pool) -> dict[str, Any]:
    return {
        "toward": one.toward.value,
        "distance": one.distance_ft,
        "paces": one.paces,
        "across": pool.where(one.across),
        "low": one.low_ft,
        "high": one.high_ft,
        "open": [list(run) for run in one.open_ft],
        "step": one.step_ft,
        "why": pool.why(one.why),
        "source": one.source,
    }


def _own(group: tuple[Task, ...]) -> Task:
    """The task as the scene's author wrote it, or the nearest to it."""
    return min(group, key=lambda task: (task.light != group[0].light, abs(task.scene.speed_mph - 45)))
