"""Where the warning devices go: a rule set and a situation in, a placement out.

In: a RuleSet (all figures of a jurisdiction) and a Situation of one hiding place a
side, or any other View of a side, such as that of a road described in full.
Out: a Placement with reasons, margins, walk and cautions. Refuses to know any
regulatory figure and how anything is drawn.

Each side is reckoned alone. N is what its drivers need, the stopping sight distance;
x is how far from the vehicle the hiding place lies; from D away a device is made
out. A device at d gives the warning ``d + D`` where it stands at or beyond the
hiding place (d >= x), else ``min(x, d + D)``, and the vehicle by itself
``min(x, D)``. The longest of these warnings has to reach N to be ample. Where a
view is hidden within the rule's limit, the outermost device goes to the nearest
whole step within the rule's range that makes it ample; where none does, to the
nearest that gives the longest warning.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from forty_paces.geometry import explanation, units
from forty_paces.geometry.records import (
    Approach,
    Device,
    DeviceRule,
    Layout,
    Placement,
    RoadKind,
    RuleSet,
    Situation,
    Surface,
    Toward,
)
from forty_paces.geometry.stopping import ASSUMED_FRICTION, needed_sight_ft
from forty_paces.geometry.walk import walk


class View(Protocol):
    """What drivers from one side can see, and from how far."""

    @property
    def hidden_ft(self) -> float:
        """Distance from the vehicle at which something hides it; inf where nothing does."""

    @property
    def vehicle_ft(self) -> float:
        """Warning that the vehicle itself gives."""

    def warning_ft(self, distance_ft: float, across: str) -> float:
        """Warning, measured to the vehicle, that a device gives at a distance and a place across the road."""


@dataclass(frozen=True, slots=True)
class SimpleView:
    """One hiding place, one detection range."""

    hidden_ft: float
    detection_ft: float

    @property
    def vehicle_ft(self) -> float:
        """Seen from the hiding place or from the detection range, whichever is nearer."""
        return min(self.hidden_ft, self.detection_ft)

    def warning_ft(self, distance_ft: float, across: str) -> float:
        """A device at or beyond the hiding place is seen before it, others only after it.

        Where across the road it stands makes no difference here.
        """
        seen_from = distance_ft + self.detection_ft
        return seen_from if distance_ft >= self.hidden_ft - units.FUZZ else min(self.hidden_ft, seen_from)


@dataclass(frozen=True, slots=True)
class Side:
    """The answer for one stream of traffic."""

    toward: Toward
    devices: tuple[Device, ...]
    "Nearest first."
    approach: Approach
    finding: str
    "What the search found: a key of explanation.REASONS."
    slots: Mapping[str, str]
    "The figures of that reason, in words."
    base_warning_ft: float
    "Warning with the outermost device at the distance that the rule sets."


def place(rules: RuleSet, situation: Situation) -> Placement:
    """The placement for a situation of the simple model.

    ``ValueError`` for figures that mean nothing, ``CannotStop`` where no driver could stop on
    that grade and surface, ``LookupError`` where the rule set does not cover the road.
    """
    _refuse_nonsense(situation)
    layout = rules.layout(situation.road, situation.speed_mph)
    sides = [
        place_side(
            rules,
            layout,
            toward,
            situation.speed_mph,
            needed_ft(rules, situation, toward),
            simple_view(situation, toward),
        )
        for toward in streams(situation.road)
    ]
    return assemble(
        rules,
        layout,
        sides,
        detection_ft=situation.detection_ft,
        surface=situation.surface,
        left_out_ahead=math.isfinite(situation.hidden_ahead_ft),
    )


def streams(road: RoadKind) -> tuple[Toward, ...]:
    """From where traffic comes: only a two-lane road has any from ahead."""
    return (Toward.BEHIND, Toward.AHEAD) if road is RoadKind.TWO_LANE else (Toward.BEHIND,)


def needed_ft(rules: RuleSet, situation: Situation, toward: Toward) -> float:
    """Stopping sight distance of traffic from one side; from ahead it meets the opposite grade."""
    grade_pct = situation.grade_pct if toward is Toward.BEHIND else -situation.grade_pct
    return needed_sight_ft(situation.speed_mph, grade_pct, situation.surface, metric=rules.metric)


def simple_view(situation: Situation, toward: Toward) -> SimpleView:
    """What the simple model knows of one side."""
    hidden_ft = situation.hidden_behind_ft if toward is Toward.BEHIND else situation.hidden_ahead_ft
    return SimpleView(hidden_ft, situation.detection_ft)


def place_side(
    rules: RuleSet, layout: Layout, toward: Toward, speed_mph: float, needed_ft: float, view: View
) -> Side:
    """The devices toward one stream of traffic and what its drivers get."""
    asked = nearest_first(layout, toward)
    if not asked:
        approach = approach_of(rules, toward, speed_mph, needed_ft, view.vehicle_ft, view.vehicle_ft)
        return Side(toward, (), approach, "set", {}, view.vehicle_ft)
    *inner, outermost = asked
    fixed_ft = max([view.vehicle_ft, *(view.warning_ft(rule.distance_ft, rule.across) for rule in inner)])

    def best_ft(distance_ft: float) -> float:
        return max(fixed_ft, view.warning_ft(distance_ft, outermost.across))

    choices = candidates_ft(rules, outermost, view.hidden_ft)
    chosen_ft = choose_ft(choices, lambda choice: rules.down_ft(best_ft(choice)), rules.up_ft(needed_ft))
    base_ft = outermost.distance_ft
    approach = approach_of(rules, toward, speed_mph, needed_ft, best_ft(chosen_ft), view.vehicle_ft)
    finding = _finding(rules, outermost, view.hidden_ft, chosen_ft > base_ft, approach.ample)
    slots = {
        "base": explanation.length(rules, base_ft),
        "low": explanation.length(rules, choices[0]),
        "high": explanation.length(rules, choices[-1]),
        "hidden": explanation.hidden_length(rules, view.hidden_ft),
        "limit": explanation.length(rules, rules.hidden.within_ft) if rules.hidden else "",
        "warning": explanation.length_down(rules, approach.warning_ft),
        "base_warning": explanation.length_down(rules, best_ft(base_ft)),
        "needed": explanation.length_up(rules, needed_ft),
    }
    devices = [_as_set(rules, rule) for rule in inner]
    reason = explanation.reason(finding, slots, outermost)
    by_hidden_view = rules.hidden if finding in ("moved", "moved-short") else None
    devices.append(_device(rules, outermost, chosen_ft, reason, (by_hidden_view or outermost).source))
    return Side(toward, tuple(devices), approach, finding, slots, best_ft(base_ft))


def nearest_first(layout: Layout, toward: Toward) -> list[DeviceRule]:
    """The devices of one side. The last is the outermost, which may move: of two alike, the later."""
    return sorted((rule for rule in layout.devices if rule.toward is toward), key=lambda r: r.distance_ft)


def asks_for(rules: RuleSet, road: RoadKind, toward: Toward, speed_mph: float) -> bool:
    """Whether the rule set puts any device toward that traffic there, rather than none or a ban."""
    return bool(nearest_first(rules.layout(road, speed_mph), toward))


def candidates_ft(rules: RuleSet, rule: DeviceRule, hidden_ft: float) -> tuple[float, ...]:
    """Every distance at which the outermost device may stand, nearest first.

    Its own distance alone, unless the view is hidden within the rule's limit or the rule
    itself gives a range; never nearer than its own distance.
    """
    base_ft = rule.distance_ft
    if rules.hidden is not None and hidden_ft <= rules.hidden.within_ft:
        return _steps(max(base_ft, rules.hidden.from_ft), rules.hidden.to_ft, rules.hidden.step_ft)
    if rule.at_most_ft is not None and rule.step_ft is not None:
        return _steps(base_ft, rule.at_most_ft, rule.step_ft)
    return (base_ft,)


def choose_ft(choices: Sequence[float], warning_ft: Callable[[float], float], needed_ft: float) -> float:
    """The first choice whose warning is ample, else the first of those that give the longest."""
    for choice in choices:
        if warning_ft(choice) >= needed_ft:
            return choice
    return max(choices, key=lambda choice: (warning_ft(choice), -choice))


def approach_of(
    rules: RuleSet, toward: Toward, speed_mph: float, needed_ft: float, warning_ft: float, vehicle_ft: float
) -> Approach:
    """Margins of one stream of traffic, in feet and in seconds at the posted speed.

    Warnings are rounded down and the need up to whole units of the rule set before they are
    compared, so that the verdict is the one that the printed figures give.
    """
    warning_ft, vehicle_ft = rules.down_ft(warning_ft), rules.down_ft(vehicle_ft)
    shortfall_ft = max(0.0, rules.up_ft(needed_ft) - warning_ft)
    gain_ft = warning_ft - vehicle_ft
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
    )


def assemble(
    rules: RuleSet,
    layout: Layout,
    sides: Iterable[Side],
    *,
    detection_ft: float,
    surface: Surface = Surface.NORMAL,
    left_out_ahead: bool = False,
) -> Placement:
    """One placement out of its sides, with the walk and every caution."""
    answered = tuple(sides)
    devices = [device for side in answered for device in side.devices]
    seen = {side.toward for side in answered}
    devices += [_as_set(rules, rule) for rule in layout.devices if rule.toward not in seen]
    walked = walk(rules, devices)
    warned = [layout.forbidden] if layout.forbidden else []
    warned += [short_caution(rules, side.approach) for side in answered if not side.approach.ample]
    if (walked.share_of_limit or 0.0) > 1:
        warned.append(time_caution(rules, "too-slow"))
    if left_out_ahead and Toward.AHEAD not in seen:
        warned.append(explanation.caution("no-traffic-ahead", road=layout.road))
    warned += standing_cautions(rules, layout, detection_ft, surface)
    return Placement(
        rules=rules.id,
        road=layout.road,
        devices=tuple(devices),
        approaches=tuple(side.approach for side in answered),
        walk=walked,
        cautions=tuple(warned),
    )


def standing_cautions(
    rules: RuleSet, layout: Layout, detection_ft: float, surface: Surface = Surface.NORMAL
) -> list[str]:
    """What is said with every answer for a layout, wherever the devices come to stand."""
    said = [layout.note] if layout.note else []
    if layout.devices:
        said += [explanation.caution("measured"), explanation.caution("carry")]
        if rules.time_limit_s is not None:
            said.append(time_caution(rules, "time"))
    said.append(explanation.caution("detection", detection=explanation.length(rules, detection_ft)))
    if surface is not Surface.NORMAL:
        friction = units.number(ASSUMED_FRICTION[surface], 2)
        said.append(explanation.caution("surface", surface=surface, friction=friction))
    return [*said, *rules.cautions, explanation.caution("computed"), explanation.caution("local")]


def short_caution(rules: RuleSet, approach: Approach) -> str:
    """What drivers from one side lack, and what else to do."""
    return explanation.caution(
        "short",
        side=approach.toward,
        warning=explanation.length_down(rules, approach.warning_ft),
        needed=explanation.length_up(rules, approach.needed_ft),
        shortfall=explanation.length_up(rules, approach.shortfall_ft),
        shortfall_s=units.seconds_up(approach.shortfall_s),
    )


def time_caution(rules: RuleSet, key: str) -> str:
    """The caution 'time' or 'too-slow' of a rule set with a time limit."""
    limit = explanation.minutes(rules.time_limit_s or 0.0)
    return explanation.caution(key, limit=limit, source=rules.time_limit_source)


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


def _as_set(rules: RuleSet, rule: DeviceRule) -> Device:
    return _device(rules, rule, rule.distance_ft, explanation.reason("set", {}, rule), rule.source)


def _device(rules: RuleSet, rule: DeviceRule, distance_ft: float, reason: str, source: str) -> Device:
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
    if not math.isfinite(situation.detection_ft) or situation.detection_ft <= 0:
        raise ValueError(f"the detection range must be above 0 ft, not {situation.detection_ft:g}")
    for hidden_ft in (situation.hidden_behind_ft, situation.hidden_ahead_ft):
        if math.isnan(hidden_ft) or hidden_ft < 0:
            raise ValueError(f"a hiding place lies 0 ft or more from the vehicle, not {hidden_ft:g}")
