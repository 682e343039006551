"""Checks of review dates, signatures and change logs, as of ``ParsedContent.today``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise

from forty_paces.authoring.documents import ParsedRecord
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.parsed_content import ParsedContent

Reviewed = Procedure | BeforeTrip | AfterEvent

LONGEST_MONTHS = 24

OVERDUE = "review-date"
"""Name of the rule on review dates."""

WARN_DAYS = 60
"""Days before a due date from which advice is given."""


def check_reviews(draft: ParsedContent) -> Iterator[Finding]:
    """Review dates in order, at most 24 months apart, not overdue; no future signature; current changes."""
    for filed in draft.procedures:
        yield from _dates(filed, draft.today)
        yield from _signatures(filed, draft.today)
        yield from _changes(filed)
    for parsed in (draft.before_trip, draft.after_event):
        if parsed is not None:
            yield from _dates(parsed, draft.today)
            yield from _signatures(parsed, draft.today)


def _dates(filed: ParsedRecord[Reviewed], today: dt.date) -> Iterator[Finding]:
    record = filed.record
    latest = months_later(record.effective, LONGEST_MONTHS)
    if record.next_review <= record.effective:
        wrong = f"the next review ({record.next_review}) is not after the effective date ({record.effective})"
        fix = f"write a day after {record.effective}, {latest} at the latest"
        yield filed.document.finding(("next_review",), wrong, fix=fix, rule=OVERDUE)
        return
    if record.next_review > latest:
        span = f"{LONGEST_MONTHS} months after {record.effective}"
        wrong = f"the next review ({record.next_review}) is more than {span}"
        yield filed.document.finding(
            ("next_review",), wrong, fix=f"write {latest} or a day before it", rule=OVERDUE
        )
    if record.next_review < today:
        wrong = f"the review of this {filed.document.kind} was due on {record.next_review}; today is {today}"
        fix = "have it reviewed, then set 'effective' and 'next_review' anew and add a line to 'changes'"
        yield filed.document.finding(("next_review",), wrong, fix=fix, rule=OVERDUE)
    elif (record.next_review - today).days <= WARN_DAYS:
        wrong = f"the review of this {filed.document.kind} is due on {record.next_review}"
        fix = "have it reviewed before that day: from then on nothing is built"
        yield filed.document.finding(("next_review",), wrong, fix=fix, rule=OVERDUE, advice=True)


def _signatures(filed: ParsedRecord[Reviewed], today: dt.date) -> Iterator[Finding]:
    for name in ("technical", "user", "safety_lead"):
        signature = getattr(filed.record.review, name)
        if signature is not None and signature.day > today:
            wrong = f"this signature is dated {signature.day}, which is still to come; today is {today}"
            fix = "write the day it was really done, or take the signature out"
            yield filed.document.finding(("review", name, "day"), wrong, fix=fix, rule="signature-date")


def _changes(filed: ParsedRecord[Procedure]) -> Iterator[Finding]:
    changes = filed.record.changes
    if not changes:
        wrong = "the change log is empty"
        fix = f'add "changes" with a line for version {filed.record.version}'
        yield filed.document.finding((), wrong, fix=fix, rule="change-log")
        return
    if changes[0].version != filed.record.version:
        latest, version = changes[0].version, filed.record.version
        wrong = f"the change log begins with version {latest}, but this is version {version}"
        fix = f"add a first line for version {filed.record.version}: the day, and what changed"
        yield filed.document.finding(("changes", 0, "version"), wrong, fix=fix, rule="change-log")
    for i, (newer, older) in enumerate(pairwise(changes)):
        if newer.day < older.day:
            wrong = f"the change of {older.day} stands below that of {newer.day}"
            yield filed.document.finding(
                ("changes", i + 1, "day"), wrong, fix="put the newest change first", rule="change-log"
            )


def months_later(day: dt.date, months: int) -> dt.date:
    """The same day of the month ``months`` later, or the last day of a shorter month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return dt.date(year, month + 1, min(day.day, last))
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")
