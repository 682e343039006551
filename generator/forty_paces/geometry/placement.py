"""Places the warning devices of a rule set for a situation.

Each approach direction is computed on its own from its stopping sight distance and a :class:`View`,
either the simple model's or that of a fully described road. Where the vehicle is hidden within the
rule's limit, the outermost device moves out in whole steps within the rule's range. Contains no
figure of any jurisdiction.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from forty_paces.geometry import units
from forty_paces.geometry.cautions import (
    caution,
    no_room_caution,
    short_caution,
    standing_cautions,
    time_caution,
)
from forty_paces.geometry.records import (
    Approach,
    Device,
    DeviceLayout,
    DeviceRule,
    Message,
    Placement,
    RoadKind,
    RuleSet,
    Sentences,
    Situation,
    Spot,
    Stop,
    Surface,
    Toward,
)
from forty_paces.geometry.simple_view import LEAST_VIEW_S, SimpleView, View
from forty_paces.geometry.stopping import needed_sight_ft
from forty_paces.geometry.walk import walk

HILL_GLOW_S = 1.0
"By night the glow of headlights shows over a hill before the lamps do; added to the look-back time."


@dataclass(frozen=True, slots=True)
class Side:
    """The result for one approach direction."""

    toward: Toward
    devices: tuple[Device, ...]
    "Nearest first."
    approach: Approach
    finding: str
    "Outcome of the search: the key of the outermost device's reason."
    base_warning_ft: float
    "Warning distance with the outermost device at the distance that the rule sets."
    look: Sentences = ()
    "The look-back check; empty where no device moved."


def place(rules: RuleSet, situation: Situation, left_s: float | None = None) -> Placement:
    """Return the placement for a situation of the simple model; ``left_s`` is the time left for the walk.

    ``ValueError`` for figures that are out of range, ``CannotStop`` where no driver could stop on
    that grade and surface, ``LookupError`` where the rule set does not cover the road.
    """
    _refuse_nonsense(situation)
    views = {toward: simple_view(situation, toward) for toward in Toward}
    return place_views(rules, situation, views, left_s)


def place_views(
    rules: RuleSet, situation: Situation, views: Mapping[Toward, View], left_s: float | None = None
) -> Placement:
    """Return the placement with a view of its own for each direction.

    So one direction may be hidden by a bend and the other by a hill. What the situation says of hidden
    views is not read. Errors as in :func:`place`, except that the figures of the situation are not checked.
    """
    layout = rules.layout(situation.road, situation.speed_mph)
    sides = [
        place_side(
            rules, layout, toward, situation.speed_mph, needed_ft(rules, situation, toward), views[toward]
        )
        for toward in streams(situation.road)
    ]
    return assemble(
        rules,
        layout,
        sides,
        detection_ft=situation.detection_ft,
        reflecting_ft=situation.reflecting_ft,
        surface=situation.surface,
        left_s=left_s,
        left_out_ahead=math.isfinite(views[Toward.AHEAD].hidden_ft),
    )


def streams(road: RoadKind) -> tuple[Toward, ...]:
    """Return the directions of traffic: only a two-lane road has any from ahead."""
    return (Toward.BEHIND, Toward.AHEAD) if road is RoadKind.TWO_LANE else (Toward.BEHIND,)


def needed_ft(rules: RuleSet, situation: Situation, toward: Toward) -> float:
    """Return the stopping sight distance in feet; traffic from ahead travels on the opposite grade."""
    grade_pct = situation.grade_pct if toward is Toward.BEHIND else -situation.grade_pct
    return needed_sight_ft(situation.speed_mph, grade_pct, situation.surface, metric=rules.metric)


def simple_view(situation: Situation, toward: Toward) -> SimpleView:
    """Return the simple model's view for one approach direction."""
    return SimpleView(
        sight_ft=situation.hidden_behind_ft if toward is Toward.BEHIND else situation.hidden_ahead_ft,
        detection_ft=situation.detection_ft,
        speed_mph=situation.speed_mph,
        reflecting_ft=situation.reflecting_ft,
        hidden_by=situation.hidden_by,
        near_ft=situation.hidden_from_ft,
        far_ft=situation.hidden_to_ft,
    )


