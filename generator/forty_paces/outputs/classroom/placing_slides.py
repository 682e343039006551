"""Slides of the placing examples: a scene with its full answer, part of it, or none.

Distances and drawings are computed from the scene. The texts are shared with the exercise and the worksheets.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from forty_paces.authoring.models.lesson import Lesson, PlacingExample
from forty_paces.drawing.profile import ProfileDrawing, shows_crest
from forty_paces.drawing.scene_blank import (
    WALL,
    WALL_BLANK,
    bends,
    blank_plan,
    blank_profile,
    rises_and_falls,
    solved_plan,
)
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.walk import walking_seconds
from forty_paces.messages.classroom import EXERCISE, LESSON, TASK
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.placement import split_look_back, text
from forty_paces.messages.quantities import length_down, length_up
from forty_paces.messages.terms import across_words, capital, side_words
from forty_paces.outputs.classroom import how_many
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.lesson_view import LessonContext, Reveal, Slide, SlideKind, Solved
from forty_paces.outputs.classroom.placing_tasks import Expected, Task, scene_task


def placing_slides(
    lesson: Lesson, lookup: LessonContext, scenes: Mapping[str, Scene], rules: RuleSet
) -> Iterator[Slide]:
    """One slide for each example, in the order of the lesson."""
    for example in lesson.placing:
        yield _slide(example, scene_task(rules, scenes[example.scene]), lookup, rules)


def _slide(example: PlacingExample, task: Task, lookup: LessonContext, rules: RuleSet) -> Slide:
    count, shown = len(task.expected), min(example.solved, len(task.expected))
    left = count - shown
    given = _given(task, shown) if left else ()
    order = (*given, *(index for index in range(count) if index not in given))
    devices = tuple(_device(task.lengths, device) for device in task.expected)
    solved_svg, blank_svg, sides, hundreds = _pictures(example.id, task, rules, given)
    line = lookup.line(example.step)
    where = Reveal(LESSON["show-where"], "", "", None, drawing=solved_svg)
    reason = margin_words(task, rules) if devices else text(rules, task.solved.placement.cautions[0])
    why = Reveal(LESSON["show-why"], "", reason, line, devices=devices)
    return Slide(
        id=example.id,
        kind=SlideKind.PLACING,
        part=LESSON["own" if not shown else "part-done" if left else "worked"],
        title=_asked(left, shown),
        situation=_situation(task),
        given=tuple(_given_words(task.lengths, task.expected[index]) for index in given),
        reveals=(
            *((where,) if left else ()),
            *sides,
            why,
            *hundreds,
        ),
        devices=tuple(device_values(task.lengths, task.expected[index]) for index in order) if left else (),
        drawing=blank_svg if left else solved_svg,
        pause_s=120 if left else 0,
        # The wall has no room for what is looked for from the device's place, so the teacher says it.
        teacher=" ".join(
            (
                example.teacher or "",
                task.scene.teaching_point,
                *_look_backs(task),
                *(how_many.in_words(pair, rules) for pair in how_many.compared(task.solved, rules)),
            )
        ).strip(),
    )


@cached_by_language(maxsize=64)  # a preview builds again after every edit; few edits change rules or scenes
def _pictures(
    name: str, task: Task, rules: RuleSet, given: tuple[int, ...]
) -> tuple[str, str, tuple[Reveal, ...], tuple[Reveal, ...]]:
    """The road with its answer and without it, then what is shown from the side and of the drivers."""
    return (
        solved_plan(task.solved, rules, prefix=f"{name}-solved", room=WALL).draw(),
        _asked_of(task, rules, f"{name}-blank", given),
        tuple(_from_the_side(name, task, rules)),
        tuple(_how_many(name, task, rules)),
    )


def _asked_of(task: Task, rules: RuleSet, prefix: str, given: Sequence[int]) -> str:
    """The road without its answer: from the side if it rises or falls and does not bend, else from above."""
    placed = tuple(task.solved.devices[index] for index in given)
    if rises_and_falls(task.scene) and not bends(task.scene):
        return blank_profile(task.solved, rules, prefix=prefix, room=WALL_BLANK, given=placed)
    return blank_plan(task.solved, rules, prefix=prefix, room=WALL_BLANK, given=placed).draw()


def _from_the_side(prefix: str, task: Task, rules: RuleSet) -> Iterator[Reveal]:
    """A profile of the road, if a crest hides the vehicle."""
    if shows_crest(task.solved):
        drawn = ProfileDrawing(task.solved, rules, f"{prefix}-side", WALL.along).draw()
        yield Reveal(LESSON["side-view"], "", "", None, drawing=drawn)


def _how_many(prefix: str, task: Task, rules: RuleSet) -> Iterator[Reveal]:
    """A hundred drivers at the rule's distance and at the moved one, for each side with a moved device."""
    for pair in how_many.compared(task.solved, rules):
        drawn = how_many.picture(pair, rules, f"{prefix}-{pair[0].toward}-hundred")
        yield Reveal(LESSON["how-many"], "", "", None, drawing=drawn)


