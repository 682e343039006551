"""The review report: state, sources, waivers and changed lines of every procedure.

Made from a library and, where there is one, the text hashes of an earlier edition; also as plain text.
A signature line stays empty until somebody signs it by hand; only the content files say who has.
"""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.authoring.models.sources import Source
from forty_paces.authoring.texts import changed_texts, string_hashes, texts_by_id
from forty_paces.authoring.wording.registry import Waived, used_waivers
from forty_paces.messages.pages import REVIEW
from forty_paces.outputs.common.procedure_view import view_procedure
from forty_paces.outputs.common.typesetting import how_met, short_date, source_title

SIGNATURES = ("technical", "user", "safety_lead")
"""Fields of the review record."""

QUESTIONS = ("wait", "order", "traffic", "breath", "idiom")
"""Ids of the questions that no program can answer; the reviewer ticks each."""


@dataclass(frozen=True, slots=True)
class Changed:
    """One line that differs from the earlier edition."""

    id: str
    what: str
    "new, changed or taken out."
    text: str
    "The current text; empty where it was taken out."


@dataclass(frozen=True, slots=True)
class SignatureLine:
    """One kind of signature and who gave it."""

    title: str
    by: str
    "'Name, day', or that nobody has signed."


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """What a reviewer must know about one procedure."""

    procedure: Procedure
    due_days: int
    "Days from the report's day to the next review; negative if overdue."
    next_review: dt.date
    "The procedure's own date, or the earlier date on which a watched source that it cites is due."
    watched: tuple[Source, ...]
    "The cited sources that are watched for changes, whether or not they bring the review forward."
    signed: tuple[SignatureLine, ...]
    sources: tuple[Source, ...]
    waived: tuple[Waived, ...]
    changed: tuple[Changed, ...] | None
    "None where no earlier edition was given."

    @property
    def unsigned(self) -> bool:
        """True if nobody has signed anything."""
        review = self.procedure.review
        return review.technical is None and review.user is None and review.safety_lead is None


@dataclass(frozen=True, slots=True)
class ReviewReport:
    """All sheets, in the order in which procedures are shown."""

    library: Library
    day: dt.date
    since: str
    "The earlier edition's id; empty where none was given."
    sheets: tuple[ReviewSheet, ...]
    gone: tuple[str, ...]
    "Ids of procedures that the earlier edition had and this one does not."


def review_report(
    library: Library, day: dt.date, since: str = "", before: Mapping[str, str] | None = None
) -> ReviewReport:
    """The report as of ``day``; ``before`` has the text hashes of the edition ``since``."""
    now = string_hashes(pair for procedure in library.procedures for pair in texts_by_id(procedure).items())
    changes = changed_texts(before, now) if before is not None else None
    sheets = tuple(_sheet(library, procedure, day, changes) for procedure in library.procedures)
    known = {procedure.id for procedure in library.procedures}
    gone = sorted({name.partition("/")[0] for name in before or ()} - known)
    return ReviewReport(library, day, since, sheets, tuple(gone))


def _sheet(
    library: Library, procedure: Procedure, day: dt.date, changes: Mapping[str, str] | None
) -> ReviewSheet:
    texts = texts_by_id(procedure)
    mine = None
    if changes is not None:
        own = ((name, what) for name, what in changes.items() if name.partition("/")[0] == procedure.id)
        mine = tuple(Changed(name, REVIEW[what], texts.get(name, "")) for name, what in own)
    sources = tuple(library.sources[name] for name in view_procedure(procedure).source_ids)
    watches = [due for due in map(watch_due, sources) if due is not None]
    next_review = min([procedure.next_review, *watches])
    return ReviewSheet(
        procedure=procedure,
        due_days=(next_review - day).days,
        next_review=next_review,
        watched=tuple(source for source in sources if source.watch is not None),
        signed=tuple(_signed(REVIEW[name], getattr(procedure.review, name)) for name in SIGNATURES),
        sources=sources,
        waived=used_waivers(procedure, library.glossary),
        changed=mine,
    )


