"""Placing tasks: every scene at several speeds and in several lights, solved.

The exercise on the screen, the worksheets and the answer keys all draw on these tasks.

An answer is right within a tenth of the distance, or within one pace if that is more: the precision of a
driver who counts paces. The limits are whole feet, or whole meters where the rule set is written in meters;
both are stored in feet. Where the rule says "within" a distance, nearer is right too. A device that a hidden
view moves is right only from the computed distance outward, because nearer it would give drivers less warning
than they need. For the same reason, the range of every other device that warns drivers ends where their
warning would become too short.

Where a hidden view leaves the distance open, any distance in the rule's range that gives ample warning is
right. The computed distance is the nearest of them; beyond one and a half times that distance, the answer is
half right because of the longer walk.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from forty_paces.geometry import units
from forty_paces.geometry.placement import candidates_ft, nearest_first, streams
from forty_paces.geometry.records import Device, DeviceRule, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import (
    ScenePlacement,
    SideSight,
    detection_ft,
    needed_ft,
    solve_scene,
    walking_stops,
)
from forty_paces.geometry.stopping import CannotStop
from forty_paces.messages.classroom import TASK
from forty_paces.messages.placement import text
from forty_paces.messages.quantities import length
from forty_paces.outputs.classroom.lengths import LengthFormat

TOLERANCE_SHARE = 0.1
ECONOMY = 1.5
"""Multiple of the computed distance up to which ample warning earns full marks. Our choice, no source."""
SPEED_STEPS_MPH = (-10, 0, 5)
SLOWEST_MPH, FASTEST_MPH = 25, 75
SPEED_STEPS_KMH = (-20, 0, 10)
SLOWEST_KMH, FASTEST_KMH = 40, 120
SIGNS_KMH = 10
"Speed limits in km/h are multiples of ten."


@dataclass(frozen=True, slots=True)
class Expected:
    """One device of the right answer. Devices behind come first; on each side the nearest comes first."""

    toward: Toward
    distance_ft: float
    paces: int
    across: str
    low_ft: float
    high_ft: float
    "The answer is right from low to high, inclusive."
    open_ft: tuple[tuple[float, float], ...]
    "Ranges, in whole steps, where the warning is sufficient too; empty if the rule fixes one distance."
    economic_ft: float
    "Beyond this distance the answer is half right: the walk is longer than necessary."
    step_ft: float
    moved: bool
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Task:
    """One situation, solved."""

    id: str
    "Scene, posted speed and light, such as 'quarry-bend/45/night'."
    scene: Scene
    light_name: str
    "Such as 'Clear night'."
    reach_ft: float
    "The distance from which drivers can detect a device."
    lengths: LengthFormat
    solved: ScenePlacement
    expected: tuple[Expected, ...]

    @property
    def light(self) -> str:
        """The light and its detection distance, in words."""
        return TASK["light"].format(light=self.light_name, reach=self.reach)

    @property
    def reach(self) -> str:
        """The detection distance in words, such as '500 ft'."""
        return length(self.lengths.rules, self.reach_ft)

    @property
    def posted(self) -> str:
        """The posted speed as on its sign."""
        return self.lengths.posted(self.scene.speed_mph)

    def side(self, toward: Toward) -> SideSight | None:
        """The view from one approach in the scene; None if no traffic approaches from there."""
        return self.solved.side(toward)


def tolerance_ft(rules: RuleSet, distance_ft: float) -> float:
    """The distance error that still counts as right, in feet."""
    return max(rules.pace_ft, TOLERANCE_SHARE * distance_ft)


def situations(rules: RuleSet, scenes: Iterable[Scene]) -> tuple[tuple[Scene, ...], ...]:
    """All variants of every scene that have an answer, grouped by scene; scenes without any are left out."""
    groups = (
        tuple(variant for variant in variants(rules, scene) if is_possible(rules, variant))
        for scene in scenes
    )
    return tuple(group for group in groups if group)


def is_possible(rules: RuleSet, scene: Scene) -> bool:
    """Whether the rule set requires devices there, drivers can stop, and there is room to walk to them."""
    try:
        devices = rules.layout(scene.kind, scene.speed_mph).devices
        detection_ft(rules, scene)
        for toward in streams(scene.kind):
            needed_ft(rules, scene, toward)
    except (LookupError, CannotStop):
        return False
    ends = {stop.toward: stop.distance_ft for stop in walking_stops(rules, scene)}
    return bool(devices) and all(one.distance_ft <= ends.get(one.toward, one.distance_ft) for one in devices)


def tasks(rules: RuleSet, groups: Iterable[Iterable[Scene]]) -> tuple[tuple[Task, ...], ...]:
    """The situations, solved, in the same groups."""
    return tuple(tuple(scene_task(rules, scene) for scene in group) for group in groups)


def scene_task(rules: RuleSet, scene: Scene) -> Task:
    """The task of a scene as its author wrote it.

    Raises ``LookupError`` or ``CannotStop`` if the scene cannot be solved.
    """
    return task_of(rules, scene, solve_scene(rules, scene))


def variants(rules: RuleSet, scene: Scene) -> Iterator[Scene]:
    """The scene at nearby speeds that signs show, in its own light and in every poorer one.

    Never in a better light: a night scene may be one where no devices are required by day.
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


def task_of(rules: RuleSet, scene: Scene, solved: ScenePlacement) -> Task:
    """The task of a solved scene."""
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
    titles = [visibility.title for visibility in rules.visibility if visibility.id == scene.visibility]
    return titles[0] if titles else scene.light.capitalize()


def _expected(rules: RuleSet, solved: ScenePlacement, device: Device) -> Expected:
    lengths, distance = LengthFormat(rules), device.distance_ft
    tolerance = tolerance_ft(rules, distance)
    required = rules.layout(solved.scene.kind, solved.scene.speed_mph).devices
    within = any(
        rule.within and rule.toward is device.toward and rule.distance_ft == distance for rule in required
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
        step_ft=_step_ft(rules, required, lengths),
        moved=device.moved,
        why=text(rules, device.reason),
        source=device.source,
    )


def _warned_range(
    solved: ScenePlacement, device: Device, lengths: LengthFormat, low_ft: float, high_ft: float
) -> tuple[float, float]:
    """The range in whole units, cut off where the warning would be shorter than the device is set for."""
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


def _step_ft(rules: RuleSet, required: Sequence[DeviceRule], lengths: LengthFormat) -> float:
    """The step in which the rule moves the device, or else the step of the classroom."""
    steps = [rule.step_ft for rule in required if rule.step_ft is not None]
    step = rules.hidden.step_ft if rules.hidden else min(steps, default=lengths.ft(lengths.step))
    return step if rules.metric else int(step)


def _open(rules: RuleSet, solved: ScenePlacement, device: Device) -> Iterator[tuple[float, float]]:
    """Ranges of whole steps, within the rule's range, at which the warning is sufficient."""
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
    others = [(other.device.distance_ft, other.device.across) for other in same if other.device is not device]
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
