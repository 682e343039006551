"""Labels, titles and text alternatives of the drawings.

Figures are rounded to the safe side: available distances down, needed distances up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from forty_paces.geometry.records import Device, Placement, RoadKind, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import ScenePlacement, SideSight
from forty_paces.geometry.walk import walking_order
from forty_paces.messages.languages import Texts
from forty_paces.messages.quantities import (
    hidden_length,
    length_down,
    length_up,
    number,
    paces,
    posted_speed,
    printed_length,
)
from forty_paces.messages.scenes import obstruction
from forty_paces.messages.terms import across_words, side_words

DRAWING = Texts(
    "drawing",
    {
        # labels
        "your-vehicle": "Your vehicle",
        "traffic": "Traffic",
        "measure-from-here": "measure from here",
        "put-none-here": "put no devices out here",
        "hidden-beyond": "hidden beyond",
        "moved-out": "moved out",
        "no-room-to-walk": "no room\nto walk",
        "off-the-drawing": "off the drawing",
        "from-the-side": "Seen from the side",
        "sees-device": "This driver sees device {device}, not the vehicle",
        "sees-nothing": "This driver does not see the vehicle",
        "vehicle-hidden-beyond": "vehicle hidden beyond",
        "vehicle-seen-from": "vehicle seen from",
        "device-seen-from": "device {device} seen from",
        "room-to-stop": "room needed to stop",
        "true-heights": "Heights true to scale",
        "enlarged-heights": "Heights {times} times as large as lengths",
        "not-to-scale": "Not to scale",
        # titles
        "placement-two-lane": "Warning devices on a two-lane road, seen from above",
        "placement-divided": "Warning devices on a divided road, seen from above",
        "placement-one-way": "Warning devices on a one-way road, seen from above",
        "scene-above": "{title}, seen from above",
        "scene-blank": "{title}, seen from above, no devices placed",
        "scene-side": "{title}, seen from the side",
        # sentences of text alternatives
        "device-behind": "Device {device}: {distance}, behind the vehicle, {across}.",
        "device-behind-moved": "Device {device}: {distance}, behind the vehicle, {across}, moved out.",
        "device-ahead": "Device {device}: {distance}, ahead of the vehicle, {across}.",
        "device-ahead-moved": "Device {device}: {distance}, ahead of the vehicle, {across}, moved out.",
        "device-beside": "Device {device}: {across}.",
        "on-the-shoulder": "The vehicle stands on the shoulder.",
        "measured-from-vehicle": "Distances are measured from the vehicle.",
        "measured-from-it": "Distances are measured from it.",
        "put-none": "Put no devices out here.",
        "hidden": "Drivers coming from {side} cannot see the vehicle from farther than {hidden}.",
        "hidden-because": (
            "Drivers coming from {side} cannot see the vehicle from farther than {hidden} because of {cause}."
        ),
        "drawn-not-to-scale": "Not to scale.",
        "drawn-to-scale": "Drawn to scale.",
        "posted": "{title}. Posted speed {speed}.",
        "scene-hidden": (
            "Drivers from {side} cannot see the vehicle from farther than {hidden} because of {by}."
        ),
        "warned-by-device": (
            "From {side}, device {device} gives {warning} of warning; {needed} are needed to stop."
        ),
        "warned-by-vehicle": (
            "From {side}, the vehicle itself gives {warning} of warning; {needed} are needed to stop."
        ),
        "stands": "{title}. The vehicle stands on the {stands}.",
        "beside-the-road": "Beside the road: {titles}.",
        "heights": "{heights}.",
        # what hides the vehicle, as used within a sentence
        "cause-bend-right": "a bend to the right",
        "cause-bend-left": "a bend to the left",
        "cause-hill": "a hill",
        "cause-obstruction": "something beside the road",
        # what to look for beside the vehicle
        "ends-title": "What to look for beside the vehicle",
        "ends-curve": "Bend",
        "ends-hill": "Hill",
        "ends-obstruction": "Straight road",
        "ends-curve-description": (
            "From beside the vehicle, off the road, the pavement of the approaching lane is in sight to B, "
            "where the inside of the bend covers it. At A the bend begins."
        ),
        "ends-hill-description": (
            "From beside the vehicle, off the road, the pavement of the approaching lane is in sight to B, "
            "where it drops behind the top of the hill. At A the top begins to round off."
        ),
        "ends-obstruction-description": (
            "From beside the vehicle, off the road, the pavement of the approaching lane is in sight to B, "
            "where something beside the straight road covers it. At C that thing ends."
        ),
        # bars of a stopping distance and of a following gap
        "bar-seeing": "seeing the hazard",
        "bar-foot": "foot to the brake",
        "bar-lag": "air lag",
        "bar-braking": "braking",
        "bar-part": "{part} {length}",
        "bar-total": "{total} in all",
        "bar-description": "{parts}, {total} in all.",
        "gap-second": "{n} second",
        "gap-seconds": "{n} seconds",
        "gap-description": "{gap} between the vehicle ahead and yours.",
        # the route of a procedure
        "route-cue": "What the driver notices",
        "route-by-heart": "By heart",
        "route-decide": "Then decide",
        "route-if": "If {see}:",
        "route-open": "Open: {title}",
        "route-finished": "Finished when",
        "route-step": "{steps} step",
        "route-steps": "{steps} steps",
        "route-critical": "{steps}, {critical} critical",
        "route-begins": "Begins with: {cues}",
        "route-by-heart-lines": "By heart: {lines}",
        "route-block": "{title}: {steps}.",
        "route-question": "{question}:",
        "route-row-opens": "If {see}: {do} Open: {title}.",
        "route-row-finished": "If {see}: {do} Then finished.",
        "route-finished-when": "Finished when: {finished}",
    },
)
"""The texts in drawings, by their ids."""


@dataclass(frozen=True, slots=True)
class SightText:
    """One mark in the approach lane."""

    distance_ft: float
    "From the vehicle."
    words: str
    figure: str


def sight_texts(solved: ScenePlacement, side: SideSight, rules: RuleSet) -> list[SightText]:
    """Return the marks of one side: first sight of vehicle and device, and the stopping distance."""
    approach = solved.placement.approach(side.toward)
    if approach is None:
        return []
    marks = []
    if math.isfinite(side.hidden_ft):
        figure = hidden_length(rules, side.hidden_ft)
        marks.append(SightText(side.hidden_ft, DRAWING["vehicle-hidden-beyond"], figure))
    elif side.warned_by is None:
        figure = length_down(rules, side.detection_ft)
        marks.append(SightText(side.detection_ft, DRAWING["vehicle-seen-from"], figure))
    if side.warned_by is not None:
        words = DRAWING["device-seen-from"].format(device=side.warned_by)
        marks.append(SightText(approach.warning_ft, words, length_down(rules, approach.warning_ft)))
    marks.append(SightText(approach.needed_ft, DRAWING["room-to-stop"], length_up(rules, approach.needed_ft)))
    return marks


def describe_scene(solved: ScenePlacement, rules: RuleSet) -> str:
    """Describe a solved scene in sentences, as the text alternative."""
    scene = solved.scene
    sentences = [
        DRAWING["posted"].format(title=scene.title, speed=posted_speed(rules, scene.speed_mph)),
    ]
    for side in solved.sides:
        approach = solved.placement.approach(side.toward)
        if approach is None:
            continue
        if math.isfinite(side.hidden_ft) and side.hidden_by:
            hidden = hidden_length(rules, side.hidden_ft)
            sentences.append(
                DRAWING["scene-hidden"].format(
                    side=side_words(side.toward), hidden=hidden, by=obstruction(side.hidden_by)
                )
            )
        warned = "warned-by-device" if side.warned_by is not None else "warned-by-vehicle"
        sentences.append(
            DRAWING[warned].format(
                side=side_words(side.toward),
                device=side.warned_by,
                warning=length_down(rules, approach.warning_ft),
                needed=length_up(rules, approach.needed_ft),
            )
        )
    sentences += [device_sentence(placed.number, placed.device, rules) for placed in solved.devices]
    return " ".join([*sentences, DRAWING["drawn-to-scale"]])


def describe_blank(scene: Scene) -> str:
    """Describe a scene without its answer."""
    sentences = [DRAWING["stands"].format(title=scene.title, stands=scene.vehicle.stands)]
    if scene.blockers:
        titles = ", ".join(blocker.title for blocker in scene.blockers)
        sentences.append(DRAWING["beside-the-road"].format(titles=titles))
    return " ".join([*sentences, DRAWING["drawn-to-scale"]])


def describe_placement(
    placement: Placement, rules: RuleSet, hidden: Mapping[Toward, float], causes: Mapping[Toward, str]
) -> str:
    """Describe a placement; ``hidden`` has the available sight distances that are limited, in feet."""
    sentences = [DRAWING["on-the-shoulder"]]
    sentences.append(DRAWING["measured-from-it" if placement.devices else "put-none"])
    sentences += device_sentences(placement.devices, rules)
    for toward, hidden_ft in hidden.items():
        cause = causes.get(toward)
        sentences.append(
            DRAWING["hidden-because" if cause else "hidden"].format(
                side=side_words(toward),
                hidden=printed_length(hidden_ft, rules.metric),
                cause=DRAWING[f"cause-{cause}"] if cause else "",
            )
        )
    return " ".join([*sentences, DRAWING["drawn-not-to-scale"]])


def describe_layout(devices: Iterable[Device], rules: RuleSet) -> str:
    """Describe the devices of a rule alone, before any situation is known."""
    sentences = [DRAWING["measured-from-vehicle"], *device_sentences(devices, rules)]
    return " ".join([*sentences, DRAWING["drawn-not-to-scale"]])


def placement_title(kind: RoadKind) -> str:
    """Return the title of a drawn placement."""
    return DRAWING[f"placement-{kind}"]


def device_sentences(devices: Iterable[Device], rules: RuleSet) -> list[str]:
    """Describe devices in walking order."""
    return [device_sentence(number, device, rules) for number, device in enumerate(walking_order(devices), 1)]


def device_sentence(number: int, device: Device, rules: RuleSet) -> str:
    """Describe one device in a sentence."""
    if not device.distance_ft:
        return DRAWING["device-beside"].format(device=number, across=across_words(device.across))
    distance = f"{printed_length(device.distance_ft, rules.metric)}, {paces(device.paces)}"
    form = DRAWING[f"device-{device.toward}{'-moved' if device.moved else ''}"]
    return form.format(device=number, distance=distance, across=across_words(device.across))


def heights(times: float) -> str:
    """Say how many times larger heights are drawn than lengths."""
    return DRAWING["true-heights" if times == 1 else "enlarged-heights"].format(times=number(times))
