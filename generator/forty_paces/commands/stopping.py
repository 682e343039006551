"""``fortypaces stopping``: how much road it takes to stop.

Gives stopping sight distance by the design formula, or a heavy vehicle's stopping distance by parts; never
both in one answer, because they rest on different assumptions.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

import click

from forty_paces.commands.chances import (
    Assumptions,
    assumption_values,
    assumptions,
    chance_options,
    chance_values,
)
from forty_paces.commands.figures import UNITS, Units, figure, grade, within
from forty_paces.geometry import units
from forty_paces.geometry.heavy_vehicle import BrakeSystem, StoppingParts, stopping_parts
from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import (
    ASSUMED_FRICTION,
    StoppingSight,
    decision_sight_ft,
    metric_stopping_sight,
    stopping_sight,
)
from forty_paces.messages import quantities
from forty_paces.messages.answer import STOPPING, assumption_lines, band_text, tenths

EPILOG = """\b
Examples:
  fortypaces stopping --speed 55
  fortypaces stopping --speed 55 --grade -6 --json
  fortypaces stopping --speed 100 --units metric
  fortypaces stopping --speed 45 --surface snow
  fortypaces stopping --speed 55 --chance --within 350
  fortypaces stopping --speed 55 --by-parts --brakes hydraulic

\b
Exit status: 0 there is an answer; 1 no vehicle could stop there; 2 wrong use.
"""


@dataclass(frozen=True, slots=True)
class TypedRoad:
    """The road and speed as typed."""

    speed: float
    "In the typed units."
    speed_mph: float
    grade_pct: float
    surface: Surface

    def sight(self, typed: Units) -> StoppingSight:
        """Stopping sight distance in the typed unit of length."""
        formula = metric_stopping_sight if typed.length == "m" else stopping_sight
        return formula(self.speed, self.grade_pct, self.surface)


@click.command(epilog=EPILOG)
@click.option("--speed", type=figure, required=True, help="Speed in mph, or km/h with --units metric.")
@click.option("--grade", "grade_pct", type=figure, help="Grade in percent, downhill negative.")
@click.option(
    "--surface",
    type=click.Choice([kind.value for kind in Surface]),
    help="What the tires stand on.  [default: normal]",
)
@click.option("--units", type=click.Choice([*UNITS]), default="us", show_default=True, help="Units.")
@click.option("--by-parts", is_flag=True, help="A heavy vehicle by parts, as a driver's handbook has it.")
@click.option(
    "--brakes",
    type=click.Choice([kind.value for kind in BrakeSystem]),
    help="With --by-parts.  [default: air]",
)
@chance_options
@click.option(
    "--within",
    "within_length",
    type=figure,
    metavar="FT",
    help="With --chance: in what distance.  [default: the stopping sight distance]",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
def stopping(
    speed: float,
    grade_pct: float | None,
    surface: str | None,
    units: str,
    by_parts: bool,
    brakes: str | None,
    chance: bool,
    within_length: float | None,
    as_json: bool,
    **assumed: float | None,
) -> None:
    """Tell how far a vehicle travels until it stands.

    Stopping sight distance by the AASHTO formula: 2.5 s to react, then gentle
    braking. It is what an approaching driver must be able to see.

    Decision sight distance, from the table of the same book, is what a driver needs to
    notice something unexpected, decide, and stop or change lanes unhurried.

    With --chance: of 100 drivers, how many can stop within a distance, as a band between
    cautious and favorable assumptions from published studies.
    """
    typed = UNITS[units]
    speed_mph = typed.mph("--speed", speed)
    drivers = assumptions(chance, typed, assumed)
    if within_length is not None and drivers is None:
        raise click.UsageError("--within goes with --chance")
    if by_parts:
        if drivers is not None:
            raise click.UsageError("--by-parts knows no --chance: none is known for heavy vehicles")
        if grade_pct is not None or surface is not None or units != "us":
            raise click.UsageError("--by-parts knows no --grade, --surface or --units: the handbook has none")
        parts = stopping_parts(speed_mph, BrakeSystem(brakes or BrakeSystem.AIR)).rounded_up()
        values = _part_values(speed, brakes or str(BrakeSystem.AIR), parts)
        lines = _part_lines(speed, parts)
    else:
        if brakes is not None:
            raise click.UsageError("--brakes goes with --by-parts")
        road = TypedRoad(speed, speed_mph, grade(grade_pct or 0.0), Surface(surface or Surface.NORMAL))
        values, lines = _sight(typed, road)
        if drivers is not None:
            more_values, more_lines = _chance(typed, road, drivers, within_length)
            values, lines = values | more_values, lines + more_lines
    click.echo(json.dumps(values, indent=1) if as_json else "\n".join(lines))


def _sight(typed: Units, road: TypedRoad) -> tuple[dict[str, Any], list[str]]:
    sight = road.sight(typed)
    return _sight_values(typed, road, sight), _sight_lines(typed, road, sight)


def _sight_values(typed: Units, road: TypedRoad, sight: StoppingSight) -> dict[str, Any]:
    unit = typed.length
    decision = decision_sight_ft(road.speed_mph)
    return {
        f"stopping_sight_{unit}": tenths(sight.total),
        f"design_{unit}": sight.design,
        f"reaction_{unit}": tenths(sight.reaction),
        f"braking_{unit}": tenths(sight.braking),
        f"speed_{'kmh' if unit == 'm' else 'mph'}": road.speed,
        "grade_pct": road.grade_pct,
        "surface": str(road.surface),
        f"decision_{unit}": None
        if decision is None
        else {str(maneuver): _whole(typed, distance_ft) for maneuver, distance_ft in decision.items()},
    }


def _whole(typed: Units, distance_ft: float) -> int:
    """A published distance in whole units, rounded up."""
    return int(units.whole_up(units.ft_to_m(distance_ft) if typed.length == "m" else distance_ft))


def _sight_lines(typed: Units, road: TypedRoad, sight: StoppingSight) -> list[str]:
    unit = typed.length
    grade_pct = road.grade_pct
    slope = STOPPING["up" if grade_pct > 0 else "down" if grade_pct else "level"].format(
        pct=f"{abs(grade_pct):g}"
    )
    other = (
        f"{quantities.feet(units.m_to_ft(sight.total))}"
        if unit == "m"
        else f"{quantities.meters(sight.total)}"
    )
    lines = [
        STOPPING["title"].format(
            speed=f"{road.speed:g}", unit=typed.speed, grade=slope, surface=road.surface
        ),
        "",
        f"  {STOPPING['reaction']:<10}{quantities.number(sight.reaction, 1):>9} {unit}",
        f"  {STOPPING['braking']:<10}{quantities.number(sight.braking, 1):>9} {unit}",
        f"  {STOPPING['total']:<10}{quantities.number(sight.total, 1):>9} {unit}  ({other})",
        f"  {STOPPING['design']:<10}{quantities.number(sight.design):>7}   {unit}  {STOPPING['rounded']}",
        "",
        STOPPING["formula"],
    ]
    if road.surface is not Surface.NORMAL:
        lines.append(STOPPING["friction"].format(friction=f"{ASSUMED_FRICTION[road.surface]:g}"))
    return [*lines, "", *_decision_lines(typed, road)]


def _decision_lines(typed: Units, road: TypedRoad) -> list[str]:
    decision = decision_sight_ft(road.speed_mph)
    if decision is None:
        return [STOPPING["no-decision"]]
    rows = [
        f"  {STOPPING[f'maneuver-{maneuver}']:<33}"
        f"{quantities.number(_whole(typed, distance_ft)):>7} {typed.length}"
        for maneuver, distance_ft in decision.items()
    ]
    return [
        STOPPING["decision"],
        "",
        *rows,
        "",
        STOPPING["decision-source"],
    ]


def _chance(
    typed: Units, road: TypedRoad, drivers: Assumptions, within_length: float | None
) -> tuple[dict[str, Any], list[str]]:
    """How many can stop within a distance, by default the stopping sight distance."""
    metric = typed.length == "m"
    if within_length is None:
        length = road.sight(typed).total
    else:
        within("--within", within_length, 0, 3_000 if metric else 10_000, typed.length)
        length = within_length
    distance_ft = units.m_to_ft(length) if metric else length
    band = drivers.chance(distance_ft, road.speed_mph, road.grade_pct, road.surface)
    values = {
        "chance": {f"within_{typed.length}": tenths(length), **chance_values(band)},
        "assumptions": assumption_values(drivers),
    }
    lines = [
        "",
        STOPPING["within"].format(
            distance=quantities.number(length, 1), unit=typed.length, band=band_text(band)
        ),
    ]
    for paragraph in assumption_lines(drivers.sets, typed.speed, drivers.changed):
        lines += wrap(paragraph, 96, initial_indent="  ", subsequent_indent="    ")
    return values, lines


def _part_values(speed: float, brakes: str, parts: StoppingParts) -> dict[str, Any]:
    return {
        "perception_ft": int(parts.perception_ft),
        "reaction_ft": int(parts.reaction_ft),
        "lag_ft": int(parts.lag_ft),
        "braking_ft": int(parts.braking_ft),
        "total_ft": int(parts.total_ft),
        "speed_mph": speed,
        "brakes": brakes,
    }


def _part_lines(speed: float, parts: StoppingParts) -> list[str]:
    rows = (
        ("part-seeing", parts.perception_ft),
        ("part-reacting", parts.reaction_ft),
        ("part-lag", parts.lag_ft),
        ("part-braking", parts.braking_ft),
        ("part-total", parts.total_ft),
    )
    table = [f"  {STOPPING[what]:<10}{quantities.number(length):>8} ft" for what, length in rows if length]
    return [STOPPING["parts"].format(speed=f"{speed:g}"), "", *table, "", STOPPING["parts-note"]]
