"""Checks that values given in two places agree.

Rule files against their worked examples, steps against their measures, scenes and
carrier against the rule set in force, conditions against each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.procedure import Procedure, Unit
from forty_paces.authoring.models.record import Condition, OwnCondition, words_of_condition
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.worked_examples import example_findings
from forty_paces.geometry.placement import streams
from forty_paces.geometry.solver import needed_ft
from forty_paces.geometry.stopping import CannotStop

_UNIT_AS_WRITTEN: dict[Unit, str] = {
    Unit.FEET: r"ft|feet",
    Unit.INCHES: r"in|inch(?:es)?",
    Unit.MILES_PER_HOUR: r"mph|miles per hour",
    Unit.PSI: r"psi",
    Unit.SECONDS: r"s|sec|seconds?",
    Unit.MINUTES: r"min|minutes?",
    Unit.HOURS: r"h|hours?",
    Unit.DAYS: r"days?",
    Unit.MILES: r"mi|miles?",
    Unit.DEGREES_F: r"°F|degrees?",
    Unit.PERCENT: r"%|percent",
    Unit.METERS: r"m|meters?",
    Unit.CENTIMETERS: r"cm",
    Unit.MILLIMETERS: r"mm",
    Unit.KILOMETERS: r"km",
    Unit.KILOMETERS_PER_HOUR: r"km/h",
    Unit.KILOPASCALS: r"kPa",
    Unit.DEGREES_C: r"°C|degrees?",
}


def check_worked_examples(draft: ParsedContent) -> Iterator[Finding]:
    """Every worked example of a rule file agrees with the file's figures."""
    for filed in draft.rules:
        yield from example_findings(filed)


def check_measures(draft: ParsedContent) -> Iterator[Finding]:
    """The text of a step and its measure give the same figure."""
    for filed in draft.procedures:
        for i, block in enumerate(filed.record.blocks):
            for j, step in enumerate(block.steps):
                pattern = _UNIT_AS_WRITTEN.get(step.measure.unit) if step.measure is not None else None
                if step.measure is None or pattern is None:
                    continue
                quoted = re.findall(
                    rf"(\d+(?:,\d{{3}})*(?:\.\d+)?)(?=\s?(?:{pattern})\b|\s?(?:to|or|and|[-–])\s?\d)", step.do
                )
                figures = [float(figure.replace(",", "")) for figure in quoted]
                if figures and step.measure.value not in figures:
                    loc: Loc = ("blocks", i, "steps", j, "measure", "value")
                    unit = step.measure.unit.value
                    wrong = (
                        f"the measure says {step.measure.value:g} {unit}, the step says {quoted[0]} {unit}"
                    )
                    line = filed.document.place((*loc[:4], "do"))
                    fix = f"correct the one that is wrong; the step is at {line}"
                    yield filed.document.finding(loc, wrong, fix=fix)


def check_carrier_rules(draft: ParsedContent) -> Iterator[Finding]:
    """The rule set named in fleet.yml exists."""
    if draft.fleet is None:
        return
    wanted, known = draft.fleet.record.rules, draft.names("rule set")
    if wanted not in known:
        loc: Loc = ("rules",) if draft.fleet.document.tree.entry("rules") is not None else ()
        wrong = f'the rule set "{wanted}" does not exist'
        fix = f"{name_one_of(wanted, known)}; rule sets are files in content/rules"
        yield draft.fleet.document.finding(loc, wrong, fix=fix)


def check_scenes(draft: ParsedContent) -> Iterator[Finding]:
    """Every scene has a result under the rule set in force: known visibility class, and vehicles can stop."""
    in_force = draft.rules_in_force()
    if in_force is None:
        return
    classes = {entry.id for entry in in_force.visibility}
    for scene in draft.scenes:
        named = scene.record.visibility
        if named is not None and named not in classes:
            wrong = f'the rule set "{in_force.id}" has no visibility class "{named}"'
            yield scene.document.finding(("visibility",), wrong, fix=name_one_of(named, classes))
            continue
        try:
            road = scene.record.scene()
            for toward in streams(road.kind):
                needed_ft(in_force.rule_set, road, toward)
        except CannotStop as refusal:
            fix = "make the grade less steep or the surface better: this scene has no answer"
            yield scene.document.finding(("grades",), str(refusal), fix=fix)


