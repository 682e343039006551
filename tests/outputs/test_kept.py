"""Parts that a preview keeps: an equal value gives the kept part, and every file is as a build makes it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.outputs import site
from forty_paces.outputs.common.context import EDITION_ID, BuildContext, KeptParts

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
CONTEXT = BuildContext(LIBRARY, PROJECT / "site_overrides")


@dataclass(frozen=True, slots=True)
class Printed:
    """A part with texts."""

    title: str
    pages: int


def keeping(parts: KeptParts, context: BuildContext) -> BuildContext:
    """The context of a build that begins in the same frame, but for its library."""
    parts.begin(context.frame.library, context.library.edition.id)
    return replace(context, parts=parts)


def test_a_part_is_made_again_for_other_values_only() -> None:
    made: list[str] = []

    def part(_: BuildContext, word: str) -> str:
        made.append(word)
        return word.upper()

    parts = KeptParts()
    for word, expected in (("fog", ["fog"]), ("fog", ["fog"]), ("ice", ["fog", "ice"])):
        assert keeping(parts, CONTEXT).kept(part, word) == word.upper()
        assert made == expected
    assert keeping(parts, CONTEXT).kept(part, "fog") == "FOG"
    assert made == ["fog", "ice", "fog"], "only the parts of the last build are kept"


def test_a_part_is_made_again_where_the_carrier_is_another() -> None:
    other = LIBRARY.fleet.model_copy(update={"carrier": "Another Carrier"})
    parts = KeptParts()

    def part(context: BuildContext) -> str:
        return context.library.fleet.carrier

    assert keeping(parts, CONTEXT).kept(part) == LIBRARY.fleet.carrier
    context = replace(CONTEXT, library=replace(LIBRARY, fleet=other))
    assert keeping(parts, context).kept(part) == "Another Carrier"


@pytest.mark.parametrize("made", ["{}", ("{}", "x"), Printed("{}", 3), (Printed("{}", 3),)])
def test_a_kept_part_carries_the_edition_of_the_build_that_runs(made: object) -> None:
    def named(edition_id: str) -> object:
        match made:
            case str():
                return made.format(edition_id)
            case ("{}", rest):
                return (edition_id, rest)
            case Printed():
                return Printed(edition_id, 3)
            case _:
                return (Printed(edition_id, 3),)

    parts = KeptParts()
    for edition_id in ("11111111", "22222222"):
        library = replace(LIBRARY, edition=replace(LIBRARY.edition, id=edition_id))
        context = keeping(parts, replace(CONTEXT, library=library))
        assert named(edition_id) == context.kept(lambda frame: named(frame.library.edition.id))
        assert context.frame.library.edition.id == EDITION_ID


def test_a_build_makes_every_part_from_its_whole_context() -> None:
    assert CONTEXT.kept(lambda context: context.library.procedures) == LIBRARY.procedures


def with_other(library: Library, procedure: str, **update: object) -> Library:
    """The library with other texts in a procedure."""
    procedures = tuple(
        one.model_copy(update=update) if one.id == procedure else one for one in library.procedures
    )
    assert procedures != library.procedures
    return replace(library, procedures=procedures)


def warning_devices() -> Procedure:
    found = LIBRARY.procedure("warning-devices")
    assert found is not None
    return found


@pytest.mark.long
def test_after_every_edit_the_files_are_those_of_a_build() -> None:
    """A part that took anything from outside its values and the frame would be stale, or fail."""
    builders = (*site.PAGES, site.output_builders(with_cards=False)[len(site.PAGES)])
    parts = KeptParts()
    lesson, scenario = next(iter(LIBRARY.lessons.values())), next(iter(LIBRARY.scenarios.values()))
    shown = warning_devices()
    line = shown.by_heart[0].model_copy(update={"do": "Stand clear of the road."})
    signed = shown.review.model_copy(
        update={"safety_lead": SignOff(name="A. Lead, safety lead", day="2026-11-01")}
    )
    titled = {"title": "Another title"}
    edited = (
        LIBRARY,
        with_other(LIBRARY, shown.id, by_heart=(line, *shown.by_heart[1:]), **titled),
        replace(
            with_other(LIBRARY, shown.id, review=signed),
            lessons={**LIBRARY.lessons, lesson.id: lesson.model_copy(update=titled)},
            scenarios={**LIBRARY.scenarios, scenario.id: scenario.model_copy(update=titled)},
        ),
    )
    for number, library in enumerate(edited):
        context = replace(
            CONTEXT, library=replace(library, edition=replace(library.edition, id=f"{number}" * 8))
        )
        kept = keeping(parts, context)
        for builder in builders:
            expected = {file.path: file.data for file in builder(context)}
            ours = {file.path: file.data for file in builder(kept)}
            assert [] == [path for path in expected.keys() | ours if expected.get(path) != ours.get(path)]
