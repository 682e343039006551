"""Rule sets kept between calls of ``fortypaces place``: never another answer than the file itself gives."""

from __future__ import annotations

import dataclasses
import json
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from forty_paces.authoring.findings import ContentFault
from forty_paces.commands import rule_cache, rule_files
from forty_paces.commands.rule_cache import MOST_KEPT, rule_set_from, rule_set_in_force

from tests.rule_files import PROJECT, names, rule_file


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder in which this test's commands keep rule sets."""
    monkeypatch.setattr(rule_cache, "_cache_folder", lambda: tmp_path / "cache" / "rules")
    return tmp_path / "cache" / "rules"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project of a fleet and two rule sets."""
    top = tmp_path / "carrier"
    shutil.copytree(PROJECT / "content/rules", top / "content/rules")
    shutil.copy(PROJECT / "content/fleet.yml", top / "content/fleet.yml")
    return top


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize("name", names())
def test_what_is_kept_is_the_rule_set_to_the_last_figure(name: str) -> None:
    rules = rule_file(name).rule_set
    assert rule_set_from(json.loads(json.dumps(dataclasses.asdict(rules)))) == rules


def test_the_second_call_reads_no_rule_file_and_gets_the_same(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = rule_set_in_force(project, None)
    monkeypatch.setattr(rule_files, "load_rules", lambda *_: pytest.fail("the rule file is read"))
    assert rule_set_in_force(project, None) == first


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("content/rules/us.yml", "title:", "title: Another"),
        ("content/fleet.yml", "rules: us", "rules: germany"),
    ],
)
def test_a_change_of_a_file_that_decides_it_is_an_answer_of_its_own(
    project: Path, file: str, old: str, new: str
) -> None:
    before = rule_set_in_force(project, None)
    edit(project / file, old, new)
    after = rule_set_in_force(project, None)
    assert after != before
    assert after == rule_files.load_rules(project, rule_files.rules_in_force(project)).rule_set


def test_a_changed_module_that_reads_rule_files_makes_what_is_kept_void(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "package"
    for name in rule_cache.READERS:
        shutil.copytree(rule_cache.PACKAGE / name, package / name)
    monkeypatch.setattr(rule_cache, "PACKAGE", package)
    rule_set_in_force(project, None)
    with (package / "authoring/binding.py").open("a", encoding="utf-8") as module:
        module.write("# another version\n")
    monkeypatch.setattr(rule_files, "load_rules", lambda *_: pytest.fail("read anew"))
    with pytest.raises(pytest.fail.Exception, match="read anew"):
        rule_set_in_force(project, None)


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", '{"id": "us"}', '{"hidden": null, "layouts": [{"road": "sky"}]}', "\udcff"],
)
def test_what_cannot_be_read_back_is_read_from_the_rule_file(project: Path, kept: Path, text: str) -> None:
    whole = rule_set_in_force(project, None)
    (file,) = kept.glob("*.json")
    file.write_bytes(text.encode(errors="surrogateescape"))
    assert rule_set_in_force(project, None) == whole
    assert rule_set_from(json.loads(file.read_text(encoding="utf-8"))) == whole


def test_without_a_folder_to_keep_it_in_there_is_an_answer_all_the_same(project: Path, kept: Path) -> None:
    kept.parent.mkdir()
    kept.write_text("a file where the folder would be", encoding="utf-8")
    assert rule_set_in_force(project, None).id == "us"


def test_a_faulty_rule_file_is_a_finding_every_time_and_is_never_kept(project: Path, kept: Path) -> None:
    edit(project / "content/rules/us.yml", "title:", "titel:")
    for _ in range(2):
        with pytest.raises(ContentFault):
            rule_set_in_force(project, None)
    assert list(kept.parent.rglob("*.json")) == []


def test_an_unknown_rule_set_is_wrong_use_every_time(project: Path) -> None:
    for _ in range(2):
        with pytest.raises(click.UsageError, match="there is no rule set"):
            rule_set_in_force(project, "atlantis")


def test_no_more_than_so_many_are_kept(project: Path, kept: Path) -> None:
    kept.mkdir(parents=True)
    for number in range(MOST_KEPT + 5):
        (kept / f"{number}.json").write_text("{}", encoding="utf-8")
    rules = rule_set_in_force(project, None)
    files = list(kept.glob("*.json"))
    assert len(files) == MOST_KEPT
    assert rule_set_in_force(project, None) == rules


def test_a_second_placement_imports_neither_a_yaml_model_nor_a_validator(tmp_path: Path) -> None:
    script = (
        "import sys, pathlib\n"
        "from forty_paces.commands import rule_cache\n"
        f"rule_cache._cache_folder = lambda: pathlib.Path({str(tmp_path)!r})\n"
        "from forty_paces.cli import main\n"
        "try:\n    main(['place', '--road', 'two-lane', '--speed', '55'])\n"
        "except SystemExit as ended:\n    assert not ended.code\n"
        "print(*sys.modules, file=sys.stderr)\n"
    )
    first, second = (
        subprocess.run(
            [sys.executable, "-c", script], cwd=PROJECT, capture_output=True, text=True, check=True
        )
        for _ in range(2)
    )
    assert second.stdout == first.stdout
    assert "pydantic" in first.stderr.split()
    assert "pydantic" not in second.stderr.split()
