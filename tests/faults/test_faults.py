"""Each kind of author error gives exactly the expected message."""

import re

import pytest
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.wording.registry import RULES

from tests.faults.projects import (
    BASE,
    FAULTS,
    HERE,
    TODAY,
    expected,
    fault_text,
    inspected,
    messages,
    replaced_file,
)

MOST_FINDINGS = 3
"""One fault may affect several examples or its own waiver; more findings would obscure it."""


def test_the_base_project_has_no_finding_at_all():
    assert messages(inspect_project(BASE, TODAY)) == ""
    library = load_library(BASE, TODAY)
    assert [procedure.id for procedure in library.procedures] == ["wheel-wobble", "engine-smoke"]


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_reported_word_for_word(name, tmp_path):
    assert expected(name) == messages(inspected(tmp_path, replaced_file(name), fault_text(name)))


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_reported_once_and_with_a_way_to_fix_it(name):
    blocks = re.split(r"^(?=content/)", expected(name), flags=re.MULTILINE)[1:]
    assert 1 <= len(blocks) <= MOST_FINDINGS
    for block in blocks:
        assert re.match(r"content/[\w./-]+\.yml:[1-9]\d*:[1-9]\d*: \S", block)
        assert re.search(r"^    fix: \S", block, flags=re.MULTILINE)


def test_there_are_many_faults_each_with_its_message():
    assert len(FAULTS) >= 100
    assert FAULTS == sorted(path.stem for path in HERE.glob("*.txt"))
    for name in FAULTS:
        assert (BASE / replaced_file(name)).is_file()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_wording_rule_has_a_fault_that_breaks_it(rule):
    pattern = re.compile(rf"\[{rule.name}( at |\])")
    assert any(pattern.search(expected(name)) for name in FAULTS)
    assert any(pattern.search(expected(name)) for name in FAULTS if name.startswith(f"{rule.name}--"))


def test_all_faults_of_all_files_are_reported_in_one_run_sorted_by_place(tmp_path):
    wanted = [
        "key-missing",
        "stopped-line--no-stopped-line",
        "rule-set-unknown",
        "source-uncited",
        "bend-without-turn",
    ]
    from tests.faults.projects import project_with

    project = project_with(tmp_path, "content/procedures/engine-smoke.yml", fault_text("key-missing"))
    for name in wanted[2:]:
        (project / replaced_file(name)).write_text(fault_text(name))
    text = (BASE / "content/procedures/wheel-wobble.yml").read_text()
    late = text.replace("After you have stopped, start here.", "Start here.")
    (project / "content/procedures/wheel-wobble.yml").write_text(late)
    findings = inspect_project(project, TODAY).findings
    assert list(findings) == sorted(findings)
    assert {finding.place.path for finding in findings} == {
        "content/fleet.yml",
        "content/procedures/engine-smoke.yml",
        "content/procedures/wheel-wobble.yml",
        "content/scenes/straight.yml",
        "content/sources.yml",
    }
