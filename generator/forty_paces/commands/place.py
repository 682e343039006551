"""``fortypaces place``: where the warning devices go, and why.

Takes a situation as options, or a scene file. Prints text or JSON, and draws an SVG where one is asked for.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from forty_paces.commands.chances import (
    Assumptions,
    assumption_values,
    assumptions,
    chance_options,
    chance_values,
)
from forty_paces.commands.figures import UNITS, Units, figure, grade
from forty_paces.commands.placement_text import chance_text, placement_text
from forty_paces.commands.project import take_project
from forty_paces.commands.rule_cache import rule_set_in_force
from forty_paces.geometry.placement import place as find_places
from forty_paces.geometry.records import (
    Approach,
    HiddenBy,
    Placement,
    RoadKind,
    RuleSet,
    Situation,
    Surface,
    Toward,
)
from forty_paces.geometry.stopping import decision_sight_ft
from forty_paces.geometry.units import mph_to_kmh
from forty_paces.messages.answer import ANSWER, as_values
from forty_paces.messages.quantities import number

if TYPE_CHECKING:
    from forty_paces.geometry.chance import Chance

EPILOG = """\b
Examples:
  fortypaces place --road two-lane --speed 55
  fortypaces place --road two-lane --speed 55 --hidden-behind 400 --hidden-by hill --hidden-from 50
  fortypaces place --road divided --speed 65 --grade -4 --visibility fog --json
  fortypaces place --rules germany --road divided --speed 100
  fortypaces place --scene content/scenes/heron-creek-bend.yml
  fortypaces place --road two-lane --speed 55 --visibility day --chance

