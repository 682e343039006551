"""Every page of the Spanish edition: no English but what is marked as English, names, citations and code.

Two nets. A text of two words or more that a page of the English edition shows too was not translated. A text
with two words that Spanish does not have is half English, whatever it was put together from.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library

from tests.shown_texts import ShownText, pages_by_language, shown_texts

_ENGLISH_WORDS = """
about after all and any are at away be been before both but by can could did does down each else
far first for from get go goes had has have here how if into is it its keep let many may more must
never not of off on only or other our out over own put should so some stay such take than that the
their them then there these they this those to too under until up was way we were what when where
which while who whole whom why will with within without would you your
"""
ENGLISH_WORDS = frozenset(_ENGLISH_WORDS.split())
"""Frequent words of English that Spanish does not have."""

CITATION = r"\.? ?\(?(?:see )?\d+ (?:CFR|FR) [\d.,()a-z ]+\)?\.?"
THE_SAME = re.compile(
    rf"{CITATION}"
    r"|(?:[a-z-]+ \d\.\d(?:, )?)+"  # versions of lessons, for the score file
    r"|EDITION [0-9A-F]{8} NUMBER \d+ OF [\d-]+ (?:UN)?SIGNED CARRIER [A-Z-]+(?: VEHICLE [A-Z-]+)?"
    r"|Atkinson Hyperlegible, Copyright 2020 Braille Institute of America\. SIL Open Font License 1\.1\."
    r"|(?:center of lane or shoulder|traffic side|beside the vehicle|in line with the vehicle)"  # ids of data
)
"""What is the same in every language."""

SLOT = re.compile(r"\{\w*\}")
WORD = re.compile(r"[^\W\d_]{2,}")
UNIT = frozenset({"ft", "mi", "mph", "km", "min", "mm", "in", "psi", "lb"})


def names(library: Library) -> frozenset[str]:
    """Proper names: the product, the carrier, publications, keys of a keyboard, roads."""
    roads = {scene.place for scene in library.scenes.values() if scene.place}
    keys = {"Page Up", "Page Down"}
    books = {"Emergency Response Guidebook", "Green Book", "NASA TN D", "Transportation Research Record"}
    return frozenset({"Forty Paces", library.fleet.carrier, *books, *keys, *roads})


def words(text: str) -> list[str]:
    """The words of a text, without slots and units."""
    return [word for word in WORD.findall(SLOT.sub("", text)) if word not in UNIT]


def left_in_english(
    texts: Iterable[ShownText], english: Container[str], named: Iterable[str]
) -> Iterator[ShownText]:
    """The texts of a Spanish page that are English and not marked so."""
    every_name = re.compile("|".join(map(re.escape, sorted(named, key=len, reverse=True))))
    for one in texts:
        if one.language.startswith("en") or THE_SAME.fullmatch(one.text):
            continue
        rest = re.sub(CITATION, "", every_name.sub("", one.text))
        # A word in capitals is a code, such as the set ALL.
        strange = [word for word in words(rest) if word.lower() in ENGLISH_WORDS and not word.isupper()]
        if (one.text in english and len(words(rest)) > 1) or len(strange) > 1:
            yield one


@pytest.mark.long
def test_no_spanish_page_shows_english_that_is_not_marked(spanish_site: Path, library: Library) -> None:
    pages = pages_by_language(spanish_site)
    assert set(pages) == {"en", "es"}
    below = {file.relative_to(spanish_site).parts[0] for file in pages["es"]}
    assert below == {"es", "vehicles", "cab.es.html"}
    assert len(pages["es"]) > 150
    english = {one.text for file in pages["en"] for one in shown_texts(file.read_text(encoding="utf-8"))}
    first: dict[ShownText, str] = {}  # cab files and papers repeat one another
    read = 0
    for file in pages["es"]:
        for one in shown_texts(file.read_text(encoding="utf-8")):
            read += 1
            first.setdefault(one, str(file.relative_to(spanish_site)))
    assert read > 100_000
    assert {one: first[one] for one in left_in_english(first, english, names(library))} == {}


SPANISH_PAGE = """<!doctype html><html lang="es-US"><meta name="description" content="{description}">
<h1 title="{title}">{heading}</h1><p>{mixed}</p><p lang="en-US">Stop where you are.</p>
<p>49 CFR 392.22(b)(1)</p><p>Larkspur Basin Freight, Forty Paces</p><code>fortypaces scores FOLDER</code>
<script type="application/json">{{"say": "{said}", "spoken": {{"say": "Where you are"}}}}</script>"""
IN_SPANISH = {
    "description": "Procedimientos al lado del camino",
    "title": "Cambiar a la vista nocturna",
    "heading": "Niebla densa, 150 ft",
    "mixed": "leído en parte; comprobado",
    "said": "Pare donde está",
}


@pytest.mark.parametrize(
    ("place", "text"),
    [
        ("description", "Emergency roadside procedures"),
        ("title", "Switch to night view"),
        ("heading", "Thick fog, 150 ft"),
        ("mixed", "leído en parte (the blog of a lawyer, which quotes it)"),
        ("said", "Stop safely"),
    ],
)
def test_a_text_left_in_english_is_found_wherever_it_stands(library: Library, place: str, text: str) -> None:
    english = {"Emergency roadside procedures", "Switch to night view", "Thick fog, 150 ft", "Stop safely"}
    clean, broken = (
        list(left_in_english(shown_texts(SPANISH_PAGE.format(**texts)), english, names(library)))
        for texts in (IN_SPANISH, {**IN_SPANISH, place: text})
    )
    assert clean == []
    assert [one.text for one in broken] == [text]
