"""``fortypaces cards``: what it writes, what it lists, how it refuses."""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import json
import re
import shutil
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner, Result
from forty_paces.authoring.library import load_library
from forty_paces.cli import main
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.status import face_record
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition.verification import verify
from forty_paces.outputs.paper import pdf

from tests.projects import one_core, small_project


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_project(tmp_path_factory.mktemp("cards") / "project")


def run(project: Path, *arguments: str) -> Result:
    with one_core():
        return CliRunner().invoke(
            main, ["cards", "--project", str(project), "--today", "2026-12-01", *arguments]
        )


@pytest.fixture
def html_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """For tests that read no PDF: laying cards out takes most of the time of the command."""
    monkeypatch.setattr(pdf, "missing", lambda: "no PDF: install Pango")


def test_it_writes_faces_and_sheets_for_one_vehicle(project: Path, tmp_path: Path) -> None:
    out = tmp_path / "print"
    result = run(project, "--size", "half-letter", "--vehicle", "tanker", "--paper", "a4", "--out", str(out))
    assert 0 == result.exit_code, result.output
    assert {
        "half-letter-tanker.html",
        "half-letter-tanker.pdf",
        "half-letter-tanker-sheets-a4.html",
        "half-letter-tanker-sheets-a4.pdf",
        "edition.json",
        "cards.json",
    } == {file.name for file in out.iterdir()}
    assert verify(out).whole
    assert "faces in 2 documents, as HTML and PDF, unsigned." in result.output
    assert "unit 310" in (out / "half-letter-tanker.html").read_text(encoding="utf-8")


@pytest.mark.usefixtures("html_alone")
def test_only_some_cards_can_be_printed(project: Path, tmp_path: Path) -> None:
    result = run(
        project, "--size", "a5", "--vehicle", "all", "--only", "sto3,PLC1", "--out", str(tmp_path / "p")
    )
    assert 0 == result.exit_code, result.output
    html = (tmp_path / "p/a5-all.html").read_text(encoding="utf-8")
    assert 'id="sto3"' in html
    assert 'id="p1"' in html
    assert 'id="r6"' not in html


def test_a_size_that_does_not_hold_the_cards_is_refused_and_nothing_is_written(
    project: Path, tmp_path: Path
) -> None:
    out = tmp_path / "print"
    result = run(project, "--size", "3x5", "--vehicle", "all", "--out", str(out))
    assert 1 == result.exit_code
    assert (
        "over a face of index card, 3 by 5 in, lying, in 10 pt, the smallest type allowed [card-fits]"
        in result.output
    )
    assert "nothing was written." in result.output
    assert not out.exists()


def test_what_fits_is_listed_for_every_size(project: Path) -> None:
    result = run(project, "--fits")
    assert 0 == result.exit_code
    lines = result.stdout.splitlines()
    assert ["card", "a6", "3x5", "half-letter", "a5"] == lines[0].split()
    row = next(line for line in lines if line.startswith("STO3 "))
    assert "lines over" in row
    assert re.search(r" pt(, 2 faces)?$", row.rstrip())
    assert any(line.startswith("half-letter: holds ") for line in lines)
    data = json.loads(run(project, "--fits", "--json").stdout)
    assert re.fullmatch(r"[0-9.]+ pt(, 2 faces)?", data["STO3"]["half-letter"])
    assert "over" in data["STO3"]["3x5"]


def test_status_lists_every_card_with_version_and_dates(project: Path) -> None:
    result = run(project, "--status", "--size", "half-letter", "--vehicle", "all")
    assert 0 == result.exit_code
    row = next(line for line in result.output.splitlines() if line.strip().startswith("STO3"))
    procedure = load_library(project).procedure("rail-crossing")
    assert procedure is not None
    assert procedure.version in row
    assert f"{procedure.effective} to {procedure.next_review}" in row
    assert "Not yet reviewed by your safety lead: " in result.output
    assert "PRINT AGAIN" not in result.output


