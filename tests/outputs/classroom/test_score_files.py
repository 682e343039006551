"""Score files of a class: read where they are whole, and a finding by file and line where they are not."""

import json
import re
import subprocess
from pathlib import Path

import pytest
from forty_paces.outputs.classroom.score_files import COLUMNS, check_code, neutral, read_folder
from forty_paces.outputs.classroom.score_report import (
    by_heart_passed,
    learners,
    matrix,
    matrix_csv,
    missed_most,
    work_scores,
)

PROJECT = Path(__file__).resolve().parents[3]
EDITION = "e1"
ROW = {
    "class": "B12",
    "number": "7",
    "day": "2026-12-04",
    "time": "2026-12-04T09:00:00.000Z",
    "edition": EDITION,
    "work": "lesson/fire",
    "title": "Smoke and flame",
    "version": "1.2",
    "session": "first",
    "question": "by-heart-tire-fire",
    "asked": "Tire smoke or fire",
    "attempt": 1,
    "aids": "",
    "seconds": 12,
    "sure": "yes",
    "given": "1 2 3 4",
    "answer": "1 2 3 4",
    "verdict": "right",
    "points": 1,
    "of": 1,
}


def row(**changes):
    return {**ROW, **changes}


def score_file(*rows):
    """The file as the page's own script writes it."""
    script = (
        'import { part } from "./tests/js/module.js";'
        'const { scoreFile } = await part("score_rows", "classroom");'
        "process.stdout.write(scoreFile(JSON.parse(process.argv[1])));"
    )
    done = subprocess.run(
        ["node", "--input-type=module", "-e", script, json.dumps(rows)],
        cwd=PROJECT,
        capture_output=True,
        check=True,
    )
    return done.stdout.decode()


@pytest.fixture(scope="module")
def whole():
    """Three rows, one of them with every character that CSV and spreadsheets care about."""
    hostile = row(question="q2", given='=HYPERLINK("x"), é\nnew line', time="2026-12-04T09:01:00.000Z")
    return score_file(row(), hostile, row(question="q3", verdict="wrong", points=0, given=""))


def read(folder, edition=EDITION, **files):
    for name, text in files.items():
        data = text if isinstance(text, bytes) else text.encode()
        (folder / f"{name}.csv").write_bytes(data)
    rows, findings = read_folder(folder, edition)
    return rows, [str(finding).splitlines()[0] for finding in findings]


def test_what_the_script_writes_is_read_row_by_row(tmp_path, whole):
    rows, reported = read(tmp_path, a=whole)
    assert [] == reported
    assert ["by-heart-tire-fire", "q3", "q2"] == [one.question for one in rows]
    assert '=HYPERLINK("x"), é\nnew line' == rows[2].given
    assert ("B12", "7", 12, 1.0, "2026-12-04") == (
        rows[0].group,
        rows[0].number,
        rows[0].seconds,
        rows[0].points,
        rows[0].day.isoformat(),
    )


def test_the_check_code_is_fnv_1a():
    """Test vectors published with the algorithm (Fowler, Noll, Vo; RFC 9923 has them): "" and "a"."""
    assert ("811c9dc5", "e40c292c") == (check_code("", []), check_code("a", []))


def test_a_cut_file_counts_up_to_the_cut(tmp_path, whole):
    lines = whole.split("\r\n")
    rows, reported = read(tmp_path, a="\r\n".join(lines[:3]) + "\r\n")
    assert 2 == len(rows)
    assert ["a.csv:3:1: the last line is missing: the file was cut"] == reported


def test_a_line_cut_in_its_middle_is_found_by_its_number(tmp_path, whole):
    rows, reported = read(tmp_path, a=whole[: whole.index("q3") + 5])
    assert 2 == len(rows)
    (line,) = reported
    assert re.match(r"a\.csv:5:1: \d+ fields instead of 21: the line was cut or joined$", line)


def test_an_edited_field_and_a_row_taken_out_are_found(tmp_path, whole):
    edited = whole.replace("wrong,0,1", "right,1,1")
    lines = whole.split("\r\n")
    removed = "\r\n".join([lines[0], *lines[2:]])
    _, reported = read(tmp_path, edited=edited, removed=removed)
    changed = "the line, or one before it, was changed, added or removed"
    assert [f"edited.csv:5:1: {changed}", f"removed.csv:2:1: {changed}"] == reported


def test_a_copy_counts_once_and_is_named(tmp_path, whole):
    rows, reported = read(tmp_path, a=whole, b=whole)
    assert 3 == len(rows)
    assert ["b.csv:1:1: advice: 3 of its rows are in a.csv too, and count once"] == reported


def test_another_edition_counts_and_is_named(tmp_path, whole):
    rows, reported = read(tmp_path, edition="e2", a=whole)
    assert 3 == len(rows)
    assert ['a.csv:1:1: advice: rows of edition "e1", while this project is edition "e2"'] == reported


