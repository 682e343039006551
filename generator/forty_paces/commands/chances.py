"""The option ``--chance``: how many approaching drivers can stop, in JSON and as text.

For people at a desk and in a classroom, never for a driver at the road.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

import click

from forty_paces.commands.figures import Units, figure, within
from forty_paces.geometry.records import Surface
from forty_paces.geometry.units import kmh_to_mph

if TYPE_CHECKING:  # imported where it is used: a placement without --chance does not wait for it
    from forty_paces.geometry.chance import Chance, Drivers

Command = TypeVar("Command", bound=Callable[..., Any])

OPTIONS = (
    ("reaction_median", "--reaction-median", "S", "Reaction time in seconds that half of the drivers need."),
    ("reaction_95", "--reaction-95", "S", "Reaction time in seconds that 95 of 100 drivers do not exceed."),
    ("deceleration", "--deceleration", "G", "Mean deceleration, as a fraction of gravity."),
    ("deceleration_sd", "--deceleration-sd", "G", "Its standard deviation."),
    ("speed_over", "--speed-over", "SPEED", "Mean speed above the posted one."),
    ("speed_sd", "--speed-sd", "SPEED", "Standard deviation of speeds."),
)
"""Parameter, option, metavar and help of each assumption that can be changed."""


def chance_options(command: Command) -> Command:
    """Add ``--chance`` and one option for each assumption to a command."""
    for name, option, metavar, text in reversed(OPTIONS):
        command = click.option(option, name, type=figure, metavar=metavar, help=f"With --chance: {text}")(
            command
        )
    return click.option("--chance", is_flag=True, help="Add how many of 100 drivers can stop.")(command)


@dataclass(frozen=True, slots=True)
class Assumptions:
    """The three sets of assumptions in force, and the options that changed them."""

    sets: tuple[Drivers, ...]
    changed: tuple[str, ...]

    def chance(self, distance_ft: float, speed_mph: float, grade_pct: float, surface: Surface) -> Chance:
        """The band of shares for a distance."""
        from forty_paces.geometry.chance import chance_of_stopping

        return chance_of_stopping(distance_ft, speed_mph, grade_pct, surface, self.sets)


def assumptions(chance: bool, typed: Units, given: dict[str, float | None]) -> Assumptions | None:
    """The assumptions as typed, laid over the published ones; None without ``--chance``.

    A typed figure takes the place of that figure in all three sets, so that the band narrows.
    ``UsageError`` for an assumption without ``--chance``, ``BadParameter`` for one out of range.
    """
    changes = {name: value for name, value in given.items() if value is not None}
    options = {name: option for name, option, *_ in OPTIONS}
    if not chance:
        if changes:
            raise click.UsageError(f"{options[next(iter(changes))]} goes with --chance")
        return None
    from forty_paces.geometry.chance import ASSUMED

    for name, value in changes.items():
        _check(name, options[name], value, typed.speed)
    sets = tuple(_changed(drivers, changes, typed.speed) for drivers in ASSUMED)
    for drivers in sets:
        if drivers.reaction.p95_s < drivers.reaction.median_s:
            raise click.UsageError(
                f"--reaction-95 ({drivers.reaction.p95_s:.2g} s) must not be below the median "
                f"({drivers.reaction.median_s:.2g} s): give both"
            )
    return Assumptions(sets, tuple(options[name] for name in changes))


def _check(name: str, option: str, value: float, speed_unit: str) -> None:
    low, high, unit = {
        "reaction_median": (0.2, 5, "s"),
        "reaction_95": (0.2, 10, "s"),
        "deceleration": (0.05, 1.2, "g"),
        "deceleration_sd": (0, 0.4, "g"),
        "speed_over": (-40, 40, speed_unit),
        "speed_sd": (0, 30, speed_unit),
    }[name]
    within(option, value, low, high, unit)


def _changed(drivers: Drivers, changes: dict[str, float], speed_unit: str) -> Drivers:
    from forty_paces.geometry.chance import ReactionTime, Spread

    to_mph = kmh_to_mph if speed_unit == "km/h" else float
    reaction, braking, over = drivers.reaction, drivers.deceleration_g, drivers.over_posted_mph
    if {"reaction_median", "reaction_95"} & set(changes):
        # A typed time is the whole time: nothing is added to it. One typed alone keeps the shape.
        median = changes.get("reaction_median", reaction.percentile_s(0.5))
        ratio = reaction.p95_s / reaction.median_s
        reaction = ReactionTime(median, changes.get("reaction_95", median * ratio))
    return replace(
        drivers,
        reaction=reaction,
        deceleration_g=Spread(
            changes.get("deceleration", braking.mean), changes.get("deceleration_sd", braking.sd)
        ),
        over_posted_mph=Spread(
            to_mph(changes["speed_over"]) if "speed_over" in changes else over.mean,
            to_mph(changes["speed_sd"]) if "speed_sd" in changes else over.sd,
        ),
    )


def chance_values(chance: Chance) -> dict[str, int]:
    """A band for JSON, in whole percent rounded down."""
    return dict(zip(("low_pct", "middle_pct", "high_pct"), chance.percent(), strict=True))


def assumption_values(assumed: Assumptions) -> list[dict[str, float]]:
    """The three sets of assumptions for JSON: cautious, middle, favorable."""
    return [
        {
            "reaction_median_s": round(drivers.reaction.percentile_s(0.5), 2),
            "reaction_95_s": round(drivers.reaction.percentile_s(0.95), 2),
            "deceleration_g": drivers.deceleration_g.mean,
            "deceleration_sd_g": drivers.deceleration_g.sd,
            "speed_over_mph": round(drivers.over_posted_mph.mean, 2),
            "speed_sd_mph": round(drivers.over_posted_mph.sd, 2),
        }
        for drivers in assumed.sets
    ]
