"""Prepare a scenario for display: figures filled in, choices in random order, every part numbered.

The numbers are those of the printed booklet. The first question is 1; what follows from a choice, the other
questions and the ends are numbered at random, so that nobody reads on by accident. The same scenario gives
the same numbers and letters in every build.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.scenario import End, Moment, Scenario, ScenarioChoice
from forty_paces.authoring.scenario_figures import Computation, FigureKind, computed, scenario_scene
from forty_paces.geometry.records import RuleSet
from forty_paces.messages.classroom import OUTCOMES, SCENARIO, TRIPS
from forty_paces.messages.quantities import (
    length,
    length_down,
    length_up,
    posted_speed,
    seconds_down,
)
from forty_paces.outputs.classroom.lesson_view import LETTERS, LessonContext, StepLine
from forty_paces.outputs.classroom.seeded_random import SeededRandom


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """One choice of a question."""

    letter: str
    number: int
    "Where the booklet tells what follows."
    do: str
    then: str
    to: str
    "Id of the question or end that follows."
    to_number: int
    best: bool
    line: StepLine
    seconds: int
    "On foot beside traffic."


@dataclass(frozen=True, slots=True)
class MomentView:
    """One question with its choices in the order of their letters."""

    id: str
    number: int
    meets: str
    ask: str
    why: str
    choices: tuple[ChoiceView, ...]

    @property
    def best(self) -> ChoiceView:
        """The best choice."""
        return next(choice for choice in self.choices if choice.best)


@dataclass(frozen=True, slots=True)
class EndView:
    """One end."""

    id: str
    number: int
    outcome: str
    "Id of the outcome."
    outcome_words: str
    text: str


@dataclass(frozen=True, slots=True)
class ScenarioView:
    """A scenario as shown and printed."""

    scenario: Scenario
    trip: str
    story: str
    moments: tuple[MomentView, ...]
    "The start first."
    ends: tuple[EndView, ...]

    @property
    def id(self) -> str:
        """The scenario's id."""
        return self.scenario.id

    @property
    def title(self) -> str:
        """The scenario's title."""
        return self.scenario.title

    def best_path(self) -> tuple[MomentView, ...]:
        """The questions from the start by the best choices."""
        moments = {moment.id: moment for moment in self.moments}
        return tuple(moments[moment.id] for moment, _ in self.scenario.best_path())

    def best_end(self) -> EndView:
        """The end to which the best choices lead."""
        return next(end for end in self.ends if end.id == self.best_path()[-1].best.to)

    def for_script(self) -> dict[str, Any]:
        """What the page's script needs, as plain values for JSON."""
        return {
            "id": self.id,
            "start": self.scenario.start,
            "words": dict(SCENARIO),
            "moments": {moment.id: _moment_data(moment) for moment in self.moments},
            "ends": [end.id for end in self.ends],
        }


def scenario_views(library: Library, lookup: LessonContext) -> tuple[ScenarioView, ...]:
    """Every scenario that holds under the rule set in force, in order."""
    rules = library.rules[library.fleet.rules].rule_set
    return tuple(
        scenario_view(scenario, library, lookup, rules)
        for scenario in library.scenarios.values()
        if scenario.holds_under(rules.id)
    )


def scenario_view(
    scenario: Scenario, library: Library, lookup: LessonContext, rules: RuleSet
) -> ScenarioView:
    """The scenario with its figures under the rule set."""
    scene = library.scenes[scenario.scene] if scenario.scene is not None else None
    lit = scenario_scene(scenario, scene) if scene is not None else None
    values = {figure.id: computed(rules, figure, lit) for figure in scenario.figures}
    figures = _StoryFigures(rules, values)
    numbers = _numbers(scenario)
    ordered = sorted(scenario.moments, key=lambda moment: moment.id != scenario.start)
    return ScenarioView(
        scenario=scenario,
        trip=TRIPS[scenario.trip],
        story=figures.fill(scenario.story),
        moments=tuple(_moment(scenario, moment, figures, numbers, lookup) for moment in ordered),
        ends=tuple(_end(end, figures, numbers) for end in scenario.ends),
    )


@dataclass(frozen=True, slots=True)
class _StoryFigures:
    """The figures of a scenario, to be filled into its texts."""

    rules: RuleSet
    values: Mapping[str, Computation]

    def fill(self, text: str) -> str:
        for name, value in self.values.items():
            text = text.replace(f"{{{name}}}", figure_words(self.rules, value))
        return text

    def seconds(self, name: str | None) -> int:
        return round(self.values[name].value) if name is not None else 0


