"""Situations to place devices in: every scene at several speeds and in several lights, solved.

In: a rule set and scenes. Out: frozen tasks with what a right answer is, how far
off is still right, and why. Refuses to know paper and browsers: the exercise on
the screen, the worksheets and their keys all draw from the same tasks.

An answer is right within a tenth of the distance, and never less than one pace:
that is what a driver who counts paces can hold. Its ends are whole feet, or whole
meters where the rule set is written in meters; both are kept in feet. Where the rule says "within" a
distance, nearer is right too. A device that a hidden view moves is right from the computed
place outward only: nearer, drivers would get less warning than they need. For the same reason
the range of every other device that warns drivers ends where their warning would fall short.
Where a hidden view leaves the distance open, any place in the rule's range that gives ample
warning is right; the computed one is the nearest of them, and beyond one and a half times its
distance the walk is so much longer that the answer is half right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from forty_paces.geometry import units
from forty_paces.geometry.explanation import length
from forty_paces.geometry.placement import candidates_ft, nearest_first, streams
from forty_paces.geometry.records import Device, DeviceRule, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import ScenePlacement, SideSight, detection_ft, needed_ft
from forty_paces.geometry.stopping import CannotStop
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.seeded_random import SeededRandom, Thing
from forty_paces.outputs.common.scene_solutions import solve_scene

TOLERANCE_SHARE = 0.1
ECONOMY = 1.5
"""Times the computed distance: how far out ample warning earns full marks. Ours, no source."""
SPEED_STEPS_MPH = (-10, 0, 5)
SLOWEST_MPH, FASTEST_MPH = 25, 75
SPEED_STEPS_KMH = (-20, 0, 10)
SLOWEST_KMH, FASTEST_KMH = 40, 120
SIGNS_KMH = 10
"Where signs are in kilometers an hour they say whole tens."


class Verdict(StrEnum):
    """How a distance stands to the right one."""

    RIGHT = "right"
    AMPLE = "ample"
    "Farther than the computed one, within the rule's range, and the warning reaches the need."
    LONG_WALK = "long-walk"
    "Ample warning, but much farther out than it need be: half right."
    TOO_NEAR = "too-near"
    TOO_FAR = "too-far"
    MISSING = "missing"
    EXTRA = "extra"


VERDICT_WORDS = {
    Verdict.RIGHT: "Right",
    Verdict.AMPLE: "Right: within the rule's range, with a longer walk than needed",
    Verdict.LONG_WALK: "Half right: a walk of {seconds} s, {more} s more than needed",
    Verdict.TOO_NEAR: "Too near the vehicle",
    Verdict.TOO_FAR: "Too far from the vehicle",
    Verdict.MISSING: "Missing on this side",
    Verdict.EXTRA: "One too many on this side",
}


@dataclass(frozen=True, slots=True)
class Expected:
    """One device of the right answer, nearest first behind, then nearest first ahead."""

    toward: Toward
    distance_ft: float
    paces: int
    across: str
    low_ft: float
    high_ft: float
    "The answer is right from low to high, both included."
    open_ft: tuple[tuple[float, float], ...]
    "Ranges, in whole steps, in which the warning reaches the need too; empty where the rule fixes one."
    economic_ft: float
    "From farther out it is half right: the walk is longer than it need be."
    step_ft: float
    moved: bool
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Task:
    """One situation, solved."""

    id: str
    "Such as 'quarry-bend/45/night': the scene, the posted speed, the light."
    scene: Scene
    light_name: str
    "Such as 'Clear night'."
    reach_ft: float
    "From how far a device is made out."
    lengths: LengthFormat
    solved: ScenePlacement
    expected: tuple[Expected, ...]

    @property
    def light(self) -> str:
        """The light and how far it reaches, in words."""
        return f"{self.light_name}: placed for a reach of {self.reach}"

    @property
    def reach(self) -> str:
        """The same distance in words, such as '500 ft'."""
        return length(self.lengths.rules, self.reach_ft)

    @property
    def posted(self) -> str:
        """The posted speed as its sign says it."""
        return self.lengths.posted(self.scene.speed_mph)

    def side(self, toward: Toward) -> SideSight | None:
        """What the scene shows from one side."""
        return self.solved.side(toward)


def tolerance_ft(rules: RuleSet, distance_ft: float) -> float:
    """How far off is still right."""
    return max(rules.pace_ft, TOLERANCE_SHARE * distance_ft)


def situations(rules: RuleSet, scenes: Iterable[Scene]) -> tuple[tuple[Scene, ...], ...]:
    """Every scene in every variant that can be placed in, scene by scene; scenes with none are left out."""
    groups = (tuple(one for one in variants(rules, scene) if is_possible(rules, one)) for scene in scenes)
    return tuple(group for group in groups if group)


def is_possible(rules: RuleSet, scene: Scene) -> bool:
    """Whether the rule set asks for devices there and drivers can stop at all."""
    try:
        devices = rules.layout(scene.kind, scene.speed_mph).devices
        detection_ft(rules, scene)
        for toward in streams(scene.kind):
            needed_ft(rules, scene, toward)
    except (LookupError, CannotStop):
        return False
    return bool(devices)


def tasks(rules: RuleSet, groups: Iterable[Iterable[Scene]]) -> tuple[tuple[Task, ...], ...]:
    """The situations, solved, grouped as they came."""
    return tuple(tuple(scene_task(rules, scene) for scene in group) for group in groups)


def scene_task(rules: RuleSet, scene: Scene) -> Task:
    """The scene as its author wrote it. ``LookupError`` or ``CannotStop`` where it cannot be solved."""
    return _task(rules, scene, solve_scene(rules, scene))


def variants(rules: RuleSet, scene: Scene) -> Iterator[Scene]:
    """The scene at nearby speeds that signs say, and in its own light and every poorer one.

    Never in a better light: a scene at night may be one where devices are not required by day.
    """
    speeds = _speeds_mph(rules, scene) or [scene.speed_mph]
    lights: list[str | None] = [scene.visibility]
    if scene.detection_ft is None:
        own = detection_ft(rules, scene)
        named = scene.visibility or rules.default_visibility
        lights = [named, *(v.id for v in rules.visibility if v.detection_ft <= own and v.id != named)]
    for speed in speeds:
        for light in lights:
            yield replace(scene, speed_mph=speed, visibility=light)


def _speeds_mph(rules: RuleSet, scene: Scene) -> list[float]:
    if rules.posted_in == "mph":
        speeds = [scene.speed_mph + step for step in SPEED_STEPS_MPH]
        return [speed for speed in speeds if SLOWEST_MPH <= speed <= FASTEST_MPH]
    own_kmh = SIGNS_KMH * round(units.mph_to_kmh(scene.speed_mph) / SIGNS_KMH)
    posted = [own_kmh + step for step in SPEED_STEPS_KMH]
    return [units.kmh_to_mph(speed) for speed in posted if SLOWEST_KMH <= speed <= FASTEST_KMH]


def _task(rules: RuleSet, scene: Scene, solved: ScenePlacement) -> Task:
    light, lengths = scene.visibility or "own", LengthFormat(rules)
    return Task(
        id=f"{scene.id}/{lengths.posted_count(scene.speed_mph)}/{light}",
        scene=scene,
        light_name=_light_name(rules, scene),
        reach_ft=detection_ft(rules, scene),
        lengths=lengths,
        solved=solved,
        expected=tuple(_expected(rules, solved, device) for device in _in_order(solved)),
    )


def _in_order(solved: ScenePlacement) -> list[Device]:
    return [placed.device for placed in solved.devices]


def _light_name(rules: RuleSet, scene: Scene) -> str:
    titles = [one.title for one in rules.visibility if one.id == scene.visibility]
    return titles[0] if titles else scene.light.capitalize()


def _expected(rules: RuleSet, solved: ScenePlacement, device: Device) -> Expected:
    lengths, distance = LengthFormat(rules), device.distance_ft
    tolerance = tolerance_ft(rules, distance)
    asked = rules.layout(solved.scene.kind, solved.scene.speed_mph).devices
    within = any(
        rule.within and rule.toward is device.toward and rule.distance_ft == distance for rule in asked
    )
    inward = 0.0 if device.moved else tolerance
    low = 0.0 if within else max(0.0, distance - inward)
    high = distance if within else distance + tolerance
    low_ft, high_ft = _warned_range(solved, device, lengths, low, high)
    return Expected(
        toward=device.toward,
        distance_ft=lengths.ft(lengths.up(distance)),
        paces=device.paces,
        across=device.across,
        low_ft=low_ft,
        high_ft=high_ft,
        open_ft=tuple(_open(rules, solved, device)),
        economic_ft=lengths.ft(lengths.down(ECONOMY * lengths.ft(lengths.up(distance)))),
        step_ft=_step_ft(rules, asked, lengths),
        moved=device.moved,
        why=device.reason,
        source=device.source,
    )


def _warned_range(
    solved: ScenePlacement, device: Device, lengths: LengthFormat, low_ft: float, high_ft: float
) -> tuple[float, float]:
    """The range in whole units, cut where drivers would get less warning than the device was set for."""
    low, computed = lengths.up(low_ft), lengths.up(device.distance_ft)
    high = max(computed, lengths.down(high_ft))
    side, approach = solved.side(device.toward), solved.placement.approach(device.toward)
    if side is not None and approach is not None:
        view = side.view
        needed = min(lengths.rules.up_ft(approach.needed_ft), approach.warning_ft)

        def short(count: int) -> bool:
            warning_ft = view.warning_ft([(lengths.ft(count), device.across)])
            return lengths.rules.down_ft(warning_ft) < needed - units.FUZZ

        if approach.vehicle_only_ft < needed and not short(computed):
            low = 1 + next((count for count in range(computed - 1, low - 1, -1) if short(count)), low - 1)
            high = next((count for count in range(computed + 1, high + 1) if short(count)), high + 1) - 1
    return lengths.ft(low), lengths.ft(high)


def _step_ft(rules: RuleSet, asked: Sequence[DeviceRule], lengths: LengthFormat) -> float:
    """The rule's own steps, where it lets the device move."""
    steps = [rule.step_ft for rule in asked if rule.step_ft is not None]
    step = rules.hidden.step_ft if rules.hidden else min(steps, default=lengths.ft(lengths.step))
    return step if rules.metric else int(step)


