"""Computes the figures of a scenario from its scene and the rule set in force.

Lengths are in feet, times in seconds, speeds in miles per hour, all unrounded; what writes them rounds
what drivers need up and what they get down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from forty_paces.authoring.models.scenario import Computed, Figure, Scenario
from forty_paces.geometry.heavy_vehicle import stopping_parts
from forty_paces.geometry.placement import nearest_first
from forty_paces.geometry.records import Placement, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.scene_view import SceneView
from forty_paces.geometry.solver import solve
from forty_paces.geometry.stopping import CannotStop, needed_sight_ft
from forty_paces.geometry.units import mph_to_fps, seconds_at
from forty_paces.geometry.walk import walking_seconds


class FigureKind(StrEnum):
    """What a figure measures, and so how it is rounded and written."""

    SPEED = "speed"
    NEEDED_LENGTH = "needed-length"
    GIVEN_LENGTH = "given-length"
    PLACE = "place"
    NEEDED_TIME = "needed-time"
    GIVEN_TIME = "given-time"


FIGURE_KINDS = {
    Computed.SPEED: FigureKind.SPEED,
    Computed.ALONE: FigureKind.GIVEN_LENGTH,
    Computed.ALONE_TIME: FigureKind.GIVEN_TIME,
    Computed.NEEDED: FigureKind.NEEDED_LENGTH,
    Computed.RULE_DISTANCE: FigureKind.PLACE,
    Computed.RULE_WARNING: FigureKind.GIVEN_LENGTH,
    Computed.DISTANCE: FigureKind.PLACE,
    Computed.WARNING: FigureKind.GIVEN_LENGTH,
    Computed.WALK: FigureKind.NEEDED_TIME,
    Computed.WALK_OUT: FigureKind.NEEDED_TIME,
    Computed.LONGEST_WALK: FigureKind.NEEDED_TIME,
    Computed.GRADE_STOP: FigureKind.NEEDED_LENGTH,
    Computed.TRUCK_STOP: FigureKind.NEEDED_LENGTH,
    Computed.TRAVEL: FigureKind.NEEDED_LENGTH,
}

OWN_KEYS: dict[Computed, tuple[str, ...]] = {
    Computed.GRADE_STOP: ("speed_mph", "grade_pct"),
    Computed.TRUCK_STOP: ("speed_mph",),
    Computed.TRAVEL: ("speed_mph", "seconds"),
}
"""What a figure needs of its own; every other figure is computed on the scene."""


@dataclass(frozen=True, slots=True)
class Computation:
    """A figure with its value."""

    figure: Figure
    kind: FigureKind
    value: float


class NoFigure(ValueError):
    """A figure cannot be computed; the message says why, in one clause."""


def scenario_scene(scenario: Scenario, scene: Scene) -> Scene:
    """The scene in the scenario's light."""
    if scenario.visibility is None:
        return scene
    return replace(scene, visibility=scenario.visibility, detection_ft=None)


def computed(rules: RuleSet, figure: Figure, scene: Scene | None) -> Computation:
    """The figure under the rule set; :class:`NoFigure` if it lacks a key or a scene, or has no answer there.

    ``scene`` is already in the scenario's light.
    """
    kind = figure.compute
    missing = [key for key in OWN_KEYS.get(kind, ()) if getattr(figure, key) is None]
    if missing:
        raise NoFigure(f'{kind} needs "{missing[0]}"')
    alone = kind in OWN_KEYS or (kind is Computed.SPEED and figure.speed_mph is not None)
    if not alone and scene is None:
        raise NoFigure(f"{kind} is computed on a scene, and the scenario names none")
    try:
        value = _in_scene(rules, figure, scene) if scene and not alone else _alone(rules, figure)
    except CannotStop as refusal:
        raise NoFigure(str(refusal)) from refusal
    except LookupError as error:
        raise NoFigure(f"the rule set in force gives no answer here: {error.args[0]}") from error
    return Computation(figure, FIGURE_KINDS[kind], value)


def _alone(rules: RuleSet, figure: Figure) -> float:
    speed = figure.speed_mph or 0.0
    if figure.compute is Computed.SPEED:
        return speed
    if figure.compute is Computed.GRADE_STOP:
        return needed_sight_ft(speed, figure.grade_pct or 0.0, metric=rules.metric)
    if figure.compute is Computed.TRUCK_STOP:
        return stopping_parts(speed).rounded_up().total_ft
    return mph_to_fps(speed) * (figure.seconds or 0.0)


_solve = lru_cache(maxsize=128)(solve)
"""The check and the page compute the same figures; nobody changes the answer."""


def _in_scene(rules: RuleSet, figure: Figure, scene: Scene) -> float:
    if figure.compute is Computed.SPEED:
        return scene.speed_mph
    placement, views = _solve(rules, scene)
    if figure.compute is Computed.WALK:
        return float(placement.walk.seconds)
    if figure.toward not in views:
        raise NoFigure(f"no traffic comes from {figure.toward} the vehicle here")
    return _of_side(rules, figure, placement, views[figure.toward])


def _of_side(rules: RuleSet, figure: Figure, placement: Placement, view: SceneView) -> float:
    approach = placement.approach(figure.toward)
    assert approach is not None, "a side with a view has an approach"
    scene = view.scene
    match figure.compute:
        case Computed.ALONE:
            return approach.vehicle_only_ft
        case Computed.ALONE_TIME:
            return seconds_at(approach.vehicle_only_ft, scene.speed_mph)
        case Computed.NEEDED:
            return approach.needed_ft
        case Computed.WARNING:
            return approach.warning_ft
    fixed = nearest_first(rules.layout(scene.kind, scene.speed_mph), figure.toward)
    if not fixed:
        raise NoFigure(f"the rule set in force asks for no device {figure.toward} the vehicle here")
    if figure.compute is Computed.RULE_DISTANCE:
        return fixed[-1].distance_ft
    if figure.compute is Computed.RULE_WARNING:
        return view.warning_ft([(rule.distance_ft, rule.across) for rule in fixed])
    if figure.compute is Computed.LONGEST_WALK:
        return _longest_walk_s(rules, scene, placement, figure.toward)
    far_ft = _farthest_ft(placement, figure.toward)
    return far_ft if figure.compute is Computed.DISTANCE else float(walking_seconds(far_ft))


def _longest_walk_s(rules: RuleSet, scene: Scene, placement: Placement, toward: Toward) -> float:
    reach_ft = rules.layout(scene.kind, scene.speed_mph).farthest_ft(rules.hidden)[toward]
    others_ft = (_farthest_ft(placement, one) for one in Toward if one is not toward)
    return float(walking_seconds(2 * (reach_ft + sum(others_ft))))


def _farthest_ft(placement: Placement, toward: Toward) -> float:
    return max((one.distance_ft for one in placement.devices if one.toward is toward), default=0.0)
