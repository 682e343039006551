"""Other languages of a build: which texts stop it, what falls back, and what lies over what."""

import datetime as dt
import io
import re
from dataclasses import replace

import babel.messages.pofile
import pytest
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.fleet import Fleet, Untranslated
from forty_paces.messages.languages import speaking
from forty_paces.messages.pages import TRANSLATION, translation_note
from forty_paces.outputs.cards.faces import reviewed_words
from forty_paces.outputs.common.catalogs import source_texts, template_catalog
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext, Language
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.other_languages import relocated
from forty_paces.outputs.common.translations import (
    LISTED,
    MARK,
    context_in,
    read_layers,
    translation,
    translations,
)
from forty_paces.package import library_overrides
from pydantic import ValidationError

from tests.projects import small_project
from tests.pseudo import pseudo

OVERRIDES = library_overrides()


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    """A small project that asks for the pseudo-language."""
    folder = small_project(tmp_path_factory.mktemp("project"))
    fleet = folder / "content/fleet.yml"
    fleet.write_text(fleet.read_text(encoding="utf-8") + "\nlanguages: [en, eo]\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def english(project):
    return load_library(project)


@pytest.fixture(scope="module")
def known(english):
    return source_texts(english, OVERRIDES)


@pytest.fixture(scope="module")
def template(english):
    return template_catalog(english, OVERRIDES)


@pytest.fixture
def catalog(project, template):
    """Writes the project's catalog: a pseudo-translation, some texts dropped, fuzzy or others."""

    def write(drop=(), fuzzy=(), head="", change=None):
        made = babel.messages.pofile.read_po(io.BytesIO(template), locale="eo")
        made.header_comment = head
        for entry in made:
            if not entry.id:
                continue
            shown = (change or {}).get(entry.context) or pseudo(entry.id, entry.context)
            entry.string = "" if entry.context in drop else shown
            entry.flags |= {"fuzzy"} if entry.context in fuzzy else set()
        written = io.BytesIO()
        babel.messages.pofile.write_po(written, made, width=0)
        file = project / "content/languages/eo.po"
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(written.getvalue())

    return write


@pytest.fixture
def built(project, english, known):
    def build(library=english):
        return translation(library, project, known, "eo")

    return build


def test_no_other_language_is_built_unless_the_fleet_asks_for_it(library):
    assert library.fleet.other_languages == ()
    assert translations(library, OVERRIDES, OVERRIDES) == ()


@pytest.mark.parametrize(
    ("languages", "wrong"),
    [
        (["es_US"], "the first language is"),
        (["en", "es_US", "es_US"], "named twice"),
        (["en", "Spanish"], "pattern"),
    ],
)
def test_languages_begin_with_english_and_are_codes(languages, wrong):
    with pytest.raises(ValidationError, match=wrong):
        Fleet(carrier="X", languages=languages)


def test_a_whole_catalog_gives_the_library_in_that_language(project, english, catalog):
    catalog()
    (made,) = translations(english, project, OVERRIDES)
    assert made.language == Language("eo", "eo", "Esperanto", "eo")
    assert made.library.procedures[0].title == pseudo(english.procedures[0].title)
    assert made.library.fleet.carrier == english.fleet.carrier


def test_a_text_that_is_missing_or_fuzzy_stops_the_build_with_its_name(english, catalog, built):
    name = english.procedures[0].id
    catalog(drop=[f"{name}/title"], fuzzy=[f"{name}/finished"])
    with pytest.raises(ContentFault) as refused:
        built()
    named = [finding.wrong.split('"')[1] for finding in refused.value.findings]
    assert sorted(named) == [f"{name}/finished", f"{name}/title"]


def test_a_refusal_names_no_more_texts_than_one_can_read(known, catalog, built):
    catalog(drop=[text.id for text in known])
    with pytest.raises(ContentFault) as refused:
        built()
    assert len(refused.value.findings) == LISTED + 1
    assert "more texts" in refused.value.findings[-1].wrong


def test_with_fall_back_an_english_text_is_shown_and_marked(english, catalog, built):
    name = english.procedures[0].id
    catalog(drop=[f"{name}/title", "site.law-wins"])
    fleet = english.fleet.model_copy(update={"untranslated": Untranslated.ENGLISH})
    made = built(replace(english, fleet=fleet))
    assert made.library.procedure(name).title == MARK + english.procedure(name).title
    assert made.catalog.text("site.law-wins", "Local law").startswith(MARK)


def test_what_only_authors_and_printers_read_may_be_missing(catalog, built):
    catalog(drop=["pages.writing.writing-procedures", "slip.title"])
    assert built().catalog.text("slip.title", "Exchange").startswith(MARK)


def test_a_catalog_with_a_fault_stops_the_build(english, catalog, built):
    catalog(change={f"{english.procedures[0].id}/title": "<b>X</b>"})
    with pytest.raises(ContentFault, match="the tag <b> is not in the English text"):
        built()


def test_a_language_without_a_catalog_stops_the_build(project, english, known):
    with pytest.raises(ContentFault, match="the language fr_CA has no catalog"):
        translation(english, project, known, "fr_CA")


def test_signatures_do_not_carry_over_and_those_of_the_catalog_count(english, catalog, built):
    procedure = english.procedures[0]
    head = f"# Signed: {procedure.id} {procedure.version} safety_lead: Eva Gil, lead, 2026-12-02\n"
    catalog(head=head + f"# Signed: {procedure.id} 99.0 user: Eva Gil, lead, 2026-12-02")
    review = built().library.procedure(procedure.id).review
    assert (review.safety_lead.name, review.safety_lead.day) == ("Eva Gil, lead", dt.date(2026, 12, 2))
    assert (review.user, review.technical, review.author) == (None, None, procedure.review.author)


def test_every_page_says_that_nobody_has_read_the_translation_until_a_name_stands_there(catalog, built):
    assert translation_note() == ""
    catalog()
    with speaking(built().catalog):
        assert translation_note() == pseudo(TRANSLATION.english["unread"])
        assert reviewed_words(built().library.procedures[0]).endswith(
            pseudo(TRANSLATION.english["unread-short"])
        )
    catalog(head="# Reviewed by: Ana Ruiz, driver, 2026-12-01")
    with speaking(built().catalog):
        assert "Ana Ruiz, driver, 2026-12-01" in translation_note()


def test_the_projects_catalog_lies_over_the_librarys_entry_by_entry(tmp_path, known, monkeypatch):
    head = 'msgid ""\nmsgstr ""\n"Language: eo\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
    first, second = (text for text in known if text.id in ("edition.change", "edition.reload"))
    for layer, texts in {"mine": {first: "A"}, "below": {first: "B", second: "C"}}.items():
        file = tmp_path / layer / "content/languages/eo.po"
        file.parent.mkdir(parents=True)
        body = (f'msgctxt "{text.id}"\nmsgid "{text.english}"\nmsgstr "{to}"\n' for text, to in texts.items())
        file.write_text(head + "\n".join(body), encoding="utf-8")
    (tmp_path / "mine/content/library.yml").write_text("{}\n", encoding="utf-8")
    monkeypatch.setattr("forty_paces.authoring.layers.library_root", lambda: tmp_path / "below")
    read = read_layers(tmp_path / "mine", known, "eo")
    assert {text_id: forms[0] for text_id, forms in read.catalog.texts.items()} == {
        first.id: "A",
        second.id: "C",
    }


ES = Language("es_US", "es-US", "Español", "es")


def test_links_stay_in_the_language_where_it_has_the_page_and_lead_to_english_where_not():
    page = '<a href="b.html#x">1</a> <a href="../cab.html">2</a> <a href="../about.html">3</a> '
    page += '<a href="https://a.b">4</a> <a href="#y">5</a> [6](c.md) [7](../sources.md) <img src="i.svg">'
    files = [
        Artifact("p/a.md", page),
        Artifact("p/b.md", ""),
        Artifact("p/c.md", ""),
        Artifact("cab.html", "C"),
    ]
    got = {file.path: file.content for file in relocated(files, ES)}
    assert list(got) == ["es/p/a.md", "es/p/b.md", "es/p/c.md", "cab.es.html"]
    assert re.findall(r'(?:href|src)="(.*?)"|\]\((.*?)\)', got["es/p/a.md"]) == [
        ("b.html#x", ""),
        ("../../cab.es.html", ""),
        ("../../about.html", ""),
        ("https://a.b", ""),
        ("#y", ""),
        ("", "c.md"),
        ("", "../../sources.md"),
        ("../i.svg", ""),
    ]


def test_a_vehicles_cab_file_keeps_its_folder():
    (made,) = relocated([Artifact("vehicles/one/cab.html", "C")], ES)
    assert made == Artifact("vehicles/one/cab.es.html", "C")


def test_the_context_of_a_language_knows_the_other_ones(english, catalog, built):
    catalog()
    made = built()
    context = BuildContext(english, OVERRIDES, languages=(ENGLISH_LANGUAGE, made.language))
    own = context_in(made, context)
    assert (context.other_languages, own.other_languages) == ((made.language,), (ENGLISH_LANGUAGE,))
    assert own.english is english
    assert (ENGLISH_LANGUAGE.cab_file, own.language.cab_file) == ("cab.html", "cab.eo.html")
