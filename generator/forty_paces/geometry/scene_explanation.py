"""Describes a solved scene in sentences, grouped by device, approach direction and walk.

The sentences contain no figures of their own. Warning distances are rounded down, needed
distances up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.explanation import length, length_down, length_up, minutes, posted_speed
from forty_paces.geometry.records import Approach, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import PlacedDevice, ScenePlacement, SideSight

_FROM = {Toward.BEHIND: "behind the rear", Toward.AHEAD: "ahead of the front"}


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
        walk=(*solved.placement.walk.order, *_walk(rules, solved)),
    )


def yardsticks(rules: RuleSet, scene: Scene, distance_ft: float) -> tuple[str, ...]:
    """Format a distance in every unit that applies in the scene: length, paces, lane lines, trailers."""
    lengths = [length(rules, distance_ft), units.in_paces(distance_ft, rules.pace_ft)]
    if scene.lane_lines and rules.lane_line_ft:
        lengths.append(units.in_cycles(distance_ft, rules.lane_line_ft))
    if scene.vehicle.trailer_ft:
        lengths.append(units.in_trailers(distance_ft, scene.vehicle.trailer_ft))
    return tuple(lengths)


def _device(rules: RuleSet, scene: Scene, placed: PlacedDevice) -> DeviceWords:
    device = placed.device
    if device.distance_ft:
        unit, *others = yardsticks(rules, scene, device.distance_ft)
        where = f"{unit} {_FROM[device.toward]} ({', '.join(others)}), {device.across}."
    else:
        where = f"{device.across[:1].upper()}{device.across[1:]}."
    if not device.reached:
        seen = "Nobody walks there, so no driver is warned by it."
    elif placed.sight is None:
        seen = "No traffic comes from that side."
    else:
        seen = (
            f"Drivers see it from {length_down(rules, placed.sight.sight_ft)} before it, which is "
            f"{length_down(rules, placed.sight.warning_ft)} before the vehicle. "
        )
        by = placed.sight.hidden_by
        seen += (
            f"From farther away it is hidden by {by}." if by else "From farther away nobody can make it out."
        )
    return DeviceWords(placed.number, where, device.reason, seen)


def _side(rules: RuleSet, solved: ScenePlacement, side: SideSight, approach: Approach) -> SideWords:
    speed_mph = solved.scene.speed_mph
    speed, needed = posted_speed(rules, speed_mph), length_up(rules, approach.needed_ft)

    def lasting(distance_ft: float) -> str:
        return units.seconds_down(units.seconds_at(distance_ft, speed_mph))

    if approach.gain_ft > units.FUZZ:
        gained = (
            f"With the devices they are warned {length_down(rules, approach.warning_ft)} or "
            f"{lasting(approach.warning_ft)} before it: {length_down(rules, approach.gain_ft)} or "
            f"{units.seconds_down(approach.gain_s)} more."
        )
    else:
        gained = "The devices are not seen any sooner than the vehicle itself."
    return SideWords(
        toward=side.toward,
        view=_view(rules, side, approach),
        without=(
            f"Without devices they are warned {length_down(rules, approach.vehicle_only_ft)} or "
            f"{lasting(approach.vehicle_only_ft)} before the vehicle."
        ),
        gained=gained,
        needed=f"At {speed} they need {needed} to stop{_whose(approach)}.{_margin(rules, approach)}",
        otherwise=() if approach.ample else _otherwise(rules, solved),
    )


def _whose(approach: Approach) -> str:
    return "" if approach.needed_by == "car" else f" (a {approach.needed_by})"


def _margin(rules: RuleSet, approach: Approach) -> str:
    text = ""
    if not approach.ample:
        missing_s = units.seconds_up(approach.shortfall_s)
        text = f" {length_up(rules, approach.shortfall_ft)} are missing, or {missing_s}."
    if approach.reflecting_warning_ft is not None:
        reflecting = length_down(rules, approach.reflecting_warning_ft)
        text += f" With the reach of a reflecting device they are warned {reflecting} before it."
    return text


def _view(rules: RuleSet, side: SideSight, approach: Approach) -> str:
    first = (
        f"Drivers from {side.toward} see the vehicle from {length_down(rules, approach.vehicle_only_ft)}. "
    )
    if math.isinf(side.hidden_ft):
        return first + "Nothing hides it; from farther away nobody can make it out."
    if side.hidden_ft > side.detection_ft:
        return first + (
            f"From farther away nobody can make it out; beyond {length(rules, side.hidden_ft)} "
            f"it would be hidden by {side.hidden_by}."
        )
    text = first + f"From farther away it is hidden by {side.hidden_by}."
    regained_ft = side.hidden[0][1] if side.hidden else math.inf
    if regained_ft < side.detection_ft:
        text += f" It shows beyond {length_up(rules, regained_ft)} too, but is lost again."
    return text


def _otherwise(rules: RuleSet, solved: ScenePlacement) -> tuple[str, ...]:
    advice = []
    if solved.roll_ft is not None:
        advice.append(
            f"If the vehicle can roll safely, roll on {length_up(rules, solved.roll_ft)}: "
            "from there the warning reaches the stopping distance on every side."
        )
    elif solved.scene.can_roll:
        advice.append("Rolling on a little way does not bring the warning up to the stopping distance here.")
    advice.append("Ask the police or dispatch for traffic control.")
    advice.append("Keep everybody far from the road, on the side away from the traffic.")
    return tuple(advice)


def _walk(rules: RuleSet, solved: ScenePlacement) -> list[str]:
    walk = solved.placement.walk
    if not walk.distance_ft:
        return []
    whole = units.number(walk.distance_ft / rules.pace_ft)
    text = f"In all {length(rules, walk.distance_ft)} or {whole} paces, about {walk.seconds} s on foot."
    if walk.limit_s is not None and walk.share_of_limit is not None:
        share = units.number(100 * walk.share_of_limit)
        text += f" That is {share} percent of the {minutes(walk.limit_s)} allowed."
    return [text]
