"""A placement as text for the terminal: devices, approaches, walk and cautions. Nothing is computed here."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from forty_paces.commands.chances import Assumptions, assumption_lines, band_text
from forty_paces.commands.figures import Units
from forty_paces.geometry import units
from forty_paces.geometry.decision_sight import Maneuver
from forty_paces.geometry.records import Approach, Device, Placement, RuleSet, Walk
from forty_paces.geometry.walk import walking_order
from forty_paces.messages import quantities
from forty_paces.messages.placement import text, texts
from forty_paces.messages.quantities import length, length_down, length_up, minutes

if TYPE_CHECKING:
    from forty_paces.geometry.chance import Chance

WIDEST = 100


def placement_text(
    rules: RuleSet,
    placement: Placement,
    title: str,
    trailer_ft: float | None = None,
    decision: Mapping[Maneuver, int] | None = None,
) -> str:
    """Devices, what drivers get, the walk, the cautions; with a trailer, distances in trailer lengths too.

    ``decision`` is decision sight distance in feet; None where the published table does not reach.
    """
    return "\n".join(_lines(rules, placement, title, trailer_ft, decision, _width()))


def chance_text(
    rules: RuleSet,
    bands: Sequence[tuple[Approach, Chance, Chance | None]],
    assumed: Assumptions,
    typed: Units,
) -> str:
    """How many drivers can stop: for each side its band and that with the reach of a reflector."""
    width, lines = _width(), ["", "How many can stop"]
    for side, band, reflecting in bands:
        text = f"From {side.toward}: within {length_down(rules, band.distance_ft)}, {band_text(band)}."
        if reflecting is not None:
            reach = length_down(rules, reflecting.distance_ft)
            text += f" With the reach of a reflector, {reach}: {band_text(reflecting)}."
        lines += _wrapped(text, width, "  ", "    ")
    lines += ["", "What this assumes"]
    for paragraph in assumption_lines(assumed, typed):
        lines += _wrapped(paragraph, width, "  - ", "    ")
    return "\n".join(lines)


def _width() -> int:
    return min(WIDEST, shutil.get_terminal_size((WIDEST, 24)).columns)


def _lines(
    rules: RuleSet,
    placement: Placement,
    title: str,
    trailer_ft: float | None,
    decision: Mapping[Maneuver, int] | None,
    width: int,
) -> Iterator[str]:
    yield from _wrapped(f"Warning devices: {title}. {rules.title}.", width, "", "  ")
    yield ""
    if placement.devices:
        yield from _devices(rules, placement, trailer_ft, width)
    else:
        yield "No device is placed here."
        yield ""
    yield "What approaching drivers get"
    for side in placement.approaches:
        yield from _wrapped(f"From {side.toward}: {_margin(rules, side)}", width, "  ", "    ")
    if decision is not None:
        yield from _wrapped(_decision(rules, decision), width, "  ", "    ")
    if placement.walk.order:
        yield ""
        yield f"The walk: {_walk(rules, placement.walk)}"
        for number, leg in enumerate(texts(rules, placement.walk.order), start=1):
            yield from _wrapped(leg, width, f"  {number}. ", "     ")
    yield ""
    yield "Mind this"
    for caution in texts(rules, placement.cautions):
        yield from _wrapped(caution, width, "  - ", "    ")


def _devices(rules: RuleSet, placement: Placement, trailer_ft: float | None, width: int) -> Iterator[str]:
    ordered = walking_order(placement.devices)
    rows_of = (_row(rules, number, device, trailer_ft) for number, device in enumerate(ordered, 1))
    table = [_head(rules, trailer_ft), *rows_of]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    head, *rows = (_columns(cells, widths) for cells in table)
    yield head
    for row, device in zip(rows, ordered, strict=True):
        yield row
        yield from _wrapped(f"{text(rules, device.reason)} ({device.source})", width, "      ", "      ")
        yield ""


def _head(rules: RuleSet, trailer_ft: float | None) -> tuple[str, ...]:
    first, last = ("m", "ft") if rules.metric else ("ft", "m")
    lane_lines = ("lane lines",) if rules.lane_line_ft else ()
    trailers = ("trailers",) if trailer_ft else ()
    return ("", "toward", first, "paces", last, *lane_lines, *trailers, "across the road")


def _row(rules: RuleSet, number: int, device: Device, trailer_ft: float | None) -> tuple[str, ...]:
    distance_ft = device.distance_ft
    lengths = [quantities.number(distance_ft), quantities.number(units.ft_to_m(distance_ft))]
    first, last = reversed(lengths) if rules.metric else lengths
    counts = (
        [quantities.quarters(units.cycles(distance_ft, rules.lane_line_ft))] if rules.lane_line_ft else []
    )
    if trailer_ft:
        counts.append(quantities.quarters(units.trailer_lengths(distance_ft, trailer_ft)))
    across = device.across + (", moved out" if device.moved else "")
    return (str(number), str(device.toward), first, quantities.number(device.paces), last, *counts, across)


def _columns(cells: tuple[str, ...], widths: list[int]) -> str:
    """Words aligned left, figures aligned right."""
    words = {0, 1, len(cells) - 1}
    padded = (
        cell.ljust(width) if column in words else cell.rjust(width)
        for column, (cell, width) in enumerate(zip(cells, widths, strict=True))
    )
    return ("  " + "  ".join(padded)).rstrip()


def _margin(rules: RuleSet, side: Approach) -> str:
    whose = "" if side.needed_by == "car" else f" for a {side.needed_by}"
    text = (
        f"drivers get about {length_down(rules, side.warning_ft)}; to stop takes "
        f"{length_up(rules, side.needed_ft)}{whose}."
    )
    if side.reflecting_warning_ft is not None:
        text += f" With the reach of a reflector: {length_down(rules, side.reflecting_warning_ft)}."
    if not side.ample:
        missing = length_up(rules, side.shortfall_ft)
        text += f" {missing} are missing, or {quantities.seconds_up(side.shortfall_s)}."
    if side.gain_ft <= units.FUZZ:
        return f"{text} The devices add nothing to what the vehicle itself gives."
    gained = f"{length_down(rules, side.gain_ft)}, or {quantities.seconds_down(side.gain_s)}"
    return f"{text} The devices add {gained}."


def _decision(rules: RuleSet, decision: Mapping[Maneuver, int]) -> str:
    rural, urban = (
        length_up(rules, decision[maneuver]) for maneuver in (Maneuver.CHANGE_RURAL, Maneuver.CHANGE_URBAN)
    )
    return (
        f"To notice, decide and change lanes unhurried takes {rural} on a rural road, {urban} in a town "
        "(decision sight distance, AASHTO Green Book)."
    )


def _walk(rules: RuleSet, walk: Walk) -> str:
    if walk.stops and not walk.distance_ft:
        return "nobody walks."
    text = f"{length(rules, walk.distance_ft)} in all, about {walk.seconds} s"
    if walk.limit_s is None or walk.share_of_limit is None:
        return text + "."
    share = round(100 * walk.share_of_limit)
    given = "the rule gives" if walk.limit_s == rules.time_limit_s else "left"
    return f"{text}: {share} percent of the {minutes(walk.limit_s)} {given}."


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    return textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=False,
    )
