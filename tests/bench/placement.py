"""How fast the placement engine is, as ratios against a search that tries every place.

Two tables:

- situations a second: the engine, and a baseline that tries every whole step and, for each,
  every place on the road from which a driver might see it; both must give the same distances. Obstructions
  of known length beside straight roads, the one cause for which seeing is a matter of intervals alone;
- the engine by what the situation asks of it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from forty_paces.commands.rule_files import load_rules
from forty_paces.geometry.placement import needed_ft, place, streams
from forty_paces.geometry.records import HiddenBy, RoadKind, RuleSet, Situation, Toward
from forty_paces.geometry.simple_view import BEYOND_FT

from tests.bench.measuring import PROJECT, Table, processor_s

SITUATIONS = 1000
GRID_FT = 5


def random_situations(count: int) -> list[Situation]:
    """Situations on a 5 ft grid, so that the baseline can be exact."""
    chance = random.Random(40)
    return [
        Situation(
            road=chance.choice(list(RoadKind)),
            speed_mph=float(chance.randint(15, 80)),
            detection_ft=float(chance.randrange(50, 1005, GRID_FT)),
            hidden_behind_ft=float(chance.randrange(0, 800, GRID_FT)),
            hidden_ahead_ft=float(chance.randrange(0, 800, GRID_FT)),
            grade_pct=float(chance.randint(-6, 6)),
            hidden_by=(HiddenBy.OBSTRUCTION,),
            hidden_to_ft=float(chance.randrange(0, 400, GRID_FT)),
        )
        for _ in range(count)
    ]


def seen_from(distance_ft: float, hidden_ft: float, range_ft: float, clear_ft: float) -> float:
    """Farthest place from which a driver sees the vehicle (at 0) or a device, by testing every place.

    A device short of ``clear_ft`` may stand behind the obstruction, so the model does not count it.
    """
    if 0 < distance_ft < clear_ft:
        return 0.0
    far = int(distance_ft + range_ft) // GRID_FT * GRID_FT
    for driver_ft in range(far, -1, -GRID_FT):
        if driver_ft - distance_ft <= range_ft and (driver_ft <= hidden_ft or distance_ft > 0):
            return float(driver_ft)
    return 0.0


def baseline(rules: RuleSet, situation: Situation) -> list[float]:
    """Distances of all devices, every step tried, none skipped."""
    assert rules.hidden is not None
    layout = rules.layout(situation.road, situation.speed_mph)
    found: list[float] = []
    for toward in streams(situation.road):
        asked = sorted(rule.distance_ft for rule in layout.devices if rule.toward is toward)
        hidden = situation.hidden_behind_ft if toward is Toward.BEHIND else situation.hidden_ahead_ft
        need, reach = needed_ft(rules, situation, toward), situation.detection_ft
        clear = (situation.hidden_to_ft or 0.0) + BEYOND_FT
        fixed = max(seen_from(distance, hidden, reach, clear) for distance in (0.0, *asked[:-1]))
        last = rules.hidden.to_ft if hidden <= rules.hidden.within_ft else asked[-1]
        tried: list[tuple[float, float]] = []
        distance = asked[-1]
        while distance <= last:
            tried.append((distance, max(fixed, seen_from(distance, hidden, reach, clear))))
            distance += rules.hidden.step_ft
        enough = [distance for distance, warning in tried if warning >= need]
        longest = max(warning for _, warning in tried)
        best = enough[0] if enough else next(place for place, warning in tried if warning == longest)
        found += [*asked[:-1], best]
    return found


def distances(rules: RuleSet, situation: Situation) -> list[float]:
    """The engine's distances, in the same order."""
    return [device.distance_ft for device in place(rules, situation).devices]


def compare(rules: RuleSet, situations: Sequence[Situation], rounds: int) -> Table:
    """The engine beside the baseline."""
    for situation in situations:
        if distances(rules, situation) != baseline(rules, situation):
            raise SystemExit(f"the two searches differ at {situation}")
    fast = processor_s(lambda: [place(rules, situation) for situation in situations], rounds)
    slow = processor_s(lambda: [baseline(rules, situation) for situation in situations], 1)
    rows = [
        ("engine, with reasons, walk and cautions", f"{len(situations) / fast:,.0f}", f"{slow / fast:.1f}"),
        ("every place tried, distances alone", f"{len(situations) / slow:,.0f}", "1.0"),
    ]
    title = f"{len(situations)} situations, same distances"
    return Table(title, ("", "a processor second", "times as fast"), rows)


def by_kind(rules: RuleSet, situations: Sequence[Situation], rounds: int) -> Table:
    """What takes time: hidden views, and how far out the search must go."""
    kinds: dict[str, Callable[[Situation], Situation]] = {
        "nothing hidden": lambda s: replace(s, hidden_behind_ft=math.inf, hidden_ahead_ft=math.inf),
        "hidden near, enough soon": lambda s: replace(s, hidden_behind_ft=120.0, hidden_ahead_ft=120.0),
        "hidden at the limit": lambda s: replace(s, hidden_behind_ft=500.0, hidden_ahead_ft=500.0),
        "never enough, whole range tried": lambda s: replace(
            s, speed_mph=80.0, detection_ft=150.0, hidden_behind_ft=400.0, hidden_ahead_ft=400.0
        ),
    }
    taken = {}
    for kind, make in kinds.items():
        asked = [make(situation) for situation in situations]
        taken[kind] = processor_s(lambda asked=asked: [place(rules, one) for one in asked], rounds)
    plain = taken["nothing hidden"]
    rows = [
        (kind, f"{len(situations) / time_s:,.0f}", f"{time_s / plain:.2f}") for kind, time_s in taken.items()
    ]
    return Table("By what is hidden", ("", "a processor second", "time, nothing hidden = 1"), rows)


def tables(rounds: int) -> Iterator[Table]:
    """Both tables."""
    rules = load_rules(PROJECT, "us").rule_set
    situations = random_situations(SITUATIONS)
    yield compare(rules, situations, rounds)
    yield by_kind(rules, situations, rounds)
