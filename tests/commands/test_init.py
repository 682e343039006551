"""``fortypaces init`` and ``new``: what they write and refuse, and that nothing of the demo is in it."""

import json
import re
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.models.fleet import NOT_ENTERED
from forty_paces.authoring.schema import KINDS, MODELS, skeleton
from forty_paces.authoring.yaml_tree import parse_tree
from forty_paces.cli import main
from forty_paces.commands.init import FILES
from forty_paces.package import STARTER

from tests.american import american
from tests.faults.projects import TODAY
from tests.rule_files import PROJECT


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def files_in(folder):
    return {
        file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*") if file.is_file()
    }


@pytest.fixture
def begun(tmp_path):
    folder = tmp_path / "our carrier"
    done = run("init", folder)
    assert 0 == done.exit_code, done.output
    return folder


class TestInit:
    def test_it_writes_its_files_and_says_where(self, tmp_path):
        folder = tmp_path / "a" / "Ridge & Río"
        done = run("init", folder)
        assert (0, f"Project: {folder}\n") == (done.exit_code, done.stderr)
        assert set(FILES) == set(files_in(folder))

    def test_check_has_no_fault_and_names_the_numbers_to_enter(self, begun):
        findings = inspect_project(begun).findings
        text = (begun / "content/fleet.yml").read_text(encoding="utf-8")
        waiting = len(re.findall(rf"(?m)^    number: {NOT_ENTERED}\b", text))
        assert waiting > 5
        assert [True] * waiting == [finding.advice for finding in findings]
        assert all("is not yet entered" in finding.wrong for finding in findings)

    def test_a_project_for_ontario_has_the_librarys_texts_of_ontario(self, tmp_path):
        folder = tmp_path / "ours"
        assert 0 == run("init", folder, "--rules", "ontario").exit_code
        library = load_library(folder)
        assert ("ontario", ["ontario"]) == (library.fleet.rules, list(library.rules))
        numbers = {phone.id: phone.number for phone in library.fleet.phones}
        assert ("911", "1-888-226-8832") == (numbers["emergency"], numbers["response-center"])
        assert "1-800-268-6060" == numbers["state-spill"]
        texts = [f"{phone.who}. {phone.call_when}" for phone in library.fleet.phones]
        assert [] == [found for text in texts for found in american(text)]
        assert "cfr-392-22-b1" not in library.sources

    def test_a_rule_set_that_the_library_has_not_is_refused_before_anything_is_written(self, tmp_path):
        done = run("init", tmp_path / "ours", "--rules", "atlantis")
        assert 2 == done.exit_code
        assert "name one of: australia-sa, australia-tas, brazil, germany, ontario" in done.stderr
        assert not (tmp_path / "ours").exists()

    def test_everything_else_comes_from_the_library(self, begun):
        ours, demo = load_library(begun), load_library(PROJECT)
        assert [one.id for one in demo.procedures] == [one.id for one in ours.procedures]
        assert (list(demo.scenes), list(demo.lessons)) == (list(ours.scenes), list(ours.lessons))
        assert list(demo.scenarios) == list(ours.scenarios)

    def test_every_commented_example_in_the_fleet_file_is_right(self, begun):
        """With its examples enabled the file loads: their comments are no dead text."""
        file = begun / "content/fleet.yml"
        text = re.sub(r"(?m)^#(?! )(?!safety_lead)", "", file.read_text(encoding="utf-8"))
        text = re.sub(r"(?m)^#(?=  )", "", text)
        (begun / "content/logo.svg").write_text(
            '<svg viewBox="0 0 1 1"><path d="M0 0h1v1z"/></svg>', encoding="utf-8"
        )
        file.write_text(text, encoding="utf-8")
        assert [] == [str(one) for one in inspect_project(begun).findings if not one.advice]
        fleet = load_library(begun).fleet
        assert (1, 1, 1) == (len(fleet.vehicles), len(fleet.conditions), len(fleet.policies))
        assert "#003f6b" == fleet.looks.color

    def test_the_configuration_is_the_demos_but_for_what_the_plugin_adds(self, begun):
        def read(file):
            return yaml.safe_load(file.read_text(encoding="utf-8"))

        own, demo = read(begun / "mkdocs.yml"), read(PROJECT / "mkdocs.yml")
        for name in ("custom_dir", "logo", "favicon"):
            demo["theme"].pop(name)
        for name in ("extra", "extra_css", "extra_javascript", "validation", "site_name"):
            demo.pop(name)
        own.pop("site_name")
        assert demo == own

    @pytest.mark.parametrize("name", FILES)
    def test_one_file_of_the_same_name_stops_it_and_nothing_is_written(self, tmp_path, name):
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("ours", encoding="utf-8")
        before = files_in(tmp_path)
        done = run("init", tmp_path)
        assert 2 == done.exit_code
        assert f"has {name} already, so nothing was written" in " ".join(done.stderr.split())
        assert before == files_in(tmp_path)

    def test_a_broken_link_of_the_same_name_stops_it_too(self, tmp_path):
        (tmp_path / "README.md").symlink_to("gone")
        assert 2 == run("init", tmp_path).exit_code
        assert ["README.md"] == [entry.name for entry in tmp_path.iterdir()]

    def test_other_files_may_be_there(self, tmp_path):
        (tmp_path / "notes.txt").write_text("ours", encoding="utf-8")
        assert 0 == run("init", tmp_path).exit_code
        assert "ours" == (tmp_path / "notes.txt").read_text(encoding="utf-8")

    def test_a_project_is_not_begun_inside_another(self, begun):
        before = files_in(begun)
        done = run("init", begun / "content/yard")
        assert 2 == done.exit_code
        assert f"is in the project {begun}" in " ".join(done.stderr.split())
        assert before == files_in(begun)
        assert 2 == run("init", PROJECT / "yard").exit_code
        assert not (PROJECT / "yard").exists()

    def test_a_file_is_no_folder(self, tmp_path):
        (tmp_path / "x").write_text("", encoding="utf-8")
        done = run("init", tmp_path / "x")
        assert (2, True) == (done.exit_code, "is a file; name a folder" in done.stderr)

    def test_the_workflow_says_that_nobody_has_run_it_and_names_this_version(self, begun):
        text = (begun / ".github/workflows/edition.yml").read_text(encoding="utf-8")
        assert "not yet run by anybody" in text.splitlines()[0]
        assert "{version}" not in text
        steps = yaml.safe_load(text)["jobs"]["edition"]["steps"]
        assert {"fortypaces check", "fortypaces build", "fortypaces verify site"} <= {
            one.get("run") for one in steps
        }

    def test_an_editor_finds_the_schema_of_every_kind_of_file(self, begun):
        settings = json.loads((begun / ".vscode/settings.json").read_text(encoding="utf-8"))
        wanted = {f"./schemas/{kind}.schema.json": files for kind, (files, _) in KINDS.items()}
        assert {"yaml.schemas": wanted} == settings
        assert settings == json.loads((PROJECT / ".vscode/settings.json").read_text(encoding="utf-8"))
        assert 0 == run("schema", begun / "schemas").exit_code
        assert all((begun / name).is_file() for name in settings["yaml.schemas"])

    def test_nothing_of_the_demo_carrier_is_in_the_starter(self):
        demo = load_library(PROJECT).fleet
        names = [demo.carrier, demo.safety_lead, *(one.plate for one in demo.vehicles), "Larkspur", "555-0"]
        for file in STARTER.iterdir():
            text = file.read_text(encoding="utf-8")
            assert [] == [name for name in names if name in text], file