def _signed(title: str, signature: SignOff | None) -> SignatureLine:
    return SignatureLine(title, f"{signature.name}, {signature.day}" if signature else REVIEW["nobody"])


def questions() -> tuple[str, ...]:
    """The questions that no program can answer."""
    return tuple(REVIEW[f"question-{name}"] for name in QUESTIONS)


def report_text(report: ReviewReport) -> str:
    """The report as plain text, to print and sign."""
    edition = report.library.edition
    lines = [
        REVIEW["report"].format(carrier=report.library.fleet.carrier),
        REVIEW["edition"].format(edition=edition.id, date=edition.date, day=report.day),
    ]
    if report.since:
        lines.append(REVIEW["since"].format(edition=report.since))
    if report.gone:
        lines.append(REVIEW["gone-since"].format(procedures=", ".join(report.gone)))
    for sheet in report.sheets:
        lines += ["", "=" * 78, *_sheet_lines(sheet)]
    return "\n".join(lines) + "\n"


def _sheet_lines(sheet: ReviewSheet) -> Iterator[str]:
    procedure = sheet.procedure
    yield REVIEW["version"].format(code=procedure.code, title=procedure.title, version=procedure.version)
    due = {"next_review": sheet.next_review, "due": due_words(sheet.due_days)}
    yield f"    {REVIEW['in-force'].format(day=procedure.effective, **due)}"
    yield f"    {REVIEW['author'].format(author=procedure.review.author)}"
    if sheet.unsigned:
        yield f"    {REVIEW['unreviewed']}"
    yield ""
    yield f"  {REVIEW['sources']}"
    for source in sheet.sources:
        yield from _wrapped(f"{source.id}: {source_words(source)}")
    yield ""
    yield f"  {REVIEW['watched' if sheet.watched else 'none-watched']}"
    for source in sheet.watched:
        yield from _wrapped(f"{source.id}: {watch_words(source)}")
    yield ""
    yield f"  {REVIEW['waived' if sheet.waived else 'none-waived']}"
    for waived in sheet.waived:
        yield from _wrapped(
            REVIEW["waiver"].format(rule=waived.waiver.rule, at=waived.waiver.at, wrong=waived.wrong)
        )
        yield from _wrapped(REVIEW["because"].format(reason=waived.waiver.reason), "      ")
    if sheet.changed is not None:
        yield ""
        yield f"  {REVIEW['lines' if sheet.changed else 'no-lines']}"
        for line in sheet.changed:
            yield from _wrapped(f"{line.what}: {line.id}")
            if line.text:
                yield from _wrapped(REVIEW["now"].format(text=line.text), "      ")
    yield ""
    yield f"  {REVIEW['for-reviewer']}"
    for question in questions():
        yield f"    [ ] {question}"
    yield ""
    for signed in sheet.signed:
        yield f"  {signed.title}: {signed.by}"
        yield f"    {REVIEW['sign']}"


def source_words(source: Source) -> str:
    """A source in one line: title, place in it, edition, how its text was read and when."""
    named = ", ".join(part for part in (source_title(source), source.edition) if part)
    return f"{named} [{how_met(source)}]"


def watch_words(source: Source) -> str:
    """What is changing in a watched source, where to look, and when it is due; empty if not watched."""
    watch, due = source.watch, watch_due(source)
    if watch is None or due is None:
        return ""
    return REVIEW["watch"].format(
        what=watch.what,
        since=watch.since,
        where=watch.where,
        looked=short_date(watch.looked),
        due=short_date(due),
    )


def due_words(days: int) -> str:
    """The time until a review, or by how much it is overdue."""
    form = f"{'overdue' if days < 0 else 'due'}-{'day' if abs(days) == 1 else 'days'}"
    return REVIEW[form].format(n=abs(days))


def _wrapped(text: str, indent: str = "    ") -> list[str]:
    return textwrap.wrap(
        text, 78, initial_indent=indent, subsequent_indent=indent + "  ", break_long_words=False
    )
