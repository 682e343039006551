"""Composes the sentences of an answer: reasons, cautions and walking directions.

The templates contain no figure of a rule: figures come from the rule set or the computed
placement. Scripts fill the same templates, so that web page, command line and tablet word
an answer identically.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from forty_paces.geometry import units
from forty_paces.geometry.records import DeviceRule, RuleSet, Toward

LOOK_BACK = "Look back from there, off the road:"

REASONS: Mapping[str, str] = MappingProxyType(
    {
        "set": "The rule sets this distance for this kind of road.",
        "clear": "The rule sets this distance. Nothing hides the vehicle from this side.",
        "stays": (
            "The view is hidden {hidden} from the vehicle. With the device at the rule's own distance "
            "drivers get about {warning} of warning; to stop takes {needed}."
        ),
        "stays-short": (
            "The view is hidden {hidden} from the vehicle. Moving the device from {low} out to {high} is "
            "not known to give more than {warning} of warning; to stop takes {needed}."
        ),
        "moved": (
            "Moved out from {base}, because the view is hidden {hidden} from the vehicle. Drivers get "
            "about {warning} of warning in place of {base_warning}; to stop takes {needed}."
        ),
        "moved-short": (
            "Moved out from {base}, because the view is hidden {hidden} from the vehicle. Drivers get "
            "about {warning} of warning in place of {base_warning}, the most that moving it out to {high} "
            "can give; to stop takes {needed}."
        ),
        "moved-unknown": (
            "Moved out from {base} past the place {hidden} from the vehicle where drivers lose sight of it. "
            "From how far they see it there is not known, so it is not counted: without it drivers get about "
            "{warning}; to stop takes {needed}."
        ),
        "beyond": (
            "The view is hidden {hidden} from the vehicle, farther off than the {limit} the rule speaks of. "
            "The device stays where the rule sets it."
        ),
        "unmoved": (
            "The view is hidden {hidden} from the vehicle. This rule says nothing of moving the device, so "
            "it stays where the rule sets it."
        ),
        "range": (
            "The rule allows {low} to {high}. At the near end drivers get about {warning} of warning; to "
            "stop takes {needed}."
        ),
        "range-short": (
            "The rule allows {low} to {high}. No place in that range is known to give more than {warning} "
            "of warning; to stop takes {needed}."
        ),
        "range-moved": (
            "The rule allows {low} to {high}. Set out here, drivers get about {warning} of warning in place "
            "of {base_warning} from the near end; to stop takes {needed}."
        ),
        "no-room": (
            "The rule puts a device here, but there is no room to walk to it clear of the traffic. Do not "
            "walk there. Leave it to whoever closes the lane."
        ),
        "look-day": (
            f"{LOOK_BACK} "
            "traffic must be in view without a gap for {look}. If you "
            "see less, go on toward {high} and look again. If it is less there too, say so when you call "
            "for help, and stay clear."
        ),
        "look-night": (
            f"{LOOK_BACK} "
            "it must take {look_s} or more from when headlights come "
            "into view until they pass you, without a gap. If it takes less, go on toward {high} and look "
            "again. If it is less there too, say so when you call for help, and stay clear."
        ),
    }
)
"Why a device is placed where it is, by the outcome of the search."


def split_look_back(reason: str) -> tuple[str, str]:
    """A device's reason in two: why it stands there, and what to look for from there, or nothing."""
    why, opening, rest = reason.partition(LOOK_BACK)
    return why.strip(), opening + rest


CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        "short": (
            "Drivers from {side} get about {warning} of warning; to stop takes {needed}. {shortfall}, or "
            "{shortfall_s}, are missing. Move the vehicle to a better place if it can roll. Ask the police "
            "or dispatch for traffic control. Keep everybody well clear of the lane."
        ),
        "beyond": (
            "What hides the vehicle lies farther off than the rule moves a device. What would help: one more "
            "device farther out if one is aboard, a person well clear of the road with a light, or traffic "
            "control by the police."
        ),
        "leave-out": "Life goes before the rule: the first device to leave out is {device}.",
        "no-room": (
            "There is no room to walk clear of the traffic to {devices}. Life goes before the rule: nobody "
            "walks there. The warning is computed without. {least} is the least width taken for walking "
            "({source})."
        ),
        "other-side": (
            "Traffic keeps {keeps} on this road, and {wanted} under this rule set. Use the rule set of the "
            "country that the road is in."
        ),
        "no-traffic-ahead": (
            "No traffic comes from ahead on a {road} road, so the view hidden ahead was left out."
        ),
        "measured": "Every distance is measured from the vehicle, not from one device to the next.",
        "carry": ("Hold each triangle toward the traffic. Walk as far from the traffic as you can."),
        "time": (
            "Have the devices out within {limit} of stopping ({source}). Life goes first: walk in no lane to "
            "place one."
        ),
        "too-slow": "The walk alone takes longer than the {limit} the rule gives ({source}).",
        "too-slow-left": "The walk alone takes longer than the {left} left.",
        "detection": (
            "It is assumed that a device is made out from {detection} away. Rain, fog, dust and glare "
            "shorten that, and with it the warning."
        ),
        "two-reaches": (
            "It is assumed that by night what does not reflect is made out from {detection} away, and a "
            "reflecting device from {reflecting}. The devices are placed with the shorter figure. Rain, fog, "
            "dust and glare shorten both."
        ),
        "surface": (
            "For stopping on {surface} a friction of {friction} is assumed. Real roads can be better or "
            "worse."
        ),
        "computed": (
            "The rule sets the distances. Warning and stopping distance are computed, for a car driver at "
            "the posted speed, and no part of the rule."
        ),
        "local": "Local rules and the directions of police or road crews come first.",
    }
)
"Cautions printed with an answer."

