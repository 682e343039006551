"""Everything in the pseudo-language: what stays English on a card, a page or in the classroom is hard-coded.

The library's own texts are translated too, so nothing may be left but names, codes and citations.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest
from bs4 import BeautifulSoup, Comment, Doctype
from bs4.element import Script, Stylesheet
from forty_paces.authoring import translated as texts_of
from forty_paces.authoring.library import Library
from forty_paces.drawing.formats import Size
from forty_paces.messages.languages import Catalog, speaking
from forty_paces.outputs.cards.face_layout import WALLET_SIZE, FaceLayout, body_html, foot_html
from forty_paces.outputs.cards.faces import (
    FaceContent,
    ListedCard,
    face_contents,
    index_face_content,
    leaves,
    list_face_content,
    notes_draft,
    wallet_face_contents,
)
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.cards.record_pad import pad_document
from forty_paces.outputs.classroom import drill, exercise, lessons, scenarios, seat_page, sight_page
from forty_paces.outputs.common.catalogs import source_texts
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext, Language
from forty_paces.outputs.common.translations import Translated, context_in
from forty_paces.outputs.pages import placing, procedures, scenes
from forty_paces.outputs.paper.sheets import PAPERS
from forty_paces.package import library_overrides

from tests.pseudo import pseudo
from tests.soaking import sample

MARKED = re.compile("[áéíóúñÁÉÍÓÚÑ~]")
WORD = re.compile(r"[A-Za-z]{3,}")
HIDDEN = (Comment, Doctype, Script, Stylesheet)
SPOKEN = ("aria-label", "alt", "title", "placeholder", "data-label")

THE_SAME = re.compile(
    r"[A-Z]{3}\d(?: \d\.\d)?"  # the code of a card, and the version of its procedure
    r"|\d+ mph"
    r"|\.? ?\d+ CFR [\d.()a-z]+\.?"
    r"|LBF \d+"  # a plate
    r"|(?:[a-z]+ \d\.\d(?:, )?)+"  # versions of lessons, for the score file
    r"|Larkspur Basin Freight\.?"
)
"""What is the same in every language."""


@pytest.fixture(scope="module")
def strange(library: Library) -> Iterator[BuildContext]:
    """The real content in the pseudo-language, which is spoken until the tests end."""
    known = source_texts(library, library_overrides())
    made = {
        text.id: (pseudo(text.english, text.id), pseudo(text.many or text.english, text.id)) for text in known
    }
    catalog = Catalog("eo", made, reviewer="Zamenhof")
    language = Language("eo", "eo", "Esperanto", "eo", catalog)
    own = Translated(language, texts_of.in_language(library, catalog.text))
    english = BuildContext(library, library_overrides(), languages=(ENGLISH_LANGUAGE, language))
    with speaking(catalog):
        yield context_in(own, english)


def strings(value: Any) -> Iterator[str]:
    """The sentences in a page's data."""
    if isinstance(value, str):
        yield from [value] if " " in value else []
    elif isinstance(value, dict | list):
        for part in value.values() if isinstance(value, dict) else value:
            yield from strings(part)


def hard_coded(pages: Iterable[str]) -> set[str]:
    """What pages show, read aloud or keep for their scripts, and is not in the pseudo-language."""
    found: set[str] = set()
    for html in pages:
        soup = BeautifulSoup(html, "html.parser")
        for tag in soup.select('.sources, .basis, [lang|="en"]'):  # citations, and what is English on purpose
            tag.decompose()
        said = [str(text) for text in soup.find_all(string=True) if not isinstance(text, HIDDEN)]
        said += [str(tag[name]) for name in SPOKEN for tag in soup.select(f"[{name}]")]
        for data in soup.select('script[type="application/json"]'):
            said += strings(json.loads(data.string or "null"))
        found |= {" ".join(text.split()) for text in said if WORD.search(text) and not MARKED.search(text)}
    return {text for text in found if not THE_SAME.fullmatch(text)}


def sides(drafts: Iterable[FaceContent]) -> Iterator[FaceContent]:
    """Each face, its first way to go on behind, and its notes."""
    for draft in drafts:
        yield draft
        yield from next(leaves(draft), ())
        yield notes_draft(draft)


def test_nothing_on_a_card_is_hard_coded(strange: BuildContext) -> None:
    vehicle = next(one for one in strange.library.fleet.vehicles if one.id == "tractor-trailer")
    drafts = face_contents(strange, vehicle, Size.CARD)
    rows = tuple(ListedCard(1, draft.code, "0" * 8, draft.family) for draft in drafts)
    entries = {draft.code: row for row, draft in enumerate(drafts, 1)}
    compiled = (index_face_content(strange, drafts, entries, 17), list_face_content(strange, vehicle, rows))
    shown = []
    for size, some in (
        ("half-letter", (*compiled, *drafts)),
        (WALLET_SIZE, wallet_face_contents(strange, vehicle)),
    ):
        layout = FaceLayout(strange, size, vehicle, (), "", 88)
        shown += [body_html(layout, one) + foot_html(layout, one, 1, "0" * 8) for one in sides(some)]
    assert hard_coded(shown) == set()


def test_nothing_on_the_poster_and_the_pad_is_hard_coded(strange: BuildContext) -> None:
    made = (poster_document(strange, PAPERS["tabloid"], "p"), pad_document(strange, PAPERS["letter"], "p"))
    assert hard_coded(one.html for one in made if one is not None) == set()
    assert None not in made


def body(page: str) -> str:
    """A page without its front matter and without what gives headings their ids."""
    return re.sub(r"\{:[^}]*\}", "", re.sub(r"\A---\n.*?\n---\n", "", page, flags=re.DOTALL))


def test_nothing_on_the_pages_for_drivers_is_hard_coded(strange: BuildContext) -> None:
    english_alone = ("sources.md", "placing/rule-sets.md")
    pages = [
        body(page.content)
        for part in (procedures, placing, scenes)
        for page in part.artifacts(strange)
        if page.path.endswith(".md") and page.path not in english_alone and page.path != "glossary.md"
    ]
    assert len(pages) > 60
    assert hard_coded(pages) == set()


@pytest.mark.long
def test_nothing_in_the_learners_classroom_is_hard_coded(strange: BuildContext) -> None:
    decks = lessons.decks(strange)
    pages = [lessons.lesson_html(strange, deck) for deck in decks]
    pages.append(lessons.which_html(strange, decks))
    pages += [scenarios.scenario_html(strange, view) for view in scenarios.views(strange)]
    pages += [drill.drill_html(strange), sight_page.sight_html(strange)]
    # What is asked on a scene is worded alike on all: these two compute every placement on every scene.
    scenes_of = sample(list(strange.library.scenes.items()), 5)
    few = replace(strange, library=replace(strange.library, scenes=MappingProxyType(dict(scenes_of))))
    pages += [exercise.exercise_html(few), seat_page.seat_html(few)]
    assert hard_coded(pages) == set()
