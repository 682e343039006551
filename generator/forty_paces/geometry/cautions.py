"""Composes the cautions printed with every placement: shortfalls, time limits and assumptions."""

from __future__ import annotations

from forty_paces.geometry import explanation, units
from forty_paces.geometry.records import Approach, Layout, RuleSet, Surface
from forty_paces.geometry.stopping import ASSUMED_FRICTION


def standing_cautions(
    rules: RuleSet,
    layout: Layout,
    detection_ft: float,
    reflecting_ft: float | None = None,
    surface: Surface = Surface.NORMAL,
) -> list[str]:
    """Return the cautions that a layout always carries, wherever its devices are placed."""
    said = [layout.note] if layout.note else []
    if layout.devices:
        said += [explanation.caution("measured"), explanation.caution("carry")]
        if rules.time_limit_s is not None:
            said.append(time_caution(rules, "time"))
    reaches = {"detection": explanation.length(rules, detection_ft)}
    if reflecting_ft is None:
        said.append(explanation.caution("detection", **reaches))
    else:
        reaches["reflecting"] = explanation.length(rules, reflecting_ft)
        said.append(explanation.caution("two-reaches", **reaches))
    if surface is not Surface.NORMAL:
        friction = units.number(ASSUMED_FRICTION[surface], 2)
        said.append(explanation.caution("surface", surface=surface, friction=friction))
    return [*said, *rules.cautions, explanation.caution("computed"), explanation.caution("local")]


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


def time_caution(rules: RuleSet, key: str, leave_out: str = "") -> str:
    """Return the caution 'time' or 'too-slow' of a rule set with a time limit.

    ``leave_out`` names the device to leave out first; empty where none is named.
    """
    limit = explanation.minutes(rules.time_limit_s or 0.0)
    written = explanation.caution(key, limit=limit, source=rules.time_limit_source)
    return f"{written} {explanation.caution('leave-out', device=leave_out)}" if leave_out else written