def _open(rules: RuleSet, solved: ScenePlacement, device: Device) -> Iterator[tuple[float, float]]:
    """Runs of whole steps in the rule's range at which the warning reaches the need."""
    side = solved.side(device.toward)
    approach = solved.placement.approach(device.toward)
    if side is None or approach is None:
        return
    same = [placed for placed in solved.devices if placed.device.toward is device.toward]
    if device.distance_ft < max(placed.device.distance_ft for placed in same):
        return
    layout = rules.layout(solved.scene.kind, solved.scene.speed_mph)
    choices = candidates_ft(rules, nearest_first(layout, device.toward)[-1], side.hidden_ft)
    if len(choices) == 1:
        return
    others = [(one.device.distance_ft, one.device.across) for one in same if one.device is not device]
    needed = rules.up_ft(approach.needed_ft)
    run: list[float] = []
    for choice in choices:
        warning = side.view.warning_ft([*others, (choice, device.across)])
        if rules.down_ft(warning) >= needed - units.FUZZ:
            run.append(choice if rules.metric else int(choice))
        elif run:
            yield run[0], run[-1]
            run = []
    if run:
        yield run[0], run[-1]


def sequence(groups: Sequence[Sequence[Thing]], number: int, count: int) -> tuple[Thing, ...]:
    """The first ``count`` situations of a number: every scene once before any comes again.

    ``groups`` holds them scene by scene. The exercise's script deals in the same way.
    """
    lots = SeededRandom(number)
    dealt: list[Thing] = []
    while len(dealt) < count:
        for place in lots.shuffled(range(len(groups))):
            dealt.append(lots.one(groups[place]))
    return tuple(dealt[:count])
