"""A lesson's page and notes as HTML: question before answer, answers collapsed, self-contained."""

import dataclasses
import re
from types import MappingProxyType

import pytest
from bs4 import BeautifulSoup
from forty_paces.outputs.classroom.lesson_view import SlideKind
from forty_paces.outputs.classroom.lessons import decks, lesson_context, lesson_html, notes_html, which_html
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.lesson_samples import CONTEXT, PROJECT, real_decks, real_library
from tests.outputs.hostile import HOSTILE


@pytest.fixture(scope="module", params=CONTEXT.library.lessons)
def shown(request):
    one = real_decks()[request.param]
    return one, BeautifulSoup(lesson_html(CONTEXT, one), "html.parser")


def test_every_slide_is_there_once_under_its_id(shown):
    one, page = shown
    assert [slide.id for slide in one.slides] == [section["id"] for section in page.select("section.slide")]
    ids = [element["id"] for element in page.select("[id]")]
    assert len(ids) == len(set(ids))


def test_every_answer_is_closed_and_stands_after_its_question(shown):
    one, page = shown
    assert not page.select("details[open]")
    for slide in one.slides:
        section = page.find(id=slide.id)
        text = section.get_text(" ")
        for answer in slide.reveals:
            if answer.answer and not answer.options:
                outside = BeautifulSoup(str(section), "html.parser")
                for hidden in outside.select("details"):
                    hidden.extract()
                assert answer.answer not in outside.get_text(" ")
                assert text.index(slide.title) < text.index(answer.answer)


def test_which_choice_is_right_is_said_only_inside_the_answer(shown):
    one, page = shown
    for slide in one.slides:
        if slide.options:
            section = page.find(id=slide.id)
            assert {True} == {mark.find_parent("details") is not None for mark in section.select(".mark")}
            assert len(slide.options) == len(section.select("ol.options > li"))
            for option in slide.options:
                if option.correction:
                    assert option.correction in section.select_one("details").get_text()


def test_the_lines_shown_are_the_procedures_own(shown):
    _, page = shown
    texts = lesson_context(CONTEXT).texts
    keyed = page.select("[data-key]")
    assert keyed
    for element in keyed:
        assert texts[element["data-key"]] == element.get_text()


def test_it_asks_nothing_of_anyone_and_carries_its_policy(shown):
    _, page = shown
    policy = page.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]
    assert policy.startswith("default-src 'none'; ")
    assert "unsafe" not in policy
    assert not page.select("[src], link:not([href='data:,']), [style], [onclick]")
    for link in page.select("a[href]"):
        assert re.match(r"(#|\.\./|[\w-]+\.html$)", link["href"])


def test_the_notes_hold_what_the_wall_does_not(shown):
    one, _ = shown
    notes = BeautifulSoup(notes_html(CONTEXT, one), "html.parser").get_text(" ")
    page = BeautifulSoup(lesson_html(CONTEXT, one), "html.parser")
    for script in page(["script", "style"]):
        script.extract()
    wall = page.get_text(" ")
    taught = [slide.teacher for slide in one.slides if slide.teacher and slide.kind is not SlideKind.OPENING]
    for words in taught:
        assert words in " ".join(notes.split())
        assert words not in wall


def test_no_procedure_is_called_reviewed_that_is_not(shown):
    one, page = shown
    unreviewed = [procedure.code for procedure in one.procedures if procedure.review.safety_lead is None]
    foot = " ".join(page.select_one(".opening__foot").get_text(" ").split())
    assert ("Not yet reviewed by your safety lead: " + ", ".join(unreviewed) in foot) is bool(unreviewed)


def test_the_same_content_gives_the_same_bytes():
    assert lesson_html(CONTEXT, next(iter(real_decks().values()))) == lesson_html(CONTEXT, decks(CONTEXT)[0])


def test_words_that_try_to_break_out_are_shown_as_words():
    lesson = real_library().lessons["tires"]

    def poisoned(value):
        if isinstance(value, str):
            return value
        if hasattr(value, "model_copy"):
            named = {name: getattr(value, name) for name in type(value).model_fields}
            kept = {"id", "procedure", "step", "procedures", "by_heart", "returns", "version", "family"}
            texts = {
                name: one + HOSTILE if isinstance(one, str) else poisoned(one)
                for name, one in named.items()
                if name not in kept
            }
            return value.model_copy(update=texts)
        if isinstance(value, tuple):
            return tuple(poisoned(one) for one in value)
        return value

    library = dataclasses.replace(real_library(), lessons=MappingProxyType({"tires": poisoned(lesson)}))
    context = BuildContext(library, PROJECT / "site_overrides")
    (one,) = decks(context)
    for html in (lesson_html(context, one), notes_html(context, one), which_html(context, [one])):
        page = BeautifulSoup(html, "html.parser")
        assert not page.select("img, [onerror]")
        (script,) = page.select("script:not([type])")
        assert "window.hacked" not in script.get_text()
        assert HOSTILE.splitlines()[0][:30] in page.get_text()
