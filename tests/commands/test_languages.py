"""``fortypaces languages``: the file that translators begin with, and the verdict on what comes back."""

import re
import shutil

import pytest
from click.testing import CliRunner
from forty_paces.commands.languages import languages

from tests.projects import PROJECT


def run(*arguments):
    return CliRunner().invoke(languages, [*arguments, "--project", str(PROJECT)])


@pytest.fixture(scope="module")
def extracted(tmp_path_factory):
    file = tmp_path_factory.mktemp("languages") / "all.pot"
    return file, run("extract", "--out", str(file))


def test_extract_writes_one_entry_for_each_text_and_counts_them(extracted):
    file, result = extracted
    entries = file.read_text(encoding="utf-8").count("\nmsgctxt ")
    assert result.exit_code == 0
    assert f"{file}: {entries} texts." in result.output
    assert entries > 5000


@pytest.mark.long
def test_an_untouched_catalog_has_everything_missing_and_names_no_language(extracted):
    """One text of the carrier's is enough: each of them is searched for among all others."""
    file, _ = extracted
    entries = file.read_text(encoding="utf-8").split("\n\n")
    own = [entry for entry in entries if 'msgctxt "fleet/' in entry]
    assert len(own) > 10
    some = file.with_name("some.pot")
    some.write_text("\n\n".join(one for one in entries if one not in own[1:]), encoding="utf-8")
    result = run("check", str(some))
    assert result.exit_code == 1
    assert "the header names no language" in result.output
    assert " 0 translated, 0 fuzzy, " in result.output


def test_check_ends_well_for_a_catalog_without_faults(tmp_path):
    file = tmp_path / "es.po"
    head = 'msgid ""\nmsgstr ""\n"Language: es_US\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
    body = 'msgctxt "cab.help.where-you-are"\nmsgid "Where you are"\nmsgstr "%s"\n'
    file.write_text(head + body % "Dónde está", encoding="utf-8")
    result = run("check", str(file))
    assert (result.exit_code, " 1 translated, " in result.output) == (0, True)
    file.write_text(head + body % "<b>Dónde está", encoding="utf-8")
    result = run("check", str(file))
    assert result.exit_code == 1
    assert f"{file}:7:1: " in result.output


def test_the_spanish_catalog_of_the_library_is_whole_and_holds_nothing_of_the_carrier_in_the_checkout():
    result = run("check")
    assert result.exit_code == 0, result.output
    assert re.search(
        r"es_US\.po: (\d+) texts, \1 translated, 0 fuzzy, 0 missing; 0 findings\.", result.output
    )
    catalog = (PROJECT / "content/languages/es_US.po").read_text(encoding="utf-8")
    assert 'msgctxt "fleet/' not in catalog


def test_a_carriers_own_project_has_its_own_texts_in_its_catalog(tmp_path):
    shutil.copytree(PROJECT / "content", tmp_path / "content", ignore=shutil.ignore_patterns("languages"))
    (tmp_path / "mkdocs.yml").write_text("site_name: Own\nplugins: [forty-paces]\n", encoding="utf-8")
    result = CliRunner().invoke(languages, ["update", "es_US", "--project", str(tmp_path)])
    assert result.exit_code == 0, result.output
    catalog = (tmp_path / "content/languages/es_US.po").read_text(encoding="utf-8")
    assert 'msgctxt "fleet/' in catalog


HEAD = 'msgid ""\nmsgstr ""\n"Language: es_US\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
FOG = 'msgctxt "fog/title"\nmsgid "Fog"\nmsgstr "%s"\n\n'


@pytest.mark.parametrize(
    ("body", "status", "wrong"),
    [
        (FOG % "Niebla" + FOG % "Bruma", 1, 'es_US.po:10:1: "fog/title" stands here again, after line 6'),
        (FOG % "Niebla" + 'msgid "never ended\n', 2, "es_US.po"),
    ],
)
def test_an_update_that_would_lose_something_writes_nothing(carrier, body, status, wrong):
    file = carrier / "content/languages/es_US.po"
    file.parent.mkdir(exist_ok=True)
    file.write_text(HEAD + body, encoding="utf-8")
    before = file.read_bytes()
    result = CliRunner().invoke(languages, ["update", "es_US", "--project", str(carrier)])
    shown = result.output + (str(result.exception) if result.exception else "")
    assert wrong in shown
    assert "Traceback" not in shown
    assert result.exit_code == status
    assert file.read_bytes() == before
    file.unlink()


@pytest.fixture(scope="module")
def carrier(tmp_path_factory):
    """A carrier's project over the library, with its own fleet file."""
    folder = tmp_path_factory.mktemp("carrier")
    (folder / "content").mkdir()
    shutil.copy(PROJECT / "content/fleet.yml", folder / "content/fleet.yml")
    (folder / "content/library.yml").write_text("leave_out: []\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text("site_name: Own\nplugins: [forty-paces]\n", encoding="utf-8")
    return folder


@pytest.mark.long
def test_over_the_library_a_catalog_begins_with_what_the_library_does_not_translate(carrier):
    result = CliRunner().invoke(languages, ["update", "es_US", "--project", str(carrier)])
    assert result.exit_code == 0, result.output
    file = carrier / "content/languages/es_US.po"
    catalog = file.read_text(encoding="utf-8")
    ids = re.findall(r'^msgctxt "(.*)"$', catalog, re.MULTILINE)
    assert ids
    assert all(text_id.startswith("fleet/") for text_id in ids)
    own = len(ids)
    counts = re.search(
        r"(\d+) texts, (\d+) translated, (\d+) of them by the library, 0 fuzzy, (\d+) missing", result.output
    )
    assert counts is not None, result.output
    every, usable, by_library, missing = map(int, counts.groups())
    assert (missing, usable, every) == (own, by_library, by_library + own)

    translation = 'msgctxt "fleet/vehicles/coach/title"\nmsgid "Coach"\nmsgstr "Autocar"\n'
    instead = 'msgctxt "fog/by_heart/low-beams/do"\nmsgid "Turn the low beams on."\n'
    instead += 'msgstr "Encienda las luces bajas."\n'
    head = catalog.partition("#: content")[0]
    file.write_text(head + translation + "\n" + instead, encoding="utf-8")
    checked = CliRunner().invoke(languages, ["check", "--missing", "--project", str(carrier)])
    assert checked.exit_code == 0, checked.output
    assert (
        f"{every} texts, {every - own + 1} translated, {by_library - 1} of them by the library"
        in checked.output
    )
    assert checked.output.count(": missing: fleet/") == own - 1 == checked.output.count(": missing: ")
    again = CliRunner().invoke(languages, ["update", "es_US", "--project", str(carrier)])
    assert again.exit_code == 0
    updated = file.read_text(encoding="utf-8")
    assert 'msgstr "Autocar"' in updated
    assert 'msgstr "Encienda las luces bajas."' in updated
    assert updated.count("\nmsgctxt ") == own + 1