def figure_words(rules: RuleSet, computation: Computation) -> str:
    """A figure in the rule set's unit: what drivers need rounded up, what they get rounded down."""
    value = computation.value
    match computation.kind:
        case FigureKind.SPEED:
            return posted_speed(rules, value)
        case FigureKind.NEEDED_LENGTH:
            return length_up(rules, value)
        case FigureKind.GIVEN_LENGTH:
            return length_down(rules, value)
        case FigureKind.PLACE:
            return length(rules, value)
        case FigureKind.NEEDED_TIME:
            return SCENARIO["seconds"].format(n=round(value))
        case FigureKind.GIVEN_TIME:
            return seconds_down(value)


def _numbers(scenario: Scenario) -> dict[tuple[str, str], int]:
    """The number of each question, end and choice: (id, '') or (id, id of the choice)."""
    keys = [(moment.id, choice.id) for moment in scenario.moments for choice in moment.choices]
    keys += [(moment.id, "") for moment in scenario.moments if moment.id != scenario.start]
    keys += [(end.id, "") for end in scenario.ends]
    shuffled = SeededRandom.named("scenario", scenario.id).shuffled(keys)
    return {(scenario.start, ""): 1} | {key: number for number, key in enumerate(shuffled, start=2)}


def _moment(
    scenario: Scenario,
    moment: Moment,
    figures: _StoryFigures,
    numbers: Mapping[tuple[str, str], int],
    lookup: LessonContext,
) -> MomentView:
    order = _order(scenario, moment)
    return MomentView(
        id=moment.id,
        number=numbers[moment.id, ""],
        meets=figures.fill(moment.meets),
        ask=moment.ask,
        why=figures.fill(moment.why),
        choices=tuple(
            _choice(letter, moment, choice, figures, numbers, lookup)
            for letter, choice in zip(LETTERS, order, strict=False)
        ),
    )


def _order(scenario: Scenario, moment: Moment) -> tuple[ScenarioChoice, ...]:
    """The choices in random order, with the best in turn at each place, so that no letter is a good guess."""
    names = [one.id for one in scenario.moments]
    places = SeededRandom.named("scenario", scenario.id).shuffled(range(len(names)))
    place = places[names.index(moment.id)] % len(moment.choices)
    others = [choice for choice in moment.choices if not choice.best]
    best = next(choice for choice in moment.choices if choice.best)
    order = list(SeededRandom.named("scenario", scenario.id, moment.id).shuffled(others))
    return (*order[:place], best, *order[place:])


def _choice(
    letter: str,
    moment: Moment,
    choice: ScenarioChoice,
    figures: _StoryFigures,
    numbers: Mapping[tuple[str, str], int],
    lookup: LessonContext,
) -> ChoiceView:
    return ChoiceView(
        letter=letter,
        number=numbers[moment.id, choice.id],
        do=figures.fill(choice.do),
        then=figures.fill(choice.then),
        to=choice.to,
        to_number=numbers[choice.to, ""],
        best=choice.best,
        line=lookup.line(choice.step),
        seconds=figures.seconds(choice.beside_traffic),
    )


def _end(end: End, figures: _StoryFigures, numbers: Mapping[tuple[str, str], int]) -> EndView:
    words = OUTCOMES[end.outcome]
    return EndView(end.id, numbers[end.id, ""], end.outcome, words, figures.fill(end.text))


def entries(view: ScenarioView) -> Iterator[tuple[int, str, Any]]:
    """Number, kind and part of everything that the booklet prints, in the order of the numbers."""
    parts: list[tuple[int, str, Any]] = [(moment.number, "moment", moment) for moment in view.moments]
    parts += [(choice.number, "choice", choice) for moment in view.moments for choice in moment.choices]
    parts += [(end.number, "end", end) for end in view.ends]
    yield from sorted(parts, key=lambda part: part[0])


def _moment_data(moment: MomentView) -> dict[str, Any]:
    return {
        "number": moment.number,
        "why": moment.why,
        "choices": [
            {
                "do": choice.do,
                "to": choice.to,
                "best": choice.best,
                "seconds": choice.seconds,
                "number": choice.number,
                "line": choice.line.text,
                "where": choice.line.where,
                "key": choice.line.key,
            }
            for choice in moment.choices
        ],
    }
