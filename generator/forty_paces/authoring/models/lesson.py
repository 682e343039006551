"""Models of content/lessons/*.yml: the questions, examples and exercises of a lesson, in order.

The field descriptions are also the text of the authors' manual.

A lesson never repeats a procedure's text: every question refers to the line it teaches by
that line's string id (``tire-fire/blocks/get-out/steps/engine-off/do``), and the lesson
shows the line itself, so card and classroom agree. Distances are not written here either:
a placing example names a scene, and the answers are computed from it.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated

from pydantic import Field, StringConstraints, model_validator

from forty_paces.authoring.models.record import Day, Id, Record, Text

StringId = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*(/[a-z0-9]+([-_][a-z0-9]+)*)+$", max_length=200),
]
"""The stable id of a procedure's text, such as ``fog/by_heart/slow-down/do``."""

Short = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=170)]
"""A text that fits in two lines when projected."""

Brief = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=100)]
"""A choice or a short answer: one line when projected, two at most."""


class TaughtList(StrEnum):
    """A list whose lines can be taught like those of a procedure."""

    BEFORE_TRIP = "before-trip"
    AFTER_EVENT = "after-event"


class WrongChoice(Record):
    """A plausible mistake with its correction."""

    text: Brief = Field(description="The mistake as a driver would say it. Plausible, never silly.")
    correction: Short = Field(description="What it would do: names the danger, in one sentence.")


class Question(Record):
    """One question; the answer is hidden until the class has given its own."""

    id: Id = Field(description="Stable name of this question within the lesson.")
    cue: Short | None = Field(
        default=None, description="What the driver sees, hears or feels just now; shown above the question."
    )
    ask: Short = Field(description="The question. Must not contain its answer.")
    wrong: tuple[WrongChoice, ...] = Field(
        default=(),
        max_length=3,
        description="Up to three wrong choices. With none the class answers in its own words.",
    )
    answer: Brief = Field(description="The answer, in 100 characters or fewer.")
    why: Short = Field(description="The reason, in one sentence.")
    step: StringId = Field(
        description="String id of the line that this question teaches, of a procedure or of a list: "
        "fog/by_heart/low-beams/do, before-trip/cab/devices/right."
    )
    teacher: Text | None = Field(
        default=None, description="For the teacher only: what to draw out, what the page does not say."
    )
    pause_s: int = Field(
        default=20, ge=5, le=300, description="Seconds the class thinks before the answer is shown."
    )


class Recall(Record):
    """The closed-book opening of a lesson."""

    by_heart: tuple[Id, ...] = Field(
        default=(), description="Procedures whose by-heart box the class writes down from memory."
    )
    questions: tuple[Question, ...] = Field(default=(), description="Further closed-book questions.")

    @model_validator(mode="after")
    def _asks_something(self) -> Recall:
        if not self.by_heart and not self.questions:
            raise ValueError("the recall asks nothing; name a by-heart box or write a question")
        return self


class Walkthrough(Record):
    """One emergency from its cue to the finished line, with a question at each turn."""

    procedure: Id = Field(description="The procedure walked through.")
    story: Text = Field(
        description="Where the driver is, with what vehicle, in which weather. Two sentences."
    )
    questions: Annotated[tuple[Question, ...], Field(min_length=3)] = Field(
        description="Three or more, in the order of the event."
    )


class Example(Record):
    """A situation shown to the class fully solved, partly solved or unsolved."""

    id: Id = Field(description="Stable name of this example within the lesson.")
    title: Brief = Field(description="What it is about, a short phrase.")
    situation: Text = Field(description="The situation. Two or three sentences.")
    solved: int = Field(
        ge=0,
        description="How many of the first steps are shown solved: all if worked, none if an own attempt.",
    )
    steps: Annotated[tuple[Question, ...], Field(min_length=2, max_length=6)] = Field(
        description="The steps of the solution, each as a question with its answer and reason."
    )

    @model_validator(mode="after")
    def _solves_what_there_is(self) -> Example:
        if self.solved > len(self.steps):
            raise ValueError(
                f"solved is {self.solved}, but there are {len(self.steps)} steps; write fewer, or add steps"
            )
        return self


class PlacingExample(Record):
    """A placing example on a scene; its distances are computed from the scene."""

    id: Id = Field(description="Stable name of this example within the lesson.")
    scene: Id = Field(description="A file in content/scenes.")
    solved: int = Field(ge=0, le=4, description="How many devices are shown placed: 0 is an own attempt.")
    step: StringId = Field(description="String id of the procedure line that this example practises.")
    teacher: Text | None = Field(default=None, description="For the teacher only.")


