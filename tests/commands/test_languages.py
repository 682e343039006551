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


def test_an_untouched_catalog_has_everything_missing_and_names_no_language(extracted):
    file, _ = extracted
    result = run("check", str(file))
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
