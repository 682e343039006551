"""Describes a solved scene in sentences, grouped by device, approach direction and walk.

The sentences contain no figures of their own. Warning distances are rounded down, needed
distances up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.records import Approach, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.sight import SURFACE
from forty_paces.geometry.solver import LocatedDevice, ScenePlacement, SideSight
from forty_paces.messages import quantities
from forty_paces.messages.languages import Texts
from forty_paces.messages.placement import text, texts
from forty_paces.messages.quantities import length, length_down, length_up, minutes, posted_speed
from forty_paces.messages.terms import across_words, capital, side_words

SCENE = Texts(
    "scene",
    {
        "device-behind": "{distance} behind the rear ({counts}), {across}.",
        "device-ahead": "{distance} ahead of the front ({counts}), {across}.",
        "device-beside": "{across}.",
        "seen-by-nobody": "Nobody walks there, so no driver is warned by it.",
        "no-traffic": "No traffic comes from that side.",
        "seen": "Drivers see it from {sight} before it, which is {warning} before the vehicle.",
        "crest": "the crest of the road",
        "hidden-by": "From farther away it is hidden by {by}.",
        "too-far": "From farther away nobody can make it out.",
        "vehicle-seen": "Drivers from {side} see the vehicle from {vehicle}.",
        "vehicle-in-view": "Nothing hides it; from farther away nobody can make it out.",
        "vehicle-hidden-far": (
            "From farther away nobody can make it out; beyond {hidden} it would be hidden by {by}."
        ),
        "lost-again": "It shows beyond {regained} too, but is lost again.",
        "without": "Without devices they are warned {vehicle} or {vehicle_s} before the vehicle.",
        "gained": (
            "With the devices they are warned {warning} or {warning_s} before it: {gain} or {gain_s} more."
        ),
        "not-gained": "The devices are not seen any sooner than the vehicle itself.",
        "needed": "At {speed} they need {needed} to stop.",
        "needed-by-truck": "At {speed} they need {needed} to stop (a truck).",
        "missing": "{shortfall} are missing, or {shortfall_s}.",
        "reflecting": "With the reach of a reflecting device they are warned {reflecting} before it.",
        "roll": (
            "If the vehicle can roll safely, roll on {roll}: from there the warning reaches the stopping "
            "distance on every side."
        ),
        "roll-in-vain": (
            "Rolling on a little way does not bring the warning up to the stopping distance here."
        ),
        "ask": "Ask the police or dispatch for traffic control.",
        "keep-away": "Keep everybody far from the road, on the side away from the traffic.",
        "on-foot": "In all {distance} or {paces} paces, about {seconds} s on foot.",
        "share": "That is {share} percent of the {limit} allowed.",
    },
)
"""The sentences about a scene, by their ids."""


@dataclass(frozen=True, slots=True)
class DeviceWords:
    """Sentences about one device."""

    number: int
    where: str
    "Distance in every available unit of measure, direction, and position across the road."
    why: str
    seen: str
    "The sight distance to the device, and the obstruction that limits it."


@dataclass(frozen=True, slots=True)
class SideWords:
    """Sentences about one approach direction."""

    toward: Toward
    view: str
    "The sight distance to the vehicle, and the obstruction that limits it."
    without: str
    "The warning distance without devices."
    gained: str
    "The warning distance with devices, and the gain."
    needed: str
    "The stopping distance, and the shortfall if there is one."
    otherwise: tuple[str, ...]
    "What else to do; empty where the warning is ample."


@dataclass(frozen=True, slots=True)
class SceneWords:
    """All sentences about a scene."""

    devices: tuple[DeviceWords, ...]
    sides: tuple[SideWords, ...]
    walk: tuple[str, ...]
    "The legs in order, then total distance and time."


def explain(rules: RuleSet, solved: ScenePlacement) -> SceneWords:
    """Return every sentence about a solved scene."""
    return SceneWords(
        devices=tuple(_device(rules, solved.scene, placed) for placed in solved.devices),
        sides=tuple(
            _side(rules, solved, side, approach)
            for side, approach in zip(solved.sides, solved.placement.approaches, strict=True)
        ),
        walk=(*texts(rules, solved.placement.walk.order), *_walk(rules, solved)),
    )


def yardsticks(rules: RuleSet, scene: Scene, distance_ft: float) -> tuple[str, ...]:
    """Format a distance in every unit that applies in the scene: length, paces, lane lines, trailers."""
    lengths = [length(rules, distance_ft), quantities.in_paces(distance_ft, rules.pace_ft)]
    if scene.lane_lines and rules.lane_line_ft:
        lengths.append(quantities.in_cycles(distance_ft, rules.lane_line_ft))
    if scene.vehicle.trailer_ft:
        lengths.append(quantities.in_trailers(distance_ft, scene.vehicle.trailer_ft))
    return tuple(lengths)


def obstruction(hidden_by: str) -> str:
    """What hides something, as used within a sentence: a scene's own name for it, or the crest."""
    return SCENE["crest"] if hidden_by == SURFACE else hidden_by


