"""Checks lessons against the procedures and scenes they teach, and against rules of teaching.

The rules: recall before reading (L1), every question with answer, reason and step (L2),
examples that fade from solved to unsolved (L3), spaced repetition after weeks (L4), which
emergency before which action (L5), wrong choices that are corrected (L7).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from forty_paces.authoring.documents import Document, Loc, ParsedRecord
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.lesson import Lesson, TaughtList
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.texts import list_texts, texts

TAKEN_NAMES = ("forms", "placing", "sight", "sheets", "which")
"""Names of classroom pages that are not lessons."""

OWN_PLACING_ATTEMPTS = 2
"""Fewest unsolved placing examples in a lesson that has placing examples."""


def check_lessons(draft: ParsedContent) -> Iterable[Finding]:
    """Findings about lessons and what they refer to."""
    procedures = {filed.record.id: filed.record for filed in draft.procedures}
    lines = lines_by_owner(draft)
    for filed in draft.lessons:
        if filed.record.id in TAKEN_NAMES:
            wrong = f'the name "{filed.record.id}" belongs to another page of the classroom'
            yield filed.document.finding(("id",), wrong, fix="give the lesson another id and file name")
        yield from _unique(filed)
        yield from _pointers(filed, draft)
        yield from _steps(filed, lines)
        yield from _boxes(filed, procedures)
        yield from _choices(filed)
        yield from _cues(filed, procedures)
        yield from _fading(filed)
        yield from _returns(filed)


def _named(lesson: Lesson) -> Iterator[tuple[Loc, str]]:
    """The path and id of every part that has an id."""
    for loc, question in lesson.questions():
        yield loc, question.id
    for key in ("examples", "placing", "mixed", "practice"):
        for number, part in enumerate(getattr(lesson, key)):
            yield (key, number), part.id


def _unique(filed: ParsedRecord[Lesson]) -> Iterator[Finding]:
    first: dict[str, Loc] = {}
    for loc, name in _named(filed.record):
        if name in first:
            wrong = f'the id "{name}" is used twice in this lesson'
            line = filed.document.place(first[name]).line
            fix = f"give this one a name of its own; the other stands in line {line}"
            yield filed.document.finding((*loc, "id"), wrong, fix=fix)
        first.setdefault(name, loc)


def _pointers(filed: ParsedRecord[Lesson], draft: ParsedContent) -> Iterator[Finding]:
    lesson = filed.record
    pointed: list[tuple[Loc, str, str]] = []
    pointed += [(("procedures", n), "procedure", name) for n, name in enumerate(lesson.procedures)]
    pointed += [
        (("recall", "by_heart", n), "procedure", name) for n, name in enumerate(lesson.recall.by_heart)
    ]
    if lesson.walkthrough:
        pointed.append((("walkthrough", "procedure"), "procedure", lesson.walkthrough.procedure))
    for n, mixed in enumerate(lesson.mixed):
        pointed.append((("mixed", n, "procedure"), "procedure", mixed.procedure))
        for m, rival in enumerate(mixed.mistaken_for):
            loc: Loc = ("mixed", n, "mistaken_for", m, "procedure")
            pointed.append((loc, "procedure", rival.procedure))
            if rival.procedure == mixed.procedure:
                wrong = f'"{rival.procedure}" is the right answer here, not a mistake'
                yield filed.document.finding(
                    loc, wrong, fix="name another emergency", rule="distinct-emergency"
                )
    pointed += [(("placing", n, "scene"), "scene", placing.scene) for n, placing in enumerate(lesson.placing)]
    for loc, kind, name in pointed:
        if name not in draft.names(kind):
            wrong = f'there is no {kind} "{name}"'
            yield filed.document.finding(loc, wrong, fix=name_one_of(name, draft.names(kind)))


def lines_by_owner(draft: ParsedContent) -> dict[str, frozenset[str]]:
    """The ids of the lines that can be taught, by procedure and list, as far as they could be read."""
    known = {
        filed.record.id: frozenset(f"{filed.record.id}/{text.address}" for text in texts(filed.record))
        for filed in draft.procedures
    }
    lists = list_texts(
        draft.before_trip.record if draft.before_trip else None,
        draft.after_event.record if draft.after_event else None,
    )
    for name in TaughtList:
        if ids := frozenset(key for key in lists if key.startswith(f"{name}/")):
            known[name.value] = ids
    return known


def unknown_line(
    document: Document, loc: Loc, step: str, allowed: Sequence[str], known: Mapping[str, frozenset[str]]
) -> Iterator[Finding]:
    """A finding for a line that does not exist, or of another procedure or list than those allowed."""
    owner = step.partition("/")[0]
    if owner not in allowed:
        wrong = f'"{step}" is a line of another procedure than this part teaches'
        fix = f"point at a line of {' or '.join(allowed)}"
        yield document.finding(loc, wrong, fix=fix, rule="line-known")
    elif owner in known and step not in known[owner]:
        wrong = f'there is no line "{step}"'
        yield document.finding(loc, wrong, fix=_nearest(step, known[owner]), rule="line-known")


def _steps(filed: ParsedRecord[Lesson], known: Mapping[str, frozenset[str]]) -> Iterator[Finding]:
    for loc, step, allowed in _pointed_steps(filed.record):
        yield from unknown_line(filed.document, loc, step, allowed, known)


def _nearest(step: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(step, sorted(known), n=3, cutoff=0.3)
    return f"point at a line that exists, such as {' or '.join(close)}"


def _pointed_steps(lesson: Lesson) -> Iterator[tuple[Loc, str, Sequence[str]]]:
    """Every reference to a procedure line, with the procedures it may refer to."""
    walked = (lesson.walkthrough.procedure,) if lesson.walkthrough else ()
    for loc, question in lesson.questions():
        allowed = walked if loc[0] == "walkthrough" else (*lesson.procedures, *lesson.lists)
        yield (*loc, "step"), question.step, allowed
    for number, placing in enumerate(lesson.placing):
        yield ("placing", number, "step"), placing.step, lesson.procedures
    for number, mixed in enumerate(lesson.mixed):
        yield ("mixed", number, "step"), mixed.step, (mixed.procedure,)


def _boxes(filed: ParsedRecord[Lesson], procedures: Mapping[str, Procedure]) -> Iterator[Finding]:
    for number, name in enumerate(filed.record.recall.by_heart):
        if name in procedures and not procedures[name].by_heart:
            wrong = f'the procedure "{name}" has no by-heart box to recall'
            fix = "leave it out here and ask a closed-book question instead"
            yield filed.document.finding(
                ("recall", "by_heart", number), wrong, fix=fix, rule="recall-question"
            )


def _choices(filed: ParsedRecord[Lesson]) -> Iterator[Finding]:
    for loc, question in filed.record.questions():
        seen = {_plain(question.answer)}
        for number, choice in enumerate(question.wrong):
            if _plain(choice.text) in seen:
                wrong = f'the choice "{choice.text}" is offered twice'
                fix = "write another mistake that a driver could make"
                yield filed.document.finding(
                    (*loc, "wrong", number, "text"), wrong, fix=fix, rule="distinct-choice"
                )
            seen.add(_plain(choice.text))
        for key, text in (("ask", question.ask), ("cue", question.cue or "")):
            if _plain(question.answer) in _plain(text):
                wrong = f'the {key} gives its answer away: "{question.answer}"'
                fix = "ask without the words of the answer"
                yield filed.document.finding((*loc, key), wrong, fix=fix, rule="recall-question")


def _cues(filed: ParsedRecord[Lesson], procedures: Mapping[str, Procedure]) -> Iterator[Finding]:
    for number, mixed in enumerate(filed.record.mixed):
        procedure = procedures.get(mixed.procedure)
        names = (procedure.title, procedure.tile) if procedure else ()
        for name in names:
            if f" {_plain(name)} " in f" {_plain(mixed.cue)} ":
                wrong = f'the cue names the emergency: "{name}"'
                fix = "tell only what the driver sees, hears or feels"
                yield filed.document.finding(
                    ("mixed", number, "cue"), wrong, fix=fix, rule="distinct-emergency"
                )
                break


def _fading(filed: ParsedRecord[Lesson]) -> Iterator[Finding]:
    lesson = filed.record
    shares = [example.solved / len(example.steps) for example in lesson.examples]
    for number in range(1, len(shares)):
        if shares[number] > shares[number - 1]:
            wrong = "this example is solved further than the one before it"
            fix = "put worked examples first, then part-done ones, then own attempts"
            yield filed.document.finding(("examples", number, "solved"), wrong, fix=fix, rule="fading")
    if shares and (shares[0] < 1 or shares[-1] > 0):
        wrong = "the examples do not go all the way from solved to unsolved"
        fix = "begin with one whose solved is the number of its steps, and end with one whose solved is 0"
        yield filed.document.finding(("examples",), wrong, fix=fix, rule="fading", key=True)
    yield from _fading_placing(filed)


def _fading_placing(filed: ParsedRecord[Lesson]) -> Iterator[Finding]:
    solved = [placing.solved for placing in filed.record.placing]
    if not solved:
        return
    if solved != sorted(solved, reverse=True):
        wrong = "the placing examples do not fade from solved to unsolved"
        fix = "order them by solved, highest first"
        yield filed.document.finding(("placing",), wrong, fix=fix, rule="fading", key=True)
    own = solved.count(0)
    if own < OWN_PLACING_ATTEMPTS or len(set(solved)) < 3:
        wrong = "the placing examples need a solved one, a part-solved one and two own attempts"
        fix = "add scenes until there is one of each, with solved: 0 on two or more"
        yield filed.document.finding(("placing",), wrong, fix=fix, rule="fading", key=True)


def _returns(filed: ParsedRecord[Lesson]) -> Iterator[Finding]:
    lesson = filed.record
    askable = [question.id for _, question in lesson.questions()]
    askable += [placing.id for placing in lesson.placing] + [mixed.id for mixed in lesson.mixed]
    shown = {step.id for example in lesson.examples for step in example.steps[: example.solved]}
    unshown = [name for name in askable if name not in shown]
    for key in ("week", "month"):
        for number, name in enumerate(getattr(lesson.returns, key)):
            if name not in unshown:
                wrong = f'"{name}" is no question that this lesson asks'
                loc: Loc = ("returns", key, number)
                yield filed.document.finding(loc, wrong, fix=name_one_of(name, unshown), rule="return-asked")


def _plain(text: str) -> str:
    return " ".join(re.findall(r"[a-z0-9]+", text.lower()))
