"""The look-back check stands at every moved device, in every product that shows one.

A device that the rule moves may stand where drivers see it too briefly: nobody knows until he looks. So each
product that puts one somewhere says what must be seen from there, in the words of the placement engine.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from bs4 import BeautifulSoup, Tag
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.geometry.solver import solve_scene
from forty_paces.messages.placement import LOOK_BACK, REASONS
from forty_paces.outputs.cab.placement_data import placement_data
from forty_paces.outputs.cards.placement_faces import placement_faces
from forty_paces.outputs.classroom.exercise import exercise_html
from forty_paces.outputs.classroom.forms import forms
from forty_paces.outputs.classroom.lessons import decks, lesson_html, notes_html
from forty_paces.outputs.classroom.sight_page import artifacts as sight_pages
from forty_paces.outputs.classroom.worksheets import Worksheet, key_body, rules_of, worksheet_body
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.moved_distances import moved_tables
from forty_paces.outputs.pages import placing, scenes
from forty_paces.outputs.paper.sheets import PAPERS

from tests.rule_files import PROJECT, rule_file

MOVED = re.compile(r"Moved out from|Set out here, drivers get")
LOOKS = re.compile(re.escape(LOOK_BACK) + r" (?:traffic must be in view without a gap for|it must take) \d")


def words(element: Tag) -> str:
    return " ".join(element.get_text(" ").replace("\u00a0", " ").split())


def missing(elements: list[Tag]) -> tuple[int, list[str]]:
    """How many elements tell of a moved device, and those of them that lack the check."""
    moved = [words(one) for one in elements if MOVED.search(words(one))]
    return len(moved), [text for text in moved if not LOOKS.search(text)]


def pages(context: BuildContext) -> Iterator[tuple[str, BeautifulSoup]]:
    for artifact in (*placing.artifacts(context), *scenes.artifacts(context)):
        yield artifact.path, BeautifulSoup(str(artifact.content), "html.parser")


def test_placing_pages_and_scene_pages_have_it_at_each_moved_device(context: BuildContext) -> None:
    counted = {"roads": 0, "scenes": 0}
    for path, page in pages(context):
        devices = page.select("table.devices tbody tr") + page.select(".devices-in-words li")
        count, lacking = missing(devices)
        assert lacking == [], path
        counted["scenes" if "/roads/" in path else "roads"] += count
    assert counted["roads"] == 3  # two bends and a crest
    moved = [
        device
        for scene in context.library.scenes.values()
        for device in solve_scene(rules_of(context), scene).placement.devices
        if device.moved
    ]
    assert counted["scenes"] == len(moved) >= 5


def test_no_sentence_on_any_of_these_pages_tells_of_a_moved_device_and_leaves_it_out(
    context: BuildContext,
) -> None:
    for path, page in pages(context):
        count, lacking = missing([one for one in page.select("li, tr, dd, p") if not one.select("li, tr")])
        assert lacking == [], (path, count)


def test_each_distance_table_has_its_look_back_beside_it(context: BuildContext) -> None:
    page = dict(pages(context))["placing/tables.md"]
    tables = page.select("table.figures")
    assert len(tables) == 2 * len(moved_tables(rules_of(context)))
    for table, far, look in zip(moved_tables(rules_of(context)), tables[::2], tables[1::2], strict=True):
        assert words(far.select("th")[0]) == "B less A"
        assert words(look.select("th")[0]) == "Look back from"
        shown = [words(cell) for row in look.select("tbody tr") for cell in row.select("td")]
        assert len(shown) == len(table.looks) * len(table.speeds)
        unit = r"\d½? s$" if table.by_night else r"\d+ ft \(\d+ paces, [\d¼½¾]+ lane lines?\)"
        assert [one for one in shown if not re.search(unit, one)] == []


def test_worksheet_keys_have_it_at_each_moved_device_and_worksheets_ask_for_it(context: BuildContext) -> None:
    found = 0
    for variant, tasks in enumerate(forms(rules_of(context), 7, 2)):
        sheet = Worksheet(7, variant, tasks)
        key = BeautifulSoup(key_body(context, sheet, PAPERS["letter"])[0], "html.parser")
        count, lacking = missing(key.select(".answers li"))
        assert lacking == [], sheet.name
        assert count == sum(
            device.moved for task in sheet.tasks for device in task.solved.placement.devices
        ), sheet.name
        found += count
        asked = BeautifulSoup(worksheet_body(context, sheet, PAPERS["letter"])[0], "html.parser")
        for situation in asked.select(".situation"):
            assert "Look back from one that moves" in words(situation)
    assert found >= 5


def test_the_exercise_has_it_in_the_answer_for_each_moved_device(context: BuildContext) -> None:
    page = BeautifulSoup(exercise_html(context), "html.parser")
    data = json.loads(next(one for one in page.select('script[type="application/json"]')).string or "")
    moved = [text for text in data["whys"] if MOVED.search(text)]
    assert len(moved) >= 10
    assert [text for text in moved if not LOOKS.search(text)] == []
    assert missing(page.select("li, td, p"))[1] == []


def test_a_lesson_has_it_on_the_slide_or_in_what_the_teacher_says(context: BuildContext) -> None:
    found = 0
    for deck in decks(context):
        notes = BeautifulSoup(notes_html(context, deck), "html.parser").get_text(" ")
        for slide in BeautifulSoup(lesson_html(context, deck), "html.parser").select("section"):
            if MOVED.search(words(slide)):
                found += 1
                assert LOOK_BACK in words(slide) or LOOK_BACK in notes, deck.lesson.id
    assert found >= 1


def test_the_sight_explorer_has_it_in_each_row_of_a_moved_device(context: BuildContext) -> None:
    (page,) = (str(one.content) for one in sight_pages(context) if one.path.endswith("sight.html"))
    soup = BeautifulSoup(page, "html.parser")
    data = json.loads(soup.select_one('script[type="application/json"]').string)
    at = {name: place for place, name in enumerate(data["numbers"])}
    rows = [data["rows"][start : start + len(at)] for start in range(0, len(data["rows"]), len(at))]
    base = data["base"] if isinstance(data["base"], int) else min(data["base"])
    moved = [row for row in rows if row[at["distance"]] > base]
    assert len(moved) >= 100
    assert all(LOOKS.search(data["looks"][row[at["look"]]]) for row in moved)


def test_cards_have_it_on_the_face_of_the_table(context: BuildContext) -> None:
    (moved,) = (face for face in placement_faces(rules_of(context)) if face.kind == "moved")
    assert moved.table is not None
    assert [len(row.checks) for row in moved.table.looks] == [len(moved.table.speeds)] * 5


def test_the_cab_file_has_it_in_its_script_and_in_its_printed_tables() -> None:
    data = placement_data(rule_file("us"))
    for key in ("look-day", "look-night"):
        assert data["messages"]["reasons"][key] == REASONS[key]
        assert REASONS[key].startswith(LOOK_BACK)


@pytest.mark.parametrize(
    ("given", "check"),
    [
        # 2.5 s at 55 mph are 201.7 ft: 3 s in half seconds; over a hill one second more (Green Book, 2.5 s).
        (["--hidden-behind", "300"], "it must take 3 s or more"),
        (["--hidden-behind", "300", "--hidden-by", "hill"], "it must take 4 s or more"),
        (["--hidden-behind", "300", "--visibility", "daylight"], "for 202 ft (81 paces, 5¼ lane lines)"),
    ],
)
def test_the_command_has_it_in_words_and_in_figures(given: list[str], check: str) -> None:
    words = ["place", "--project", str(PROJECT), "--road", "two-lane", "--speed", "55", *given]
    run = CliRunner().invoke(main, words)
    assert check in " ".join(run.stdout.split())
    values = json.loads(CliRunner().invoke(main, [*words, "--json"]).stdout)
    assert values["approach"]["behind"]["look_ft"] == 202
    assert values["approach"]["behind"]["look_s"] >= 2.5