\b
Lengths and speeds are those of the rule set unless --units names others: --units us
is feet and mph, --units metric is meters and km/h.
Exit status: 0 there is an answer; 1 no vehicle could stop there, or a file
has findings; 2 wrong use.
"""


@dataclass(frozen=True, slots=True)
class PlaceResult:
    """The result to print: a placement, its rule set, a title and maybe a drawing."""

    rules: RuleSet
    placement: Placement
    title: str
    speed_mph: float
    surface: Surface
    grades_pct: dict[Toward, float]
    "Grade that drivers from each side brake on, downhill negative."
    svg: str | None = None
    trailer_ft: float | None = None
    "Length of the trailer in the scene, in feet."


@click.command(epilog=EPILOG)
@click.option(
    "--road", type=click.Choice([kind.value for kind in RoadKind]), help="How traffic runs past the vehicle."
)
@click.option("--speed", type=figure, help="Posted speed.")
@click.option(
    "--hidden-behind", type=figure, metavar="FT", help="How far behind you lose sight of the pavement."
)
@click.option("--hidden-ahead", type=figure, metavar="FT", help="The same, ahead.")
@click.option(
    "--hidden-by",
    type=click.Choice([cause.value for cause in HiddenBy]),
    multiple=True,
    help="What hides it. Give it twice for two at once: the worse answer counts.  [default: curve]",
)
@click.option(
    "--hidden-from",
    type=figure,
    metavar="FT",
    help="Where the curve, or the rounded top of the hill, begins; 0: the vehicle stands in it.",
)
@click.option("--hidden-to", type=figure, metavar="FT", help="Where an obstruction ends, from the vehicle.")
@click.option(
    "--grade", "grade_pct", type=figure, metavar="PCT", help="Met by traffic from behind; downhill negative."
)
@click.option(
    "--surface",
    type=click.Choice([kind.value for kind in Surface]),
    help="What the tires stand on.  [default: normal]",
)
@click.option("--detection", type=figure, metavar="FT", help="From how far a device is made out.")
@click.option("--visibility", metavar="CLASS", help="The same, as a class of the rule set, such as fog.")
@click.option("--rules", "rules_name", metavar="ID", help="The rule set; default: that of fleet.yml.")
@click.option("--trailer", type=figure, metavar="FT", help="Count in lengths of this trailer too.")
@click.option(
    "--minutes-left",
    type=figure,
    metavar="MIN",
    help="Minutes left of those the rule gives; the walk is compared with them.",
)
@chance_options
@click.option(
    "--scene", type=click.Path(path_type=Path), help="A scene, by file or id, in place of the options above."
)
@click.option(
    "--units", type=click.Choice([*UNITS]), help="Of what is typed; default: those of the rule set."
)
@click.option("--project", type=click.Path(path_type=Path), help="The folder that holds content.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON and nothing else.")
@click.option("--svg", "svg", type=click.Path(dir_okay=False, path_type=Path), help="Write a drawing here.")
def place(
    scene: Path | None,
    rules_name: str | None,
    project: Path | None,
    units: str | None,
    as_json: bool,
    svg: Path | None,
    trailer: float | None,
    minutes_left: float | None,
    chance: bool,
    reaction_median: float | None,
    reaction_95: float | None,
    deceleration: float | None,
    deceleration_sd: float | None,
    speed_over: float | None,
    speed_sd: float | None,
    **answers: Any,
) -> None:
    """Tell where the warning devices go, why, and what drivers get from them.

    With --chance: of 100 approaching drivers, how many can stop within their warning, as a
    band between cautious and favorable assumptions from published studies.
    """
    top = take_project(project)
    rules = rule_set_in_force(top, rules_name)
    typed = UNITS[units] if units is not None else units_of(rules)
    drivers = assumptions(
        chance,
        typed,
        {
            "reaction_median": reaction_median,
            "reaction_95": reaction_95,
            "deceleration": deceleration,
            "deceleration_sd": deceleration_sd,
            "speed_over": speed_over,
            "speed_sd": speed_sd,
        },
    )
    left_s = None if minutes_left is None else 60 * minutes_left
    if left_s is not None and not 0 <= left_s < math.inf:
        raise click.BadParameter("give minutes from 0 up", param_hint="'--minutes-left'")
    trailer_ft = None if trailer is None else typed.ft("--trailer", trailer, low=1)
    if scene is not None:
        given = sorted(name for name, value in answers.items() if value not in (None, ()))
        if given:
            options = ", ".join(f"--{name.removesuffix('_pct').replace('_', '-')}" for name in given)
            raise click.UsageError(f"--scene tells the whole situation: leave out {options}")
        answer = _answer_scene(rules, scene, top, svg is not None, left_s)
    else:
        situation = _situation(rules, typed, **answers)
        answer = _answer_situation(rules, situation, svg is not None, left_s)
    if svg is not None and answer.svg is not None:
        from forty_paces.drawing.svg import standalone
        from forty_paces.outputs.common.files import naming

        with naming(svg):
            svg.write_text(standalone(answer.svg), encoding="utf-8", newline="\n")
    if as_json:
        click.echo(json.dumps(_values(answer, drivers), indent=1))
        return
    trailer_ft = trailer_ft or answer.trailer_ft
    decision = decision_sight_ft(answer.speed_mph)
    click.echo(placement_text(answer.rules, answer.placement, answer.title, trailer_ft, decision))
    if drivers is not None:
        bands = [(side, *_bands(answer, side, drivers)) for side in answer.placement.approaches]
        click.echo(chance_text(answer.rules, bands, drivers, units_of(answer.rules)))
    if svg is not None:
        click.echo("\n" + ANSWER["drawn-in"].format(file=svg))


def _values(answer: PlaceResult, drivers: Assumptions | None) -> dict[str, Any]:
    """The answer for JSON: the placement, decision sight distance, and the chance where it is asked for."""
    values = as_values(answer.rules, answer.placement)
    decision = decision_sight_ft(answer.speed_mph)
    values["decision_ft"] = (
        None if decision is None else {str(maneuver): length for maneuver, length in decision.items()}
    )
    if drivers is not None:
        values["chance"] = {
            str(side.toward): {
                **chance_values(band),
                "reflecting": None if reflecting is None else chance_values(reflecting),
            }
            for side in answer.placement.approaches
            for band, reflecting in [_bands(answer, side, drivers)]
        }
        values["assumptions"] = assumption_values(drivers)
    return values


def _bands(answer: PlaceResult, side: Approach, drivers: Assumptions) -> tuple[Chance, Chance | None]:
    """How many can stop within the warning of one side, and with the reach of a reflector."""

    def band(warning_ft: float) -> Chance:
        return drivers.chance(warning_ft, answer.speed_mph, answer.grades_pct[side.toward], answer.surface)

    reflecting_ft = side.reflecting_warning_ft
    return band(side.warning_ft), None if reflecting_ft is None else band(reflecting_ft)


def units_of(rules: RuleSet) -> Units:
    """The units that a rule set uses: lengths as it gives them, speeds as they are posted there."""
    return Units("mph" if rules.posted_in == "mph" else "km/h", "m" if rules.metric else "ft")


def _situation(
    rules: RuleSet,
    typed: Units,
    *,
    road: str | None,
    speed: float | None,
    hidden_behind: float | None,
    hidden_ahead: float | None,
    hidden_by: tuple[str, ...] | None,
    hidden_from: float | None,
    hidden_to: float | None,
    grade_pct: float | None,
    surface: str | None,
    detection: float | None,
    visibility: str | None,
) -> Situation:
    if road is None or speed is None:
        raise click.UsageError("give --road and --speed, or a scene with --scene")
    hidden = hidden_behind is not None or hidden_ahead is not None
    if not hidden and (hidden_by or hidden_from is not None or hidden_to is not None):
        raise click.UsageError("say how far off the view is hidden: --hidden-behind or --hidden-ahead")
    if hidden_from is not None and "obstruction" in (hidden_by or ()):
        raise click.UsageError("an obstruction has a far end, --hidden-to, and no --hidden-from")
    if hidden_to is not None and "obstruction" not in (hidden_by or ()):
        raise click.UsageError("--hidden-to is the far end of an obstruction: add --hidden-by obstruction")
    return Situation(
        road=RoadKind(road),
        speed_mph=typed.mph("--speed", speed),
        detection_ft=_detection_ft(rules, typed, detection, visibility),
        reflecting_ft=None if detection is not None else rules.reflecting_ft(visibility),
        hidden_by=tuple(HiddenBy(cause) for cause in hidden_by) if hidden_by else (HiddenBy.CURVE,),
        hidden_from_ft=None if hidden_from is None else typed.ft("--hidden-from", hidden_from),
        hidden_to_ft=None if hidden_to is None else typed.ft("--hidden-to", hidden_to),
        hidden_behind_ft=math.inf if hidden_behind is None else typed.ft("--hidden-behind", hidden_behind),
        hidden_ahead_ft=math.inf if hidden_ahead is None else typed.ft("--hidden-ahead", hidden_ahead),
        grade_pct=grade(grade_pct or 0.0),
        surface=Surface(surface or Surface.NORMAL),
    )


def _detection_ft(rules: RuleSet, typed: Units, detection: float | None, visibility: str | None) -> float:
    if detection is not None and visibility is not None:
        raise click.UsageError("give --detection or --visibility, not both")
    if detection is not None:
        return typed.ft("--detection", detection, low=1)
    known = [entry.id for entry in rules.visibility]
    if visibility is not None and visibility not in known:
        raise click.BadParameter(
            f'"{visibility}" is not a class of this rule set; name one of: {", ".join(known)}',
            param_hint="'--visibility'",
        )
    return rules.detection_ft(visibility)


def _answer_situation(rules: RuleSet, situation: Situation, drawn: bool, left_s: float | None) -> PlaceResult:
    placement = find_places(rules, situation, left_s)
    svg = None
    if drawn:
        from forty_paces.drawing.schematic import draw_placement

        svg = draw_placement(placement, rules, situation, prefix="placement")
    return PlaceResult(
        rules=rules,
        placement=placement,
        title=ANSWER["situation"].format(road=situation.road, speed=_speed(rules, situation.speed_mph)),
        speed_mph=situation.speed_mph,
        surface=situation.surface,
        grades_pct={Toward.BEHIND: situation.grade_pct, Toward.AHEAD: -situation.grade_pct},
        svg=svg,
    )


def _answer_scene(
    rules: RuleSet, file: Path, project: Path, drawn: bool, left_s: float | None
) -> PlaceResult:
    from forty_paces.commands.rule_files import load_scene
    from forty_paces.geometry.solver import place_in_scene

    filed = load_scene(project, file)
    scene = filed.scene()
    keeps = str(filed.section.keeps)
    if keeps != rules.traffic_keeps:
        click.echo(ANSWER["keeps"].format(keeps=keeps, other=rules.traffic_keeps, rules=rules.id), err=True)
    if scene.visibility is not None and scene.visibility not in {entry.id for entry in rules.visibility}:
        raise click.UsageError(
            f'the scene wants the visibility class "{scene.visibility}", which the rule set '
            f'"{rules.id}" does not have'
        )
    solved = place_in_scene(rules, scene, left_s)
    title = ANSWER["scene"].format(
        title=scene.title, place=scene.place, road=scene.kind, speed=_speed(rules, scene.speed_mph)
    )
    svg = None
    if drawn:
        from forty_paces.drawing.scene_plan import draw_scene

        svg = draw_scene(solved, rules, prefix="scene")
    return PlaceResult(
        rules=rules,
        placement=solved.placement,
        title=title,
        speed_mph=scene.speed_mph,
        surface=scene.surface,
        grades_pct={side.toward: side.grade_pct for side in solved.sides},
        svg=svg,
        trailer_ft=scene.vehicle.trailer_ft,
    )


def _speed(rules: RuleSet, speed_mph: float) -> str:
    speed, other = f"{number(speed_mph)} mph", f"{number(mph_to_kmh(speed_mph))} km/h"
    if rules.posted_in != "mph":
        speed, other = other, speed
    return ANSWER["both-speeds"].format(speed=speed, other=other)
