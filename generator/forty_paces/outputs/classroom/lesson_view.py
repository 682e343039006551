"""Convert a lesson into slides: one for each question, answers separate, in three sessions.

The slides are frozen records without HTML. The projected page, the teacher's notes and the recall cards are
all rendered from them. The order of choices and of follow-up sessions comes from a random generator seeded
with the lesson's id: the same in every build, different from question to question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from forty_paces.authoring.models.lesson import Example, Lesson, Mixed, Question
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.messages.classroom import LESSON, LISTS
from forty_paces.outputs.classroom.seeded_random import SeededRandom
from forty_paces.outputs.common.procedure_view import ProcedureView, view_procedure


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


LETTERS = "ABCDEF"
SOLVED_ON_A_SLIDE = 3
"""Number of solved steps, with reasons, that fit below a situation at projected size."""


@dataclass(frozen=True, slots=True)
class LessonContext:
    """The procedures and texts that a lesson refers to."""

    procedures: Mapping[str, Procedure]
    texts: Mapping[str, str]
    "Every text of the procedures and of the two lists by its string id."

    def line(self, key: str) -> StepLine:
        """The line with that string id. Raises ``KeyError`` if there is none."""
        owner = key.partition("/")[0]
        if owner in LISTS:
            return StepLine(key, self.texts[key], LISTS[owner])
        procedure = self.procedures[owner]
        return StepLine(key, self.texts[key], f"{procedure.code} {procedure.title}, {_part(procedure, key)}")


def deck(lesson: Lesson, lookup: LessonContext, placing: tuple[Slide, ...] = ()) -> Deck:
    """The lesson's slides; ``placing`` holds the slides made from scenes."""
    slides = [
        _opening(lesson),
        *_recall(lesson, lookup),
        *_walkthrough(lesson, lookup),
        *(slide for example in lesson.examples for slide in _example(lesson, example, lookup)),
        *placing,
        *(_which(lesson, mixed, lookup) for mixed in lesson.mixed),
        *_practice(lesson),
        _closing(),
    ]
    turns = _turns(lesson, slides)
    procedures = tuple(lookup.procedures[name] for name in lesson.procedures)
    return Deck(lesson, procedures, tuple(replace(slide, turns=turns[slide.id]) for slide in slides))


def mixed_slides(decks: Iterable[Deck]) -> tuple[Slide, ...]:
    """The cues of all lessons in one set, after an opening slide, in a random order for each session."""
    cues = [
        replace(slide, id=f"{deck.lesson.id}-{slide.id}")
        for deck in decks
        for slide in deck.slides
        if slide.kind is SlideKind.WHICH
    ]
    orders = {
        session: SeededRandom.named("which", session.value).shuffled([slide.id for slide in cues])
        for session in Session
    }
    opening = Slide("start", SlideKind.OPENING, LESSON["start"], LESSON["which"])
    return (
        replace(opening, turns=dict.fromkeys(Session, 0)),
        *(replace(cue, turns={s: order.index(cue.id) + 1 for s, order in orders.items()}) for cue in cues),
    )


def question_slide(
    lesson: Lesson, part: str, question: Question, lookup: LessonContext, situation: str = ""
) -> Slide:
    """The slide of one question, with its answer hidden."""
    options = _options(lesson.id, question)
    answer = Reveal(LESSON["show-answer"], question.answer, question.why, lookup.line(question.step), options)
    return Slide(
        id=question.id,
        kind=SlideKind.QUESTION,
        part=part,
        title=question.ask,
        situation=situation,
        cue=question.cue or "",
        options=options,
        reveals=(answer,),
        pause_s=question.pause_s,
        teacher=question.teacher or "",
    )


def _opening(lesson: Lesson) -> Slide:
    return Slide("start", SlideKind.OPENING, LESSON["start"], lesson.title, teacher=lesson.teacher or "")


def _closing() -> Slide:
    return Slide("close", SlideKind.CLOSING, LESSON["close"], LESSON["come-back"])


def _recall(lesson: Lesson, lookup: LessonContext) -> Iterator[Slide]:
    for name in lesson.recall.by_heart:
        procedure = lookup.procedures[name]
        count = len(procedure.by_heart)
        yield Slide(
            id=f"by-heart-{name}",
            kind=SlideKind.BY_HEART,
            part=LESSON["closed-book"],
            title=LESSON["write-line" if count == 1 else "write-lines"].format(lines=count),
            cue=procedure.title,
            reveals=(Reveal(LESSON["show-box"], "", "", None),),
            view=view_procedure(procedure),
            pause_s=60,
        )
    for question in lesson.recall.questions:
        yield question_slide(lesson, LESSON["closed-book"], question, lookup)


