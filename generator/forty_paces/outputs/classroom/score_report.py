"""What a class's score rows say: a matrix of numbers and works, what was missed most, and each record."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from forty_paces.messages.classroom import LESSON, TASK
from forty_paces.outputs.classroom.score_files import ScoreRow, neutral
from forty_paces.outputs.classroom.worksheets import printed
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PaperSize, PrintDocument

SESSIONS = ("first", "week", "month")
PER_PAGE, PER_LAST_PAGE = 12, 3
"Lines of the record's table on one page, of three lines of type at the most, and on the page to be signed."
MISSED_SHOWN = 12
WHOLE_CLASS = "0"


@dataclass(frozen=True, slots=True)
class WorkScore:
    """One learner's result in one session of one work, by the first attempt at each question."""

    work: str
    title: str
    version: str
    session: str
    day: dt.date
    edition: str
    right: int
    asked: int
    attempts: int
    aids: str
    seconds: int
    boxes_right: int
    boxes: int

    @property
    def when(self) -> str:
        """The session in words; empty for a work without sessions."""
        return LESSON.get(f"session-{self.session}", "")

    @property
    def minutes(self) -> int:
        """The time taken, in whole minutes, at least one."""
        return max(1, round(self.seconds / 60))


@dataclass(frozen=True, slots=True)
class Missed:
    """A question, and how many learners missed it at their first attempt."""

    work: str
    title: str
    asked: str
    missed: int
    of: int
    sure: int
    "How many of them were sure."


def learners(rows: Iterable[ScoreRow]) -> dict[tuple[str, str], list[ScoreRow]]:
    """The rows by class and number."""
    found: dict[tuple[str, str], list[ScoreRow]] = defaultdict(list)
    for row in rows:
        found[row.group, row.number].append(row)
    return dict(sorted(found.items(), key=lambda one: (one[0][0], int(one[0][1]))))


def work_scores(rows: Sequence[ScoreRow]) -> tuple[WorkScore, ...]:
    """One learner's results, by day; each session of a work is counted for itself."""
    groups: dict[tuple[str, str, dt.date], list[ScoreRow]] = defaultdict(list)
    for row in rows:
        groups[row.work, row.session, row.day].append(row)
    scores = (_score(group) for group in groups.values())
    return tuple(sorted(scores, key=lambda one: (one.day, one.work, one.session)))


def _score(rows: Sequence[ScoreRow]) -> WorkScore:
    first = _first_attempts(rows)
    boxes = [row for row in first if row.question.startswith("by-heart-")]
    latest = rows[-1]
    return WorkScore(
        work=latest.work,
        title=latest.title,
        version=latest.version,
        session=latest.session,
        day=latest.day,
        edition=latest.edition,
        right=sum(row.verdict == "right" for row in first),
        asked=len(first),
        attempts=len(rows),
        aids=", ".join(sorted({row.aids for row in rows if row.aids})),
        seconds=sum(row.seconds for row in rows),
        boxes_right=sum(row.verdict == "right" and not row.aids for row in boxes),
        boxes=len(boxes),
    )


def _first_attempts(rows: Iterable[ScoreRow]) -> list[ScoreRow]:
    """The earliest row of each question."""
    first: dict[tuple[str, str, str], ScoreRow] = {}
    for row in sorted(rows, key=lambda one: one.time):
        first.setdefault((row.work, row.session, row.question), row)
    return list(first.values())


def by_heart_passed(scores: Iterable[WorkScore], work: str) -> bool:
    """Whether every by-heart box of a lesson was whole and in order, without aids, twice a week apart."""
    days = [one.day for one in scores if one.work == work and one.boxes and one.boxes == one.boxes_right]
    return bool(days) and (max(days) - min(days)).days >= 7


