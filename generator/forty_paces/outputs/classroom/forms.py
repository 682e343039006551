"""Matched tests of placing devices: forms of equal make on roads drawn from a seed and solved by the engine.

Every form has a straight road, a bend, a crest and a trap, in random order, and the same number of moved
devices: none on the straight road, one on each of the others. In a trap one side looks as if its device had
to move, and the rule's distance suffices there, or the road is hidden beyond the rule's limit; the other
side's device moves. No device moves so far that the rule's farthest distance earns anything, so that both
lazy strategies fail: to move nothing is right on the straight road alone, to move everything out nowhere.

A road that does not come out as wanted is drawn again. The same number gives the same forms, byte for byte.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from enum import StrEnum

from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import RoadKind, RuleSet, Toward
from forty_paces.geometry.road import Alignment, Arc, Piece, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import Blocker, Light, Scene, Stands, StoppedVehicle, Strip
from forty_paces.geometry.solver import ScenePlacement, solve_scene
from forty_paces.messages.classroom import FORM
from forty_paces.messages.languages import cached_by_language
from forty_paces.outputs.classroom.placing_tasks import ECONOMY, Task, is_possible, task_of
from forty_paces.outputs.classroom.seeded_random import SeededRandom

LANE_FT, SHOULDER_FT = 12.0, 10.0
ROAD_END_FT = 1600.0
TRIES = 1000
"Draws before a number is given up; on average fewer than forty are needed."
NOT_FOG_FT = 200.0
"Forms are in clear weather, by day and at night."
SITE_NUMBER, SITE_FORMS = 1, 4
"""The forms on a site, on its exercise and on paper; ``fortypaces worksheet`` prints those of any number.

With four, nobody in a row of seats has the form of a neighbor, nor of whoever sits in front or behind.
"""
DAYLIGHT_FT = 500.0
SPEEDS_MPH = (40.0, 45.0, 50.0, 55.0)
MARGINS = ((0.1, "hard"), (0.25, "medium"))
"A moved device is hard to see where the rule's distance misses the need by less than this share of it."


class RoadPurpose(StrEnum):
    """What a road of a form is there for."""

    STRAIGHT = "straight"
    BEND = "bend"
    CREST = "crest"
    TRAP = "trap"


MOVED = {RoadPurpose.STRAIGHT: 0, RoadPurpose.BEND: 1, RoadPurpose.CREST: 1, RoadPurpose.TRAP: 1}
"""How many devices are moved on each kind of road: the same on every form."""


class NoForm(ValueError):
    """The rule set moves no device, so no form can be made under it."""


def makes_forms(rules: RuleSet) -> bool:
    """Whether the rule set moves devices, and has some on both sides of a vehicle on a two-lane road."""
    return rules.hidden is not None and bool(_speeds_mph(rules))


def _speeds_mph(rules: RuleSet) -> list[float]:
    """The speeds at which a vehicle on a two-lane road has devices on both sides."""
    return [speed for speed in SPEEDS_MPH if _on_both_sides(rules, speed)]


def _on_both_sides(rules: RuleSet, speed_mph: float) -> bool:
    try:
        layout = rules.layout(RoadKind.TWO_LANE, speed_mph)
    except LookupError:
        return False
    return {device.toward for device in layout.devices} == set(Toward)


def site_forms(rules: RuleSet) -> tuple[tuple[Task, ...], ...]:
    """The forms of a site; none under a rule set for which no form can be made."""
    try:
        return tuple(forms(rules, SITE_NUMBER, SITE_FORMS))
    except NoForm:
        return ()


@cached_by_language(maxsize=256)
def form_tasks(rules: RuleSet, number: int, variant: int) -> tuple[Task, ...]:
    """The four situations of one form, solved; :class:`NoForm` under a rule set that moves no device."""
    if not makes_forms(rules):
        raise NoForm(FORM["none"])
    order = SeededRandom.named("form", number, variant).shuffled(tuple(RoadPurpose))
    return tuple(_drawn(rules, kind, number, variant) for kind in order)


def kind_of(task: Task) -> RoadPurpose:
    """The kind of a form's road."""
    return RoadPurpose(task.scene.id.rpartition("-")[2])


