"""Which project a verb works on: the one around the working folder, or the named one; never another."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.geometry.units import mph_to_kmh

from tests.faults.projects import BASE
from tests.rule_files import PROJECT

PLUGIN = "site_name: Own\nplugins:\n  - forty-paces\n"
DAY = ("--today", "2026-03-01")
ASKED = ("place", "--road", "two-lane", "--speed", "50")


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def files_of(folder):
    return sorted(path for path in (folder / "content").rglob("*") if path.is_file())


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A small project with its own mkdocs.yml, which is the working folder."""
    project = tmp_path / "own"
    shutil.copytree(BASE, project)
    (project / "mkdocs.yml").write_text(PLUGIN, encoding="utf-8")
    monkeypatch.chdir(project)
    return project


@pytest.mark.parametrize("below", [".", "content", "content/procedures"])
def test_the_project_is_the_nearest_folder_upward_that_uses_the_plugin(own, below, monkeypatch):
    monkeypatch.chdir(own / below)
    done = run("check", *DAY)
    assert (0, f"Project: {own}\n") == (done.exit_code, done.stderr)
    assert "No faults in 2 procedures" in done.stdout


def test_the_checkout_is_found_by_the_same_rule(monkeypatch):
    monkeypatch.chdir(PROJECT / "content/rules")
    assert f"Project: {PROJECT}\n" == run(*ASKED).stderr


def test_a_project_without_rule_sets_is_judged_itself_and_told_so(own):
    """An earlier version silently skipped it in favor of the checkout of this program."""
    shutil.rmtree(own / "content/rules")
    done = run("check", "--json", *DAY)
    assert (1, f"Project: {own}\n") == (done.exit_code, done.stderr)
    found = json.loads(done.stdout)
    assert 2 == found["read"]["procedure"]
    (missing,) = [one for one in found["findings"] if one["file"] == "content/rules"]
    assert "there is no rule set, so no distance can be given" == missing["wrong"]


def test_a_new_procedure_is_written_into_the_project_one_stands_in_and_nowhere_else(own):
    shutil.rmtree(own / "content/rules")
    before = files_of(PROJECT)
    done = run("new", "procedure", "odd-noise")
    assert (0, f"Project: {own}\n") == (done.exit_code, done.stderr)
    assert (own / "content/procedures/odd-noise.yml").is_file()
    assert before == files_of(PROJECT)


VERBS = [
    ("check",),
    ("build",),
    ("new", "procedure", "odd-noise"),
    ("cards", "--status"),
    ("editions",),
    ("review",),
    ("worksheet",),
    ASKED,
]


@pytest.mark.parametrize("words", VERBS, ids=lambda words: words[0])
@pytest.mark.parametrize("inside", [False, True])
def test_no_verb_falls_back_on_another_project(tmp_path, monkeypatch, words, inside):
    """Neither outside every project nor in a folder of content that lies within another project."""
    if inside:
        (tmp_path / "mkdocs.yml").write_text(PLUGIN, encoding="utf-8")
        shutil.copytree(BASE / "content", tmp_path / "content")
        (tmp_path / "other/content/procedures").mkdir(parents=True)
        monkeypatch.chdir(tmp_path / "other")
    else:
        monkeypatch.chdir(tmp_path)
    before = files_of(PROJECT), sorted(tmp_path.rglob("*"))
    done = run(*words)
    assert 2 == done.exit_code, done.output
    wanted = (
        "no mkdocs.yml that lists the plugin" if inside else "no mkdocs.yml here or above lists the plugin"
    )
    assert wanted in " ".join(done.stderr.split())
    assert "name the project with --project" in " ".join(done.stderr.split())
    assert before == (files_of(PROJECT), sorted(tmp_path.rglob("*")))


@pytest.mark.parametrize("words", [VERBS[0], VERBS[2], VERBS[5], ASKED], ids=lambda words: words[0])
def test_a_verb_says_which_project_it_took(own, words):
    done = run(*words)
    assert done.stderr.startswith(f"Project: {own}\n")
    assert "Project: " not in done.stdout


