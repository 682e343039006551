"""Says which cautions belong to a placement: shortfalls, time limits and assumptions, as messages."""

from __future__ import annotations

from collections.abc import Iterable

from forty_paces.geometry.records import (
    Approach,
    Device,
    DeviceLayout,
    Figure,
    Message,
    RuleSet,
    Sentences,
    Surface,
)
from forty_paces.geometry.stopping import ASSUMED_FRICTION
from forty_paces.geometry.walk import LEAST_WIDTH_FT, walking_order


def standing_cautions(
    rules: RuleSet,
    layout: DeviceLayout,
    detection_ft: float,
    reflecting_ft: float | None = None,
    surface: Surface = Surface.NORMAL,
    *,
    walked: bool = True,
) -> list[Sentences]:
    """Return the cautions that a layout always carries, wherever its devices are placed.

    ``walked`` is False where nobody can walk to any device.
    """
    cautions: list[Sentences] = [(layout.note,)] if layout.note else []
    if layout.devices and walked:
        cautions += [caution("measured"), caution("carry")]
        if rules.time_limit_s is not None:
            cautions.append(time_caution(rules, "time"))
    if reflecting_ft is None:
        cautions.append(caution("detection", detection_ft=detection_ft))
    else:
        cautions.append(caution("two-reaches", detection_ft=detection_ft, reflecting_ft=reflecting_ft))
    if surface is not Surface.NORMAL:
        cautions.append(caution("surface", surface=surface, friction=ASSUMED_FRICTION[surface]))
    cautions += [(text,) for text in rules.cautions]
    return [*cautions, caution("computed"), caution("local")]


def caution(key: str, **figures: Figure) -> Sentences:
    """Return a caution by its key, with its figures."""
    return (Message(f"cautions.{key}", figures),)


def short_caution(approach: Approach) -> Sentences:
    """Return the caution for an approach direction whose warning falls short, with what else to do."""
    return caution(
        "short",
        side=approach.toward,
        warning_ft=approach.warning_ft,
        needed_ft=approach.needed_ft,
        shortfall_ft=approach.shortfall_ft,
        shortfall_s=approach.shortfall_s,
    )


def no_room_caution(devices: Iterable[Device]) -> list[Sentences]:
    """Return the caution that names every device that nobody can walk to; empty where there is none."""
    lost = tuple(n for n, device in enumerate(walking_order(devices), start=1) if not device.reached)
    if not lost:
        return []
    return [caution("no-room", devices=lost, least_ft=LEAST_WIDTH_FT)]


def time_caution(rules: RuleSet, key: str, leave_out: str = "", left_s: float | None = None) -> Sentences:
    """Return the caution 'time' or 'too-slow' of a rule set with a time limit.

    ``leave_out`` names the device to leave out first; empty where none is named. ``left_s`` is the
    time that is left, where it was given: the walk is then compared with that.
    """
    if left_s is not None:
        limited = caution("too-slow-left", left_s=left_s)
    else:
        limited = caution(key, limit_s=rules.time_limit_s or 0.0, source=rules.time_limit_source)
    return (*limited, *caution("leave-out", device=leave_out)) if leave_out else limited
