"""Read the score files of a class: every row that can be trusted, and a finding for every one that cannot.

A file is CSV by RFC 4180 as ``js/classroom/score_rows.js`` writes it: each line ends with a check code over
its fields and the line before (FNV-1a, 32 bits), and the last line gives the number of rows. A test compares
both implementations. The codes find slips, cuts and edits; they are no protection against forgery.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from pathlib import Path

from forty_paces.authoring.findings import Finding, Place, clip
from forty_paces.messages.score_files import SCORE_FILES

COLUMNS = (
    *("class", "number", "day", "time", "edition", "work", "title", "version", "session", "question"),
    *("asked", "attempt", "aids", "seconds", "sure", "given", "answer", "verdict", "points", "of"),
)
END = "end"
FORMULA = re.compile(r"[=+\-@\t\r]")
"""What a spreadsheet takes for the beginning of a formula."""
ESCAPED = re.compile(r"'[=+\-@\t\r]")
"""The same with the apostrophe that takes it for a text."""
LARGEST_BYTES = 20_000_000
VERDICTS = ("right", "half", "wrong")


@dataclass(frozen=True, slots=True)
class ScoreRow:
    """One answer of one learner."""

    group: str
    "The class."
    number: str
    day: dt.date
    time: str
    edition: str
    work: str
    "What was answered, such as 'lesson/fire' or 'placing/7'."
    title: str
    version: str
    session: str
    question: str
    asked: str
    attempt: int
    aids: str
    seconds: int
    sure: str
    given: str
    answer: str
    verdict: str
    points: float
    of: float


def neutral(text: str) -> str:
    """The text with an apostrophe before it if a spreadsheet would take it for a formula."""
    return f"'{text}" if FORMULA.match(text) else text


def check_code(before: str, values: Iterable[str]) -> str:
    """The check code of a line: FNV-1a over the code before and the fields as they stand in the file."""
    code = 0x811C9DC5
    for byte in "\x1f".join((before, *values)).encode():
        code = (code ^ byte) * 0x01000193 & 0xFFFFFFFF
    return f"{code:08x}"


def read_folder(folder: Path, edition: str | None) -> tuple[list[ScoreRow], list[Finding]]:
    """The rows of every CSV file below the folder, each once, and all findings.

    A row from another ``edition`` counts, with advice; a row that is there twice counts once.
    """
    rows: dict[tuple[str, ...], ScoreRow] = {}
    first_in: dict[tuple[str, ...], str] = {}
    findings: list[Finding] = []
    for file in sorted(path for path in folder.rglob("*") if path.suffix.lower() == ".csv"):
        name = file.relative_to(folder).as_posix()
        doubled: dict[str, int] = {}
        others: set[str] = set()
        for row in _read(file, name, findings):
            key = (row.group, row.number, row.time, row.work, row.session, row.question, str(row.attempt))
            if key in rows:
                doubled[first_in[key]] = doubled.get(first_in[key], 0) + 1
                continue
            rows[key], first_in[key] = row, name
            if edition is not None and row.edition != edition:
                others.add(row.edition)
        for other, count in doubled.items():
            findings.append(_finding(name, 1, "doubled", advice=True, count=count, file=other))
        for other in sorted(others):
            findings.append(_finding(name, 1, "edition", advice=True, other=clip(other), edition=edition))
    return sorted(rows.values(), key=lambda row: (row.group, _as_number(row.number), row.time)), findings


def _read(file: Path, name: str, findings: list[Finding]) -> Iterator[ScoreRow]:
    """The rows of one file that are whole and unchanged."""
    try:
        if file.stat().st_size > LARGEST_BYTES:
            raise ValueError(SCORE_FILES["too-large"])
        text = file.read_bytes().decode("utf-8-sig")
        lines = list(_lines(text))
    except (OSError, ValueError, csv.Error) as refused:
        encoding = isinstance(refused, UnicodeDecodeError)
        reason = SCORE_FILES["not-utf-8"] if encoding else clip(str(refused))
        findings.append(_finding(name, 1, "unreadable", reason=reason))
        return
    head = (*COLUMNS, "check")
    if not lines or tuple(lines[0][1]) != head:
        found = clip(",".join(lines[0][1])) if lines else SCORE_FILES["nothing"]
        findings.append(_finding(name, 1, "no-score-file", found=found))
        return
    before, counted, ended = "", 0, False
    for line, values in lines[1:]:
        if ended:
            findings.append(_finding(name, line, "after-end"))
            return
        if len(values) != len(head):
            findings.append(_finding(name, line, "field-count", found=len(values), wanted=len(head)))
            return
        code = check_code(before, values[:-1])
        if values[-1] != f"x{code}":
            findings.append(_finding(name, line, "changed"))
            return
        before = code
        if values[0] == END:
            ended = True
            if values[1] != str(counted):
                said = clip(values[1])
                findings.append(_finding(name, line, "row-count", said=said, counted=counted))
            continue
        counted += 1
        row = _row(name, line, values, findings)
        if row is not None:
            yield row
    if not ended:
        findings.append(_finding(name, lines[-1][0], "cut"))


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each record with the number of the line on which it begins."""
    reader, line = csv.reader(io.StringIO(text, newline=""), strict=True), 1
    for values in reader:
        yield line, values
        line = reader.line_num + 1


def _row(name: str, line: int, values: list[str], findings: list[Finding]) -> ScoreRow | None:
    """The row of a line, or a finding for each field that is none."""
    cells = dict(zip(COLUMNS, values, strict=False))
    faults = [("formula", column, value) for column, value in cells.items() if FORMULA.match(value)]
    cells = {column: value[1:] if ESCAPED.match(value) else value for column, value in cells.items()}
    if not re.fullmatch(r"[A-Z0-9]{1,8}", cells["class"]):
        faults.append(("class", "class", cells["class"]))
    if not re.fullmatch(r"0|[1-9][0-9]{0,2}", cells["number"]):
        faults.append(("number", "number", cells["number"]))
    if cells["verdict"] not in VERDICTS:
        faults.append(("verdict", "verdict", cells["verdict"]))
    day = _day(cells["day"])
    if day is None:
        faults.append(("day", "day", cells["day"]))
    figures = {key: _figure(cells[key]) for key in ("attempt", "seconds", "points", "of")}
    faults += [("figure", key, cells[key]) for key, figure in figures.items() if figure is None]
    for fault, column, value in faults:
        known_verdicts = ", ".join(VERDICTS)
        findings.append(_finding(name, line, fault, column=column, value=clip(value), known=known_verdicts))
    if faults or day is None:
        return None
    known = {key: figure for key, figure in figures.items() if figure is not None}
    texts = {field.name: cells[field.name] for field in fields(ScoreRow) if field.name in cells}
    whole = {"attempt": int(known["attempt"]), "seconds": int(known["seconds"])}
    return ScoreRow(**{**texts, **known, **whole, "group": cells["class"], "day": day})  # type: ignore[arg-type]


def _day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text) if len(text) == 10 else None
    except ValueError:
        return None


def _figure(text: str) -> float | None:
    return float(text) if re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,3})?", text) else None


def _as_number(text: str) -> int:
    return int(text)


def _finding(name: str, line: int, fault: str, *, advice: bool = False, **slots: object) -> Finding:
    fix = SCORE_FILES.get(f"{fault}-fix", SCORE_FILES["unchanged"])
    wrong = SCORE_FILES[fault].format(**slots)
    return Finding(Place(name, line, 1), wrong, fix=fix.format(**slots), advice=advice)
