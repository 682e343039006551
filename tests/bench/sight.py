"""How fast full-sight placement is, as ratios against brute force in the same run.

Four tables:

- each shipped scene solved: by the engine, and by a baseline that tests every foot against
  every obstruction with the same exact test, as a ratio; both must give the same distances;
- crests alone: the closed form, and the foot-by-foot walk that it replaced;
- situations a second, on simple scenes of one curtain a side;
- growth with road length: one road made longer piece by piece, its obstructions with it.
"""

from __future__ import annotations

import math
import random
import statistics
from collections.abc import Callable, Iterator
from dataclasses import replace

from forty_paces.authoring.library import load_library
from forty_paces.geometry import placement, sight, solver
from forty_paces.geometry.records import RoadKind, RuleSet, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import Outline, Scene, Stands, StoppedVehicle, Strip
from forty_paces.geometry.sight import FirstSight, Target, Viewer, hidden_by, station_ft

from tests.bench.measuring import PROJECT, Table, processor_s
from tests.geometry.slow_walk import walked_intervals

SITUATIONS = 500
CREST_REACH_FT = 1500.0


def brute_first_sight(watch: Viewer, target: Target, limit_ft: float) -> FirstSight:
    """First sight with nothing skipped: every foot, every obstruction."""
    for distance in range(1, math.ceil(limit_ft) + 1):
        if hidden_by(watch, target, float(distance)):
            return FirstSight(float(distance), "")
    return FirstSight(math.inf, None)


def distances_tried(rules: RuleSet, scene: Scene, first_sight: Callable[..., FirstSight]) -> list[float]:
    """First sight of the vehicle and of a device at each step of the rule's range, from every side."""
    found = []
    assert rules.hidden is not None
    for toward in placement.streams(scene.kind):
        watch = sight.viewers(scene, toward)[0]
        reach = solver.detection_ft(rules, scene)
        found.append(first_sight(watch, sight.vehicle_target(scene, toward), reach).distance_ft)
        for step in range(1, round(rules.hidden.to_ft / rules.hidden.step_ft) + 1):
            at = station_ft(scene, toward, step * rules.hidden.step_ft)
            target = Target(at, scene.vehicle.offset_ft, sight.DEVICE_TARGET_FT)
            found.append(first_sight(watch, target, reach).distance_ft)
    return found


def bench_scenes(rules: RuleSet, scenes: Iterator[Scene], rounds: int) -> Table:
    """Engine against brute force on the same questions."""
    ratios, rows = [], []
    for scene in scenes:
        solved = processor_s(lambda scene=scene: solver.place_in_scene(rules, scene), rounds)
        quick = distances_tried(rules, scene, sight.first_sight)
        slow = distances_tried(rules, scene, brute_first_sight)
        agree = all(
            a == b
            or abs(a - b) <= 1
            or (max(a, b) == math.inf and min(a, b) > solver.detection_ft(rules, scene) - 1)
            for a, b in zip(quick, slow, strict=True)
        )
        if not agree:
            raise SystemExit(f"{scene.id}: engine and brute force disagree")
        engine = processor_s(lambda scene=scene: distances_tried(rules, scene, sight.first_sight), rounds)
        brute = processor_s(lambda scene=scene: distances_tried(rules, scene, brute_first_sight), rounds)
        ratios.append(brute / engine)
        times = (f"{taken * 1e3:.1f}" for taken in (solved, engine, brute))
        rows.append((scene.id, *times, f"{ratios[-1]:.1f}"))
    rows.append(("geometric mean", "", "", "", f"{statistics.geometric_mean(ratios):.1f}"))
    head = ("scene", "solved, ms", "engine, ms", "brute force, ms", "brute force / engine")
    return Table("Every shipped scene, same distances", head, rows)


def bench_crests(rules: RuleSet, scenes: Iterator[Scene], rounds: int) -> Table:
    """What the road surface alone hides in the scenes that have a crest, solved and walked."""
    rows, ratios = [], []
    for scene in scenes:
        if not scene.road.profile.has_crest:
            continue
        bare = replace(scene, blockers=())
        watch = sight.viewers(bare, Toward.BEHIND)[0]
        target = sight.vehicle_target(bare, Toward.BEHIND)

        def solved(watch: Viewer = watch, target: Target = target) -> object:
            return sight.hidden_intervals(watch, target, CREST_REACH_FT)

        def walked(watch: Viewer = watch, target: Target = target) -> object:
            return walked_intervals(watch, target, CREST_REACH_FT)

        times = (processor_s(solved, rounds), processor_s(walked, rounds))
        ratios.append(times[1] / times[0])
        rows.append((scene.id, *(f"{taken * 1e3:.2f}" for taken in times), f"{ratios[-1]:.0f}"))
    rows.append(("geometric mean", "", "", f"{statistics.geometric_mean(ratios):.0f}"))
    return Table("Crests alone", ("scene", "closed form, ms", "walk, ms", "walk / closed form"), rows)


