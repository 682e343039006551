"""Records of a lesson's slides: questions with separate answers, in three sessions.

The projected page, the teacher's notes and the recall cards are all rendered from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.messages.classroom import LESSON
from forty_paces.outputs.common.procedure_view import ProcedureView


class Session(StrEnum):
    """When a slide is shown."""

    FIRST = "first"
    WEEK = "week"
    MONTH = "month"


def session_titles() -> dict[Session, str]:
    """What each session is called, in the language in force."""
    return {session: LESSON[f"session-{session}"] for session in Session}


class SlideKind(StrEnum):
    """The purpose of a slide, which determines its layout in the templates."""

    OPENING = "opening"
    BY_HEART = "by-heart"
    QUESTION = "question"
    STORY = "story"
    SOLVED = "solved"
    PLACING = "placing"
    WHICH = "which"
    PRACTICE = "practice"
    CLOSING = "closing"


@dataclass(frozen=True, slots=True)
class StepLine:
    """The line of a procedure that an answer refers to."""

    key: str
    "Its string id."
    text: str
    where: str
    "Such as 'TRE1 Steer tire blows, by heart, line 2'."


@dataclass(frozen=True, slots=True)
class Option:
    """One of the choices of a question."""

    letter: str
    text: str
    right: bool
    correction: str
    "What is wrong with it; empty for the right choice."


@dataclass(frozen=True, slots=True)
class Solved:
    """A solved step."""

    ask: str
    answer: str
    why: str


@dataclass(frozen=True, slots=True)
class Reveal:
    """An answer, hidden until it is opened."""

    label: str
    answer: str
    why: str
    line: StepLine | None
    options: tuple[Option, ...] = ()
    "The choices again, with their corrections."
    drawing: str = ""
    "SVG of the answer."
    devices: tuple[Solved, ...] = ()
    "The devices of the answer, with reasons."


@dataclass(frozen=True, slots=True)
class Slide:
    """One slide, as projected."""

    id: str
    kind: SlideKind
    part: str
    "The part of the lesson, such as 'Closed book'."
    title: str
    "The slide's heading; on a question slide, the question itself."
    situation: str = ""
    cue: str = ""
    options: tuple[Option, ...] = ()
    solved: tuple[Solved, ...] = ()
    reveals: tuple[Reveal, ...] = ()
    view: ProcedureView | None = None
    "The procedure whose by-heart box is the answer."
    pass_mark: str = ""
    floor: str = ""
    pause_s: int = 0
    teacher: str = ""
    drawing: str = ""
    "SVG shown with the question, or with the solution if nothing is asked."
    given: tuple[str, ...] = ()
    "What is already placed in that drawing, in words."
    devices: tuple[Mapping[str, object], ...] = ()
    "The devices of a placing example that is to be answered, as the marking script reads them."
    turns: Mapping[Session, int] = field(default_factory=dict)
    "Position from 0 in each session that shows the slide."


@dataclass(frozen=True, slots=True)
class Deck:
    """A lesson's slides in the order of the first session."""

    lesson: Lesson
    procedures: tuple[Procedure, ...]
    slides: tuple[Slide, ...]

    def session(self, session: Session) -> tuple[Slide, ...]:
        """The slides of one session, in order."""
        shown = [slide for slide in self.slides if session in slide.turns]
        return tuple(sorted(shown, key=lambda slide: slide.turns[session]))