def _situation(task: Task) -> str:
    """'Just over a crest. Posted 55 mph. Clear day: seen from 1,000 ft. To stop takes 493 ft.'"""
    line = LESSON["placing"].format(
        title=task.scene.title, speed=task.posted, light=task.light_name, reach=task.reach
    )
    return f"{line} {needed_words(task, task.lengths.rules)}"


def device_values(lengths: LengthFormat, device: Expected) -> dict[str, Any]:
    """What the marking script compares: the distances of a device, in the rule set's unit."""
    return {
        "toward": device.toward.value,
        "distance": lengths.own(device.distance_ft),
        "low": lengths.own(device.low_ft),
        "high": lengths.own(device.high_ft),
        "open": [[lengths.own(end) for end in run] for run in device.open_ft],
        "economic": lengths.own(device.economic_ft),
        "step": lengths.own(device.step_ft),
    }


def device_words(lengths: LengthFormat, device: Expected) -> str:
    """'100 ft (40 paces) behind, center of lane or shoulder'; 'Beside the vehicle' has no distance."""
    if not device.distance_ft:
        return capital(across_words(device.across))
    distance = lengths.paced(device.distance_ft, device.paces)
    return TASK["device"].format(
        distance=distance, side=side_words(device.toward), across=across_words(device.across)
    )


def right_words(lengths: LengthFormat, device: Expected) -> str:
    """'Right from 310 to 341 ft; also right, from 310 to 465 ft.'"""
    if not device.high_ft:
        return TASK["right-there"]
    edge = lengths.own(device.economic_ft)
    right, half = [], []
    for low_ft, high_ft in device.open_ft:
        low, high = lengths.own(low_ft), lengths.own(high_ft)
        if low <= edge:
            right.append(TASK["range"].format(low=low, high=min(high, edge), unit=lengths.unit))
        if high > edge:
            half.append(TASK["range"].format(low=max(low, edge + 1), high=high, unit=lengths.unit))
    low, high = lengths.own(device.low_ft), lengths.own(device.high_ft)
    words = TASK["right"].format(low=low, high=high, unit=lengths.unit)
    if right:
        words = TASK["right-also"].format(right=words, ranges=TASK["and"].join(right))
    if half:
        walk_s, needed_s = (walking_seconds(2 * ft) for ft in (device.open_ft[-1][1], device.distance_ft))
        words = TASK["right-half"].format(
            right=words, ranges=TASK["and"].join(half), seconds=walk_s, more=walk_s - needed_s
        )
    return TASK["end"].format(text=words)


def _given(task: Task, count: int) -> tuple[int, ...]:
    """The indexes of the devices placed for the class: first those that stay where the rule sets them."""
    order = sorted(range(len(task.expected)), key=lambda index: task.expected[index].moved)
    return tuple(sorted(order[:count]))


def _given_words(lengths: LengthFormat, device: Expected) -> str:
    if not device.distance_ft:
        return across_words(device.across)
    return TASK["given"].format(distance=lengths.text(device.distance_ft), side=side_words(device.toward))


def margin_words(task: Task, rules: RuleSet) -> str:
    """The warning distance that drivers get and need, for each approach."""
    sentences = []
    for approach in task.solved.placement.approaches:
        sentences.append(
            TASK["margin" if approach.ample else "margin-short"].format(
                side=side_words(approach.toward),
                warning=length_down(rules, approach.warning_ft),
                needed=length_up(rules, approach.needed_ft),
                shortfall=length_up(rules, approach.shortfall_ft),
            )
        )
    return " ".join(sentences)


def needed_words(task: Task, rules: RuleSet) -> str:
    """The stopping sight distance, which is given because it cannot be worked out in the head."""
    needed = {
        approach.toward: length_up(rules, approach.needed_ft) for approach in task.solved.placement.approaches
    }
    if len(set(needed.values())) == 1:
        return TASK["needed"].format(needed=next(iter(needed.values())))
    lengths = (
        TASK["from-side"].format(side=side_words(toward), needed=words) for toward, words in needed.items()
    )
    return TASK["needed-by-side"].format(lengths=", ".join(lengths))


def _asked(left: int, shown: int) -> str:
    if not left and not shown:
        return LESSON["ask-none"]
    count = LESSON.get(f"count-{left or shown}", str(left or shown))
    if not left:
        return LESSON["ask-placed" if shown == 1 else "ask-all-placed"].format(count=count)
    if not shown:
        return LESSON["ask-one" if left == 1 else "ask-all"].format(count=count)
    return LESSON["ask-last" if left == 1 else "ask-others"].format(count=count)


def _look_backs(task: Task) -> Iterator[str]:
    """What drivers look for from each device that was moved, each wording once."""
    looks = (split_look_back(device.why)[1] for device in task.expected)
    yield from dict.fromkeys(text for text in looks if text)


def _device(lengths: LengthFormat, device: Expected) -> Solved:
    return Solved(
        ask=EXERCISE[device.toward], answer=device_words(lengths, device), why=split_look_back(device.why)[0]
    )
