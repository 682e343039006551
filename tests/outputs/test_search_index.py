"""The search index of each language: which pages it lists, and how its words are found."""

import json

import pytest
from forty_paces.outputs.common.other_languages import divide_index, unaccented_words, with_own_search

CONFIG = {
    "lang": ["en"],
    "separator": r"[\s\-]+",
    "pipeline": ["stopWordFilter"],
    "fields": {"title": {"boost": 1000.0}, "text": {"boost": 1.0}, "tags": {"boost": 1e6}},
}


@pytest.fixture
def site(tmp_path):
    docs = [
        {"location": "tires.html", "title": "Tires", "text": "Look at each tire."},
        {"location": "es/tires.html", "title": "Presión", "text": "<p>Revise el neumático. Señal.</p>"},
        {"location": "es/tires.html#b", "title": "Llanta", "text": "No hay"},
        {"location": "escape.html", "title": "Escape ramps", "text": ""},
    ]
    (tmp_path / "search").mkdir()
    index = json.dumps({"config": CONFIG, "docs": docs})
    (tmp_path / "search/search_index.json").write_text(index, encoding="utf-8")
    (tmp_path / "search/search_index.js").write_text(f"var __index = {index}", encoding="utf-8")
    return tmp_path


def read(folder):
    index = (folder / "search/search_index.json").read_text(encoding="utf-8")
    assert (folder / "search/search_index.js").read_text(encoding="utf-8") == f"var __index = {index}"
    return json.loads(index)


def test_each_language_lists_its_own_pages_and_no_others(site):
    divide_index(site, ["es"])
    english, spanish = read(site), read(site / "es")
    assert [entry["location"] for entry in english["docs"]] == ["tires.html", "escape.html"]
    assert [entry["location"] for entry in spanish["docs"]] == ["tires.html", "tires.html#b"]
    assert english["config"] == CONFIG


def test_words_with_accents_are_found_without_them_and_titles_count_as_much(site):
    divide_index(site, ["es"])
    spanish = read(site / "es")
    first, second = spanish["docs"]
    assert (first["title_unaccented"], first["text_unaccented"]) == ("Presion", "neumatico Senal")
    assert (second["title_unaccented"], second["text_unaccented"]) == ("", "")
    fields = spanish["config"]["fields"]
    assert {name: fields[name]["boost"] for name in ("title_unaccented", "text_unaccented")} == {
        "title_unaccented": 1000.0,
        "text_unaccented": 1.0,
    }
    assert spanish["config"]["pipeline"] == []  # "no" and "he" are English stop words


def test_a_site_in_one_language_or_without_a_search_stays_as_it_is(site, tmp_path_factory):
    before = (site / "search/search_index.json").read_bytes()
    divide_index(site, [])
    assert (site / "search/search_index.json").read_bytes() == before
    bare = tmp_path_factory.mktemp("bare")
    divide_index(bare, ["es"])
    assert list(bare.iterdir()) == []


def test_markup_and_words_without_accents_are_not_listed():
    assert unaccented_words("<b>Vía, vía</b> y camino") == "Via via"


@pytest.mark.parametrize(("base", "own"), [("..", "."), ("../..", ".."), ("../../..", "../..")])
def test_a_page_of_another_language_looks_in_the_folder_of_its_language(base, own):
    page = (
        '<a href="../x"></a><script id="__config" type="application/json">{"features": ["a"], "base": "%s", '
    )
    page += '"search": "../assets/search.js"}</script>'
    assert with_own_search(page % base) == page % own
    assert with_own_search(page % ".") == page % "."
