"""Checks of scenarios: every path ends, every figure is computed, every choice rests on a line.

The moments and ends must form a graph without loops in which the start leads everywhere. The best choices
must lead from the start to a safe end.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from forty_paces.authoring.checks.lessons import lines_by_owner, unknown_line
from forty_paces.authoring.documents import Loc, ParsedRecord
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.lesson import TaughtList
from forty_paces.authoring.models.scenario import Outcome, Scenario
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.scenario_figures import (
    FIGURE_KINDS,
    Computation,
    FigureKind,
    NoFigure,
    computed,
    scenario_scene,
)
from forty_paces.geometry.scene import Scene

SLOT = re.compile(r"\{([^{}]*)\}")
TYPED = re.compile(r"\d[\d,.]*(?: |-)?(?:feet|foot|ft|yards?|yd|meters?|m|seconds?|sec|s|mph|km/h)\b")
"""A length, a time in seconds or a speed, which the engine computes. Minutes and hours are quoted."""

CHOICES = range(2, 5)


def check_scenarios(draft: ParsedContent) -> Iterable[Finding]:
    """Findings about scenarios and what they refer to."""
    known = lines_by_owner(draft)
    for filed in draft.scenarios:
        yield from _names(filed)
        yield from _pointers(filed, draft, known)
        yield from _choices(filed)
        yield from _graph(filed)
        yield from _figures(filed, draft)
        yield from _texts(filed)


def _names(filed: ParsedRecord[Scenario]) -> Iterator[Finding]:
    scenario = filed.record
    places: list[tuple[Loc, str]] = []
    places += [(("moments", number), moment.id) for number, moment in enumerate(scenario.moments)]
    places += [(("ends", number), end.id) for number, end in enumerate(scenario.ends)]
    yield from _twice(filed, places, "moments and ends")
    yield from _twice(filed, [(("figures", n), one.id) for n, one in enumerate(scenario.figures)], "figures")
    for number, moment in enumerate(scenario.moments):
        choices = [(("moments", number, "choices", n), one.id) for n, one in enumerate(moment.choices)]
        yield from _twice(filed, choices, "choices of this moment")


def _twice(filed: ParsedRecord[Scenario], named: Iterable[tuple[Loc, str]], among: str) -> Iterator[Finding]:
    first: dict[str, Loc] = {}
    for loc, name in named:
        if name in first:
            line = filed.document.place(first[name]).line
            wrong = f'the id "{name}" is used twice among the {among}'
            fix = f"give this one a name of its own; the other stands in line {line}"
            yield filed.document.finding((*loc, "id"), wrong, fix=fix)
        first.setdefault(name, loc)


def _pointers(
    filed: ParsedRecord[Scenario], draft: ParsedContent, known: Mapping[str, frozenset[str]]
) -> Iterator[Finding]:
    scenario, document = filed.record, filed.document
    owners = draft.names("procedure") | {name.value for name in TaughtList}
    for number, name in enumerate(scenario.lines_of):
        if name not in owners:
            wrong = f'there is no procedure "{name}"'
            yield document.finding(("lines_of", number), wrong, fix=name_one_of(name, owners))
    if scenario.scene is not None and scenario.scene not in draft.names("scene"):
        wrong = f'there is no scene "{scenario.scene}"'
        yield document.finding(("scene",), wrong, fix=name_one_of(scenario.scene, draft.names("scene")))
    if scenario.visibility is not None and scenario.scene is None:
        wrong = "visibility changes the light of a scene, and the scenario names none"
        yield document.finding(("visibility",), wrong, fix="name the scene, or leave visibility out")
    for n, moment in enumerate(scenario.moments):
        for m, choice in enumerate(moment.choices):
            loc: Loc = ("moments", n, "choices", m, "step")
            yield from unknown_line(document, loc, choice.step, scenario.lines_of, known)


def _choices(filed: ParsedRecord[Scenario]) -> Iterator[Finding]:
    for n, moment in enumerate(filed.record.moments):
        loc: Loc = ("moments", n, "choices")
        count, best = len(moment.choices), [choice.best for choice in moment.choices]
        if count not in CHOICES:
            said = "no choice" if not count else "one choice only"
            wrong = f'the moment "{moment.id}" has {said}, so nothing is decided there'
            fix = "write two to four choices, or make it an end"
            where: Loc = loc if filed.document.node(loc) is not None else ("moments", n)
            yield filed.document.finding(where, wrong, fix=fix, rule="path-ends")
        elif best.count(True) != 1:
            said = "no best choice" if True not in best else f"{best.count(True)} best choices"
            wrong = f'the moment "{moment.id}" has {said}'
            yield filed.document.finding(loc, wrong, fix="write best: yes on one of them", rule="best-path")
        seen: set[str] = set()
        for m, choice in enumerate(moment.choices):
            plain = " ".join(re.findall(r"[a-z0-9]+", choice.do.lower()))
            if plain in seen:
                wrong = f'the choice "{choice.do}" is offered twice'
                fix = "write another thing that a driver could do"
                yield filed.document.finding((*loc, m, "do"), wrong, fix=fix, rule="distinct-choice")
            seen.add(plain)


def _graph(filed: ParsedRecord[Scenario]) -> Iterator[Finding]:
    """Choices that lead nowhere, parts that nothing leads to, and choices that lead back."""
    scenario, document = filed.record, filed.document
    moments = {moment.id: n for n, moment in reversed(list(enumerate(scenario.moments)))}
    ends = {end.id: n for n, end in reversed(list(enumerate(scenario.ends)))}
    places = {*moments, *ends}
    if scenario.start not in moments:
        wrong = f'the start "{scenario.start}" is no moment of this scenario'
        yield document.finding(("start",), wrong, fix=name_one_of(scenario.start, moments), rule="path-ends")
    lost = False
    for n, moment in enumerate(scenario.moments):
        for m, choice in enumerate(moment.choices):
            if choice.to not in places:
                lost = True
                wrong = f'this choice leads to "{choice.to}", which is no moment and no end'
                fix = name_one_of(choice.to, places)
                yield document.finding(("moments", n, "choices", m, "to"), wrong, fix=fix, rule="path-ends")
    if scenario.start not in moments or lost:
        return  # what follows would be reported because of it
    reached, loops = _walk(scenario)
    for n, m, back in loops:
        wrong = f'this choice leads back to "{back}", so a path need never end'
        fix = "lead on to a later moment, to an end, or to a moment of its own"
        yield document.finding(("moments", n, "choices", m, "to"), wrong, fix=fix, rule="path-ends")
    for key, found in (("moments", moments), ("ends", ends)):
        for name, number in sorted(found.items(), key=lambda one: one[1]):
            if name not in reached:
                wrong = f'no choice leads to "{name}"'
                fix = "lead a choice to it, or delete it"
                yield document.finding((key, number, "id"), wrong, fix=fix, rule="path-ends")
    if not loops:
        yield from _best_end(filed, moments)


def _best_end(filed: ParsedRecord[Scenario], moments: Mapping[str, int]) -> Iterator[Finding]:
    scenario = filed.record
    path = scenario.best_path()
    if not path or path[-1][1].to in moments:
        return  # a moment without a best choice has its own finding
    last, choice = path[-1]
    end = next(end for end in scenario.ends if end.id == choice.to)
    if end.outcome is not Outcome.SAFE:
        loc: Loc = ("moments", moments[last.id], "choices", last.choices.index(choice), "to")
        wrong = f'the best choices lead to "{end.id}", whose outcome is {end.outcome}'
        yield filed.document.finding(loc, wrong, fix="lead them to an end that is safe", rule="best-path")


def _walk(scenario: Scenario) -> tuple[set[str], list[tuple[int, int, str]]]:
    """What can be reached from the start, and each choice that leads back to a moment on its own path."""
    numbers = {moment.id: n for n, moment in reversed(list(enumerate(scenario.moments)))}
    reached: set[str] = {scenario.start}
    loops: list[tuple[int, int, str]] = []
    path: list[tuple[str, int]] = [(scenario.start, 0)]
    while path:
        name, m = path.pop()
        choices = scenario.moments[numbers[name]].choices if name in numbers else ()
        if m >= len(choices):
            continue
        path.append((name, m + 1))
        to = choices[m].to
        if any(to == before for before, _ in path):
            loops.append((numbers[name], m, to))
        elif to not in reached:
            reached.add(to)
            path.append((to, 0))
    return reached, loops


def _figures(filed: ParsedRecord[Scenario], draft: ParsedContent) -> Iterator[Finding]:
    scenario, document = filed.record, filed.document
    names = [figure.id for figure in scenario.figures]
    for n, moment in enumerate(scenario.moments):
        for m, choice in enumerate(moment.choices):
            loc: Loc = ("moments", n, "choices", m, "beside_traffic")
            figure = next((one for one in scenario.figures if one.id == choice.beside_traffic), None)
            if choice.beside_traffic is not None and figure is None:
                wrong = f'there is no figure "{choice.beside_traffic}"'
                yield document.finding(loc, wrong, fix=name_one_of(choice.beside_traffic, names))
            elif figure is not None and FIGURE_KINDS[figure.compute] is not FigureKind.NEEDED_TIME:
                wrong = f'the figure "{figure.id}" is no walking time'
                yield document.finding(loc, wrong, fix="name a figure that computes walk or walk-out")
    for n, name in enumerate(scenario.rules):
        if name not in draft.names("rule set"):
            wrong = f'there is no rule set "{name}"'
            yield document.finding(("rules", n), wrong, fix=name_one_of(name, draft.names("rule set")))
    wanted = draft.fleet.record.rules if draft.fleet is not None else None
    if wanted is not None and not scenario.holds_under(wanted):
        wrong = f'the rule set in force is "{wanted}", so this scenario is not shown'
        fix = "tell the story under it and name it here, or leave the scenario as it is"
        yield document.finding(("rules",), wrong, fix=fix, rule="computed-figure", advice=True)
        return
    rules = next((one.record.rule_set for one in draft.rules if one.record.id == wanted), None)
    scene = next((one.record.scene() for one in draft.scenes if one.record.id == scenario.scene), None)
    if rules is None or (scenario.scene is not None and scene is None):
        return  # reported elsewhere
    values: dict[str, Computation] = {}
    lit: Scene | None = scenario_scene(scenario, scene) if scene is not None else None
    for n, figure in enumerate(scenario.figures):
        try:
            values.setdefault(figure.id, computed(rules, figure, lit))
        except NoFigure as error:
            wrong = f'the figure "{figure.id}" cannot be computed: {error}'
            fix = "give it what it lacks, or let the story do without it"
            yield document.finding(("figures", n, "compute"), wrong, fix=fix, rule="computed-figure")
    yield from _claims(filed, values)


def _claims(filed: ParsedRecord[Scenario], values: Mapping[str, Computation]) -> Iterator[Finding]:
    names = [figure.id for figure in filed.record.figures]
    for n, figure in enumerate(filed.record.figures):
        for key in ("less_than", "at_least"):
            other = getattr(figure, key)
            loc: Loc = ("figures", n, key)
            if other is not None and other not in names:
                wrong = f'there is no figure "{other}"'
                yield filed.document.finding(loc, wrong, fix=name_one_of(other, names))
            elif other in values and figure.id in values:
                mine, its = values[figure.id].value, values[other].value
                if (mine >= its) if key == "less_than" else (mine < its):
                    said = "below" if key == "less_than" else "at least"
                    wrong = f"the figure is {mine:.1f}, and the story needs it {said} {its:.1f}"
                    fix = "choose another scene, light or side, or tell another story"
                    yield filed.document.finding(loc, wrong, fix=fix, rule="computed-figure")


def _texts(filed: ParsedRecord[Scenario]) -> Iterator[Finding]:
    scenario, document = filed.record, filed.document
    names = {figure.id for figure in scenario.figures}
    used = {choice.beside_traffic for moment in scenario.moments for choice in moment.choices}
    used |= {one for figure in scenario.figures for one in (figure.less_than, figure.at_least)}
    for loc, text in scenario.texts():
        for slot in SLOT.findall(text):
            used.add(slot)
            if slot not in names:
                wrong = f'there is no figure "{slot}"'
                yield document.finding(loc, wrong, fix=name_one_of(slot, names), rule="computed-figure")
        plain = SLOT.sub("", text)
        if "{" in plain or "}" in plain:
            wrong = "a brace stands alone"
            yield document.finding(loc, wrong, fix="write the name of a figure between two braces")
        for typed in TYPED.findall(plain):
            wrong = f'"{typed.strip()}" is typed by hand, and the engine can compute it'
            fix = "add a figure, and write its name in braces"
            yield document.finding(loc, wrong, fix=fix, rule="computed-figure")
    for n, figure in enumerate(scenario.figures):
        if figure.id not in used:
            wrong = f'no text names the figure "{figure.id}"'
            yield document.finding(("figures", n, "id"), wrong, fix="name it in braces, or delete it")
