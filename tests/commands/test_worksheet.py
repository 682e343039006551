"""``fortypaces worksheet``: the same number gives the same files; errors are explained."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces import cli
from forty_paces.outputs.edition.verification import verify
from forty_paces.outputs.paper import pdf

PROJECT = Path(__file__).resolve().parents[2]


def run(*words):
    return CliRunner().invoke(cli.main, ["worksheet", "--project", str(PROJECT), *words])


@pytest.fixture
def no_pdf(monkeypatch):
    """A machine without Pango, which is also faster."""
    monkeypatch.setattr(pdf, "missing", lambda: "no PDF: it was left out")


def files(folder):
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.name != "edition.json"}


def test_a_class_gets_its_tests_in_one_file_and_the_keys_in_another(no_pdf, tmp_path):
    result = run("--seed", "7", "--variants", "2", "--out", str(tmp_path))
    assert result.exit_code == 0, result.output
    names = ["test-7-class.html", "test-7-keys.html"]
    assert names == sorted(files(tmp_path))
    assert verify(tmp_path).whole
    assert result.stdout.splitlines() == [str(tmp_path / name) for name in names]
    project, *progress, why = result.stderr.splitlines()
    assert f"Project: {PROJECT}" == project
    assert "no PDF: it was left out; the sheets print from their HTML pages" == why
    assert ["Worksheets: 0 of 2", "Worksheets: 2 of 2"] == [progress[0], progress[-1]]


def test_the_same_number_writes_the_same_bytes(no_pdf, tmp_path):
    wanted = ("--number", "3", "--out")
    run(*wanted, str(tmp_path / "one"))
    run(*wanted, str(tmp_path / "other"))
    assert files(tmp_path / "one") == files(tmp_path / "other")


@pytest.mark.long
def test_pdf_stands_beside_the_html_and_is_the_same_bytes_each_time(tmp_path):
    wanted = ("--number", "3", "--out")
    assert run(*wanted, str(tmp_path / "one")).exit_code == 0
    assert run(*wanted, str(tmp_path / "other")).exit_code == 0
    assert {"test-3-class.html", "test-3-class.pdf", "test-3-keys.html", "test-3-keys.pdf"} == set(
        files(tmp_path / "one")
    )
    assert files(tmp_path / "one") == files(tmp_path / "other")


def test_json_and_nothing_else(no_pdf, tmp_path):
    result = run("--json", "--out", str(tmp_path))
    assert {"number": 1, "files": sorted(str(tmp_path / name) for name in files(tmp_path))} == json.loads(
        result.stdout
    )


def test_a_sheet_for_a4_is_laid_out_for_a4(no_pdf, tmp_path):
    run("--paper", "a4", "--out", str(tmp_path))
    assert "size:210mm 297mm" in (tmp_path / "test-1-class.html").read_text()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--variants", "27"], "27 is not in the range 1<=x<=26"),
        (["--number", "-1"], "-1 is not in the range"),
        (["--number", "many"], "'many' is not a valid integer"),
        (["--paper", "vellum"], "'vellum' is not one of"),
    ],
)
def test_wrong_use_is_refused_in_words(words, said, tmp_path):
    result = run(*words, "--out", str(tmp_path / "none"))
    assert result.exit_code == 2
    assert said in result.stderr
    assert not (tmp_path / "none").exists()


def test_a_folder_that_cannot_be_written_is_reported_without_a_traceback(no_pdf, tmp_path):
    (tmp_path / "file").write_text("in the way")
    result = run("--out", str(tmp_path / "file"))
    assert result.exit_code == 2
    assert "is a file" in result.stderr