def difficulty(task: Task) -> str:
    """'plain', 'medium' or 'hard', by how closely the rule's distance misses the need."""
    if kind_of(task) is RoadPurpose.TRAP:
        return "hard"
    shares = [_missing_share(task, device.toward) for device in task.expected if device.moved]
    return next((name for share, name in MARGINS if shares and min(shares) < share), "plain")


def _missing_share(task: Task, toward: Toward) -> float:
    side, approach = task.side(toward), task.solved.placement.approach(toward)
    assert side is not None, "a moved device has a side"
    assert approach is not None, "a moved device has an approach"
    rules = task.lengths.rules
    layout = rules.layout(task.scene.kind, task.scene.speed_mph)
    fixed = [(one.distance_ft, one.across) for one in layout.devices if one.toward is toward]
    return 1 - side.view.warning_ft(fixed) / approach.needed_ft


def _drawn(rules: RuleSet, kind: RoadPurpose, number: int, variant: int) -> Task:
    random = SeededRandom.named("form", number, variant, kind)
    for _ in range(TRIES):
        scene = ROADS[kind](rules, random, f"form-{number}-{variant}-{kind}")
        if rules.traffic_keeps == "left":
            scene = scene.mirrored()
        if is_possible(rules, scene) and _fits(rules, solved := solve_scene(rules, scene), kind):
            task = task_of(rules, scene, solved)
            return replace(task, scene=replace(scene, place=FORM[f"place-{difficulty(task)}"]))
    raise NoForm(FORM["none"])


def _fits(rules: RuleSet, solved: ScenePlacement, kind: RoadPurpose) -> bool:
    """Whether the solved road is what the form wants of its kind."""
    placement = solved.placement
    assert rules.hidden is not None, "asked before drawing"
    moved = [device for device in placement.devices if device.moved]
    if len(moved) != MOVED[kind] or any(ECONOMY * one.distance_ft >= rules.hidden.to_ft for one in moved):
        return False
    ample = {approach.toward: approach.ample for approach in placement.approaches}
    if not all(ample[one.toward] for one in moved):
        return False
    return kind is not RoadPurpose.TRAP or any(
        _tempts(rules, solved, toward) for toward in ample if toward is not moved[0].toward
    )


def _tempts(rules: RuleSet, solved: ScenePlacement, toward: Toward) -> bool:
    """Whether a side looks as if its device had to move, and it does not."""
    side, approach = solved.side(toward), solved.placement.approach(toward)
    hidden = rules.hidden
    assert side is not None
    assert approach is not None
    assert hidden is not None
    suffices = side.hidden_ft <= hidden.within_ft and approach.ample
    beyond = hidden.within_ft < side.hidden_ft < 1.2 * hidden.within_ft and not approach.ample
    return suffices or beyond


def _between(random: SeededRandom, low: float, high: float, step: float) -> float:
    return low + step * random.below(round((high - low) / step) + 1)


def _choice(random: SeededRandom, *items: str) -> str:
    return items[random.below(len(items))]


def _scene(
    rules: RuleSet,
    random: SeededRandom,
    name: str,
    title: str,
    pieces: tuple[Piece, ...],
    *,
    start_ft: float = -ROAD_END_FT,
    profile: Profile | None = None,
    blockers: tuple[Blocker, ...] = (),
) -> Scene:
    """A two-lane road with a truck on its shoulder, by day or at night; the title says which."""
    lights = [one for one in rules.visibility if one.detection_ft >= NOT_FOG_FT]
    light = lights[random.below(len(lights))]
    speeds = _speeds_mph(rules)
    return Scene(
        id=name,
        title=FORM["title"].format(road=title, light=light.title.lower()),
        place=FORM["place-plain"],
        position=1,
        teaching_point=FORM[f"point-{name.rpartition('-')[2]}"],
        kind=RoadKind.TWO_LANE,
        road=Road(
            Alignment(start_ft, pieces),
            profile or Profile(0.0, ()),
            two_lane(LANE_FT, SHOULDER_FT, 6.0),
        ),
        vehicle=StoppedVehicle(70.0, 8.5, LANE_FT / 2 + SHOULDER_FT / 2, Stands.SHOULDER, 53.0),
        speed_mph=speeds[random.below(len(speeds))],
        blockers=blockers,
        light=Light.DAY if light.detection_ft >= DAYLIGHT_FT else Light.NIGHT,
        visibility=light.id,
    )


