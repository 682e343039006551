"""``fortypaces scores``: a class put together, records to print, findings instead of tracebacks."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces import cli
from forty_paces.authoring.library import load_library
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.paper import pdf

from tests.outputs.classroom.test_score_files import row, score_file

PROJECT = Path(__file__).resolve().parents[2]


def run(*words):
    return CliRunner().invoke(cli.main, ["scores", "--project", str(PROJECT), *map(str, words)])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A class of twenty on ten tablets, with a return session and a file that was cut."""
    folder = tmp_path_factory.mktemp("class")
    for tablet in range(10):
        rows = [
            row(number=str(number), session=session, day=day, verdict="wrong" if number % 4 == 0 else "right")
            for number in (2 * tablet + 1, 2 * tablet + 2)
            for session, day in (("first", "2026-12-04"), ("week", "2026-12-11"))
        ]
        (folder / f"scores-B12-all-{tablet}.csv").write_text(score_file(*rows), encoding="utf-8", newline="")
    return folder


@pytest.mark.long
def test_a_class_becomes_a_matrix_and_a_record_of_one_page_for_each_number(folder, tmp_path):
    done = run(folder, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    assert "40 answers of 20 numbers." in done.stdout
    assert "5 of 20, 5 of them sure: Smoke and flame: Tire smoke or fire" in done.stdout
    html = (tmp_path / "out/records.html").read_text(encoding="utf-8")
    assert 20 == html.count("Record of training</h1>")
    assert 15 == html.count("<b>By heart, passed:</b> Smoke and flame.")
    assert 5 == html.count("<b>By heart, passed:</b> none yet.")
    assert 60 == html.count('<span class="blank-name"></span> Day')
    assert (tmp_path / "out/matrix.csv").read_text(encoding="utf-8").count("\n") == 21
    if not pdf.missing():
        assert (tmp_path / "out/records.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.long
def test_a_driver_with_every_lesson_in_every_session_fits_the_pages(tmp_path):
    """All lessons three times, with long titles, versions and aids: the PDF has the pages composed."""
    edition = load_library(PROJECT, symbols=NAMES).edition.id
    lessons = sorted(file.stem for file in (PROJECT / "content/lessons").glob("*.yml"))
    rows = [
        row(
            work=f"lesson/{name}",
            title=f"{name} and other things that make a title long",
            session=session,
            edition=edition,
            aids="warning shown",
            time=f"{name}{session}",
        )
        for name in lessons
        for session in ("first", "week", "month")
    ]
    (tmp_path / "scores.csv").write_text(score_file(*rows), encoding="utf-8", newline="")
    done = run(tmp_path, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    html = (tmp_path / "out/records.html").read_text(encoding="utf-8")
    full, rest = divmod(len(rows), 12)
    # Twelve rows a page; the last page, with the lines to sign, has room for three.
    pages = full + (1 if 0 < rest <= 3 else 2)
    assert pages == html.count("Record of training</h1>")
    assert 1 == html.count("Safety lead <span")


def test_findings_go_with_file_and_line_and_the_rest_still_counts(folder, tmp_path):
    (tmp_path / "good.csv").write_text(score_file(row()), encoding="utf-8", newline="")
    (tmp_path / "cut.csv").write_text(score_file(row(number="8"))[:-20], encoding="utf-8", newline="")
    (tmp_path / "notes.csv").write_text("name,score\nMaria,7\n", encoding="utf-8")
    done = run(tmp_path, "--json")
    assert done.exit_code == 1
    result = json.loads(done.stdout)
    assert [("cut.csv", 3), ("notes.csv", 1)] == [
        (one["path"], one["line"]) for one in result["findings"] if not one["advice"]
    ]
    assert [["B12", "7", "1 of 1"], ["B12", "8", "1 of 1"]] == result["matrix"]


def test_an_empty_folder_is_said_to_be_one(tmp_path):
    done = run(tmp_path)
    assert (1, "No score row that counts was found.\n") == (done.exit_code, done.stdout)
