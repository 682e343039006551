"""The workflow files: what can be known of them here. Nobody has run them, and they say so.

Their schema was checked by hand with check-jsonschema 0.39, schema "vendor.github-workflows".
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml

PROJECT = Path(__file__).resolve().parents[2]
OURS = PROJECT / ".github/workflows/tests.yml"
CARRIERS = PROJECT / "generator/forty_paces/starter/edition.yml"
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def jobs(file: Path) -> dict[str, Any]:
    return yaml.safe_load(file.read_text(encoding="utf-8"))["jobs"]


@pytest.mark.parametrize("file", [OURS, CARRIERS], ids=["ours", "carriers"])
def test_a_workflow_says_that_nobody_has_run_it_and_may_only_read(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert re.search("not yet run by anybody", text.splitlines()[0], re.IGNORECASE)
    assert {"contents": "read"} == yaml.safe_load(text)["permissions"]


def test_every_supported_python_and_three_systems_have_a_row() -> None:
    matrix = jobs(OURS)["pythons"]["strategy"]["matrix"]
    named = {one.rpartition(":: ")[2] for one in PYPROJECT["classifiers"] if ":: 3." in one}
    assert named <= set(matrix["python"])
    assert {"3.11", "3.14"} <= set(matrix["python"])
    systems = {*matrix["os"], *(row["os"] for row in matrix["include"])}
    assert {"ubuntu-latest", "windows-latest", "macos-latest"} == systems


def test_what_it_runs_is_there() -> None:
    steps = [step.get("run", "") for job in jobs(OURS).values() for step in job["steps"]]
    assert ".ci/run" in steps
    named = {word for step in steps for word in step.split() if word.startswith("tests/")}
    assert len(named) > 3
    assert [] == [name for name in named if not (PROJECT / name).is_dir()]


def test_there_are_no_addresses_before_there_is_a_place() -> None:
    assert "urls" not in PYPROJECT


def test_every_hook_before_a_commit_runs_a_tool_of_this_environment() -> None:
    (repo,) = yaml.safe_load((PROJECT / ".pre-commit-config.yaml").read_text(encoding="utf-8"))["repos"]
    assert "local" == repo["repo"]
    assert {"python -m"} == {" ".join(hook["entry"].split()[:2]) for hook in repo["hooks"]}
