"""``fortypaces sources``: what it lists, how it counts, what it refuses and returns."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from forty_paces.authoring.grounds import FIRMEST_FIRST, Ground, GroundedLine, LineKind, ground_of, shares
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.sources import Basis, Source, SourceKind
from forty_paces.cli import main

from tests.faults.projects import BASE, fault_text, project_with


def run(*words: object) -> Result:
    done = CliRunner().invoke(main, ["sources", *map(str, words)])
    assert "Traceback" not in done.output
    return done


def source(basis: str, kind: str = "regulation") -> Source:
    return Source.model_validate({"id": "one", "title": "A text", "kind": kind, "basis": basis})


def line(*bases: str) -> GroundedLine:
    return GroundedLine("by_heart/steer", LineKind.BY_HEART, "Steer.", tuple(source(one) for one in bases))


@pytest.mark.parametrize("basis", list(Basis))
def test_a_source_is_worth_what_its_basis_says(basis: Basis) -> None:
    assert ground_of(source(basis.value)).value == basis.value


@pytest.mark.parametrize("basis", ["memory", "read"])
def test_common_practice_has_no_text_whatever_its_basis(basis: str) -> None:
    assert ground_of(source(basis, "common-practice")) is Ground.COMMON_PRACTICE


def test_the_firmest_ground_of_a_line_counts() -> None:
    assert line("memory", "read-in-part", "second-hand").best is Ground.READ_IN_PART
    assert line("second-hand", "read").best is Ground.READ
    assert line("memory").best is Ground.MEMORY


def test_each_line_is_counted_once_and_every_ground_is_named() -> None:
    counted = shares([line("read", "read"), line("memory"), line("memory", "memory")])
    assert list(counted) == list(FIRMEST_FIRST)
    assert counted[Ground.READ] == 1
    assert counted[Ground.MEMORY] == 2
    assert sum(counted.values()) == 3


def test_every_by_heart_line_and_critical_step_is_listed(library: Library) -> None:
    found = json.loads(run("--json").stdout)
    listed = {f"{one['id']}/{line['at']}" for one in found["procedures"] for line in one["lines"]}
    expected = {f"{one.id}/by_heart/{line.id}" for one in library.procedures for line in one.by_heart} | {
        f"{one.id}/blocks/{block.id}/steps/{step.id}"
        for one in library.procedures
        for block in one.blocks
        for step in block.steps
        if step.critical
    }
    assert listed == expected


def test_the_shares_add_up_to_the_lines() -> None:
    found = json.loads(run("--json").stdout)
    lines = [line for one in found["procedures"] for line in one["lines"]]
    for kind, counted in found["shares"].items():
        assert sum(counted.values()) == sum(line["kind"] == kind for line in lines)
        for ground, count in counted.items():
            assert count == sum((line["kind"], line["best"]) == (kind, ground) for line in lines)


def base_lines(*words: str) -> list[dict[str, Any]]:
    found = json.loads(run("--json", "--project", BASE, *words).stdout)
    return [line for one in found["procedures"] for line in one["lines"]]


def test_a_line_names_its_sources_with_how_each_was_met() -> None:
    (step,) = [line for line in base_lines("engine-smoke") if line["at"].endswith("engine-off")]
    assert step["kind"] == "critical"
    assert step["best"] == "common-practice"
    assert step["sources"] == [
        {"id": "practice", "basis": "memory", "met_in": None, "checked": None, "watch_due": None}
    ]


def test_weak_leaves_out_lines_whose_best_source_was_read(tmp_path: Path) -> None:
    bibliography = (
        "sources:\n  - {id: road-rule, title: A rule, kind: regulation, basis: read, publisher: The tests, "
        "edition: first, locator: part 1, checked: 2026-01-05}\n"
        "  - {id: practice, title: Custom, kind: handbook, basis: read, publisher: The tests, "
        "edition: first, locator: part 2, checked: 2026-01-05}\n"
    )
    project = project_with(tmp_path, "content/sources.yml", bibliography)
    found = json.loads(run("--json", "--weak", "--project", project).stdout)
    assert [one["lines"] for one in found["procedures"]] == [[], []]
    assert {line["best"] for line in base_lines()} == {"computed", "common-practice"}
    assert {line["best"] for line in base_lines("--weak")} == {"common-practice"}


def test_the_text_ends_in_a_table_of_shares() -> None:
    done = run("--project", BASE, "engine-smoke")
    assert done.exit_code == 0
    assert "SMK1  Smoke from the engine (engine-smoke)" in done.stdout
    assert "Turn off the engine." in done.stdout
    table = done.stdout.partition("Best source of the line")[2].splitlines()
    assert table[0].split() == ["By", "heart", "Critical"]
    assert [row.split("  ")[0] for row in table[1:]] == [
        "read",
        "read in a copy",
        "read in part",
        "computed here",
        "second-hand",
        "memory",
        "common practice, no source",
        "all",
    ]


def test_only_the_named_procedures_are_listed() -> None:
    found = json.loads(run("--json", "--project", BASE, "wheel-wobble").stdout)
    assert [one["id"] for one in found["procedures"]] == ["wheel-wobble"]


def test_an_unknown_procedure_is_wrong_use() -> None:
    done = run("--project", BASE, "wheel-woble")
    assert done.exit_code == 2
    assert 'there is no procedure "wheel-woble"' in done.stderr
    assert "closest: wheel-wobble" in done.stderr


def test_faulty_content_is_reported_and_nothing_is_listed(tmp_path: Path) -> None:
    project = project_with(tmp_path, "content/procedures/engine-smoke.yml", fault_text("key-missing"))
    done = run("--project", project)
    assert done.exit_code == 1
    assert done.stdout == ""
    assert "content/procedures/engine-smoke.yml" in done.stderr


def test_an_overdue_watch_does_not_keep_the_list_from_reviewers(tmp_path: Path) -> None:
    bibliography = fault_text("source-watch-overdue")
    project = project_with(tmp_path, "content/sources.yml", bibliography)
    done = run("--json", "--project", project)
    assert done.exit_code == 0
    dues = {
        one["watch_due"]
        for procedure in json.loads(done.stdout)["procedures"]
        for line in procedure["lines"]
        for one in line["sources"]
    }
    assert "2026-02-28" in dues


def test_no_line_that_drivers_must_not_miss_rests_on_recalled_text_alone(library: Library) -> None:
    """Texts cited from memory may be listed beside others."""
    found = json.loads(run("--json").stdout)
    recalled = {
        f"{one['id']}/{line['at']}"
        for one in found["procedures"]
        for line in one["lines"]
        if line["best"] == "memory"
    }
    assert recalled == set()
    assert SourceKind.COMMON_PRACTICE in {one.kind for one in library.sources.values()}
