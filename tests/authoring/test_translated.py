"""Texts of content by their ids, and the library in another language."""

import pytest
from forty_paces.authoring.models.record import OwnCondition
from forty_paces.authoring.texts import list_texts, texts_by_id
from forty_paces.authoring.translated import TEXTS, _exchanged, content_texts, in_language
from pydantic import BaseModel


@pytest.fixture(scope="module")
def listed(library):
    return {text.id: text for text in content_texts(library)}


def test_the_ids_are_those_of_pages_and_lessons(library, listed):
    expected = list_texts(library.before_trip, library.after_event)
    for procedure in library.procedures:
        expected |= texts_by_id(procedure)
    assert expected.items() <= {name: text.text for name, text in listed.items()}.items()


def test_every_kind_of_content_that_a_driver_reads_is_listed(listed):
    for name in (
        "ways-out/fire/button",
        "rules/us/texts/hidden-view/text",
        "scenes/drover-crest/teaching_point",
        "lessons/devices/title",
        "fleet/phones/dispatch/who",
    ):
        assert listed[name].text


def test_each_text_stands_where_its_place_says(library, listed):
    for text in listed.values():
        if text.loc:
            assert library.documents[text.path].place(text.loc).line > 1, text.id


def test_what_only_a_teacher_or_an_author_reads_is_not_listed(listed):
    assert [name for name in listed if name.endswith(("/teacher", "/citation")) or "/changes/" in name] == []


def texts_of(record):
    """Every text of a record that may be translated."""
    if isinstance(record, tuple):
        for one in record:
            yield from texts_of(one)
    elif isinstance(record, BaseModel) or type(record) in TEXTS:
        for name in TEXTS.get(type(record), ()):
            held = getattr(record, name)
            yield from held if isinstance(held, tuple) else [held] if held else []


def test_the_library_in_another_language_has_every_text_exchanged_and_nothing_else(library):
    there = in_language(library, lambda _id, english: f"¡{english}")
    before, after = content_texts(library), content_texts(there)
    assert [(one.id, f"¡{one.text}", one.path) for one in before] == [
        (one.id, one.text, one.path) for one in after
    ]
    rules = there.rules[library.fleet.rules]
    assert all(caution.startswith("¡") for caution in rules.rule_set.cautions)
    old = library.rules[library.fleet.rules].rule_set
    assert rules.rule_set.layouts[0].devices[0].distance_ft == old.layouts[0].devices[0].distance_ft
    assert library.procedures[0].title != there.procedures[0].title
    assert [one.id for one in library.procedures] == [one.id for one in there.procedures]
    assert there.edition == library.edition


def test_a_library_without_changes_stays_equal(library):
    assert in_language(library, lambda _id, english: english).procedures == library.procedures


def test_the_words_of_a_carriers_condition_are_exchanged(library):
    line = next(line for one in library.procedures for line in one.by_heart)
    own = line.model_copy(update={"when": (OwnCondition("dump-body", "a dump body"),)})
    there = _exchanged(own, "x", (), lambda text_id, text, _loc: f"{text_id}: {text}")
    assert there.when == own.when
    assert there.when[0].words == "fleet/conditions/dump-body/words: a dump body"
