"""The ten-minute drill: from the stop to the last device and back, act by act, against the rule's clock.

The acts in the cab and their reasons are the steps of the procedure for warning devices. Devices, distances
and seconds on foot are computed for the scene; the time for thinking is the learner's own. Choices that must
not be made stand among the right ones, each with what it would cost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from forty_paces.authoring.models.procedure import Procedure, Step
from forty_paces.drawing.scene_blank import SCREEN, blank_plan
from forty_paces.geometry.records import Toward
from forty_paces.geometry.walk import walking_seconds
from forty_paces.messages.classroom import TASK
from forty_paces.messages.classroom_answers import DRILL, LEARNER, TRAPS
from forty_paces.messages.placement import split_look_back
from forty_paces.messages.terms import capital, side_words
from forty_paces.outputs.classroom.marking import lazy_attempts
from forty_paces.outputs.classroom.placing_slides import device_words
from forty_paces.outputs.classroom.placing_tasks import Expected, Task, is_possible, scene_task
from forty_paces.outputs.classroom.standalone import (
    ANSWERING,
    KEEPING,
    classroom_modules,
    standalone_page,
)
from forty_paces.outputs.classroom.worksheets import rules_of
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

PROCEDURE = "warning-devices"
IN_THE_CAB, ON_FOOT = "get-ready", "place"
"The blocks of the procedure from which the acts are taken."
FACING, WAITING = "face-traffic", "wait-clear"
SCENES = 8
SCRIPTS = ("seeded_random", "measure", "score_rows", *KEEPING, "drill_state", *ANSWERING, "drill")


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page; none where the rule set has no time limit, or the procedure or a scene for it is missing."""
    if is_shown(context):
        yield Artifact("classroom/drill.html", drill_html(context))


def is_shown(context: BuildContext) -> bool:
    """Whether there is anything to drill."""
    rules = rules_of(context)
    scenes = context.library.scenes.values()
    return (
        rules.time_limit_s is not None
        and _procedure(context) is not None
        and any(is_possible(rules, scene) for scene in scenes)
    )


def drill_html(context: BuildContext) -> str:
    """The complete page."""
    procedure = _procedure(context)
    assert procedure is not None, "asked for by is_shown"
    return context.kept(_page, procedure)


def _page(context: BuildContext, procedure: Procedure) -> str:
    rules = rules_of(context)
    tasks = _tasks(context)
    data = {
        "words": {**LEARNER, **DRILL},
        "limit": rules.time_limit_s,
        "edition": context.library.edition.id,
        "version": f"{procedure.code} {procedure.version}",
        "roads": [_road(task, procedure) for task in tasks],
    }
    plans = [blank_plan(task.solved, rules, prefix=f"road-{n}", room=SCREEN) for n, task in enumerate(tasks)]
    return standalone_page(
        context,
        "classroom/drill.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css"),
        modules=classroom_modules(SCRIPTS),
        roads=[plan.draw() for plan in plans],
        tasks=tasks,
        acts=[list(road_acts(task, procedure)) for task in tasks],
        data_json=inline_json(data),
    )


def _procedure(context: BuildContext) -> Procedure | None:
    found = [one for one in context.library.procedures if one.id == PROCEDURE]
    blocks = {block.id for one in found for block in one.blocks}
    return found[0] if found and {IN_THE_CAB, ON_FOOT} <= blocks else None


def _tasks(context: BuildContext) -> list[Task]:
    """Scenes as their authors wrote them, those with a moved device first."""
    rules = rules_of(context)
    possible = [scene for scene in context.library.scenes.values() if is_possible(rules, scene)]
    tasks = [scene_task(rules, scene) for scene in possible]
    return sorted(tasks, key=lambda task: not any(one.moved for one in task.expected))[:SCENES]