def check_traffic_side(draft: ParsedContent) -> Iterator[Finding]:
    """Traffic in every scene keeps to the side of the rule set in force; advice, since scenes are shared."""
    in_force = draft.rules_in_force()
    if in_force is None:
        return
    for scene in draft.scenes:
        keeps = scene.record.section.keeps
        if keeps != in_force.traffic_keeps:
            wrong = (
                f'traffic keeps {keeps} here, and {in_force.traffic_keeps} under the rule set "{in_force.id}"'
            )
            fix = (
                f"write keeps: {in_force.traffic_keeps} in section, exchange left and right in every turn, "
                "and change the sign of every offset_ft"
            )
            yield scene.document.finding(
                ("section", "keeps"), wrong, fix=fix, rule="traffic-side", advice=True
            )


def check_conditions(draft: ParsedContent) -> Iterator[Finding]:
    """No line has two conditions that exclude each other."""
    for filed in draft.procedures:
        for loc, when in _conditions(filed.record):
            for condition in when:
                other = next((one for one in when if one == _opposite(condition)), None)
                if other is not None:
                    both = f"{words_of_condition(condition)} and {words_of_condition(other)}"
                    wrong = f"no vehicle has {both} at once, so nobody would ever see this line"
                    yield filed.document.finding(loc, wrong, fix="keep one of the two conditions")
                    break


_PAIRS = (
    (Condition.AIR_BRAKES, Condition.HYDRAULIC_BRAKES),
    (Condition.ANTI_LOCK, Condition.NO_ANTI_LOCK),
    (Condition.MANUAL_CLUTCH, Condition.AUTOMATIC),
    (Condition.TRAILER, Condition.NO_TRAILER),
    (Condition.RETARDER, Condition.NO_RETARDER),
    (Condition.HAZARDOUS_CARGO, Condition.NO_HAZARDOUS_CARGO),
    (Condition.PLACARDED, Condition.NOT_PLACARDED),
    (Condition.HAZARDOUS_CARGO_OR_GAS, Condition.NO_HAZARDOUS_CARGO_OR_GAS),
    (Condition.PASSENGERS, Condition.NO_PASSENGERS),
)
_OPPOSITE = {one: other for pair in _PAIRS for one, other in (pair, pair[::-1])}


def _opposite(condition: Condition | OwnCondition) -> str | None:
    """The condition that excludes this one; None for a kind of vehicle, which has none."""
    if isinstance(condition, OwnCondition):
        return f"no-{condition.of}" if condition.holds else condition.of
    return _OPPOSITE.get(condition)


def _conditions(procedure: Procedure) -> Iterator[tuple[Loc, tuple[Condition | OwnCondition, ...]]]:
    yield ("when",), procedure.when
    for part in ("by_heart", "never", "report", "roll_again"):
        for i, line in enumerate(getattr(procedure, part)):
            yield (part, i, "when"), line.when
    for i, block in enumerate(procedure.blocks):
        for j, step in enumerate(block.steps):
            yield ("blocks", i, "steps", j, "when"), step.when
            for k, line in enumerate(step.if_not.lines if step.if_not else ()):
                yield ("blocks", i, "steps", j, "if_not", "lines", k, "when"), line.when


def check_symbols(draft: ParsedContent) -> Iterator[Finding]:
    """The pictogram of every tile is available."""
    if draft.symbols is None:
        return
    for filed in draft.procedures:
        if filed.record.symbol not in draft.symbols:
            wrong = f'there is no pictogram "{filed.record.symbol}"'
            fix = name_one_of(filed.record.symbol, draft.symbols)
            yield filed.document.finding(("symbol",), wrong, fix=fix)
