"""Catalogs for translators: what is in them, what is found wrong in one, and pages made with one."""

import re
from collections.abc import Mapping

import pytest
import yaml
from bs4 import BeautifulSoup, Comment, Doctype
from bs4.element import Script, Stylesheet
from forty_paces.authoring.texts import texts_by_id
from forty_paces.messages.cab import WORDS
from forty_paces.messages.languages import speaking
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.catalogs import (
    SourceText,
    read_translation,
    source_texts,
    template_catalog,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import reference
from forty_paces.package import library_overrides

from tests.projects import PROJECT
from tests.pseudo import translated


@pytest.fixture(scope="module")
def known(library):
    return source_texts(library, library_overrides())


@pytest.fixture(scope="module")
def template(library):
    return template_catalog(library, library_overrides())


def test_the_catalog_has_every_text_of_tables_templates_and_procedures(library, known):
    by_id = {text.id: text.english for text in known}
    assert by_id["cab.script.bar_done"] == WORDS["bar_done"]
    assert (
        by_id["cab.clear-the-record"]
        if "cab.clear-the-record" in by_id
        else by_id["cab.tools.clear-the-record"]
    )
    assert by_id["site.law-wins"].startswith("Local law")
    for procedure in library.procedures:
        assert texts_by_id(procedure).items() <= by_id.items()


def test_each_text_has_the_place_where_it_stands(known):
    places = {text.id: (text.path, text.line) for text in known}
    for text_id in ("cab.script.bar_done", "cab.help.where-you-are", "fog/by_heart/low-beams/do"):
        path, line = places[text_id]
        root = PROJECT / "generator/forty_paces" if path.startswith("messages/") else PROJECT
        there = (root / path).read_text(encoding="utf-8").splitlines()[line - 1]
        assert {
            "cab.script.bar_done": "bar_done",
            "cab.help.where-you-are": "Where you are",
            "fog/by_heart/low-beams/do": "Turn the low beams on.",
        }[text_id] in there


def test_the_same_content_makes_the_same_catalog(library, template):
    assert template_catalog(library, library_overrides()) == template


TEXTS = (
    SourceText("walk.go", "Go {distance}, then <b>stop</b>", "", "messages/cab.py", 3),
    SourceText("page.share", "%(share)s of 100", "", "site_overrides/templates/pages/a.md.j2", 4),
    SourceText("page.days", "one day", "%(n)s days", "site_overrides/templates/pages/a.md.j2", 5),
    SourceText("fog/title", "Fog {thick}", "", "content/procedures/fog.yml", 2),
)
HEAD = """msgid ""
msgstr ""
"Language: es_US\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""


def read(tmp_path, body, head=HEAD):
    file = tmp_path / "es.po"
    file.write_text(head + body, encoding="utf-8")
    return read_translation(file, TEXTS)


def entry(text_id, english, spanish):
    return f'msgctxt "{text_id}"\nmsgid "{english}"\nmsgstr "{spanish}"\n'


GO = "Go {distance}, then <b>stop</b>"
DAYS = 'msgctxt "page.days"\nmsgid "one day"\nmsgid_plural "%(n)s days"\n'


def test_a_whole_catalog_is_used(tmp_path):
    body = "\n".join(
        (
            entry("walk.go", GO, "<b>Pare</b> a {distance}"),
            entry("page.share", "%(share)s of 100", "%(share)s de 100, 100 %%"),
            DAYS + 'msgstr[0] "un día"\nmsgstr[1] "%(n)s días"\n',
            entry("fog/title", "Fog {thick}", "Niebla"),
        )
    )
    got = read(tmp_path, body)
    assert (got.findings, got.missing, got.fuzzy, got.catalog.language) == ((), (), 0, "es-US")
    assert [got.catalog.plural("page.days", "", "", n) for n in (0, 1, 2)] == [
        "%(n)s días",
        "un día",
        "%(n)s días",
    ]


@pytest.mark.parametrize(
    ("body", "line", "wrong"),
    [
        (entry("walk.go", GO, "<b>Pare</b>"), 8, "the placeholder {distance} is missing"),
        (
            entry("walk.go", GO, "{distance} {paces} <b>x</b>"),
            8,
            "the placeholder {paces} is not in the English",
        ),
        (entry("walk.go", GO, "{distance <b>x</b>"), 8, "a brace is broken"),
        (entry("walk.go", GO, "{distance} x"), 8, "the tag </b> is missing"),
        (entry("walk.go", GO, "{distance} <b>x</b><i>y</i>"), 8, "the tag <i> is not in the English"),
        (entry("page.share", "%(share)s of 100", "%(share)s, 100 %"), 8, "a percent sign is neither"),
        (entry("walk.go", GO, "{distance} <b>\u202ex</b>"), 8, "the invisible character"),
        (entry("walk.gone", "Go", "Va"), 8, 'no text has the id "walk.gone"'),
        ('msgid "Go"\nmsgstr "Va"\n', 7, "the entry has no id"),
        (entry("walk.go", "Go away", "Va"), 8, "the English of"),
        (DAYS + 'msgstr[0] "un día"\n', 8, "has not the 2 forms"),
        (
            entry("fog/title", "Fog {thick}", "A") + "\n" + entry("fog/title", "Fog {thick}", "B"),
            11,
            "stands here again",
        ),
    ],
)
def test_what_is_wrong_is_found_in_its_line_and_not_used(tmp_path, body, line, wrong):
    got = read(tmp_path, body)
    assert any(finding.place.line == line and wrong in finding.wrong for finding in got.findings), (
        got.findings
    )
    assert all(finding.fix for finding in got.findings)
    if "again" not in wrong:
        assert got.catalog.texts == {}


def test_a_fuzzy_text_is_counted_and_not_used(tmp_path):
    got = read(tmp_path, "#, fuzzy\n" + entry("fog/title", "Fog {thick}", "Niebla"))
    assert (got.fuzzy, got.catalog.texts, got.findings) == (1, {}, ())
    assert "fog/title" in got.missing


def test_a_text_without_translation_is_missing_and_no_fault(tmp_path):
    got = read(tmp_path, entry("fog/title", "Fog {thick}", ""))
    assert got.findings == ()
    assert len(got.missing) == len(TEXTS)


@pytest.mark.parametrize(
    ("head", "body", "wrong"),
    [
        (HEAD, 'msgid "never ended\n', "cannot be read"),
        (HEAD.replace("(n != 1)", "(n != 1"), "", "cannot be read"),
        (HEAD.replace('"Language: es_US\\n"\n', ""), "", "names no language"),
    ],
)
def test_a_file_that_is_no_catalog_is_one_finding(tmp_path, head, body, wrong):
    got = read(tmp_path, body, head)
    assert [wrong in finding.wrong for finding in got.findings] == [True]
    assert got.catalog.texts == {}


def test_bytes_that_are_no_text_are_a_finding(tmp_path):
    file = tmp_path / "es.po"
    file.write_bytes(b"\xff\xfe\x00")
    assert "cannot be read" in read_translation(file, TEXTS).findings[0].wrong


@pytest.fixture(scope="module")
def in_pseudo(template, known, tmp_path_factory):
    file = tmp_path_factory.mktemp("pseudo") / "eo.po"
    file.write_bytes(translated(template))
    return read_translation(file, known)


def test_a_catalog_of_everything_comes_back_whole(in_pseudo, known):
    assert (in_pseudo.findings, in_pseudo.missing, in_pseudo.fuzzy) == ((), (), 0)
    assert len(in_pseudo.catalog.texts) == len(known) > 5000


MARKED = re.compile("[áéíóúñÁÉÍÓÚÑ~]")
LETTERS = re.compile(r"[A-Za-z]{2,}")
HIDDEN = (Comment, Doctype, Script, Stylesheet)


def shown(html):
    """Every text that a page shows or reads aloud."""
    soup = BeautifulSoup(html, "html.parser")
    for tag in soup.select(".sources, svg text"):
        tag.decompose()
    found = [str(text).strip() for text in soup.find_all(string=True) if not isinstance(text, HIDDEN)]
    found += [tag["aria-label"] for tag in soup.select("[aria-label]")]
    return {" ".join(text.split()) for text in found if LETTERS.search(text)}


def content(value):
    """Every text of the content files, which is translated where it is read."""
    if isinstance(value, str):
        yield " ".join(value.split())
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from content(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from content(part)


FIGURES = re.compile(r"[\d,./¼½¾–*() ]*(?:(?:ft|mph|km/h|min|in|m|s|h)\b[\d,./¼½¾–*() ]*)*")
"""Figures with units, which are the same in every language that the tool knows."""


def is_content(text, own, everything):
    """Whether a text is one of the content's, a part of one of three words or more, or several of them."""
    bare = text.removeprefix(": ")
    parts = [part for part in re.split(r"[;,.:] ", bare) if part]
    return (
        bare in own
        or (bare.count(" ") > 1 and bare in everything)
        or all(part.rstrip(".") in own or part in own for part in parts)
    )


def test_nothing_on_a_cab_file_is_hard_coded(library, in_pseudo):
    """What stays English in the pseudo-language is content, figures, and the edition."""
    context = BuildContext(library, library_overrides())
    with speaking(in_pseudo.catalog):
        html = cab_html(context)
    files = sorted((PROJECT / "content").rglob("*.yml"))
    own = set(content([yaml.load(file.read_text("utf-8"), yaml.BaseLoader) for file in files]))
    records = (*library.procedures, *library.ways_out, library.before_trip, library.after_event)
    own |= set(content([record.model_dump(mode="json") for record in records]))
    everything = "\n".join(own)
    tiles = sorted((procedure.tile for procedure in library.procedures), key=len, reverse=True)
    listed = re.compile("(?:(?:" + "|".join(map(re.escape, tiles)) + ")(?:, )?)+")
    left = {
        text
        for text in shown(html)
        if not MARKED.search(text)
        and not FIGURES.fullmatch(text)
        and not listed.fullmatch(text)
        and library.edition.id not in text.lower()
        and not is_content(text, own, everything)
    }
    assert left == set()
    assert '<html lang="eo"' in html


def test_nothing_in_the_reference_tables_is_hard_coded(library, in_pseudo):
    with speaking(in_pseudo.catalog):
        pages = [
            artifact.content for artifact in reference.artifacts(BuildContext(library, library_overrides()))
        ]
    text = "\n".join(
        re.sub(r"\{:[^}]*\}", "", page.partition("---\n")[2].partition("---\n")[2]) for page in pages
    )
    left = {line for line in shown(text) if not MARKED.search(line) and not FIGURES.fullmatch(line)}
    assert len(pages) == 5
    assert left == set()
