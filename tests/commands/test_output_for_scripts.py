"""What DEVELOPERS.md promises to scripts is what the verbs print, key by key and in that order."""

import json
import re
import shutil

import pytest
from click.testing import CliRunner
from forty_paces.cli import main

from tests.faults.projects import BASE, fault_text, project_with
from tests.outputs.classroom.test_score_files import row, score_file
from tests.rule_files import PROJECT

PROMISED = {
    row[1]: [re.findall(r"`([a-z0-9_]+)`", part) for part in row[2].split(";")]
    for row in re.finditer(
        r"^\| `([a-z -]+ --json)` \| (.+) \|$",
        (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8"),
        re.MULTILINE,
    )
}


def data(*words):
    """The parsed standard output of a command."""
    return json.loads(CliRunner().invoke(main, [str(word) for word in words]).stdout)


def test_every_verb_with_json_is_promised_and_no_other():
    with_json = {
        name for name, verb in commands().items() if any("--json" in option.opts for option in verb.params)
    }
    assert {promise.split()[0] for promise in PROMISED} == with_json


def commands():
    context = main.make_context("fortypaces", ["--help"], resilient_parsing=True)
    return {name: main.get_command(context, name) for name in main.list_commands(context)}


def test_check_keeps_its_promise(tmp_path):
    project = project_with(tmp_path, "content/procedures/engine-smoke.yml", fault_text("key-missing"))
    found = data("check", "--json", "--project", project, "--today", "2026-03-01")
    assert [list(found), list(found["findings"][0])] == PROMISED["check --json"]


def test_place_keeps_its_promise():
    found = data("place", "--json", "--scene", PROJECT / "content" / "scenes" / "gorge-bridge.yml")
    walk = found["walk"]
    parts = (found, found["devices"][0], found["approach"]["behind"], walk, walk["stops"][0])
    assert [list(part) for part in parts] == PROMISED["place --json"]


@pytest.mark.parametrize(("units", "ft", "mph"), [("us", "_ft", "_mph"), ("metric", "_m", "_kmh")])
def test_stopping_keeps_its_promise(units, ft, mph):
    promised, _ = PROMISED["stopping --json"]
    found = data("stopping", "--json", "--speed", "55", "--units", units)
    assert list(found) == [re.sub("_mph$", mph, re.sub("_ft$", ft, key)) for key in promised]


def test_place_keeps_its_promise_of_chances():
    found = data("place", "--json", "--road", "two-lane", "--speed", "55", "--chance")
    side = found["chance"]["behind"]
    parts = (list(found)[-2:], side, side["reflecting"], found["assumptions"][0])
    assert [list(part) for part in parts] == PROMISED["place --chance --json"]


def test_stopping_keeps_its_promise_of_chances():
    found = data("stopping", "--json", "--speed", "55", "--chance")
    parts = (list(found)[-2:], found["chance"])
    assert [list(part) for part in parts] == PROMISED["stopping --chance --json"]


def test_verify_keeps_its_promise(tmp_path):
    keys, finding = PROMISED["verify --json"]
    found = data("verify", "--json", tmp_path)
    assert list(found) == keys
    assert list(found["findings"][0]) == [key for key in finding if key != "now"]


def test_sources_keeps_its_promise():
    found = data("sources", "--json", "--project", BASE)
    procedure = found["procedures"][0]
    line = procedure["lines"][0]
    parts = (found, procedure, line, line["sources"][0])
    assert [list(part) for part in parts] == PROMISED["sources --json"]


def test_worksheet_keeps_its_promise(tmp_path):
    """In a project without a site_overrides folder, the checkout's is used."""
    project = tmp_path / "project"
    shutil.copytree(PROJECT / "content", project / "content")
    found = data("worksheet", "--json", "--out", tmp_path / "sheets", "--project", project)
    assert [list(found)] == PROMISED["worksheet --json"]


def test_the_status_of_cards_keeps_its_promise():
    faces = data("cards", "--status", "--json", "--size", "a5", "--project", BASE, "--today", "2026-03-01")
    assert faces
    assert [list(face) for face in faces] == PROMISED["cards --status --json"] * len(faces)


def test_scores_keeps_its_promise(tmp_path):
    text = score_file(row(verdict="wrong", points=0))
    for name in ("one", "copy"):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
    found = data("scores", "--json", "--project", PROJECT, tmp_path)
    parts = (found, found["missed"][0], found["findings"][0])
    assert [list(part) for part in parts] == PROMISED["scores --json"]