def _device(rules: RuleSet, scene: Scene, placed: LocatedDevice) -> DeviceWords:
    device = placed.device
    if device.distance_ft:
        distance, *others = yardsticks(rules, scene, device.distance_ft)
        where = SCENE[f"device-{device.toward}"].format(
            distance=distance, counts=", ".join(others), across=across_words(device.across)
        )
    else:
        where = SCENE["device-beside"].format(across=capital(across_words(device.across)))
    return DeviceWords(placed.number, where, text(rules, device.reason), _seen(rules, placed))


def _seen(rules: RuleSet, placed: LocatedDevice) -> str:
    if not placed.device.reached:
        return SCENE["seen-by-nobody"]
    if placed.sight is None:
        return SCENE["no-traffic"]
    seen = SCENE["seen"].format(
        sight=length_down(rules, placed.sight.sight_ft), warning=length_down(rules, placed.sight.warning_ft)
    )
    by = placed.sight.hidden_by
    return f"{seen} {SCENE['hidden-by'].format(by=obstruction(by)) if by else SCENE['too-far']}"


def _side(rules: RuleSet, solved: ScenePlacement, side: SideSight, approach: Approach) -> SideWords:
    speed_mph = solved.scene.speed_mph

    def lasting(distance_ft: float) -> str:
        return quantities.seconds_down(units.seconds_at(distance_ft, speed_mph))

    return SideWords(
        toward=side.toward,
        view=" ".join(_view(rules, side, approach)),
        without=SCENE["without"].format(
            vehicle=length_down(rules, approach.vehicle_only_ft), vehicle_s=lasting(approach.vehicle_only_ft)
        ),
        gained=SCENE["gained" if approach.gain_ft > units.FUZZ else "not-gained"].format(
            warning=length_down(rules, approach.warning_ft),
            warning_s=lasting(approach.warning_ft),
            gain=length_down(rules, approach.gain_ft),
            gain_s=quantities.seconds_down(approach.gain_s),
        ),
        needed=" ".join(_needed(rules, approach, posted_speed(rules, speed_mph))),
        otherwise=() if approach.ample else _otherwise(rules, solved),
    )


def _needed(rules: RuleSet, approach: Approach, speed: str) -> Iterator[str]:
    needed = SCENE["needed" if approach.needed_by == "car" else "needed-by-truck"]
    yield needed.format(speed=speed, needed=length_up(rules, approach.needed_ft))
    if not approach.ample:
        yield SCENE["missing"].format(
            shortfall=length_up(rules, approach.shortfall_ft),
            shortfall_s=quantities.seconds_up(approach.shortfall_s),
        )
    if approach.reflecting_warning_ft is not None:
        yield SCENE["reflecting"].format(reflecting=length_down(rules, approach.reflecting_warning_ft))


def _view(rules: RuleSet, side: SideSight, approach: Approach) -> Iterator[str]:
    yield SCENE["vehicle-seen"].format(
        side=side_words(side.toward), vehicle=length_down(rules, approach.vehicle_only_ft)
    )
    if math.isinf(side.hidden_ft):
        yield SCENE["vehicle-in-view"]
        return
    by = obstruction(side.hidden_by or "")
    if side.hidden_ft > side.detection_ft:
        yield SCENE["vehicle-hidden-far"].format(hidden=length(rules, side.hidden_ft), by=by)
        return
    yield SCENE["hidden-by"].format(by=by)
    regained_ft = side.hidden[0][1] if side.hidden else math.inf
    if regained_ft < side.detection_ft:
        yield SCENE["lost-again"].format(regained=length_up(rules, regained_ft))


def _otherwise(rules: RuleSet, solved: ScenePlacement) -> tuple[str, ...]:
    advice = []
    if solved.roll_ft is not None:
        advice.append(SCENE["roll"].format(roll=length_up(rules, solved.roll_ft)))
    elif solved.scene.can_roll:
        advice.append(SCENE["roll-in-vain"])
    return (*advice, SCENE["ask"], SCENE["keep-away"])


def _walk(rules: RuleSet, solved: ScenePlacement) -> Iterator[str]:
    walk = solved.placement.walk
    if not walk.distance_ft:
        return
    sentences = [
        SCENE["on-foot"].format(
            distance=length(rules, walk.distance_ft),
            paces=quantities.number(walk.distance_ft / rules.pace_ft),
            seconds=walk.seconds,
        )
    ]
    if walk.limit_s is not None and walk.share_of_limit is not None:
        share = quantities.number(100 * walk.share_of_limit)
        sentences.append(SCENE["share"].format(share=share, limit=minutes(walk.limit_s)))
    yield " ".join(sentences)
