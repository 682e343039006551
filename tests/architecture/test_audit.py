"""`make audit` never reports a package as clear without an answer from the database."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.audit import CLEAR, HIT, UNANSWERED, main, verdict

# The form of pip-audit's JSON reports, as it writes them (version 2.10).
FINE = {"name": "click", "version": "8.2.0", "vulns": []}
BAD = {
    "name": "jinja2",
    "version": "3.1.5",
    "vulns": [{"id": "PYSEC-0000-1", "fix_versions": ["3.1.6"], "aliases": [], "description": "made up"}],
}
BAD_WITHOUT_FIX = {"name": "old", "version": "1", "vulns": [{"id": "PYSEC-0000-2", "fix_versions": []}]}
UNKNOWN = {"name": "segno", "skip_reason": "not found, could not be audited"}
OURS = {"name": "forty-paces", "skip_reason": "distribution marked as editable"}


@pytest.mark.parametrize(
    ("packages", "status", "last"),
    [
        ([FINE, OURS], CLEAR, "1 of 1 packages answered for, 0 advisories."),
        ([FINE, BAD], HIT, "2 of 2 packages answered for, 1 advisories."),
        ([BAD, UNKNOWN], HIT, "1 of 2 packages answered for, 1 advisories."),
        ([FINE, UNKNOWN], UNANSWERED, "This proves nothing about the packages without an answer."),
        ([UNKNOWN], UNANSWERED, "This proves nothing about the packages without an answer."),
        ([OURS], UNANSWERED, "This proves nothing about the packages without an answer."),
        ([], UNANSWERED, "This proves nothing about the packages without an answer."),
    ],
)
def test_only_an_answer_for_every_package_is_clear(
    packages: list[dict[str, Any]], status: int, last: str
) -> None:
    found, said = verdict({"dependencies": packages, "fixes": []})
    assert (status, last) == (found, said[-1])


def test_a_hit_names_package_advisory_and_what_fixes_it() -> None:
    _, said = verdict({"dependencies": [BAD, BAD_WITHOUT_FIX]})
    assert "jinja2 3.1.5: PYSEC-0000-1; fixed in 3.1.6" in said
    assert "old 1: PYSEC-0000-2; fixed in no version yet" in said


@pytest.mark.parametrize("text", [None, "", "{", "[]", "{}", '{"dependencies": [{}]}'])
def test_a_report_that_is_missing_or_broken_is_no_answer(
    tmp_path: Path, text: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "report.json"
    if text is not None:
        file.write_text(text, encoding="utf-8")
    assert UNANSWERED == main(file)
    assert "the database was not asked" in capsys.readouterr().out


def test_a_report_on_disk_is_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "report.json"
    file.write_text(json.dumps({"dependencies": [FINE]}), encoding="utf-8")
    assert CLEAR == main(file)
    assert "1 of 1 packages answered for, 0 advisories.\n" == capsys.readouterr().out