def place_side(
    rules: RuleSet,
    layout: DeviceLayout,
    toward: Toward,
    speed_mph: float,
    needed_ft: float,
    view: View,
    needed_by: str = "car",
    reach_ft: float = math.inf,
) -> Side:
    """Place the devices for one approach direction and compute the warning its drivers get.

    ``reach_ft`` is how far from the vehicle there is room to walk; a device beyond it is not counted.

    The outermost device goes to the first step at which the warning reaches the stopping sight
    distance, else to the first of those that give the longest warning. Where its view at that step
    is unknown, it goes just past the end of the available sight distance.
    """
    asked = nearest_first(layout, toward)
    if not asked:
        approach = approach_of(rules, toward, speed_mph, needed_ft, view, (), needed_by)
        return Side(toward, (), approach, "set", view.vehicle_ft)
    *inner, outermost = asked
    fixed: list[Spot] = [(rule.distance_ft, rule.across) for rule in inner if rule.distance_ft <= reach_ft]

    def best_ft(distance_ft: float) -> float:
        tried = [(distance_ft, outermost.across)] if distance_ft <= reach_ft else []
        return rules.down_ft(view.warning_ft([*fixed, *tried]))

    choices = candidates_ft(rules, outermost, view.hidden_ft)
    choices = tuple(choice for choice in choices if choice <= reach_ft) or choices[:1]
    chosen_ft = choose_ft(choices, best_ft, rules.up_ft(needed_ft))
    base_ft = outermost.distance_ft
    beyond_ft = view.beyond_ft
    unknown = (
        beyond_ft is not None
        and len(choices) > 1
        and (rules.hidden is not None or view.hidden_ft <= choices[-1] + units.FUZZ)
        and best_ft(chosen_ft) < rules.up_ft(needed_ft)
    )
    if unknown and beyond_ft is not None:
        chosen_ft = next((one for one in choices if one >= beyond_ft - units.FUZZ), choices[-1])
    moved = chosen_ft > base_ft
    reached = chosen_ft <= reach_ft
    spots = (*fixed, (chosen_ft, outermost.across)) if reached else tuple(fixed)
    approach = approach_of(rules, toward, speed_mph, needed_ft, view, spots, needed_by)
    if moved:
        look_ft, look_s = look_back(rules, view, speed_mph, needed_ft, chosen_ft)
        approach = replace(approach, look_ft=look_ft, look_s=look_s)
    finding = _finding(rules, outermost, view.hidden_ft, moved, approach.ample)
    if unknown and moved:
        finding = "moved-unknown"
    figures = {
        "base_ft": base_ft,
        "low_ft": choices[0],
        "high_ft": choices[-1],
        "hidden_ft": view.hidden_ft,
        "within_ft": rules.hidden.within_ft if rules.hidden else 0.0,
        "warning_ft": approach.warning_ft,
        "base_warning_ft": best_ft(base_ft),
        "needed_ft": needed_ft,
        "look_ft": approach.look_ft,
        "look_s": approach.look_s,
    }
    look: Sentences = ()
    if moved:
        look = (Message(f"reasons.look-{'day' if view.reflecting_ft is None else 'night'}", figures),)
    devices = [as_set(rules, rule, reach_ft) for rule in inner]
    if not reached:
        devices.append(as_set(rules, outermost, reach_ft))
        return Side(toward, tuple(devices), approach, "no-room", best_ft(base_ft))
    reason = (*_reason(finding, outermost, figures), *look)
    by_hidden_view = rules.hidden if finding in ("moved", "moved-short", "moved-unknown") else None
    devices.append(_device(rules, outermost, chosen_ft, reason, (by_hidden_view or outermost).source))
    return Side(toward, tuple(devices), approach, finding, best_ft(base_ft), look)


def look_back(
    rules: RuleSet, view: View, speed_mph: float, needed_ft: float, distance_ft: float
) -> tuple[float, float]:
    """Return the look-back check of a device moved to a distance, in feet and in seconds.

    Traffic must be in view from the device for the rest of the stopping sight distance, for at least the
    design reaction time, and at most as far as a device is made out.
    """
    reach_ft = view.reflecting_ft if view.reflecting_ft is not None else view.detection_ft
    least_ft = LEAST_VIEW_S * units.mph_to_fps(speed_mph)
    look_ft = rules.up_ft(min(reach_ft, max(needed_ft - distance_ft, least_ft)))
    glow_s = HILL_GLOW_S if view.over_hill else 0.0
    return look_ft, units.whole_up(units.seconds_at(look_ft, speed_mph), 0.5) + glow_s


