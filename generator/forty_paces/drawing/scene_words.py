"""Texts of a scene's drawings: sight marks and text alternative.

Figures are rounded to the safe side: available distances down, needed distances up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from forty_paces.drawing import labels
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.solver import ScenePlacement, SideSight
from forty_paces.messages.quantities import hidden_length, length_down, length_up, posted_speed
from forty_paces.messages.scenes import obstruction


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
    texts = []
    if math.isfinite(side.hidden_ft):
        texts.append(SightText(side.hidden_ft, "vehicle hidden beyond", hidden_length(rules, side.hidden_ft)))
    elif side.warned_by is None:
        texts.append(SightText(side.detection_ft, "vehicle seen from", length_down(rules, side.detection_ft)))
    if side.warned_by is not None:
        words = f"device {side.warned_by} seen from"
        texts.append(SightText(approach.warning_ft, words, length_down(rules, approach.warning_ft)))
    texts.append(SightText(approach.needed_ft, "room needed to stop", length_up(rules, approach.needed_ft)))
    return texts


def describe(solved: ScenePlacement, rules: RuleSet) -> str:
    """Describe the scene in sentences, as the text alternative."""
    scene = solved.scene
    sentences = [f"{scene.title}. Posted speed {posted_speed(rules, scene.speed_mph)}."]
    for side in solved.sides:
        approach = solved.placement.approach(side.toward)
        if approach is None:
            continue
        if math.isfinite(side.hidden_ft) and side.hidden_by:
            sentences.append(
                f"Drivers from {side.toward} cannot see the vehicle from farther than "
                f"{hidden_length(rules, side.hidden_ft)} because of {obstruction(side.hidden_by)}."
            )
        warned = f"device {side.warned_by}" if side.warned_by is not None else "the vehicle itself"
        sentences.append(
            f"From {side.toward}, {warned} gives {length_down(rules, approach.warning_ft)} of warning; "
            f"{length_up(rules, approach.needed_ft)} are needed to stop."
        )
    sentences += [labels.device_sentence(placed.number, placed.device, rules) for placed in solved.devices]
    return " ".join([*sentences, "Drawn to scale."])
