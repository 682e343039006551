"""Composes the cautions printed with every placement: shortfalls, time limits and assumptions."""

from __future__ import annotations

from collections.abc import Iterable

from forty_paces.geometry import explanation, units
from forty_paces.geometry.records import Approach, Device, Layout, RuleSet, Surface
from forty_paces.geometry.stopping import ASSUMED_FRICTION
from forty_paces.geometry.walk import LEAST_WIDTH_FT, LEAST_WIDTH_SOURCE, walking_order


def standing_cautions(
    rules: RuleSet,
    layout: Layout,
    detection_ft: float,
    reflecting_ft: float | None = None,
    surface: Surface = Surface.NORMAL,
    *,
    walked: bool = True,
) -> list[str]:
    """Return the cautions that a layout always carries, wherever its devices are placed.

    ``walked`` is False where nobody can walk to any device.
    """
    texts = [layout.note] if layout.note else []
    if layout.devices and walked:
        texts += [explanation.caution("measured"), explanation.caution("carry")]
        if rules.time_limit_s is not None:
            texts.append(time_caution(rules, "time"))
    reaches = {"detection": explanation.length(rules, detection_ft)}
    if reflecting_ft is None:
        texts.append(explanation.caution("detection", **reaches))
    else:
        reaches["reflecting"] = explanation.length(rules, reflecting_ft)
        texts.append(explanation.caution("two-reaches", **reaches))
    if surface is not Surface.NORMAL:
        friction = units.number(ASSUMED_FRICTION[surface], 2)
        texts.append(explanation.caution("surface", surface=surface, friction=friction))
    return [*texts, *rules.cautions, explanation.caution("computed"), explanation.caution("local")]


def short_caution(rules: RuleSet, approach: Approach) -> str:
    """Return the caution for an approach direction whose warning falls short, with what else to do."""
    return explanation.caution(
        "short",
        side=approach.toward,
        warning=explanation.length_down(rules, approach.warning_ft),
        needed=explanation.length_up(rules, approach.needed_ft),
        shortfall=explanation.length_up(rules, approach.shortfall_ft),
        shortfall_s=units.seconds_up(approach.shortfall_s),
    )


def no_room_caution(rules: RuleSet, devices: Iterable[Device]) -> list[str]:
    """Return the caution that names every device that nobody can walk to; empty where there is none."""
    lost = [n for n, device in enumerate(walking_order(devices), start=1) if not device.reached]
    if not lost:
        return []
    *first, last = map(str, lost)
    named = f"devices {', '.join(first)} and {last}" if first else f"device {last}"
    least = explanation.length(rules, LEAST_WIDTH_FT)
    return [explanation.caution("no-room", devices=named, least=least, source=LEAST_WIDTH_SOURCE)]


def time_caution(rules: RuleSet, key: str, leave_out: str = "", left_s: float | None = None) -> str:
    """Return the caution 'time' or 'too-slow' of a rule set with a time limit.

    ``leave_out`` names the device to leave out first; empty where none is named. ``left_s`` is the
    time that is left, where it was given: the walk is then compared with that.
    """
    if left_s is not None:
        written = explanation.caution("too-slow-left", left=explanation.minutes(left_s))
    else:
        limit = explanation.minutes(rules.time_limit_s or 0.0)
        written = explanation.caution(key, limit=limit, source=rules.time_limit_source)
    return f"{written} {explanation.caution('leave-out', device=leave_out)}" if leave_out else written
