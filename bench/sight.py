"""How fast full-sight placement is, as ratios against brute force in the same run.

Run from the project's folder: ``python bench/sight.py [--rounds N]``. Prints three tables:

- each shipped scene solved: by the engine, and by a baseline that tests every foot against
  every wall with the same exact test, as a ratio; both must give the same distances;
- situations a second, on simple scenes of one curtain a side;
- growth with road length: one road made longer piece by piece, walls with it.

Absolute times depend on the machine and are printed only to be read beside the ratios.
"""

from __future__ import annotations

import argparse
import math
import random
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(PROJECT))

from generator.authoring.library import load_library  # noqa: E402
from generator.geometry import placement, sight, solver  # noqa: E402
from generator.geometry.records import RoadKind, RuleSet, Toward  # noqa: E402
from generator.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane  # noqa: E402
from generator.geometry.scene import Outline, Scene, Stands, StoppedVehicle, Strip  # noqa: E402
from generator.geometry.sight import FirstSight, Target, Viewer, hidden_by, station_ft  # noqa: E402


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Median processor seconds of one call, so that a busy machine weighs less."""
    taken = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        taken.append(time.process_time() - begin)
    return statistics.median(taken)


def brute_first_sight(watch: Viewer, target: Target, limit_ft: float) -> FirstSight:
    """First sight with nothing skipped: every foot, every wall."""
    for distance in range(1, math.ceil(limit_ft) + 1):
        if hidden_by(watch, target, float(distance)):
            return FirstSight(float(distance), "")
    return FirstSight(math.inf, None)


def distances_tried(rules: RuleSet, scene: Scene, first_sight: Callable[..., FirstSight]) -> list[float]:
    """First sight of the vehicle and of a device at each step of the rule's range, from every side."""
    found = []
    assert rules.hidden is not None
    for toward in placement.streams(scene.kind):
        watch = sight.viewer(scene, toward)
        reach = solver.detection_ft(rules, scene)
        found.append(first_sight(watch, sight.vehicle_target(scene, toward), reach).distance_ft)
        for step in range(1, round(rules.hidden.to_ft / rules.hidden.step_ft) + 1):
            at = station_ft(scene, toward, step * rules.hidden.step_ft)
            target = Target(at, scene.vehicle.offset_ft, sight.DEVICE_TARGET_FT)
            found.append(first_sight(watch, target, reach).distance_ft)
    return found


def bench_scenes(rules: RuleSet, scenes: Iterator[Scene], rounds: int) -> None:
    """Engine against brute force on the same questions."""
    print(f"{'scene':24}{'solve ms':>10}{'engine ms':>11}{'brute ms':>10}{'ratio':>8}")
    ratios = []
    for scene in scenes:
        solved = seconds(lambda scene=scene: solver.place_in_scene(rules, scene), rounds)
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
        engine = seconds(lambda scene=scene: distances_tried(rules, scene, sight.first_sight), rounds)
        brute = seconds(lambda scene=scene: distances_tried(rules, scene, brute_first_sight), rounds)
        ratios.append(brute / engine)
        print(f"{scene.id:24}{solved * 1e3:10.1f}{engine * 1e3:11.1f}{brute * 1e3:10.1f}{ratios[-1]:8.1f}")
    print(f"brute force takes {statistics.geometric_mean(ratios):.1f} times as long (geometric mean)\n")


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


def bench_situations(rules: RuleSet, count: int) -> None:
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
    full = seconds(lambda: [solver.solve(rules, scene) for scene in scenes], 1)
    simple = seconds(lambda: [placement.place(rules, situation) for situation in situations], 1)
    print(f"{count / full:.0f} situations a second in full sight, {count / simple:.0f} in the simple model;")
    print(f"full sight takes {full / simple:.1f} times as long\n")


def bench_growth(rules: RuleSet, rounds: int) -> None:
    """The same kind of road, longer and longer: walls and pieces grow with it, the search with the reach."""
    print("times the first row, engine and brute force apart:")
    print(f"{'reach ft':>10}{'pieces':>8}{'engine':>9}{'brute':>9}")
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
        watch = sight.viewer(scene, Toward.BEHIND)
        target = sight.vehicle_target(scene, Toward.BEHIND)

        def all_hidden(watch: Viewer = watch, target: Target = target, reach: float = half) -> object:
            return sight.hidden_intervals(watch, target, reach)

        def all_brute(watch: Viewer = watch, target: Target = target, reach: float = half) -> object:
            return [hidden_by(watch, target, float(at)) for at in range(1, int(reach) + 1)]

        times = (seconds(all_hidden, rounds), seconds(all_brute, rounds))
        first = first or times
        print(f"{half:10.0f}{len(pieces):8}{times[0] / first[0]:9.1f}{times[1] / first[1]:9.1f}", end="")
        print(f"   brute/engine {times[1] / times[0]:.1f}")


def main() -> None:
    """Every table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--rounds", type=int, default=3, help="calls of which the median is taken")
    parser.add_argument("--situations", type=int, default=500, help="simple situations solved in full sight")
    told = parser.parse_args()
    library = load_library(PROJECT)
    rules = library.rules["us"].rule_set
    bench_scenes(rules, iter(library.scenes.values()), told.rounds)
    bench_situations(rules, told.situations)
    bench_growth(rules, told.rounds)


if __name__ == "__main__":
    main()
