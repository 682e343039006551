"""Lessons of the repository with changes, and the findings of the checks."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path
from types import MappingProxyType

from forty_paces.authoring.binding import bind
from forty_paces.authoring.checks.lessons import check_lessons
from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.yaml_tree import parse_file
from forty_paces.outputs.classroom.lesson_view import Deck
from forty_paces.outputs.classroom.lessons import decks
from forty_paces.outputs.common.context import BuildContext

from tests.projects import PROJECT
from tests.sharing import real_library

CONTEXT = BuildContext(real_library(), PROJECT / "site_overrides")


@cache
def real_decks() -> dict[str, Deck]:
    """The repository's lessons as they are shown, by lesson; not made while tests are only collected."""
    return {one.lesson.id: one for one in decks(CONTEXT)}


def lesson_text(name: str) -> str:
    return (PROJECT / f"content/lessons/{name}.yml").read_text(encoding="utf-8")


def findings(folder: Path, name: str, *changes: tuple[str, str]) -> list[str]:
    """The findings, as printed, after these replacements in a lesson."""
    text = lesson_text(name)
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    file = folder / f"{name}.yml"
    file.write_text(text, encoding="utf-8")
    path = f"content/lessons/{name}.yml"
    tree, parsed = parse_file(file, path)
    assert tree is not None
    assert not parsed
    document = Document("lesson", name, path, tree)
    lesson, parsed = bind(document, Lesson)
    if lesson is None:
        return [str(finding) for finding in parsed]
    library = real_library()
    draft = ParsedContent(
        today=dt.date(2026, 11, 25),
        documents=MappingProxyType({path: document}),
        procedures=tuple(ParsedRecord(document, procedure) for procedure in library.procedures),
        lessons=(ParsedRecord(document, lesson),),
        file_names=MappingProxyType(
            {
                "procedure": frozenset(procedure.id for procedure in library.procedures),
                "scene": frozenset(library.scenes),
            }
        ),
    )
    return [str(finding) for finding in sorted(check_lessons(draft))]
