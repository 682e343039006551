"""Random roads of the kinds that the simple model covers, each with what a person there could report.

Single arcs of 100 to 5,000 ft with a wall 10 to 60 ft off along the whole of the bend, long crests, short
crests with drivers still on the grade before them, and walls and parked vehicles beside open roads; the
vehicle in the curve or crest, past it, and before it.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace

from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import HiddenBy, RuleSet, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Turn, two_lane
from forty_paces.geometry.scene import Outline, Scene, Strip
from forty_paces.geometry.scene_view import SceneView
from forty_paces.geometry.simple_view import SimpleView
from forty_paces.geometry.units import mph_to_fps

from tests.geometry.made_scene import made_scene

FAR_FT = 6000.0
"Beyond every distance searched here."


@dataclass(frozen=True)
class RandomRoad:
    """A scene and what an observer beside the vehicle could report of the traffic from behind."""

    scene: Scene
    hidden_by: HiddenBy
    near_ft: float | None
    far_ft: float | None
    reach_ft: float


def random_road(chance: random.Random) -> RandomRoad:
    """One road; light conditions and the side that traffic keeps to are random."""
    kind = chance.choice([HiddenBy.CURVE, HiddenBy.CURVE, HiddenBy.HILL, HiddenBy.OBSTRUCTION])
    hill = chance.choice([_hill, _short_hill])
    drawn = {HiddenBy.CURVE: _curve, HiddenBy.HILL: hill, HiddenBy.OBSTRUCTION: _obstruction}[kind](chance)
    if chance.random() < 0.5:
        drawn = replace(drawn, scene=drawn.scene.mirrored())
    return drawn


def _scene(chance: random.Random, **parts) -> tuple[Scene, float]:
    reach_ft = chance.choice([150.0, 250.0, 500.0, 1000.0])
    return made_scene(speed_mph=5.0 * chance.randint(3, 15), detection_ft=reach_ft, **parts), reach_ft


def _curve(chance: random.Random) -> RandomRoad:
    """An arc behind, around or past the vehicle, with a wall along the inside of all of it."""
    radius, turn = math.exp(chance.uniform(math.log(100), math.log(5000))), chance.choice(list(Turn))
    length = min(chance.uniform(0.3, 2.5) * radius, 0.95 * math.pi * radius, 4000.0)
    end = chance.choice([chance.uniform(-600, 0), chance.uniform(0, length), chance.uniform(0, 200)])
    inside = -1 if turn is Turn.LEFT else 1
    # The wall is 10 to 60 ft from the center of the travel lane, outside the pavement on that side.
    edge = 26.0 if turn is Turn.LEFT else 16.0
    offset = inside * max(edge, chance.uniform(10, 60))
    if radius <= abs(offset) + 5:
        return _curve(chance)
    start = end - length
    road = Road(Alignment(start, (Arc(length, radius, turn),)), carriageways=two_lane(12, 10, 8))
    scene, reach = _scene(chance, road=road, blockers=(Strip("the rock", start, end, offset),))
    return RandomRoad(scene, HiddenBy.CURVE, max(0.0, math.ceil(-end)), None, reach)


def _hill(chance: random.Random) -> RandomRoad:
    """A crest so long that a driver who loses sight of the vehicle is already on its curve."""
    change = chance.uniform(4, 14)
    first = change / 2 + chance.uniform(-2, 2)
    curve = chance.uniform(3200, 7000)
    end = chance.choice([chance.uniform(-600, 0), chance.uniform(0, curve - 2600)])
    profile = Profile(first, (Pvi(end - curve / 2, first - change, curve),))
    scene, reach = _scene(chance, road=Road(profile=profile, carriageways=two_lane(12, 10, 8)))
    return RandomRoad(scene, HiddenBy.HILL, max(0.0, math.ceil(-end)), None, reach)


def _short_hill(chance: random.Random) -> RandomRoad:
    """A crest so short that a driver who loses sight of the vehicle may still be on the grade before it."""
    change = chance.uniform(1.5, 14)
    first = change * chance.uniform(0.2, 0.8)
    curve = math.exp(chance.uniform(math.log(10), math.log(1200)))
    end = chance.choice([-chance.uniform(0, 500), chance.uniform(0, curve)])
    profile = Profile(first, (Pvi(end - curve / 2, first - change, curve),))
    scene, reach = _scene(chance, road=Road(profile=profile, carriageways=two_lane(12, 10, 8)))
    return RandomRoad(scene, HiddenBy.HILL, max(0.0, math.ceil(-end)), None, reach)


def _obstruction(chance: random.Random) -> RandomRoad:
    """A straight road with a parked truck or a wall on the shoulder behind the vehicle."""
    near = chance.uniform(20, 400)
    far = near + chance.choice([chance.uniform(12, 75), chance.uniform(75, 500)])
    front = chance.uniform(6.2, 10.5)
    box = Outline("a parked truck", ((-far, front), (-far, front + 9), (-near, front + 9), (-near, front)))
    scene, reach = _scene(chance, road=Road(carriageways=two_lane(12, 10, 8)), blockers=(box,))
    return RandomRoad(scene, HiddenBy.OBSTRUCTION, None, math.ceil(far), reach)


def views(drawn: RandomRoad) -> tuple[SimpleView, SceneView]:
    """Both models of the traffic from behind: the simple model's report and the engine's view."""
    scene = drawn.scene
    engine = SceneView(scene, Toward.BEHIND, drawn.reach_ft, None, FAR_FT)
    sight_ft = pavement_sight_ft(engine)
    simple = SimpleView(
        sight_ft,
        drawn.reach_ft,
        scene.speed_mph,
        None,
        (drawn.hidden_by,),
        drawn.near_ft,
        drawn.far_ft,
    )
    return simple, engine


def pavement_sight_ft(engine: SceneView) -> float:
    """Available sight distance as an observer at the vehicle would report it, rounded down to whole feet."""
    sight_ft = engine.hidden_ft
    return sight_ft if math.isinf(sight_ft) else float(math.floor(sight_ft))


def least_view_ft(scene: Scene) -> float:
    """2.5 s at the posted speed."""
    return 2.5 * mph_to_fps(scene.speed_mph)


def in_force(rules: RuleSet) -> tuple[str, ...]:
    """The rule's positions across the road of the devices behind, on a two-lane road."""
    return tuple(
        dict.fromkeys(
            device.across
            for layout in rules.layouts
            for device in layout.devices
            if device.toward is Toward.BEHIND
        )
    )
