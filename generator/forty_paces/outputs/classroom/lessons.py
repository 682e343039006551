"""The projected lessons and their teacher's notes, as standalone pages.

They need no server and work with scripts off. Answers come from the procedures, distances from the scenes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from forty_paces.authoring.texts import list_texts, texts_by_id
from forty_paces.messages.classroom import LESSON, VERDICTS
from forty_paces.messages.classroom_answers import ANSWER, LEARNER
from forty_paces.messages.terms import sides_by_name
from forty_paces.outputs.classroom.exercise import reach_of, walk_seconds
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.lesson_view import (
    Deck,
    LessonContext,
    Session,
    Slide,
    deck,
    mixed_slides,
    session_titles,
)
from forty_paces.outputs.classroom.placing_slides import placing_slides
from forty_paces.outputs.classroom.standalone import (
    ANSWERING,
    KEEPING,
    classroom_modules,
    standalone_page,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

ANSWER_SCRIPTS = ("seeded_random", "measure", "marking", "score_rows", *KEEPING, "lesson_state")
"""What a lesson that is answered builds on, in the order in which they build on each other."""


def artifacts(context: BuildContext, shown: Iterable[Deck]) -> Iterator[Artifact]:
    """A page and its notes for every lesson, and the page that mixes the cues of all lessons."""
    known = tuple(shown)
    if known:
        yield Artifact("classroom/which.html", context.kept(which_html, known))
    for lesson_deck in known:
        yield Artifact(f"classroom/{lesson_deck.lesson.id}.html", context.kept(lesson_html, lesson_deck))
        yield Artifact(f"classroom/{lesson_deck.lesson.id}-notes.html", context.kept(notes_html, lesson_deck))


def decks(context: BuildContext) -> tuple[Deck, ...]:
    """The slides of every lesson."""
    lookup, library = lesson_context(context), context.library
    rules = library.rules[library.fleet.rules].rule_set
    return tuple(
        deck(lesson, lookup, tuple(placing_slides(lesson, lookup, library.scenes, rules)))
        for lesson in library.lessons.values()
    )


def lesson_context(context: BuildContext) -> LessonContext:
    """Procedures, and their texts and those of the lists by id."""
    procedures = context.library.procedures
    texts = list_texts(context.library.before_trip, context.library.after_event)
    for procedure in procedures:
        texts.update(texts_by_id(procedure))
    return LessonContext({procedure.id: procedure for procedure in procedures}, texts)


def lesson_html(context: BuildContext, shown: Deck) -> str:
    """The projected page."""
    unreviewed = [procedure.code for procedure in shown.procedures if procedure.review.safety_lead is None]
    names = {
        "lesson": shown.lesson,
        "deck": shown,
        "notes_href": f"{shown.lesson.id}-notes.html",
        "unreviewed": unreviewed,
    }
    lesson = shown.lesson
    data = _answer_data(context, lesson.id, lesson.title, lesson.version, shown.slides)
    return _answered(context, "lesson", data, names)


def which_html(context: BuildContext, shown: Iterable[Deck]) -> str:
    """The page with the cues of all lessons in one set."""
    known = tuple(shown)
    slides = mixed_slides(known)
    versions = ", ".join(f"{one.lesson.id} {one.lesson.version}" for one in known)
    data = _answer_data(context, "which", LESSON["which"], versions, slides)
    return _answered(
        context,
        "which",
        data,
        {"shown": slides, "orders": {session: LESSON[f"order-{session}"] for session in Session}.items()},
    )


def notes_html(context: BuildContext, shown: Deck) -> str:
    """The teacher's notes, for a second window or for printing."""
    names = {"lesson": shown.lesson, "deck": shown}
    return _standing(context, "notes", ("notes",), names)


def _answer_data(
    context: BuildContext, name: str, title: str, version: str, slides: Iterable[Slide]
) -> dict[str, Any]:
    """What the answering script reads: texts, and the devices that are to be placed, by slide."""
    library = context.library
    lengths = LengthFormat(library.rules[library.fleet.rules].rule_set)
    return {
        "lesson": name,
        "title": title,
        "version": version,
        "edition": library.edition.id,
        "words": {**LEARNER, **ANSWER},
        "sides": sides_by_name(),
        "verdicts": dict(VERDICTS),
        "walk": walk_seconds(lengths),
        "devices": {
            slide.id: {"placed": len(slide.given), "expected": list(slide.devices)}
            for slide in slides
            if slide.devices
        },
        **lengths.for_script(reach_of(lengths.rules)),
    }


def _answered(context: BuildContext, template: str, data: dict[str, Any], names: Mapping[str, object]) -> str:
    scripts = (*ANSWER_SCRIPTS, "deck", *ANSWERING, "lesson")
    return _standing(context, template, scripts, {**names, "data_json": inline_json(data)})


def _standing(
    context: BuildContext, template: str, scripts: tuple[str, ...], names: Mapping[str, object]
) -> str:
    return standalone_page(
        context,
        f"classroom/{template}.html.j2",
        styles=("css/classroom.css",),
        scripts=(),
        modules=classroom_modules(scripts),
        sessions=session_titles().items(),
        **names,
    )