def test_status_since_an_edition_names_what_to_print_again(project: Path, tmp_path: Path) -> None:
    listed = json.loads(
        run(project, "--status", "--size", "half-letter", "--vehicle", "all", "--json").stdout
    )
    assert listed
    old = tmp_path / "site"
    (old / "cards").mkdir(parents=True)
    texts_by_id = _strings(project)
    key = "rail-crossing/stopped"
    texts_by_id[key] = hashlib.sha256(b"Other words.").hexdigest()[:12]
    (old / "edition.json").write_text(json.dumps({"edition": "0ld0ld00", "strings": texts_by_id}))
    result = run(
        project, "--status", "--size", "half-letter", "--vehicle", "all", "--since", str(old / "edition.json")
    )
    assert 0 == result.exit_code, result.output
    again = [line.split()[0] for line in result.output.splitlines() if "PRINT AGAIN: 1 line changed" in line]
    assert ["STO3"] == again
    assert "Since edition 0ld0ld00: " in result.output


@pytest.mark.usefixtures("html_alone")
def test_cards_printed_since_an_edition_carry_bars(project: Path, tmp_path: Path) -> None:
    texts_by_id = _strings(project)
    texts_by_id["rail-crossing/finished"] = "0" * 12
    record = tmp_path / "edition.json"
    record.write_text(json.dumps({"edition": "0ld0ld00", "strings": texts_by_id}))
    out = tmp_path / "out"
    result = run(
        project,
        "--size",
        "half-letter",
        "--vehicle",
        "all",
        "--only",
        "STO3",
        "--since",
        str(record),
        "--out",
        str(out),
    )
    assert 0 == result.exit_code, result.output
    html = (out / "half-letter-all.html").read_text(encoding="utf-8")
    assert '<p class="finished changed">' in html
    sheets = (out / "half-letter-all-sheets-letter.html").read_text(encoding="utf-8")
    assert "A bar beside a line marks a change since edition 0ld0ld00." in sheets


def test_only_the_leaves_with_a_change_are_printed_again_with_a_slip(project: Path, tmp_path: Path) -> None:
    record = tmp_path / "edition.json"
    texts_by_id = _whole_set(project) | {"rail-crossing/finished": "0" * 12}
    record.write_text(json.dumps({"edition": "0ld0ld00", "strings": texts_by_id}))
    out = tmp_path / "out"
    chosen = ("--size", "half-letter", "--vehicle", "all", "--since", str(record))
    result = run(project, *chosen, "--again", "--out", str(out))
    assert 0 == result.exit_code, result.output
    assert "2 faces in 4 documents, as HTML and PDF, unsigned." in result.output
    assert "2 of 2 faces not yet reviewed by your safety lead." in result.output
    slip = (out / "half-letter-all-slip-letter.html").read_text(encoding="utf-8")
    faces = BeautifulSoup((out / "half-letter-all.html").read_text(encoding="utf-8"), "html.parser")
    assert 2 == len(faces.select(".face"))
    assert faces.select_one("#sto3")
    assert "Take out each leaf of edition 0ld0ld00 or older." in slip
    assert "STO3 " in slip
    assert (out / "half-letter-all-slip-letter.pdf").read_bytes().startswith(b"%PDF-1.7")
    listed = run(project, "--status", *chosen).output
    assert "Since edition 0ld0ld00: 1 face to print again, on 1 leaf." in listed
    assert f"{record} does not say where each card lay, so leaves are numbered anew." in result.output


def test_printing_leaves_again_needs_an_edition_to_compare_with(project: Path, tmp_path: Path) -> None:
    result = run(project, "--again", "--out", str(tmp_path / "out"))
    assert 2 == result.exit_code
    assert "--again goes with --since, and without --only" in result.output


def _whole_set(project: Path) -> dict[str, str]:
    """The hashes of every string on the cards of a project."""
    context = BuildContext(load_library(project, dt.date(2026, 12, 1), NAMES), project / "site_overrides")
    return dict(face_record(context, [card_set(context, "half-letter")])["strings"])


