"""Models of content/scenarios/*.yml: an event told in moments, each with choices and what follows from them.

The field descriptions are also the text of the authors' manual.

No distance or time that can be computed is written in a scenario. A text names a figure in braces,
``{walk}``, and the figure says what is computed, on which scene; the rule set in force gives the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated

from pydantic import Field, StringConstraints

from forty_paces.authoring.models.lesson import Brief, Short, StringId
from forty_paces.authoring.models.record import Day, Id, Record, YesNo
from forty_paces.geometry.records import Toward

Telling = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=330)]
"""A text of two or three sentences that one projected screen holds with its choices."""


class Trip(StrEnum):
    """The part of a trip that a scenario is about."""

    BEFORE = "before"
    DURING = "during"
    AFTER = "after"


class Outcome(StrEnum):
    """How a scenario can end."""

    SAFE = "safe"
    LUCKY = "lucky"
    HARM = "harm"


class Computed(StrEnum):
    """What the engine computes for a figure."""

    SPEED = "speed"
    ALONE = "alone"
    ALONE_TIME = "alone-time"
    NEEDED = "needed"
    RULE_DISTANCE = "rule-distance"
    RULE_WARNING = "rule-warning"
    DISTANCE = "distance"
    WARNING = "warning"
    WALK = "walk"
    WALK_OUT = "walk-out"
    LONGEST_WALK = "longest-walk"
    GRADE_STOP = "grade-stop"
    TRUCK_STOP = "truck-stop"
    TRAVEL = "travel"


class Figure(Record):
    """One figure of a scenario, computed by the engine under the rule set in force."""

    id: Id = Field(description="The name by which texts refer to it, in braces.")
    compute: Computed = Field(
        description="speed: the scene's posted speed, or speed_mph. alone: from how far drivers see the "
        "vehicle with no device out. alone-time: the seconds that leaves them at the posted speed. needed: "
        "what they need to stop. rule-distance, rule-warning: the far device where nothing moves it, and the "
        "warning that it gives. distance, warning: the same as the engine places it. walk: seconds to walk "
        "out and back to all devices. walk-out: seconds to walk to the far device of that side. "
        "longest-walk: as walk, with that device as far out as the rule lets it stand. grade-stop: stopping "
        "sight distance at speed_mph on grade_pct. truck-stop: a loaded truck's stopping distance at "
        "speed_mph, dry and level. travel: the distance covered in seconds at speed_mph."
    )
    toward: Toward = Field(
        default=Toward.BEHIND, description="The side that drivers come from: behind or ahead."
    )
    speed_mph: float | None = Field(
        default=None,
        gt=0,
        le=80,
        allow_inf_nan=False,
        description="Speed for speed, grade-stop, truck-stop, travel.",
    )
    grade_pct: float | None = Field(
        default=None, ge=-12, le=12, allow_inf_nan=False, description="Grade for grade-stop, down below zero."
    )
    seconds: float | None = Field(
        default=None, gt=0, le=600, allow_inf_nan=False, description="Seconds for travel."
    )
    less_than: Id | None = Field(
        default=None, description="A figure that this one must stay below, because the story says so."
    )
    at_least: Id | None = Field(
        default=None, description="A figure that this one must reach, because the story says so."
    )


class ScenarioChoice(Record):
    """One thing that the driver could do now."""

    id: Id = Field(description="Stable name of this choice within its moment.")
    do: Brief = Field(description="What the driver does, as he would say it. Plausible, never silly.")
    best: YesNo = Field(default=False, description="yes for the one best choice of the moment.")
    then: Telling = Field(
        description="What follows, with computed figures in braces. Two or three sentences."
    )
    to: Id = Field(description="The moment or end that follows.")
    step: StringId = Field(
        description="String id of the line that this choice keeps, or that it goes against."
    )
    beside_traffic: Id | None = Field(
        default=None, description="A figure in seconds: how long this choice keeps somebody beside traffic."
    )


class Moment(Record):
    """One question: what the driver meets, and what can be done."""

    id: Id = Field(description="Stable name of this moment within the scenario.")
    meets: Telling = Field(description="What the driver sees, hears or feels now.")
    ask: Brief = Field(default="What do you do next?", description="The question.")
    choices: tuple[ScenarioChoice, ...] = Field(
        default=(), max_length=4, description="Two to four choices, one of them the best."
    )
    why: Short = Field(description="Why the best choice is the best, for the debrief. One sentence.")


class End(Record):
    """One way in which the scenario can end."""

    id: Id = Field(description="Stable name of this end within the scenario.")
    outcome: Outcome = Field(
        description="safe: nobody was at risk for nothing. lucky: it went well, and could have gone "
        "otherwise. harm: somebody is hurt, or something is lost."
    )
    text: Telling = Field(description="How it ends, with computed figures in braces.")


class Scenario(Record):
    """The contents of a scenario file."""

    id: Id = Field(description="The file's name without .yml.")
    title: Brief = Field(description="What it is about; agrees with the light and weather of the scene.")
    position: int = Field(ge=1, le=99, description="Its place in the list of scenarios.")
    version: Annotated[str, Field(pattern=r"^[0-9]+\.[0-9]+$")] = Field(description="Such as 1.0.")
    effective: Day = Field(description="Taught in this form from this day.")
    trip: Trip = Field(description="The part of the trip that it is about: before, during or after.")
    minutes: int = Field(ge=5, le=90, description="Time to set aside, debrief included.")
    lines_of: Annotated[tuple[Id, ...], Field(min_length=1)] = Field(
        description="Procedures whose lines the choices rest on; also before-trip and after-event."
    )
    rules: tuple[Id, ...] = Field(
        default=(),
        description="Rule sets under which the story holds. Under any other it is not shown. Empty: all.",
    )
    scene: Id | None = Field(default=None, description="The road: a file in content/scenes.")
    visibility: Id | None = Field(
        default=None, description="A visibility class of the rule set, in place of the scene's own."
    )
    story: Telling = Field(description="Where the driver is, with what vehicle, in which weather.")
    figures: tuple[Figure, ...] = Field(default=(), description="The figures that the texts name.")
    start: Id = Field(description="The moment with which it begins.")
    moments: Annotated[tuple[Moment, ...], Field(min_length=1)] = Field(
        description="The moments, in any order; the start leads to all of them."
    )
    ends: Annotated[tuple[End, ...], Field(min_length=1)] = Field(description="The ends.")
    teacher: Short | None = Field(default=None, description="For the trainer: what to draw out.")

    def holds_under(self, rules: str) -> bool:
        """Whether the story holds under a rule set, by its id."""
        return not self.rules or rules in self.rules

    def texts(self) -> Iterator[tuple[tuple[str | int, ...], str]]:
        """Every text that may name a figure, with its path of keys and positions."""
        yield ("story",), self.story
        for number, moment in enumerate(self.moments):
            yield ("moments", number, "meets"), moment.meets
            yield ("moments", number, "why"), moment.why
            for place, choice in enumerate(moment.choices):
                yield ("moments", number, "choices", place, "do"), choice.do
                yield ("moments", number, "choices", place, "then"), choice.then
        for number, end in enumerate(self.ends):
            yield ("ends", number, "text"), end.text

    def best_path(self) -> tuple[tuple[Moment, ScenarioChoice], ...]:
        """The moments from the start by the best choices, as far as they lead; stops before a repetition."""
        moments = {moment.id: moment for moment in self.moments}
        path: list[tuple[Moment, ScenarioChoice]] = []
        at: str = self.start
        while at in moments and all(moment.id != at for moment, _ in path):
            best = next((choice for choice in moments[at].choices if choice.best), None)
            if best is None:
                break
            path.append((moments[at], best))
            at = best.to
        return tuple(path)
