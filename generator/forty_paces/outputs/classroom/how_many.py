"""How many of a hundred drivers can stop, with a device at the rule's distance and where it was moved.

For the classroom only: a share of drivers is never shown to a driver at the road.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from forty_paces.drawing.hundred import Hundred, blank_hundreds, draw_hundreds, script_values
from forty_paces.geometry import placement
from forty_paces.geometry.chance import ASSUMED, Chance, chance_of_stopping
from forty_paces.geometry.records import RuleSet, Spot, Toward
from forty_paces.geometry.solver import ScenePlacement, SideSight
from forty_paces.messages.answer import CHANCE, HUNDRED, assumption_lines, band_text
from forty_paces.messages.quantities import length, length_down
from forty_paces.messages.terms import side_words, sides_by_name
from forty_paces.outputs.classroom.lengths import LengthFormat


@dataclass(frozen=True, slots=True)
class Tried:
    """The outermost device of one side at one distance, and what that gives the drivers."""

    toward: Toward
    distance_ft: float
    warning_ft: float
    "Rounded down to whole units of the rule set."
    band: Chance


def compared(solved: ScenePlacement, rules: RuleSet) -> Iterator[tuple[Tried, Tried]]:
    """For each side with a moved device: at the distance that the rule sets, and where it was moved."""
    layout = rules.layout(solved.scene.kind, solved.scene.speed_mph)
    for side in solved.sides:
        own = [one.device for one in solved.devices if one.device.toward is side.toward]
        moved = next((device for device in own if device.moved), None)
        if moved is None:
            continue
        inner: list[Spot] = [(one.distance_ft, one.across) for one in own if one is not moved and one.reached]
        base_ft = placement.nearest_first(layout, side.toward)[-1].distance_ft
        yield (
            _tried(solved, rules, side, inner, (base_ft, moved.across)),
            _tried(solved, rules, side, inner, (moved.distance_ft, moved.across)),
        )


def _tried(
    solved: ScenePlacement, rules: RuleSet, side: SideSight, inner: Sequence[Spot], outermost: Spot
) -> Tried:
    warning_ft = rules.down_ft(side.view.warning_ft([*inner, outermost]))
    scene = solved.scene
    band = _band(warning_ft, scene.speed_mph, side.grade_pct, scene.surface)
    return Tried(side.toward, outermost[0], warning_ft, band)


_band = lru_cache(maxsize=4096)(chance_of_stopping)  # lights and sheets ask for the same ones again


def picture(pair: tuple[Tried, Tried], rules: RuleSet, prefix: str) -> str:
    """The two grids side by side, as SVG text."""
    grids = [
        Hundred(
            HUNDRED["device"].format(distance=length(rules, one.distance_ft)),
            HUNDRED["warned"].format(warning=length_down(rules, one.warning_ft)),
            one.band,
        )
        for one in pair
    ]
    return draw_hundreds(grids, prefix=prefix, desc=in_words(pair, rules))


def in_words(pair: tuple[Tried, Tried], rules: RuleSet) -> str:
    """The same as text: 'With the device at 100 ft, drivers from behind are warned from 258 ft: ...'."""
    return " ".join(
        HUNDRED["described"].format(
            distance=length(rules, one.distance_ft),
            side=side_words(one.toward),
            warning=length_down(rules, one.warning_ft),
            band=band_text(one.band),
        )
        for one in pair
    )


def for_script() -> dict[str, Any]:
    """What the script of a page needs to fill in blank pictures: words, cells and shapes."""
    return {
        **script_values(),
        "sides": sides_by_name(),
        "words": {
            **{key: HUNDRED[key] for key in ("device", "warned", "count", "count-one", "described")},
            **{key: CHANCE[key] for key in ("band", "one")},
        },
    }


def values(pair: tuple[Tried, Tried], lengths: LengthFormat) -> list[list[int]]:
    """Of each of the two: distance, warning, and how many stop by the three sets of assumptions."""
    return [[lengths.up(one.distance_ft), lengths.down(one.warning_ft), *one.band.percent()] for one in pair]


def blank(prefix: str) -> str:
    """The two grids for a script to fill in, as SVG text."""
    return blank_hundreds(prefix=prefix)


def assumed(rules: RuleSet) -> tuple[str, ...]:
    """What the shares assume, where the figures come from, and what they leave out."""
    return tuple(assumption_lines(ASSUMED, rules.posted_in))