def _straight(rules: RuleSet, random: SeededRandom, name: str) -> Scene:
    return _scene(rules, random, name, FORM["straight"], (Tangent(2 * ROAD_END_FT),))


def _bend_pieces(random: SeededRandom, toward: Toward) -> tuple[float, float, tuple[Piece, ...], Blocker]:
    """Start, end of the bend, pieces up to or from the vehicle, and the slope inside a bend on one side.

    A bend behind turns right and a bend ahead turns left: each puts its inside where it hides most.
    """
    radius_ft = _between(random, 500, 1400, 20)
    length_ft = _between(random, 400, 800, 20)
    gap_ft = _between(random, 0, 160, 20)
    clear_ft = _between(random, 1, 9, 1)
    if toward is Toward.BEHIND:
        offset_ft = LANE_FT / 2 + SHOULDER_FT + clear_ft
        slope = Strip(FORM["slope"], -gap_ft - length_ft, 20.0, offset_ft)
        return gap_ft, length_ft, (Arc(length_ft, radius_ft, Turn.RIGHT),), slope
    offset_ft = -(1.5 * LANE_FT + 6.0 + clear_ft)
    slope = Strip(FORM["trees"], 70.0 + gap_ft, 70.0 + gap_ft + length_ft, offset_ft)
    return gap_ft, length_ft, (Arc(length_ft, radius_ft, Turn.LEFT),), slope


def _bend(rules: RuleSet, random: SeededRandom, name: str) -> Scene:
    toward = tuple(Toward)[random.below(2)]
    gap_ft, length_ft, arc, slope = _bend_pieces(random, toward)
    if toward is Toward.BEHIND:
        pieces = (Tangent(ROAD_END_FT - gap_ft - length_ft), *arc, Tangent(ROAD_END_FT + gap_ft))
    else:
        pieces = (Tangent(ROAD_END_FT + 70.0 + gap_ft), *arc, Tangent(ROAD_END_FT))
    return _scene(rules, random, name, FORM[f"bend-{toward}"], pieces, blockers=(slope,))


def _crest(rules: RuleSet, random: SeededRandom, name: str) -> Scene:
    up_pct, down_pct = _between(random, 2, 5, 0.5), _between(random, 2, 4, 0.5)
    curve_ft = _between(random, 240, 460, 20)
    top_ft = -_between(random, curve_ft / 2 + 10, 340, 10) if curve_ft / 2 + 10 < 340 else -340.0
    profile = Profile(up_pct, (Pvi(top_ft, -down_pct, curve_ft),))
    return _scene(rules, random, name, FORM["crest"], (Tangent(2 * ROAD_END_FT),), profile=profile)


def _trap(rules: RuleSet, random: SeededRandom, name: str) -> Scene:
    gap_ft, length_ft, arc, slope = _bend_pieces(random, Toward.BEHIND)
    ahead_ft, _, far_arc, trees = _bend_pieces(random, Toward.AHEAD)
    pieces = (
        Tangent(ROAD_END_FT - gap_ft - length_ft),
        *arc,
        Tangent(gap_ft + 70.0 + ahead_ft),
        *far_arc,
        Tangent(ROAD_END_FT),
    )
    return _scene(rules, random, name, FORM["two-bends"], pieces, blockers=(slope, trees))


ROADS: dict[RoadPurpose, Callable[[RuleSet, SeededRandom, str], Scene]] = {
    RoadPurpose.STRAIGHT: _straight,
    RoadPurpose.BEND: _bend,
    RoadPurpose.CREST: _crest,
    RoadPurpose.TRAP: _trap,
}


def forms(rules: RuleSet, number: int, variants: int) -> Iterator[tuple[Task, ...]]:
    """The tasks of each form of a number."""
    return (form_tasks(rules, number, variant) for variant in range(variants))