def missed_most(rows: Iterable[ScoreRow]) -> tuple[Missed, ...]:
    """Questions that somebody missed, most missed first; the class answering together does not count."""
    groups: dict[tuple[str, str], list[ScoreRow]] = defaultdict(list)
    for (_, number), own in learners(rows).items():
        if number == WHOLE_CLASS:
            continue
        answered: set[tuple[str, str]] = set()
        for row in _first_attempts(own):
            if (row.work, row.question) not in answered:
                answered.add((row.work, row.question))
                groups[row.work, row.question].append(row)
    found = []
    for (work, _), group in groups.items():
        wrong = [row for row in group if row.verdict != "right"]
        if wrong:
            sure = sum(row.sure == "yes" for row in wrong)
            found.append(Missed(work, group[0].title, group[0].asked, len(wrong), len(group), sure))
    return tuple(sorted(found, key=lambda one: (-one.missed / one.of, -one.missed, one.work, one.asked)))


def matrix(rows: Iterable[ScoreRow]) -> list[list[str]]:
    """A header and a row for each learner: right at the first attempt of all asked, by work and session."""
    rows = list(rows)
    titles = {row.work: row.title for row in rows}
    heads = sorted({(row.work, row.session) for row in rows}, key=_by_work)
    table = [["class", "number", *(_head(titles[work], session) for work, session in heads)]]
    for (group, number), own in learners(rows).items():
        cells = dict.fromkeys(heads, "")
        for head in heads:
            asked = [row for row in _first_attempts(own) if (row.work, row.session) == head]
            if asked:
                cells[head] = f"{sum(row.verdict == 'right' for row in asked)} of {len(asked)}"
        table.append([group, number, *cells.values()])
    return table


def _by_work(head: tuple[str, str]) -> tuple[str, int]:
    work, session = head
    return work, SESSIONS.index(session) if session in SESSIONS else 0


def _head(title: str, session: str) -> str:
    return f"{title}, {LESSON[f'session-{session}'].lower()}" if session in SESSIONS else title


def matrix_csv(rows: Iterable[ScoreRow]) -> str:
    """The matrix as CSV, with no cell that a spreadsheet takes for a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([neutral(cell) for cell in line] for line in matrix(rows))
    return out.getvalue()


def records_document(
    context: BuildContext, rows: Iterable[ScoreRow], paper: PaperSize, path: str
) -> PrintDocument:
    """A printed record for each learner, with the versions taught on, the criterion, and lines to sign."""
    library = context.library
    versions = {
        f"lesson/{lesson.id}": ", ".join(_procedure_versions(context, lesson.procedures))
        for lesson in library.lessons.values()
    }
    pages = [page for own in learners(rows).items() for page in _pages(own, versions, library.edition.id)]
    unreviewed = [procedure.code for procedure in library.procedures if procedure.review.safety_lead is None]
    body = context.render("classroom/records.html.j2", pages=pages, unreviewed=unreviewed)
    return printed(context, TASK["records"], body, paper, path, len(pages))


def _procedure_versions(context: BuildContext, ids: Iterable[str]) -> Iterator[str]:
    known = {procedure.id: procedure for procedure in context.library.procedures}
    for name in ids:
        yield f"{known[name].code} {known[name].version}"


def _pages(
    learner: tuple[tuple[str, str], list[ScoreRow]], versions: Mapping[str, str], edition: str
) -> Iterator[dict[str, object]]:
    (group, number), rows = learner
    scores = work_scores(rows)
    passed = sorted(
        {one.title for one in scores if one.work in versions and by_heart_passed(scores, one.work)}
    )
    taught = {
        one.title: versions[one.work] for one in scores if one.work in versions and one.edition == edition
    }
    parts = [scores[first : first + PER_PAGE] for first in range(0, len(scores), PER_PAGE)]
    if len(parts[-1]) > PER_LAST_PAGE:
        parts.append(())
    for page, shown in enumerate(parts, start=1):
        yield {
            "group": group,
            "number": number,
            "page": page,
            "count": len(parts),
            "scores": shown,
            "last": page == len(parts),
            "passed": passed,
            "taught": taught.items(),
            "editions": sorted({one.edition for one in scores}),
        }
