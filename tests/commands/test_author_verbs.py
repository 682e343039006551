"""check, new, schema and review from the command line: what they print, write, refuse and return."""

import datetime as dt
import json
import os
import subprocess
import sys

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner
from forty_paces.authoring.texts import string_hashes, texts_by_id
from forty_paces.cli import main

from tests.conftest import newest_day
from tests.faults.projects import BASE, expected, fault_text, project_with

SMOKE = "content/procedures/engine-smoke.yml"
DAY = ("--today", "2026-03-01")


def run(*words):
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert "Traceback" not in done.output
    return done


def faulty(tmp_path, name="key-missing"):
    return project_with(tmp_path, SMOKE, fault_text(name))


def test_check_says_how_much_it_read_and_found_nothing_in():
    done = run("check", "--project", BASE, *DAY)
    assert (0, "No faults in 2 procedures, 1 rule set, 2 scenes.\n") == (done.exit_code, done.stdout)


def test_check_prints_findings_their_count_and_exits_1(tmp_path):
    done = run("check", "--project", faulty(tmp_path), *DAY)
    assert 1 == done.exit_code
    assert expected("key-missing") + "1 finding in 2 procedures, 1 rule set, 2 scenes.\n" == done.stdout


def test_check_lists_advice_but_exits_0(tmp_path):
    done = run("check", "--project", faulty(tmp_path, "review-soon"), *DAY)
    assert 0 == done.exit_code
    assert (
        expected("review-soon") + "No faults; 1 of advice in 2 procedures, 1 rule set, 2 scenes.\n"
        == done.stdout
    )


def test_check_as_json_is_nothing_but_json(tmp_path):
    done = run("check", "--json", "--project", faulty(tmp_path, "one-action--two-actions"), *DAY)
    assert 1 == done.exit_code
    assert f"Project: {tmp_path / 'project'}\n" == done.stderr
    assert {
        "faults": 1,
        "advice": 0,
        "read": {"procedure": 2, "rule set": 1, "scene": 2, "lesson": 0, "scenario": 0},
        "findings": [
            {
                "file": SMOKE,
                "line": 24,
                "column": 13,
                "advice": False,
                "rule": "one-action",
                "at": "blocks/get-out/steps/engine-off/do",
                "wrong": 'a second action follows: "take"',
                "in": ['procedure "engine-smoke"', 'block "get-out"', 'step "engine-off"', "do"],
                "fix": "make it a step of its own",
            }
        ],
    } == json.loads(done.stdout)


def test_check_counts_reviews_from_the_given_day():
    assert 0 == run("check", "--project", BASE, "--today", "2027-01-05").exit_code
    assert 1 == run("check", "--project", BASE, "--today", "2027-01-06").exit_code


@pytest.mark.parametrize("words", [("--today", "soon"), ("--project", "/nowhere/at/all"), ("extra",)])
def test_check_calls_wrong_use_wrong_use(words):
    assert 2 == run("check", *words).exit_code


@pytest.mark.parametrize("typed", ["soon", "2026-13-01", "2026-02-30", "1.3.2026", "20260301"])
@pytest.mark.parametrize("verb", ["check", "review", "cards"])
def test_a_day_that_is_none_is_reported_with_how_to_write_one(verb, typed):
    done = run(verb, "--project", BASE, "--today", typed)
    assert 2 == done.exit_code
    wanted = f'"{typed}" is not a day; write it as year-month-day, such as 2026-11-25'
    assert wanted in " ".join(done.stderr.split())