def nearest_first(layout: DeviceLayout, toward: Toward) -> list[DeviceRule]:
    """Return one direction's devices by distance; the last is the outermost, the one that may move.

    Devices at equal distance keep the rule's order, so the later of them is the outermost.
    """
    return sorted((rule for rule in layout.devices if rule.toward is toward), key=lambda r: r.distance_ft)


def asks_for(rules: RuleSet, road: RoadKind, toward: Toward, speed_mph: float) -> bool:
    """Return whether the rule set puts any device toward that traffic; False if it forbids them."""
    return bool(nearest_first(rules.layout(road, speed_mph), toward))


def candidates_ft(rules: RuleSet, rule: DeviceRule, hidden_ft: float) -> tuple[float, ...]:
    """Return every distance at which the outermost device may be placed, nearest first.

    Only its own distance, unless the vehicle is hidden within the rule's limit or the rule
    itself gives a range; never nearer than its own distance.
    """
    base_ft = rule.distance_ft
    if rules.hidden is not None and hidden_ft <= rules.hidden.within_ft:
        return _steps(max(base_ft, rules.hidden.from_ft), rules.hidden.to_ft, rules.hidden.step_ft)
    if rule.at_most_ft is not None and rule.step_ft is not None:
        return _steps(base_ft, rule.at_most_ft, rule.step_ft)
    return (base_ft,)


def choose_ft(choices: Sequence[float], warning_ft: Callable[[float], float], needed_ft: float) -> float:
    """Return the first choice with ample warning, else the first of those that give the longest warning."""
    given_ft: dict[float, float] = {}
    for choice in choices:
        given_ft[choice] = warning_ft(choice)
        if given_ft[choice] >= needed_ft:
            return choice
    return max(given_ft, key=given_ft.__getitem__)  # the first of equals


def approach_of(
    rules: RuleSet,
    toward: Toward,
    speed_mph: float,
    needed_ft: float,
    view: View,
    spots: Sequence[Spot],
    needed_by: str = "car",
) -> Approach:
    """Return the margins of one approach direction, in feet and in seconds at the posted speed.

    Warnings are rounded down and the stopping sight distance up to whole units of the rule set before
    they are compared, so that the verdict agrees with the printed figures.
    """
    warning_ft, vehicle_ft = rules.down_ft(view.warning_ft(spots)), rules.down_ft(view.vehicle_ft)
    shortfall_ft = max(0.0, rules.up_ft(needed_ft) - warning_ft)
    gain_ft = warning_ft - vehicle_ft
    reflecting_ft = (
        None if view.reflecting_ft is None else rules.down_ft(view.warning_ft(spots, reflecting=True))
    )
    return Approach(
        toward=toward,
        needed_ft=needed_ft,
        warning_ft=warning_ft,
        vehicle_only_ft=vehicle_ft,
        ample=shortfall_ft < units.FUZZ,
        shortfall_ft=shortfall_ft if shortfall_ft >= units.FUZZ else 0.0,
        shortfall_s=units.seconds_at(shortfall_ft, speed_mph),
        gain_ft=gain_ft,
        gain_s=units.seconds_at(gain_ft, speed_mph),
        reflecting_warning_ft=reflecting_ft,
        needed_by=needed_by,
    )


