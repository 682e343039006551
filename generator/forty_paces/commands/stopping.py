"""``fortypaces stopping``: how much road it takes to stop.

Gives stopping sight distance by the design formula, or a heavy vehicle's stopping distance by parts; never
both in one answer, because they rest on different assumptions.
"""

from __future__ import annotations

import json
from typing import Any

import click

from forty_paces.commands.figures import UNITS, Units, figure, grade
from forty_paces.geometry import units as written
from forty_paces.geometry.answer import tenths
from forty_paces.geometry.heavy_vehicle import BrakeSystem, StoppingParts, stopping_parts
from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import (
    ASSUMED_FRICTION,
    StoppingSight,
    metric_stopping_sight,
    stopping_sight,
)

EPILOG = """\b
Examples:
  fortypaces stopping --speed 55
  fortypaces stopping --speed 55 --grade -6 --json
  fortypaces stopping --speed 100 --units metric
  fortypaces stopping --speed 45 --surface snow
  fortypaces stopping --speed 55 --by-parts --brakes hydraulic

\b
Exit status: 0 there is an answer; 1 no vehicle could stop there; 2 wrong use.
"""

BY_PARTS_NOTE = (
    "The handbook's figures for a heavy vehicle on a good, dry, level road. They rest on other assumptions "
    "than stopping sight distance: do not mix the two."
)


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
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
def stopping(
    speed: float,
    grade_pct: float | None,
    surface: str | None,
    units: str,
    by_parts: bool,
    brakes: str | None,
    as_json: bool,
) -> None:
    """Tell how far a vehicle travels until it stands.

    Stopping sight distance by the AASHTO formula: 2.5 s to react, then gentle
    braking. It is what an approaching driver must be able to see.
    """
    typed = UNITS[units]
    speed_mph = typed.mph("--speed", speed)
    if by_parts:
        if grade_pct is not None or surface is not None or units != "us":
            raise click.UsageError("--by-parts knows no --grade, --surface or --units: the handbook has none")
        parts = stopping_parts(speed_mph, BrakeSystem(brakes or BrakeSystem.AIR)).rounded_up()
        values = _part_values(speed, brakes or str(BrakeSystem.AIR), parts)
        lines = _part_lines(speed, parts)
    else:
        if brakes is not None:
            raise click.UsageError("--brakes goes with --by-parts")
        values, lines = _sight(typed, speed, grade(grade_pct or 0.0), Surface(surface or Surface.NORMAL))
    click.echo(json.dumps(values, indent=1) if as_json else "\n".join(lines))


def _sight(
    typed: Units, speed: float, grade_pct: float, surface: Surface
) -> tuple[dict[str, Any], list[str]]:
    metric = typed.length == "m"
    sight = (metric_stopping_sight if metric else stopping_sight)(speed, grade_pct, surface)
    return _sight_values(typed, speed, grade_pct, surface, sight), _sight_lines(
        typed, speed, grade_pct, surface, sight
    )


def _sight_values(
    typed: Units, speed: float, grade_pct: float, surface: Surface, sight: StoppingSight
) -> dict[str, Any]:
    unit = typed.length
    return {
        f"stopping_sight_{unit}": tenths(sight.total),
        f"design_{unit}": sight.design,
        f"reaction_{unit}": tenths(sight.reaction),
        f"braking_{unit}": tenths(sight.braking),
        f"speed_{'kmh' if unit == 'm' else 'mph'}": speed,
        "grade_pct": grade_pct,
        "surface": str(surface),
    }


def _sight_lines(
    typed: Units, speed: float, grade_pct: float, surface: Surface, sight: StoppingSight
) -> list[str]:
    unit = typed.length
    slope = "level" if not grade_pct else f"{abs(grade_pct):g} percent {'up' if grade_pct > 0 else 'down'}"
    other = (
        f"{written.feet(written.m_to_ft(sight.total))}" if unit == "m" else f"{written.meters(sight.total)}"
    )
    lines = [
        f"Stopping sight distance at {speed:g} {typed.speed}, {slope}, {surface} surface",
        "",
        f"  reaction  {written.number(sight.reaction, 1):>9} {unit}",
        f"  braking   {written.number(sight.braking, 1):>9} {unit}",
        f"  in all    {written.number(sight.total, 1):>9} {unit}  ({other})",
        f"  design    {written.number(sight.design):>7}   {unit}  (rounded up to the next 5)",
        "",
        "By the AASHTO Green Book's formula for passenger cars; a loaded truck may need more.",
    ]
    if surface is not Surface.NORMAL:
        lines.append(f"A friction of {ASSUMED_FRICTION[surface]:g} is assumed. Real roads differ.")
    return lines


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
        ("seeing it", parts.perception_ft),
        ("reacting", parts.reaction_ft),
        ("brake lag", parts.lag_ft),
        ("braking", parts.braking_ft),
        ("in all", parts.total_ft),
    )
    table = [f"  {what:<10}{written.number(length):>8} ft" for what, length in rows if length]
    return [f"A heavy vehicle at {speed:g} mph, each part rounded up", "", *table, "", BY_PARTS_NOTE]