def with_codes(*lines):
    """Lines with right codes, so that only what they say is wrong."""
    out, before = [",".join((*COLUMNS, "check"))], ""
    for values in (*lines, ["end", str(len(lines)), *[""] * (len(COLUMNS) - 2)]):
        before = check_code(before, values)
        out.append(",".join((*values, f"x{before}")))
    return "\r\n".join(out) + "\r\n"


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ({"given": "=1+1"}, 'given begins as a formula: "=1+1"'),
        ({"title": "@cmd"}, 'title begins as a formula: "@cmd"'),
        ({"class": "Maria Lopez"}, 'class "Maria Lopez" is not one to eight letters and digits'),
        ({"number": "07"}, 'number "07" is not a number from 0 to 999'),
        ({"day": "12/4/2026"}, 'day "12/4/2026" is no day'),
        ({"day": "2026-02-30"}, 'day "2026-02-30" is no day'),
        ({"verdict": "perfect"}, 'verdict "perfect" is none'),
        ({"seconds": "soon"}, 'seconds "soon" is no figure'),
        ({"points": "1e9"}, 'points "1e9" is no figure'),
    ],
)
def test_a_field_that_is_none_is_named_and_its_row_does_not_count(tmp_path, changes, wrong):
    values = [str(value) for value in row(**changes).values()]
    rows, reported = read(tmp_path, a=with_codes(values, [str(value) for value in ROW.values()]))
    assert [f"a.csv:2:1: {wrong}"] == reported
    assert 1 == len(rows)


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"", 'no score file: it begins with "nothing"'),
        (b"a,b\r\n1,2\r\n", 'no score file: it begins with "a,b"'),
        (b"\xff\xfe\x00", "cannot be read: not in UTF-8"),
        (b'"never closed', "cannot be read: unexpected end of data"),
        (b"\x00" * 40, 'no score file: it begins with "' + "\\u0000" * 40 + '"'),
    ],
)
def test_what_is_no_score_file_is_a_finding_and_never_a_traceback(tmp_path, data, wrong):
    rows, reported = read(tmp_path, a=data)
    assert [] == rows
    assert 1 == len(reported)
    assert reported[0].startswith("a.csv:1:1: ")
    assert wrong in reported[0] or data.startswith(b"\x00")


def test_any_byte_changed_anywhere_is_found_or_changes_nothing(tmp_path, whole):
    """One byte of the file set to another, at every seventh place: no row is read that was not written."""
    (tmp_path / "a.csv").write_text(whole, encoding="utf-8", newline="")
    written = set(read_folder(tmp_path, EDITION)[0])
    data = whole.encode()
    for at in range(0, len(data), 7):
        (tmp_path / "a.csv").write_bytes(
            data[:at] + (b"Z" if data[at] != ord("Z") else b"Y") + data[at + 1 :]
        )
        rows, findings = read_folder(tmp_path, EDITION)
        assert findings, at
        assert set(rows) <= written, at


def test_a_class_matrix_has_the_first_attempts_of_each_session(tmp_path):
    text = score_file(
        row(),
        row(question="q2", verdict="wrong", points=0, time="t1"),
        row(question="q2", time="t2", attempt=2),
        row(session="week", day="2026-12-11"),
        row(number="12", question="q2", verdict="wrong", points=0, sure="no"),
        row(number="0", question="q2", verdict="wrong", points=0),
    )
    rows, _ = read(tmp_path, a=text)
    assert [("B12", "0"), ("B12", "7"), ("B12", "12")] == list(learners(rows))
    assert [
        ["class", "number", "Smoke and flame, first session", "Smoke and flame, after a week"],
        ["B12", "0", "0 of 1", ""],
        ["B12", "7", "1 of 2", "1 of 1"],
        ["B12", "12", "0 of 1", ""],
    ] == matrix(rows)
    (missed,) = missed_most(rows)
    assert (2, 2, 1) == (missed.missed, missed.of, missed.sure), "the whole class together does not count"


@pytest.mark.parametrize(
    ("day", "passed"), [("2026-12-10", False), ("2026-12-11", True), ("2026-12-12", True)]
)
def test_by_heart_is_passed_by_two_whole_sessions_a_week_apart(tmp_path, day, passed):
    rows, _ = read(tmp_path, a=score_file(row(), row(session="week", day=day)))
    assert passed is by_heart_passed(work_scores(rows), "lesson/fire")


@pytest.mark.parametrize("changes", [{"verdict": "wrong", "points": 0}, {"aids": "card"}])
def test_a_box_that_was_missed_or_had_an_aid_does_not_pass(tmp_path, changes):
    rows, _ = read(tmp_path, a=score_file(row(), row(session="week", day="2026-12-11", **changes)))
    assert not by_heart_passed(work_scores(rows), "lesson/fire")


def test_no_cell_of_the_matrix_is_a_formula(tmp_path):
    rows, _ = read(tmp_path, a=score_file(row(title="=1")))
    assert "'=1, first session" in matrix_csv(rows)
    assert ["'+1", "a"] == [neutral(text) for text in ("+1", "a")]