def _road(task: Task, procedure: Procedure) -> dict[str, Any]:
    road = capital(TASK[f"road-{task.scene.kind}"])
    return {
        "id": task.id,
        "title": task.scene.title,
        "text": DRILL["road"].format(title=task.scene.title, road=road, speed=task.posted, light=task.light),
        "acts": list(road_acts(task, procedure)),
    }


def road_acts(task: Task, procedure: Procedure) -> Iterator[dict[str, Any]]:
    """The acts on one road in order: id, text, reason, seconds on foot, and wrong choices with their cost."""
    blocks = {block.id: block.steps for block in procedure.blocks}
    for step in blocks[IN_THE_CAB]:
        yield _act(step.id, step.do, step.why, 0, _traps_of(step.id))
    steps = {step.id: step for step in blocks[ON_FOOT]}
    if FACING in steps:
        yield _step_act(steps[FACING])
    yield from _walk_acts(task)
    if WAITING in steps:
        yield _step_act(steps[WAITING])


def _step_act(step: Step) -> dict[str, Any]:
    return _act(step.id, step.do, step.why, 0, _traps_of(step.id))


def _walk_acts(task: Task) -> Iterator[dict[str, Any]]:
    """Placing each device, looking back from a moved one, and coming back, with the engine's seconds."""
    walked_ft, number = 0.0, 0
    for toward in Toward:
        devices = [one for one in task.expected if one.toward is toward]
        for before, device in pairwise([None, *devices]):
            assert device is not None
            number += 1
            start_ft = walked_ft
            walked_ft += device.distance_ft - (before.distance_ft if before else 0.0)
            why, look = split_look_back(device.why)
            text = DRILL["place"].format(number=number, place=device_words(task.lengths, device))
            traps = list(_wrong_places(task, device, number))
            yield _act(f"device-{number}", text, why, _seconds(start_ft, walked_ft), traps)
            if look:
                first, _, rest = look.partition(". ")
                yield _act(f"look-{number}", f"{first}.", rest or DRILL["look_why"], 0, _traps_of("look"))
        if devices:
            start_ft, walked_ft = walked_ft, walked_ft + devices[-1].distance_ft
            back = DRILL[f"back-{toward}"]
            yield _act(f"back-{toward}", back, DRILL["back_why"], _seconds(start_ft, walked_ft), [])


def _seconds(start_ft: float, end_ft: float) -> int:
    """Seconds for a leg of the walk, so that all legs add up to the engine's time for the whole."""
    return walking_seconds(end_ft) - walking_seconds(start_ft)


def _wrong_places(task: Task, device: Expected, number: int) -> Iterator[dict[str, str]]:
    """A moved device at the rule's own place, too near; for the others, counting from the last device."""
    stayed, _, _ = lazy_attempts(task)
    same = [one for one in stayed if one.toward is device.toward]
    index = [one for one in task.expected if one.toward is device.toward].index(device)
    if device.moved:
        near_ft = same[index].distance_ft
        words = DRILL["at"].format(distance=task.lengths.text(near_ft), side=side_words(device.toward))
        approach = task.solved.placement.approach(device.toward)
        if approach is not None:
            needed = task.lengths.text(task.lengths.ft(task.lengths.up(approach.needed_ft)))
            yield _trap(
                DRILL["place"].format(number=number, place=words), DRILL["near"].format(needed=needed)
            )
    elif index:
        yield _trap(TRAPS["from-last"], TRAPS["from-last-why"])


def _traps_of(act: str) -> list[dict[str, str]]:
    """The choices that must not be made instead of an act."""
    return [_trap(TRAPS[act], TRAPS[f"{act}-why"])] if act in TRAPS else []


def _trap(text: str, why: str) -> dict[str, str]:
    return {"text": text, "why": why}


def _act(act: str, text: str, why: str, seconds: int, traps: Sequence[dict[str, str]]) -> dict[str, Any]:
    return {"id": act, "text": text, "why": why, "seconds": seconds, "wrong": list(traps)}