class MistakenFor(Record):
    """Another emergency that this one can be mistaken for."""

    procedure: Id = Field(description="The emergency it is mistaken for.")
    correction: Short = Field(description="How to tell them apart, or what the mistake would cost.")


class Mixed(Record):
    """A cue from which the class names the emergency, before it says what to do."""

    id: Id = Field(description="Stable name of this item within the lesson.")
    cue: Short = Field(description="What the driver sees, hears or feels. Does not name the emergency.")
    procedure: Id = Field(description="The emergency it is.")
    mistaken_for: Annotated[tuple[MistakenFor, ...], Field(min_length=2, max_length=3)] = Field(
        description="Two or three emergencies it could be taken for."
    )
    why: Short = Field(description="What in the cue settles it.")
    step: StringId = Field(description="String id of the line to do first.")
    teacher: Text | None = Field(default=None, description="For the teacher only.")


class Practice(Record):
    """An exercise on foot or in the cab, card in hand."""

    id: Id = Field(description="Stable name of this exercise within the lesson.")
    do: Text = Field(description="What the learner does, verb first.")
    floor: Text | None = Field(default=None, description="Marks on the floor or yard that it needs.")
    pass_mark: Text = Field(description="What counts as done right; something the teacher can see or hear.")


class Returns(Record):
    """What is asked again weeks later. By-heart boxes are always asked again, without being listed."""

    week: Annotated[tuple[Id, ...], Field(min_length=1)] = Field(
        description="Ids of questions, placing examples and mixed items asked again after about a week."
    )
    month: Annotated[tuple[Id, ...], Field(min_length=1)] = Field(
        description="Ids asked again after four weeks or more."
    )


class Lesson(Record):
    """The contents of a lesson file."""

    id: Id = Field(description="The file's name without .yml.")
    title: Brief = Field(description="What the lesson is about.")
    family: Id = Field(description="The procedure family it teaches, such as tires, skids or fire.")
    position: int = Field(ge=1, le=99, description="Its place in the list of lessons.")
    version: Annotated[str, Field(pattern=r"^[0-9]+\.[0-9]+$")] = Field(description="Such as 1.0.")
    effective: Day = Field(description="Taught in this form from this day.")
    minutes: int = Field(ge=5, le=240, description="Time to set aside for the first session.")
    procedures: Annotated[tuple[Id, ...], Field(min_length=1)] = Field(description="Procedures it teaches.")
    lists: tuple[TaughtList, ...] = Field(
        default=(), description="Lists whose lines it teaches besides: before-trip, after-event."
    )
    goals: Annotated[tuple[Short, ...], Field(min_length=1, max_length=4)] = Field(
        description="What a driver can do afterwards, verb first; each can be seen or heard."
    )
    need: tuple[Brief, ...] = Field(default=(), description="What to bring. Empty: nothing.")
    recall: Recall = Field(description="The closed-book opening.")
    walkthrough: Walkthrough | None = Field(default=None, description="One emergency, cue to finished line.")
    examples: tuple[Example, ...] = Field(
        default=(), description="Worked first, then part-done, then own attempts."
    )
    placing: tuple[PlacingExample, ...] = Field(
        default=(),
        description="Placing examples on scenes: solved, then part-solved, then own attempts.",
    )
    mixed: Annotated[tuple[Mixed, ...], Field(min_length=1)] = Field(
        description="Which emergency is this? Items that mix this family with others."
    )
    practice: Annotated[tuple[Practice, ...], Field(min_length=1)] = Field(
        description="Exercises done on foot or in the cab, card in hand."
    )
    returns: Returns = Field(description="What is asked again after a week and after a month.")
    teacher: Text | None = Field(default=None, description="For the teacher, before the lesson.")

    def questions(self) -> Iterator[tuple[tuple[str | int, ...], Question]]:
        """Every question in lesson order, with its path of keys and positions."""
        for number, question in enumerate(self.recall.questions):
            yield ("recall", "questions", number), question
        for number, question in enumerate(self.walkthrough.questions if self.walkthrough else ()):
            yield ("walkthrough", "questions", number), question
        for place, example in enumerate(self.examples):
            for number, question in enumerate(example.steps):
                yield ("examples", place, "steps", number), question
