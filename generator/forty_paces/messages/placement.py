"""The sentences of a placement: reasons, cautions and walking directions.

The templates contain no figure of a rule: figures come with each message of :mod:`forty_paces.geometry`.
The cab file's script fills the same templates, so that web page, command line and tablet word an answer
identically.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

from forty_paces.geometry.records import Message, RuleSet, Sentences, Toward
from forty_paces.messages import quantities
from forty_paces.messages.languages import Texts
from forty_paces.messages.quantities import (
    hidden_length,
    length,
    length_down,
    length_up,
    look_length,
    look_seconds,
    minutes,
    paced,
)
from forty_paces.messages.terms import TERMS, across_words, side_words

LOOK_BACK = "Look back from there, off the road:"

OPENINGS = Texts("openings", {"look-back": LOOK_BACK})
"""How the second part of a reason begins; a translated reason begins with the translated opening."""

REASONS = Texts(
    "reasons",
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
    },
)
"""Why a device is placed where it is, by the outcome of the search; ids "reasons.<key>"."""


CAUTIONS = Texts(
    "cautions",
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
            "walks there. The warning is computed without. {least} is the least width taken for walking, "
            "that of accessibility standards."
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
    },
)
"""Cautions printed with an answer; ids "cautions.<key>"."""

LEGS = Texts(
    "legs",
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
    },
)
"""The legs of the walk; ids "legs.<key>"."""

DIRECTIONS = Texts(
    "directions", {Toward.BEHIND: "back from the rear", Toward.AHEAD: "forward from the front"}
)

DEVICES = Texts("devices", {"one": "device {last}", "several": "devices {others} and {last}", "joint": ", "})
"""How devices are named by their numbers."""

GROUPS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {"reasons": REASONS, "cautions": CAUTIONS, "legs": LEGS}
)
"""All messages, by the part of their id before the point."""


def _devices(numbers: tuple[int, ...]) -> str:
    *others, last = map(str, numbers)
    form = DEVICES["several" if others else "one"]
    return form.format(others=DEVICES["joint"].join(others), last=last)


FIGURES: Mapping[str, tuple[str, Callable[[RuleSet, Any], str]]] = MappingProxyType(
    {
        "base_ft": ("base", length),
        "low_ft": ("low", length),
        "high_ft": ("high", length),
        "within_ft": ("limit", length),
        "hidden_ft": ("hidden", hidden_length),
        "warning_ft": ("warning", length_down),
        "base_warning_ft": ("base_warning", length_down),
        "needed_ft": ("needed", length_up),
        "shortfall_ft": ("shortfall", length_up),
        "shortfall_s": ("shortfall_s", lambda _, seconds: quantities.seconds_up(seconds)),
        "look_ft": ("look", look_length),
        "look_s": ("look_s", lambda _, seconds: look_seconds(seconds)),
        "detection_ft": ("detection", length),
        "reflecting_ft": ("reflecting", length),
        "least_ft": ("least", length),
        "room_ft": ("room", length_down),
        "distance_ft": ("distance", paced),
        "walkable_ft": ("distance", length_down),
        "limit_s": ("limit", lambda _, seconds: minutes(seconds)),
        "left_s": ("left", lambda _, seconds: minutes(seconds)),
        "friction": ("friction", lambda _, friction: quantities.number(friction, 2)),
        "direction": ("direction", lambda _, toward: DIRECTIONS[toward]),
        "devices": ("devices", lambda _, numbers: _devices(numbers)),
        "across": ("across", lambda _, across: across_words(across)),
        "side": ("side", lambda _, toward: side_words(toward)),
        "road": ("road", lambda _, road: TERMS[f"road-{road}"]),
        "surface": ("surface", lambda _, surface: TERMS[f"surface-{surface}"]),
        "keeps": ("keeps", lambda _, side: TERMS[f"keeps-{side}"]),
        "wanted": ("wanted", lambda _, side: TERMS[f"keeps-{side}"]),
    }
)
"""How each figure of a message is written, and the slot that it fills; others fill the slot of their name."""


Groups = Mapping[str, Mapping[str, str]]


def text(rules: RuleSet, sentences: Sentences, groups: Groups = GROUPS) -> str:
    """Return the sentences with their figures filled in; texts of the rule file stand as they are."""
    return " ".join(part if isinstance(part, str) else _filled(rules, part, groups) for part in sentences)


def texts(rules: RuleSet, several: Iterable[Sentences], groups: Groups = GROUPS) -> tuple[str, ...]:
    """Return one text for each item: the cautions of a placement, or the legs of a walk.

    Other ``groups`` say the same in other words, such as fewer on a poster.
    """
    return tuple(text(rules, sentences, groups) for sentences in several)


def _filled(rules: RuleSet, message: Message, groups: Groups) -> str:
    group, _, key = message.id.partition(".")
    slots = {}
    for name, figure in message.figures.items():
        slot, written = FIGURES.get(name, (name, _plain))
        slots[slot] = written(rules, figure)
    return groups[group][key].format(**slots)


def _plain(_: RuleSet, figure: Any) -> str:
    return str(figure)


def split_look_back(reason: str) -> tuple[str, str]:
    """A device's reason in two: why it stands there, and what to look for from there, or nothing."""
    why, opening, rest = reason.partition(OPENINGS["look-back"])
    return why.strip(), opening + rest