def assemble(
    rules: RuleSet,
    layout: DeviceLayout,
    sides: Iterable[Side],
    *,
    detection_ft: float,
    reflecting_ft: float | None = None,
    surface: Surface = Surface.NORMAL,
    left_out_ahead: bool = False,
    stops: Sequence[Stop] = (),
    left_s: float | None = None,
) -> Placement:
    """Combine the directions with the walk and every caution; ``stops`` and ``left_s`` as in walk.walk."""
    answered = tuple(sides)
    devices = [device for side in answered for device in side.devices]
    seen = {side.toward for side in answered}
    ends = dict.fromkeys(Toward, math.inf) | {stop.toward: stop.distance_ft for stop in stops}
    devices += [as_set(rules, rule, ends[rule.toward]) for rule in layout.devices if rule.toward not in seen]
    walked = walk(rules, devices, stops, left_s)
    warned: list[Sentences] = [(layout.forbidden,)] if layout.forbidden else []
    warned += no_room_caution(devices)
    warned += [short_caution(side.approach) for side in answered if not side.approach.ample]
    if any(side.finding == "beyond" and not side.approach.ample for side in answered):
        warned.append(caution("beyond"))
    if walked.limit_s is not None and walked.seconds > walked.limit_s:
        warned.append(time_caution(rules, "too-slow", layout.leave_out_first, left_s))
    if left_out_ahead and Toward.AHEAD not in seen:
        warned.append(caution("no-traffic-ahead", road=layout.road))
    somebody = any(device.reached for device in devices)
    warned += standing_cautions(rules, layout, detection_ft, reflecting_ft, surface, walked=somebody)
    return Placement(
        rules=rules.id,
        road=layout.road,
        devices=tuple(devices),
        approaches=tuple(side.approach for side in answered),
        walk=walked,
        cautions=tuple(warned),
    )


def _steps(low_ft: float, high_ft: float, step_ft: float) -> tuple[float, ...]:
    count = math.floor((high_ft - low_ft) / step_ft + units.FUZZ)
    return tuple(low_ft + step * step_ft for step in range(max(0, count) + 1))


def _finding(rules: RuleSet, rule: DeviceRule, hidden_ft: float, moved: bool, ample: bool) -> str:
    if rules.hidden is not None and hidden_ft <= rules.hidden.within_ft:
        return ("moved" if moved else "stays") + ("" if ample else "-short")
    if rule.at_most_ft is not None and rule.step_ft is not None:
        return "range-moved" if moved else "range" if ample else "range-short"
    if math.isinf(hidden_ft):
        return "clear"
    return "beyond" if rules.hidden is not None else "unmoved"


def as_set(rules: RuleSet, rule: DeviceRule, reach_ft: float = math.inf) -> Device:
    """Return a device where the rule puts it; not reached where there is no room to walk that far."""
    if rule.distance_ft <= reach_ft:
        return _device(rules, rule, rule.distance_ft, _reason("set", rule), rule.source)
    reason = _reason("no-room", rule)
    return replace(_device(rules, rule, rule.distance_ft, reason, rule.source), reached=False)


def _reason(key: str, rule: DeviceRule, figures: Mapping[str, float] | None = None) -> Sentences:
    """Why a device stands where it does, then the rule's own remark on it."""
    message = Message(f"reasons.{key}", figures or {})
    return (message, rule.remark) if rule.remark else (message,)


def _device(rules: RuleSet, rule: DeviceRule, distance_ft: float, reason: Sentences, source: str) -> Device:
    return Device(
        toward=rule.toward,
        distance_ft=distance_ft,
        paces=units.paces(distance_ft, rules.pace_ft),
        across=rule.across,
        moved=distance_ft > rule.distance_ft,
        reason=reason,
        source=source,
    )


def _refuse_nonsense(situation: Situation) -> None:
    if not math.isfinite(situation.speed_mph) or situation.speed_mph <= 0:
        raise ValueError(f"the posted speed must be above 0 mph, not {situation.speed_mph:g}")
    for reach_ft in (situation.detection_ft, situation.reflecting_ft):
        if reach_ft is not None and (not math.isfinite(reach_ft) or reach_ft <= 0):
            raise ValueError(f"the detection range must be above 0 ft, not {reach_ft:g}")
    for end_ft in (situation.hidden_from_ft, situation.hidden_to_ft):
        if end_ft is not None and (not math.isfinite(end_ft) or end_ft < 0):
            raise ValueError(f"what hides the vehicle begins and ends 0 ft or more from it, not {end_ft:g}")
    for hidden_ft in (situation.hidden_behind_ft, situation.hidden_ahead_ft):
        if math.isnan(hidden_ft) or hidden_ft < 0:
            raise ValueError(f"a hiding place lies 0 ft or more from the vehicle, not {hidden_ft:g}")
