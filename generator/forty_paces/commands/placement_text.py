"""A placement as text for the terminal: devices, approaches, walk and cautions. Nothing is computed here."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from forty_paces.commands.chances import Assumptions
from forty_paces.commands.figures import Units
from forty_paces.geometry import units
from forty_paces.geometry.records import Approach, Device, Placement, RuleSet, Walk
from forty_paces.geometry.stopping import Maneuver
from forty_paces.geometry.walk import walking_order
from forty_paces.messages import quantities
from forty_paces.messages.answer import ANSWER, assumption_lines, band_text
from forty_paces.messages.placement import text, texts
from forty_paces.messages.quantities import PHRASES, length, length_down, length_up, minutes

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
    width, lines = _width(), ["", ANSWER["chance"]]
    for side, band, reflecting in bands:
        within = length_down(rules, band.distance_ft)
        parts = [ANSWER["chance-side"].format(side=side.toward, distance=within, band=band_text(band))]
        if reflecting is not None:
            reach = length_down(rules, reflecting.distance_ft)
            parts.append(ANSWER["chance-reflector"].format(distance=reach, band=band_text(reflecting)))
        lines += _wrapped(" ".join(parts), width, "  ", "    ")
    lines += ["", ANSWER["assumptions"]]
    for paragraph in assumption_lines(assumed.sets, typed.speed, assumed.changed):
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
    yield from _wrapped(ANSWER["title"].format(title=title, rules=rules.title), width, "", "  ")
    yield ""
    if placement.devices:
        yield from _devices(rules, placement, trailer_ft, width)
    else:
        yield ANSWER["no-device"]
        yield ""
    yield ANSWER["approaches"]
    for side in placement.approaches:
        approach = ANSWER["approach"].format(side=side.toward, margin=_margin(rules, side))
        yield from _wrapped(approach, width, "  ", "    ")
    if decision is not None:
        yield from _wrapped(_decision(rules, decision), width, "  ", "    ")
    if placement.walk.order:
        yield ""
        yield ANSWER["walk"].format(walk=_walk(rules, placement.walk))
        for number, leg in enumerate(texts(rules, placement.walk.order), start=1):
            yield from _wrapped(leg, width, f"  {number}. ", "     ")
    yield ""
    yield ANSWER["cautions"]
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
        reason = PHRASES["cited"].format(text=text(rules, device.reason), citation=device.source)
        yield from _wrapped(reason, width, "      ", "      ")
        yield ""


def _head(rules: RuleSet, trailer_ft: float | None) -> tuple[str, ...]:
    first, last = ("m", "ft") if rules.metric else ("ft", "m")
    counts = (["lane-lines"] if rules.lane_line_ft else []) + (["trailers"] if trailer_ft else [])
    named = (ANSWER[count] for count in counts)
    return ("", ANSWER["toward"], first, ANSWER["paces"], last, *named, ANSWER["across"])


def _row(rules: RuleSet, number: int, device: Device, trailer_ft: float | None) -> tuple[str, ...]:
    distance_ft = device.distance_ft
    lengths = [quantities.number(distance_ft), quantities.number(units.ft_to_m(distance_ft))]
    first, last = reversed(lengths) if rules.metric else lengths
    counts = (
        [quantities.quarters(units.cycles(distance_ft, rules.lane_line_ft))] if rules.lane_line_ft else []
    )
    if trailer_ft:
        counts.append(quantities.quarters(units.trailer_lengths(distance_ft, trailer_ft)))
    across = ANSWER["moved-out"].format(across=device.across) if device.moved else device.across
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
    margin = ANSWER["margin" if side.needed_by == "car" else "margin-truck"]
    warning, needed = length_down(rules, side.warning_ft), length_up(rules, side.needed_ft)
    sentences = [margin.format(warning=warning, needed=needed)]
    if side.reflecting_warning_ft is not None:
        reflecting = length_down(rules, side.reflecting_warning_ft)
        sentences.append(ANSWER["reflector"].format(reflecting=reflecting))
    if not side.ample:
        shortfall, seconds = length_up(rules, side.shortfall_ft), quantities.seconds_up(side.shortfall_s)
        sentences.append(ANSWER["missing"].format(shortfall=shortfall, shortfall_s=seconds))
    if side.gain_ft <= units.FUZZ:
        sentences.append(ANSWER["no-gain"])
    else:
        gain, seconds = length_down(rules, side.gain_ft), quantities.seconds_down(side.gain_s)
        sentences.append(ANSWER["gain"].format(gain=gain, gain_s=seconds))
    return " ".join(sentences)


def _decision(rules: RuleSet, decision: Mapping[Maneuver, int]) -> str:
    rural, urban = (
        length_up(rules, decision[maneuver]) for maneuver in (Maneuver.CHANGE_RURAL, Maneuver.CHANGE_URBAN)
    )
    return ANSWER["decision"].format(rural=rural, urban=urban)


def _walk(rules: RuleSet, walk: Walk) -> str:
    if walk.stops and not walk.distance_ft:
        return ANSWER["nobody-walks"]
    distance = length(rules, walk.distance_ft)
    if walk.limit_s is None or walk.share_of_limit is None:
        return ANSWER["on-foot"].format(distance=distance, seconds=walk.seconds)
    form = ANSWER["on-foot-of-rule" if walk.limit_s == rules.time_limit_s else "on-foot-of-left"]
    share = round(100 * walk.share_of_limit)
    return form.format(distance=distance, seconds=walk.seconds, share=share, limit=minutes(walk.limit_s))


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    return textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=False,
    )