def test_review_counts_from_the_day_of_the_edition_where_one_is_set(monkeypatch):
    """SOURCE_DATE_EPOCH, as for every other output: the same files, the same report."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(dt.datetime(2027, 1, 6, tzinfo=dt.UTC).timestamp())))
    assert "OVERDUE by 1 day\n" in run("review", "--project", BASE).stdout


def test_check_speaks_to_a_terminal_that_knows_no_unicode(tmp_path):
    project = faulty(tmp_path, "yaml-invisible-character")
    done = subprocess.run(
        [sys.executable, "-m", "forty_paces", "check", "--project", str(project), *DAY],
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C"},
        capture_output=True,
        check=False,
    )
    assert 1 == done.returncode
    assert b"Traceback" not in done.stderr
    assert b"U+200B" in done.stdout


def test_check_finds_no_fault_in_the_real_content(library):
    assert 0 == run("check", "--today", newest_day(library)).exit_code


def test_new_writes_a_file_that_the_check_calls_unfinished(tmp_path):
    project = project_with(tmp_path, SMOKE, (BASE / SMOKE).read_bytes())
    done = run("new", "procedure", "loose-wheel", "--project", project)
    assert 0 == done.exit_code
    assert (project / "content/procedures/loose-wheel.yml").read_text().startswith("# A new procedure.")
    assert 1 == run("check", "--project", project, *DAY).exit_code


def test_new_never_overwrites(tmp_path):
    project = project_with(tmp_path, SMOKE, "id: mine\n")
    done = run("new", "procedure", "engine-smoke", "--project", project)
    assert 1 == done.exit_code
    assert "is there already, and was left as it is. Choose another id." in done.stderr
    assert "id: mine\n" == (project / SMOKE).read_text()


@pytest.mark.parametrize(
    "name", ["Loose-Wheel", "loose_wheel", "../loose", "loose--wheel", "", "x" * 61, "a/b"]
)
def test_new_refuses_what_cannot_be_an_id(name, tmp_path):
    project = project_with(tmp_path, SMOKE, (BASE / SMOKE).read_bytes())
    before = sorted(project.rglob("*"))
    done = run("new", "procedure", name, "--project", project)
    assert 2 == done.exit_code
    assert "cannot be an id" in done.stderr
    assert before == sorted(project.rglob("*"))


def test_schema_writes_one_file_a_kind(tmp_path):
    done = run("schema", tmp_path / "schemas")
    assert 0 == done.exit_code
    written = sorted(file.name for file in (tmp_path / "schemas").iterdir())
    assert [f"{kind}.schema.json" for kind in SCHEMAS] == written
    for name in written:
        assert json.loads((tmp_path / "schemas" / name).read_text())["type"] == "object"


SCHEMAS = [
    *("after_event", "before_trip", "edition", "fleet", "glossary", "lesson", "library", "procedure"),
    *("rules", "scenario", "scene", "sources", "ways_out"),
]


def test_schema_refuses_a_file_where_a_folder_is_wanted(tmp_path):
    (tmp_path / "schemas").write_text("mine")
    assert 2 == run("schema", tmp_path / "schemas").exit_code
    assert "mine" == (tmp_path / "schemas").read_text()


def reviewed(tmp_path, change=lambda text: text):
    return project_with(tmp_path, SMOKE, change((BASE / SMOKE).read_text()))


def edition(tmp_path, library_project):
    from forty_paces.authoring.library import load_library

    from tests.faults.projects import TODAY

    library = load_library(library_project, TODAY)
    texts = [pair for procedure in library.procedures for pair in texts_by_id(procedure).items()]
    file = tmp_path / "edition.json"
    file.write_text(json.dumps({"edition": "0ld0ld00", "strings": string_hashes(texts)}))
    return file


def test_review_tells_state_sources_and_leaves_lines_to_sign():
    done = run("review", "--project", BASE, *DAY)
    assert 0 == done.exit_code
    first = done.stdout.split("=" * 78)[1]
    assert first.splitlines()[1:7] == [
        "WOB1  A wheel wobbles  (version 1.0)",
        "    in force from 2026-01-05, next review 2027-01-05: in 310 days",
        "    written by The tests",
        "    not yet reviewed by anybody",
        "",
        "  Sources",
    ]
    assert "practice: Common practice [common practice, no source]" in first
    assert "No source is watched." in first
    assert "No wording rule is waived." in first
    assert 3 == first.count("Signed ____")
    assert "Technical review: right against its sources: nobody yet" in first


def test_review_names_who_signed(tmp_path):
    project = reviewed(
        tmp_path,
        lambda text: text.replace(
            "  author: The tests", "  author: The tests\n  user: {name: 'B. Driver, driver', day: 2026-02-01}"
        ),
    )
    sheet = run("review", "--project", project, *DAY).stdout.split("=" * 78)[2]
    assert "Driver's review: walked with the card in hand: B. Driver, driver, 2026-02-01" in sheet
    assert "not yet reviewed by anybody" not in sheet


def test_review_prints_every_waiver_with_its_reason(tmp_path):
    waiver = "waive:\n  - {at: tile, rule: short-tile, reason: Drivers know it by this name.}\n"
    project = reviewed(
        tmp_path, lambda text: text.replace("tile: Engine smoke", "tile: Smoke at the engine") + waiver
    )
    report = run("review", "--project", project, *DAY).stdout
    assert "short-tile at tile: the tile has 4 words; 3 is the most" in report
    assert "because: Drivers know it by this name." in report


def test_review_tells_what_changed_since_an_edition(tmp_path):
    before = edition(tmp_path, BASE)
    project = reviewed(
        tmp_path,
        lambda text: text.replace("Turn off the engine.", "Switch off the engine.").replace(
            "cues:\n", "cues:\n  - The gauge is in the red.\n"
        ),
    )
    report = " ".join(run("review", "--project", project, "--since", before, *DAY).stdout.split())
    assert "Changed lines since edition 0ld0ld00" in report
    assert "changed: engine-smoke/blocks/get-out/steps/engine-off/do now: Switch off the engine." in report
    assert "new: engine-smoke/cues/2 now: Smoke comes from the hood." in report
    assert "No line has changed." in report  # of the other procedure


def test_review_reports_an_overdue_review_instead_of_refusing():
    done = run("review", "--project", BASE, "--today", "2027-01-06")
    assert 0 == done.exit_code
    assert "OVERDUE by 1 day\n" in done.stdout


def test_review_refuses_faulty_content_with_its_findings(tmp_path):
    done = run("review", "--project", faulty(tmp_path), *DAY)
    assert 1 == done.exit_code
    assert expected("key-missing").strip() in done.stderr


@pytest.mark.parametrize("content", ["", "[]", "{}", '{"edition": "x", "strings": []}', "[" * 100_000])
def test_review_refuses_what_is_no_edition(content, tmp_path):
    file = tmp_path / "edition.json"
    file.write_text(content)
    done = run("review", "--project", BASE, "--since", file, *DAY)
    assert 2 == done.exit_code
    assert "is not the edition.json of a built site" in done.stderr


def test_review_as_a_page_holds_the_same_and_needs_nothing_from_outside(tmp_path):
    hostile = "Smoke <script src=x> & more"
    project = reviewed(tmp_path, lambda text: text.replace("Smoke from the engine", hostile))
    page = tmp_path / "review.html"
    done = run("review", "--project", project, "--html", page, "--since", edition(tmp_path, BASE), *DAY)
    assert 0 == done.exit_code
    soup = BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser")
    assert ["WOB1 A wheel wobbles", f"SMK1 {hostile}"] == [title.get_text() for title in soup.find_all("h2")]
    assert not soup.find_all(["script", "link", "img"])
    assert 6 == len(soup.select("tr.line"))
    style = soup.style.get_text()
    assert "edition " in style.partition("@bottom-left")[2]
    assert "counter(page)" in style.partition("@bottom-right")[2]
    changed = soup.select("article#engine-smoke tbody tr")[0]
    assert "engine-smoke/title" in changed.get_text()


@pytest.mark.parametrize("site", ["content", "content/site", "."])
def test_build_refuses_a_site_that_would_bury_the_content(site, tmp_path, monkeypatch):
    project = project_with(tmp_path, SMOKE, fault_text("key-missing"))
    monkeypatch.chdir(project)
    done = run("build", "--site", site, "--project", project)
    assert (2, "") == (done.exit_code, done.stdout)
    assert "the content would lie in one another" in " ".join(done.stderr.split())