class TestNew:
    @pytest.mark.parametrize("kind", MODELS)
    def test_a_skeleton_is_plain_yaml_that_names_every_key_with_its_description(self, kind):
        text = skeleton("mill-bend", TODAY, kind)
        assert () == parse_tree(text if kind != "vehicle" else f"vehicles:\n{text}", "f.yml")[1]
        prose = " ".join(line.strip().removeprefix("# ") for line in text.splitlines())
        for name, field in MODELS[kind].model_fields.items():
            assert re.search(rf"^\s*#?{name}:", text, flags=re.MULTILINE), name
            assert field.description in prose, name

    @pytest.mark.parametrize(
        ("kind", "path"),
        [
            ("procedure", "content/procedures/mill-bend.yml"),
            ("scene", "content/scenes/mill-bend.yml"),
            ("lesson", "content/lessons/mill-bend.yml"),
            ("rules", "content/rules/mill-bend.yml"),
            ("scenario", "content/scenarios/mill-bend.yml"),
        ],
    )
    def test_a_new_file_has_findings_only_where_something_must_be_filled_in(self, begun, kind, path):
        done = run("new", kind, "mill-bend", "--project", begun)
        assert (0, f"Project: {begun}\n") == (done.exit_code, done.stderr)
        faults = inspect_project(begun).faults
        assert {path} == {fault.place.path for fault in faults}
        questions = [re.sub(r'"[^"]*"', "X", fault.wrong) for fault in faults]
        allowed = {
            "X is empty",
            "X needs at least 1 item",
            "X needs at least 2 items",
            "X needs at least 3 items",
            "X holds an empty value where a group of keys is wanted",
        }
        assert [] == [words for words in questions if words not in allowed]
        again = run("new", kind, "mill-bend", "--project", begun)
        assert (1, True) == (again.exit_code, "is there already" in again.stderr)

    def test_a_vehicle_is_printed_for_the_fleet_file_and_nothing_is_written(self, begun):
        before = files_in(begun)
        done = run("new", "vehicle", "day-cab", "--project", begun)
        assert (0, before) == (done.exit_code, files_in(begun))
        file = begun / "content/fleet.yml"
        text = file.read_text(encoding="utf-8") + "vehicles:\n" + done.stdout
        file.write_text(re.sub(r"(?m)^    title:$", "    title: Day cab", text), encoding="utf-8")
        assert ["day-cab"] == [one.id for one in load_library(begun).fleet.vehicles]

    def test_a_library_procedure_is_copied_to_be_replaced_and_its_state_is_given(self, begun):
        done = run("new", "procedure", "fog", "--project", begun)
        assert 0 == done.exit_code
        copied = begun / "content/procedures/fog.yml"
        assert (PROJECT / "content/procedures/fog.yml").read_bytes() == copied.read_bytes()
        entry = done.stdout[done.stdout.index("files:") :]
        (begun / "content/library.yml").write_text(entry, encoding="utf-8")
        assert [] == [one for one in inspect_project(begun).findings if "number" not in one.wrong]

    @pytest.mark.parametrize("kind", MODELS)
    @pytest.mark.parametrize("name", ["Mill", "../x", "a--b", "x" * 61, r"a\b"])
    def test_an_id_that_cannot_be_a_file_name_is_refused(self, begun, kind, name):
        before = files_in(begun)
        assert 2 == run("new", kind, name, "--project", begun).exit_code
        assert before == files_in(begun)


