"""Review and signature dates: the day before each limit, the limit, the day after."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.library import inspect_project

from tests.faults.projects import BASE, TODAY, fault_text, inspected

NEXT_REVIEW = dt.date(2027, 1, 5)
"""The next review of every procedure in the base project."""


def review_findings(days_before: int) -> list[Finding]:
    findings = inspect_project(BASE, NEXT_REVIEW - dt.timedelta(days_before)).findings
    return [finding for finding in findings if finding.rule == "review-date"]


@pytest.mark.parametrize(("days_before", "announced"), [(61, False), (60, True), (59, True), (0, True)])
def test_a_review_is_announced_sixty_days_before_it_is_due(days_before: int, announced: bool) -> None:
    findings = review_findings(days_before)
    assert announced is any("is due on 2027-01-05" in finding.wrong for finding in findings)
    assert all(finding.advice for finding in findings)


def test_the_day_after_it_is_due_nothing_is_built() -> None:
    assert any("was due on 2027-01-05" in finding.wrong for finding in review_findings(-1))
    assert not all(finding.advice for finding in review_findings(-1))


@pytest.mark.parametrize(("days_ahead", "refused"), [(-1, False), (0, False), (1, True)])
def test_a_signature_may_be_dated_today_and_no_later(tmp_path: Path, days_ahead: int, refused: bool) -> None:
    signed = TODAY + dt.timedelta(days_ahead)
    text = fault_text("signature-in-the-future")
    assert text.count("day: 2026-03-02") == 1
    inspection = inspected(
        tmp_path,
        "content/procedures/engine-smoke.yml",
        text.replace("day: 2026-03-02", f"day: {signed}"),
    )
    assert refused is any(finding.rule == "signature-date" for finding in inspection.faults)
