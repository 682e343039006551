"""What an answer says in words: reasons, cautions, the order of walking.

In: keys, a rule set and numbers. Out: plain sentences with their figures filled
in. Holds the words and no figure: each comes from the rule set or from the
reckoning. The lookup table carries these same sentences, so that a page, a
command line and a tablet never word one answer in two ways.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from forty_paces.geometry import units
from forty_paces.geometry.records import DeviceRule, RuleSet, Toward

REASONS: Mapping[str, str] = MappingProxyType(
    {
        "set": "The rule sets this distance for this kind of road.",
        "clear": "The rule sets this distance. Nothing hides the vehicle from this side.",
        "stays": (
            "The view is hidden {hidden} from the vehicle. The distance that the rule sets is enough: "
            "drivers get {warning} of warning and need {needed}."
        ),
        "stays-short": (
            "The view is hidden {hidden} from the vehicle. Moving the device from {low} out to {high} would "
            "not give more than {warning} of warning; drivers need {needed}."
        ),
        "moved": (
            "Moved out from {base}, because the view is hidden {hidden} from the vehicle. Drivers get "
            "{warning} of warning in place of {base_warning}; they need {needed}."
        ),
        "moved-short": (
            "Moved out from {base}, because the view is hidden {hidden} from the vehicle. Drivers get "
            "{warning} of warning in place of {base_warning}, the most that moving it out to {high} can "
            "give; they need {needed}."
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
            "The rule allows {low} to {high}. The near end is enough: drivers get {warning} of warning and "
            "need {needed}."
        ),
        "range-short": (
            "The rule allows {low} to {high}. No place in that range gives more than {warning} of warning; "
            "drivers need {needed}."
        ),
        "range-moved": (
            "The rule allows {low} to {high}. Set out here, drivers get {warning} of warning in place of "
            "{base_warning} from the near end; they need {needed}."
        ),
    }
)
"""Why a device stands where it stands, by the finding of the search."""

CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        "short": (
            "Drivers from {side} get {warning} of warning and need {needed}. That is {shortfall}, or "
            "{shortfall_s}, too little. Move the vehicle to a better place if it can roll. Ask the police or "
            "dispatch for traffic control. Keep everybody well clear of the lane."
        ),
        "no-traffic-ahead": (
            "No traffic comes from ahead on a {road} road, so the view hidden ahead was left out."
        ),
        "measured": "Every distance is measured from the vehicle, not from one device to the next.",
        "carry": (
            "Carry the triangles between yourself and the traffic. Walk as far from the traffic as you can."
        ),
        "time": "Have the devices out within {limit} of stopping ({source}).",
        "too-slow": "The walk alone takes longer than the {limit} the rule gives ({source}).",
        "detection": (
            "This reckons with a device being made out from {detection} away. Rain, fog, dust and glare "
            "shorten that, and with it the warning."
        ),
        "surface": (
            "Stopping on {surface} is reckoned with a friction of {friction}: an assumption. Real roads "
            "can be better or worse."
        ),
        "computed": (
            "The rule sets the distances. Whether the warning is enough is a computed check against "
            "stopping sight distance, not part of the rule."
        ),
        "local": "Local rules and the directions of police or road crews come first.",
    }
)
"""What must be said beside an answer."""

LEGS: Mapping[str, str] = MappingProxyType(
    {
        "beside": "Set device {number}: {across}.",
        "first": "Walk {direction} to {distance} from the vehicle. Set device {number} there, {across}.",
        "next": "Walk on to {distance} from the vehicle. Set device {number} there, {across}.",
        "back": "Walk back to the vehicle, watching the traffic.",
    }
)
"""The legs of the walk."""

DIRECTIONS: Mapping[Toward, str] = MappingProxyType(
    {Toward.BEHIND: "back from the rear", Toward.AHEAD: "forward from the front"}
)


def length(rules: RuleSet, length_ft: float) -> str:
    """A length in the rule set's own unit, to the nearest whole one."""
    return units.meters(length_ft) if rules.metric else units.feet(length_ft)


def length_up(rules: RuleSet, length_ft: float) -> str:
    """A length that is needed or missing: rounded up, so that no printed figure is short."""
    whole = units.whole_up(units.ft_to_m(length_ft) if rules.metric else length_ft)
    return f"{units.number(whole)} {'m' if rules.metric else 'ft'}"


def length_down(rules: RuleSet, length_ft: float) -> str:
    """A length that drivers get: rounded down, so that no printed figure promises more."""
    whole = units.whole_down(units.ft_to_m(length_ft) if rules.metric else length_ft)
    return f"{units.number(whole)} {'m' if rules.metric else 'ft'}"


def hidden_length(rules: RuleSet, hidden_ft: float) -> str:
    """Where a view ends, alike in words and drawings; empty where it never does.

    Rounded down, and up beyond the rule's limit, so that it is never said to lie at a limit it passes.
    """
    if math.isinf(hidden_ft):
        return ""
    beyond = rules.hidden is not None and hidden_ft > rules.hidden.within_ft
    return length_up(rules, hidden_ft) if beyond else length_down(rules, hidden_ft)


def posted_speed(rules: RuleSet, speed_mph: float) -> str:
    """A speed as it is posted under the rule set: '55 mph' or '80 km/h'."""
    speed = units.mph_to_kmh(speed_mph) if rules.posted_in == "km/h" else speed_mph
    return f"{units.number(speed)} {rules.posted_in}"


def paced(rules: RuleSet, length_ft: float) -> str:
    """A distance to be walked: in the rule set's unit and in paces."""
    return f"{length(rules, length_ft)} ({units.in_paces(length_ft, rules.pace_ft)})"


def reason(key: str, slots: Mapping[str, str], rule: DeviceRule | None = None) -> str:
    """The reason of that key with its figures, and the rule's own remark on the device."""
    sentence = REASONS[key].format(**slots)
    return f"{sentence} {rule.remark}" if rule is not None and rule.remark else sentence


def caution(key: str, **slots: str) -> str:
    """The caution of that key with its figures."""
    return CAUTIONS[key].format(**slots)


def minutes(limit_s: float) -> str:
    """A time limit as a driver says it: '10 minutes'."""
    written = units.number(limit_s / 60, 0 if limit_s % 60 == 0 else 1)
    return f"{written} {'minute' if written == '1' else 'minutes'}"