def standing(road: Road, blockers: tuple[Outline | Strip, ...], speed_mph: float, reach: float) -> Scene:
    """A 70 ft vehicle on the shoulder of a two-lane road."""
    return Scene(
        id="bench",
        title="bench",
        place="bench",
        position=1,
        teaching_point="bench",
        kind=RoadKind.TWO_LANE,
        road=replace(road, carriageways=two_lane(12, 10, 8)),
        vehicle=StoppedVehicle(70, 8.5, 11, Stands.SHOULDER),
        speed_mph=speed_mph,
        blockers=blockers,
        detection_ft=reach,
    )


def bench_situations(rules: RuleSet, count: int) -> Table:
    """Situations a second, full sight against the simple model."""
    chance = random.Random(1)
    scenes, situations = [], []
    for _ in range(count):
        hidden = [float(chance.randint(20, 500)), float(chance.randint(20, 500))]
        speed, reach = float(chance.randint(25, 75)), float(chance.randint(100, 1000))
        curtains = tuple(
            Outline("curtain", ((station, -300), (station, 300)), closed=False)
            for station in (-hidden[0], 70 + hidden[1])
        )
        scenes.append(standing(Road(), curtains, speed, reach))
        situations.append(placement.Situation(RoadKind.TWO_LANE, speed, reach, *hidden))
    full = processor_s(lambda: [solver.solve(rules, scene) for scene in scenes], 1)
    simple = processor_s(lambda: [placement.place(rules, situation) for situation in situations], 1)
    rows = [
        ("simple model", f"{count / simple:,.0f}", "1.0"),
        ("full sight", f"{count / full:,.0f}", f"{full / simple:.1f}"),
    ]
    return Table("Simple situations, both ways", ("", "a processor second", "time, simple model = 1"), rows)


def bench_growth(rules: RuleSet, rounds: int) -> Table:
    """Ever longer roads: obstructions and pieces grow with the length, the search with the reach."""
    rows = []
    first: tuple[float, float] | None = None
    for count in (4, 8, 16, 32):
        half = count * 150.0
        pieces = tuple(
            Tangent(150) if n % 2 else Arc(150, 900, Turn.LEFT if n % 4 else Turn.RIGHT)
            for n in range(2 * count)
        )
        blockers = tuple(
            Strip(f"wall {n}", -half + 150 * n, -half + 150 * n + 90, 60 if n % 2 else -70)
            for n in range(2 * count)
        )
        scene = standing(Road(Alignment(-half, pieces)), blockers, 55, half)
        watch = sight.viewers(scene, Toward.BEHIND)[0]
        target = sight.vehicle_target(scene, Toward.BEHIND)

        def all_hidden(watch: Viewer = watch, target: Target = target, reach: float = half) -> object:
            return sight.hidden_intervals(watch, target, reach)

        def all_brute(watch: Viewer = watch, target: Target = target, reach: float = half) -> object:
            return [hidden_by(watch, target, float(at)) for at in range(1, int(reach) + 1)]

        times = (processor_s(all_hidden, rounds), processor_s(all_brute, rounds))
        first = first or times
        grown = (times[0] / first[0], times[1] / first[1], times[1] / times[0])
        rows.append((f"{half:,.0f}", str(len(pieces)), *(f"{ratio:.1f}" for ratio in grown)))
    head = (
        "reach, ft",
        "pieces",
        "engine, first row = 1",
        "brute force, first row = 1",
        "brute force / engine",
    )
    return Table("Longer and longer roads", head, rows)


def tables(rounds: int) -> Iterator[Table]:
    """Every table."""
    library = load_library(PROJECT)
    rules = library.rules["us"].rule_set
    yield bench_scenes(rules, iter(library.scenes.values()), min(rounds, 3))
    yield bench_crests(rules, iter(library.scenes.values()), rounds)
    yield bench_situations(rules, SITUATIONS)
    yield bench_growth(rules, min(rounds, 3))