def _walkthrough(lesson: Lesson, lookup: LessonContext) -> Iterator[Slide]:
    walk = lesson.walkthrough
    if walk is None:
        return
    title = lookup.procedures[walk.procedure].title
    yield Slide("story", SlideKind.STORY, LESSON["walkthrough"], title, situation=walk.story)
    for question in walk.questions:
        yield question_slide(lesson, LESSON["walkthrough"], question, lookup)


def _example(lesson: Lesson, example: Example, lookup: LessonContext) -> Iterator[Slide]:
    count, solved = len(example.steps), example.solved
    part = LESSON["worked" if solved == count else "part-done" if solved else "own"]
    for start in range(0, solved, SOLVED_ON_A_SLIDE):
        shown = example.steps[start : min(solved, start + SOLVED_ON_A_SLIDE)]
        yield Slide(
            id=example.id if start == 0 else f"{example.id}-{start // SOLVED_ON_A_SLIDE + 1}",
            kind=SlideKind.SOLVED,
            part=part,
            title=example.title,
            situation=example.situation,
            solved=tuple(Solved(step.ask, step.answer, step.why) for step in shown),
        )
    for step in example.steps[solved:]:
        yield question_slide(lesson, part, step, lookup, example.situation)


def _which(lesson: Lesson, mixed: Mixed, lookup: LessonContext) -> Slide:
    rivals = [(lookup.procedures[m.procedure].title, m.correction) for m in mixed.mistaken_for]
    answer = lookup.procedures[mixed.procedure].title
    options = _drawn((lesson.id, mixed.id), answer, rivals)
    line = lookup.line(mixed.step)
    return Slide(
        id=mixed.id,
        kind=SlideKind.WHICH,
        part=LESSON["which"],
        title=LESSON["which-and-first"],
        cue=mixed.cue,
        options=options,
        reveals=(
            Reveal(LESSON["show-which"], answer, mixed.why, None, options),
            Reveal(LESSON["show-first"], line.text, "", line),
        ),
        pause_s=20,
        teacher=mixed.teacher or "",
    )


def _practice(lesson: Lesson) -> Iterator[Slide]:
    for exercise in lesson.practice:
        yield Slide(
            id=exercise.id,
            kind=SlideKind.PRACTICE,
            part=LESSON["practice"],
            title=exercise.do,
            floor=exercise.floor or "",
            pass_mark=exercise.pass_mark,
        )


def _options(lesson_id: str, question: Question) -> tuple[Option, ...]:
    if not question.wrong:
        return ()
    rivals = [(choice.text, choice.correction) for choice in question.wrong]
    return _drawn((lesson_id, question.id), question.answer, rivals)


def _drawn(words: tuple[str, ...], answer: str, rivals: list[tuple[str, str]]) -> tuple[Option, ...]:
    order = SeededRandom.named(*words).shuffled([(answer, ""), *rivals])
    return tuple(
        Option(letter, text, not correction, correction)
        for letter, (text, correction) in zip(LETTERS, order, strict=False)
    )


def _turns(lesson: Lesson, slides: list[Slide]) -> dict[str, dict[Session, int]]:
    turns: dict[str, dict[Session, int]] = {
        slide.id: {Session.FIRST: turn} for turn, slide in enumerate(slides)
    }
    boxes = [slide.id for slide in slides if slide.kind is SlideKind.BY_HEART]
    for session, names in ((Session.WEEK, lesson.returns.week), (Session.MONTH, lesson.returns.month)):
        again = SeededRandom.named(lesson.id, session.value).shuffled(names)
        for turn, name in enumerate(["start", *boxes, *again, "close"]):
            turns[name][session] = turn
    return turns


def _part(procedure: Procedure, key: str) -> str:
    """Where a string is found on its card, in words."""
    match key.split("/")[1:]:
        case ["by_heart", name, *_]:
            line = [line.id for line in procedure.by_heart].index(name) + 1
            return LESSON["by-heart-line"].format(line=line)
        case ["blocks", block, "steps", step, *_]:
            names = [(b.id, s.id) for b in procedure.blocks for s in b.steps]
            return LESSON["step"].format(step=names.index((block, step)) + 1)
        case [("never" | "decision" | "facts" | "report" | "roll_again") as part, *_]:
            return LESSON[part]
        case [name, *_]:
            return name.replace("_", " ")
    return procedure.title