def test_the_readme_of_a_new_project_names_verbs_that_are_there(begun):
    text = (begun / "README.md").read_text(encoding="utf-8")
    for verb in sorted(set(re.findall(r"fortypaces (\w+)", text))):
        assert 0 == run(verb, "--help").exit_code, verb


def test_place_uses_the_rule_sets_of_the_library(begun, monkeypatch):
    monkeypatch.chdir(begun)
    done = run("place", "--road", "two-lane", "--speed", "55")
    assert 0 == done.exit_code, done.output
    assert "United States, federal rules" in done.stdout.splitlines()[0]
    assert not (Path(begun) / "content/rules").exists()


def test_place_takes_a_scene_of_either_layer_by_its_id(begun, monkeypatch):
    monkeypatch.chdir(begun)
    done = run("place", "--scene", "dairy-lane")
    assert (0, True) == (done.exit_code, "Dairy Lane" in done.stdout)
    own = (PROJECT / "content/scenes/dairy-lane.yml").read_text(encoding="utf-8")
    (begun / "content/scenes").mkdir()
    changed = own.replace("place: Dairy Lane", "place: Our lane")
    (begun / "content/scenes/dairy-lane.yml").write_text(changed, encoding="utf-8")
    assert "Our lane" in run("place", "--scene", "dairy-lane").stdout
    missing = run("place", "--scene", "dairy-lan")
    assert (2, True) == (missing.exit_code, 'there is no scene file "dairy-lan"' in missing.stderr)
