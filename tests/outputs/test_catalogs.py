"""Catalogs for translators: what is in them, what is found wrong in one, and pages made with one."""

import io
import re
from collections.abc import Mapping

import babel.messages.pofile
import pytest
import yaml
from bs4 import BeautifulSoup, Comment, Doctype
from bs4.element import Script, Stylesheet
from forty_paces.authoring.texts import texts_by_id
from forty_paces.messages.cab import WORDS
from forty_paces.messages.languages import speaking
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.catalog_checks import read_translation
from forty_paces.outputs.common.catalogs import (
    SourceText,
    empty_catalog,
    source_texts,
    template_catalog,
    updated,
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


def test_each_text_of_the_content_begins_in_the_file_and_line_that_its_place_names(known):
    """Shared passages stand in shared.yml, though a procedure shows them; folded texts begin a line later."""
    lines = {}
    elsewhere = []
    for text in known:
        if not text.path.startswith("content/") or re.search(r"/moments/[\w-]+/ask$", text.id):
            continue  # a question that a scenario leaves out is asked by default
        if text.path not in lines:
            lines[text.path] = (PROJECT / text.path).read_text(encoding="utf-8").splitlines()
        there = " ".join(lines[text.path][text.line - 1 : text.line + 1])
        first = re.match(r"\W*(\w+)", text.english)
        if first is not None and first[1] not in there and "{" not in there:
            elsewhere.append((text.id, text.path, text.line))
    assert elsewhere == []
    assert sum(text.path == "content/shared.yml" for text in known) > 1000


def test_the_same_content_makes_the_same_catalog(library, template):
    assert template_catalog(library, library_overrides()) == template


TEXTS = (
    SourceText("walk.go", "Go {distance}, then <b>stop</b>", "", "messages/cab.py", 3),
    SourceText("page.share", "%(share)s of 100", "", "site_overrides/templates/pages/a.md.j2", 4),
    SourceText("page.days", "one day", "%(n)s days", "site_overrides/templates/pages/a.md.j2", 5),
    SourceText("fog/title", "Fog {thick}", "", "content/procedures/fog.yml", 2),
    SourceText("story/text", "Walk {walk}", "", "content/scenarios/story.yml", 6),
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
            entry("page.share", "%(share)s of 100", "%(share)s %% de 100"),
            DAYS + 'msgstr[0] "un día"\nmsgstr[1] "%(n)s días"\n',
            entry("fog/title", "Fog {thick}", "Niebla"),
            entry("story/text", "Walk {walk}", "Camine {walk}"),
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
        (entry("page.share", "%(share)s of 100", "%(share)s"), 8, "the figure 100 is missing"),
        (
            entry("page.share", "%(share)s of 100", "%(share)s de 100 o 1.000"),
            8,
            "the figure 1.000 is not in",
        ),
        (entry("fog/title", "Fog {thick}", "<i>Niebla</i>"), 8, "the tag <i> is not in the English"),
        (entry("page.share", "%(share)s of 100", "%(share)s de 100 <i"), 8, "the sign < is markup here"),
        (entry("page.share", "%(share)s of 100", "%(share)s <!-- 100"), 8, "the sign < is markup here"),
        (
            entry("page.share", "%(share)s of 100", '%(share)s de 100\\" onclick=\\"go()'),
            8,
            'the sign " is markup here',
        ),
        (entry("walk.go", GO, "{distance} <b onclick=go()>x</b>"), 8, "the tag <b onclick=go()> is not in"),
        (entry("walk.go", GO, "{distance} <script>x</script>"), 8, "the tag <script> is not in the English"),
        (entry("walk.go", GO, "{distance} <b>\u200fx</b>"), 8, "the invisible character"),
        (DAYS + 'msgstr[0] "un día"\nmsgstr[1] "%(n)s días"\nmsgstr[2] "x"\n', 8, "more translations than"),
        (entry("story/text", "Walk {walk}", "Camine"), 8, "the placeholder {walk} is missing"),
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


def test_who_has_read_and_signed_a_catalog_stands_in_its_head(tmp_path):
    head = "# Reviewed by: Ana Ruiz, driver, 2026-12-01\n"
    head += "# Signed: fog 1.0 safety_lead: Eva Gil, lead, 2026-12-02\n"
    got = read(tmp_path, entry("fog/title", "Fog {thick}", "Niebla"), head + HEAD)
    assert got.reviewer == "Ana Ruiz, driver, 2026-12-01"
    (signed,) = got.signatures
    assert (signed.procedure, signed.version, signed.check, signed.name) == (
        "fog",
        "1.0",
        "safety_lead",
        "Eva Gil, lead",
    )
    assert read(tmp_path, "").reviewer == ""


def test_a_catalog_below_the_projects_is_not_blamed_for_texts_of_other_projects(tmp_path):
    body = entry("walk.gone", "Go", "Va") + "\n" + entry("fog/title", "Mist", "Niebla")
    file = tmp_path / "es.po"
    file.write_text(HEAD + body, encoding="utf-8")
    got = read_translation(file, TEXTS, below=True)
    assert (got.findings, got.catalog.texts) == ((), {})


TEMPLATE = HEAD.replace('"Language: es_US\\n"\n', "")


def entries(data):
    return {one.context: one for one in babel.messages.pofile.read_po(io.BytesIO(data)) if one.id}


def test_an_update_keeps_every_translation_and_marks_what_has_changed():
    old = HEAD + "\n".join(
        (
            entry("a", "Stop", "Pare"),
            entry("b", "Go", "Siga"),
            entry("c", "Gone", "Se fue"),
            entry("d", "New", ""),
        )
    )
    new = TEMPLATE + "\n".join(
        (entry("a", "Stop", ""), entry("b", "Go on", ""), entry("d", "New", ""), entry("e", "More", ""))
    )
    once = updated(old.encode(), new.encode())
    got = entries(once)
    assert {name: (one.string, one.fuzzy) for name, one in got.items()} == {
        "a": ("Pare", False),
        "b": ("Siga", True),
        "d": ("", False),
        "e": ("", False),
    }
    assert '#| msgid "Go"' in once.decode()
    assert '#~ msgstr "Se fue"' in once.decode()
    assert updated(once, new.encode()) == once
    back = new.replace('"Go on"', '"Go"') + "\n" + entry("c", "Gone", "")
    assert entries(updated(once, back.encode()))["c"].string == "Se fue"


LONG = "Lead everyone off the road, behind the rail where there is one, and upwind of the smoke if you can"
"""Longer than the 76 characters at which comments of a catalog are usually broken."""


@pytest.mark.parametrize("earlier", [LONG, f"{LONG}.\\nThen call."])
def test_a_long_earlier_english_stays_one_line_however_often_the_catalog_is_updated(earlier):
    once = updated((HEAD + entry("a", earlier, "Lleve")).encode(), (TEMPLATE + entry("a", "Go", "")).encode())
    previous = [line for line in once.decode().splitlines() if line.startswith("#|")]
    assert len(previous) == 1
    assert LONG in previous[0]
    thrice = updated(
        updated(once, (TEMPLATE + entry("a", "Go", "")).encode()),
        TEMPLATE.encode() + entry("a", "Go", "").encode(),
    )
    assert thrice == once


def test_an_earlier_english_that_was_broken_into_several_comments_is_read_as_one():
    """As an earlier version wrote it, and as msgmerge of GNU gettext does."""
    broken = '#, fuzzy\n#| msgid "Lead everyone off the road,\n#| and upwind"\n' + entry("a", "Go", "Lleve")
    merged = '#, fuzzy\n#| msgid ""\n#| "Lead everyone off the road, "\n#| "and upwind"\n' + entry(
        "a", "Go", "Lleve"
    )
    for body in (broken, merged):
        got = updated((HEAD + body).encode(), (TEMPLATE + entry("a", "Go", "")).encode()).decode()
        assert [line for line in got.splitlines() if line.startswith("#|")][-1].endswith('and upwind"')
        assert (got.count("#|"), "# |" in got) == (1, False)


def test_both_forms_of_an_earlier_english_are_kept_once():
    body = DAYS + 'msgstr[0] "un día"\nmsgstr[1] "%(n)s días"\n'
    new = TEMPLATE + DAYS.replace("one day", "a day") + 'msgstr[0] ""\nmsgstr[1] ""\n'
    once = updated((HEAD + body).encode(), new.encode())
    assert '#| msgid "one day"\n#| msgid_plural "%(n)s days"\n' in once.decode()
    assert updated(once, new.encode()) == once


def test_an_update_keeps_the_head_and_says_nothing_that_it_does_not_know():
    head = "# Reviewed by: Ana Ruiz, driver, 2026-12-01\n" + HEAD
    again = updated(
        (head + entry("a", "Stop", "Pare")).encode(), (TEMPLATE + entry("a", "Stop", "")).encode()
    )
    assert "# Reviewed by: Ana Ruiz, driver, 2026-12-01" in again.decode()
    assert '"Language: es_US\\n"' in again.decode()


def test_a_new_catalog_names_its_language_and_plural_forms():
    made = updated(empty_catalog("es_US"), (TEMPLATE + entry("a", "Stop", "")).encode()).decode()
    assert '"Language: es_US\\n"' in made
    assert "nplurals=3" in made  # with a form for whole millions, as CLDR has it
    with pytest.raises(ValueError, match="no language has the code"):
        empty_catalog("xx_XX")


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