def _strings(project: Path) -> dict[str, str]:
    """The record an edition of this project would hold."""
    from forty_paces.authoring.texts import texts_by_id

    library = load_library(project)
    return {
        key: hashlib.sha256(text.encode()).hexdigest()[:12]
        for procedure in library.procedures
        for key, text in texts_by_id(procedure).items()
    }


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--vehicle", "tankr"], 'fleet.yml has no vehicle "tankr"; name one of: all, '),
        (["--only", "STO3,Z9"], 'there is no card "Z9"; name one of: '),
        (["--json"], "--json goes with --status or --fits"),
        (["--status", "--fits"], "--status and --fits are two lists; ask for one"),
        (["--status", "--run", "2"], "--run goes with printing, not with --status or --fits"),
        (["--size", "a7"], "'a7' is not one of"),
    ],
)
def test_wrong_use_is_reported_and_exits_2(project: Path, arguments: list[str], said: str) -> None:
    result = run(project, *arguments)
    assert 2 == result.exit_code
    assert said in result.output
    assert "Traceback" not in result.output


def test_a_file_that_is_no_edition_is_wrong_use(project: Path, tmp_path: Path) -> None:
    file = tmp_path / "edition.json"
    file.write_text("{")
    result = run(project, "--status", "--since", str(file))
    assert 2 == result.exit_code
    assert "--since: edition.json is not the record of an edition" in result.output


def test_faults_in_the_content_are_reported_and_nothing_is_written(project: Path, tmp_path: Path) -> None:
    broken = tmp_path / "project"
    shutil.copytree(project, broken, symlinks=True)
    file = broken / "content/procedures/rail-crossing.yml"
    file.write_text(file.read_text(encoding="utf-8").replace("code: STO3", "code: seven"), encoding="utf-8")
    result = run(broken, "--out", str(tmp_path / "out"))
    assert 1 == result.exit_code
    assert "content/procedures/rail-crossing.yml:" in result.output
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("html_alone")
def test_without_pango_it_writes_html_and_says_what_to_install(project: Path, tmp_path: Path) -> None:
    result = run(
        project, "--size", "a5", "--vehicle", "all", "--only", "STO3", "--out", str(tmp_path / "out")
    )
    assert 0 == result.exit_code, result.output
    assert {".html", ".json"} == {file.suffix for file in (tmp_path / "out").iterdir()}
    assert "no PDF: install Pango; print the HTML pages from a browser instead." in result.output


def test_help_shows_examples(project: Path) -> None:
    result = CliRunner().invoke(main, ["cards", "--help"])
    assert 0 == result.exit_code
    assert "fortypaces cards --status --since old/edition.json" in result.output


def test_a_print_run_has_a_ticket_and_a_register(project: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    chosen = ("--size", "a5", "--vehicle", "coach", "--only", "STO3")
    result = run(project, *chosen, "--run", "3", "--out", str(out))
    assert 0 == result.exit_code, result.output
    ticket = (out / "run.html").read_text(encoding="utf-8")
    assert "Ticket, page 1 of 1" in ticket
    assert (out / "run.pdf").read_bytes().startswith(b"%PDF-1.7")
    rows = list(csv.reader((out / "register.csv").read_text(encoding="utf-8").splitlines()))
    assert ["001", "002", "003"] == [row[0][-3:] for row in rows[1:]]
    assert {"31"} == {row[1] for row in rows[1:]}
    assert not (out / "cards.json").exists(), "a record of some leaves would make all others new"
    listed = json.loads(run(project, *chosen[:4], "--status", "--json").stdout)
    number = next(face["number"] for face in listed if face["code"] == "STO3")
    page = BeautifulSoup((out / "a5-coach.html").read_text(encoding="utf-8"), "html.parser")
    foot = page.select_one("#sto3 .foot-words")
    assert f" {number} of " in foot.get_text().replace("\u00a0", " "), "numbered as in the whole set"