LEGS: Mapping[str, str] = MappingProxyType(
    {
        "beside": "Set device {number}: {across}.",
        "first": "Walk {direction} to {distance} from the vehicle. Set device {number} there, {across}.",
        "next": "Walk on to {distance} from the vehicle. Set device {number} there, {across}.",
        "back": "Walk back to the vehicle, watching the traffic.",
        "stop": (
            "Do not walk {direction} farther than {distance}. Between the traffic and {beside} {room} is "
            "left, and walking takes {least} at least. Do not set device {number}."
        ),
        "stop-here": (
            "Do not walk {direction}. Between the traffic and {beside} {room} is left, and walking takes "
            "{least} at least. Do not set device {number}."
        ),
    }
)
"Sentence templates for the legs of the walk."

PHRASES: Mapping[str, str] = MappingProxyType(
    {"counted": "{length} ({counts})", "joint": ", ", "cited": "{text} ({citation})"}
)
"How a length is followed by its counts, and a text by its citation."

DIRECTIONS: Mapping[Toward, str] = MappingProxyType(
    {Toward.BEHIND: "back from the rear", Toward.AHEAD: "forward from the front"}
)


def length(rules: RuleSet, length_ft: float) -> str:
    """Format a length in the rule set's own unit, rounded to the nearest whole unit."""
    return units.meters(length_ft) if rules.metric else units.feet(length_ft)


def length_up(rules: RuleSet, length_ft: float) -> str:
    """Format a needed or missing length: rounded up, so that no printed figure is too small."""
    return _whole(rules, units.whole_up(units.ft_to_m(length_ft) if rules.metric else length_ft))


def length_down(rules: RuleSet, length_ft: float) -> str:
    """Format a length that drivers get: rounded down, so that no printed figure promises more."""
    return _whole(rules, units.whole_down(units.ft_to_m(length_ft) if rules.metric else length_ft))


def _whole(rules: RuleSet, count: float) -> str:
    return units.QUANTITIES["meters" if rules.metric else "feet"].format(n=units.number(count))


def hidden_length(rules: RuleSet, hidden_ft: float) -> str:
    """Format an available sight distance, identically in texts and drawings; empty where it is unlimited.

    Rounded down, but up beyond the rule's limit, so that a distance past the limit never reads as the limit.
    """
    if math.isinf(hidden_ft):
        return ""
    beyond = rules.hidden is not None and hidden_ft > rules.hidden.within_ft
    return length_up(rules, hidden_ft) if beyond else length_down(rules, hidden_ft)


def posted_speed(rules: RuleSet, speed_mph: float) -> str:
    """Format a speed as posted under the rule set: '55 mph' or '80 km/h'."""
    speed = units.mph_to_kmh(speed_mph) if rules.posted_in == "km/h" else speed_mph
    return f"{units.number(speed)} {rules.posted_in}"


def paced(rules: RuleSet, length_ft: float) -> str:
    """Format a walking distance in the rule set's unit and in paces."""
    return _counted(length(rules, length_ft), units.in_paces(length_ft, rules.pace_ft))


def look_length(rules: RuleSet, look_ft: float) -> str:
    """Format the distance over which traffic must be in view: rule set's unit, paces and lane lines."""
    counts = [units.in_paces(look_ft, rules.pace_ft)]
    if rules.lane_line_ft:
        counts.append(units.in_cycles(units.whole_up(look_ft, rules.lane_line_ft / 4), rules.lane_line_ft))
    return _counted(length_up(rules, look_ft), *counts)


def _counted(length_text: str, *counts: str) -> str:
    return PHRASES["counted"].format(length=length_text, counts=PHRASES["joint"].join(counts))


def look_seconds(look_s: float) -> str:
    """Format a look-back time to half seconds: '3½ s'."""
    return units.QUANTITIES["seconds"].format(n=units.quarters(look_s))


def reason(key: str, slots: Mapping[str, str], rule: DeviceRule | None = None, look: str = "") -> str:
    """Return the reason for ``key`` with its figures, then the rule's remark and the look-back check."""
    sentences = [REASONS[key].format(**slots)]
    if rule is not None and rule.remark:
        sentences.append(rule.remark)
    if look:
        sentences.append(REASONS[look].format(**slots))
    return " ".join(sentences)


def caution(key: str, **slots: str) -> str:
    """Return the caution for ``key`` with its figures."""
    return CAUTIONS[key].format(**slots)


def minutes(limit_s: float) -> str:
    """Format a time limit in minutes: '10 minutes'."""
    written = units.number(limit_s / 60, 0 if limit_s % 60 == 0 else 1)
    return units.QUANTITIES["minute" if written == "1" else "minutes"].format(n=written)