@pytest.mark.parametrize(
    ("config", "found"),
    [
        ("plugins: [search, forty-paces]\n", True),
        ("plugins:\n  - search\n  - forty-paces:\n      cards: false\n", True),
        ("plugins:\n  forty-paces: {}\n", True),
        ("x: !!python/name:a.b\nplugins: [forty-paces]\n", True),
        ("INHERIT: base.yml\n", True),
        ("INHERIT: base.yml\nplugins: [search]\n", False),
        ("plugins: [search]\n", False),
        ("site_name: Other\n", False),
        ("INHERIT: mkdocs.yml\n", False),
        ("", False),
    ],
)
def test_mkdocs_yml_may_list_the_plugin_in_each_way_that_mkdocs_reads(own, config, found):
    (own / "base.yml").write_text("plugins: [forty-paces]\n", encoding="utf-8")
    (own / "mkdocs.yml").write_text(config, encoding="utf-8")
    assert found == (run("check", *DAY).exit_code == 0)


def test_a_mkdocs_yml_that_cannot_be_read_is_named_and_not_passed_over(own):
    (own / "mkdocs.yml").write_text("plugins: [", encoding="utf-8")
    done = run("check", *DAY)
    assert 2 == done.exit_code
    assert f"{own / 'mkdocs.yml'} cannot be read" in " ".join(done.stderr.split())


def test_a_deleted_working_folder_is_reported(tmp_path, monkeypatch):
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    done = run("check")
    assert 2 == done.exit_code
    assert "the working folder was deleted" in done.stderr


@pytest.fixture
def under(own):
    """Puts a rule set of the repository in force in the small project."""

    def put(name):
        shutil.copy(PROJECT / f"content/rules/{name}.yml", own / "content/rules")
        (own / "content/fleet.yml").write_text(f"carrier: Own\nrules: {name}\n", encoding="utf-8")

    return put


@pytest.mark.parametrize(
    ("name", "posted", "unit"), [("us", "50 mph (80 km/h)", "ft"), ("germany", "50 km/h (31 mph)", "m")]
)
def test_place_takes_the_rule_set_in_force_and_its_units(under, name, posted, unit):
    under(name)
    done = run(*ASKED)
    assert posted in done.stdout.splitlines()[0]
    assert unit == next(line for line in done.stdout.splitlines() if "toward" in line).split()[1]
    assert name == json.loads(run(*ASKED, "--json").stdout)["rules"]


def test_a_speed_is_read_as_it_is_posted_where_lengths_are_metric(under):
    """The United Kingdom posts miles per hour and measures in meters (Highway Code)."""
    under("uk")
    assert "50 mph (80 km/h)" in run(*ASKED).stdout.splitlines()[0]


def test_rules_and_units_named_on_the_command_line_come_before_those_of_the_fleet(under):
    under("germany")
    shutil.copy(PROJECT / "content/rules/us.yml", Path.cwd() / "content/rules")
    assert "50 mph" in run(*ASKED, "--rules", "us").stdout.splitlines()[0]
    typed_in_mph = run(*ASKED, "--units", "us").stdout.splitlines()[0]
    assert f"{mph_to_kmh(50):.0f} km/h (50 mph)" in typed_in_mph


def test_place_refuses_a_rule_set_in_force_that_is_not_there(own):
    (own / "content/fleet.yml").write_text("carrier: Own\nrules: germny\n", encoding="utf-8")
    done = run(*ASKED)
    assert 1 == done.exit_code
    assert 'content/fleet.yml:2:8: the rule set "germny" does not exist' in done.stderr


def test_place_without_a_fleet_file_asks_for_the_rule_set(own):
    (own / "content/fleet.yml").unlink()
    done = run(*ASKED)
    assert 2 == done.exit_code
    assert "name one with --rules" in " ".join(done.stderr.split())
    assert 0 == run(*ASKED, "--rules", "plain").exit_code
