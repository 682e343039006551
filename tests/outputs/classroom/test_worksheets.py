"""Tests and answer keys on paper: reproducible, answers on the key only."""

import re

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.scene_blank import SCREEN, SHEET, WALL, WALL_BLANK, blank_plan, solved_plan
from forty_paces.drawing.typeface import load_typeface
from forty_paces.geometry.solver import place_in_scene
from forty_paces.messages.quantities import length_up
from forty_paces.outputs.classroom.documents import class_papers
from forty_paces.outputs.classroom.forms import form_tasks
from forty_paces.outputs.classroom.placing_slides import needed_words
from forty_paces.outputs.classroom.placing_tasks import scene_task, situations
from forty_paces.outputs.classroom.worksheets import Worksheet, situation_words, worksheet_body
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, SHEET_MARGINS

from tests.drawing.text_boxes import text_boxes, view_box
from tests.outputs.classroom.lesson_samples import PROJECT, real_library
from tests.soaking import sample

LIBRARY = real_library()
CONTEXT = BuildContext(LIBRARY, PROJECT / "site_overrides")
RULES = LIBRARY.rules["us"].rule_set
GROUPS = situations(RULES, LIBRARY.scenes.values())
LETTER = PAPERS["letter"]


def sheet_of(number, variant=0):
    return Worksheet(number, variant, form_tasks(RULES, number, variant))


def sheet_html(sheet):
    return worksheet_body(CONTEXT, sheet, LETTER)[0]


def words(html):
    soup = BeautifulSoup(html, "html.parser")
    for hidden in soup(["style", "title"]):
        hidden.extract()
    return " ".join(soup.get_text(" ").split())


@pytest.fixture(scope="module")
def pair():
    """A test with the pages of its file, and of its keys."""
    return (sheet_of(7), *(one.html for one in class_papers(CONTEXT, LETTER, number=7, variants=1)))


def test_the_same_number_gives_the_same_sheet_byte_for_byte(pair):
    form_tasks.cache_clear()
    assert pair == (sheet_of(7), *(one.html for one in class_papers(CONTEXT, LETTER, number=7, variants=1)))


def test_another_number_gives_another_sheet(pair):
    roads = [{task.scene.road for task in sheet.tasks} for sheet in (pair[0], sheet_of(8))]
    assert len(roads[0] & roads[1]) <= 1, "one straight road is like another"


def test_answers_are_absent_from_the_worksheet_and_present_in_the_key(pair):
    sheet, worksheet, key = pair
    asked, answered = words(worksheet), words(key)
    for task in sheet.tasks:
        for one in task.expected:
            answer = f"{one.distance_ft} ft ({one.paces} paces)"
            assert answer in answered
            assert answer not in asked
            assert not re.search(rf"\b{one.distance_ft} ft\b", asked), "not even on the scale bar"
            assert not re.search(rf"\b{one.paces} paces\b", asked)
            assert one.why in answered
            assert one.why not in asked
            assert one.source not in asked
        assert task.scene.teaching_point not in asked


def test_a_key_is_drawn_to_the_scale_of_its_worksheet(pair):
    """So it can be laid over the sheet to mark it."""
    asked, answered = (re.findall(r"1 in on this sheet is \d+ ft", words(html)) for html in pair[1:])
    assert len(pair[0].tasks) == len(asked)
    assert asked == answered


def test_a_learner_is_given_the_room_drivers_need_for_nobody_can_work_it_out_on_paper(pair):
    asked = words(pair[1])
    for task in pair[0].tasks:
        for approach in task.solved.placement.approaches:
            assert length_up(RULES, approach.needed_ft) in asked


def test_a_road_that_rises_or_falls_is_shown_from_the_side_too_without_its_answer():
    rising = [scene_task(RULES, group[0]) for group in GROUPS if group[0].road.profile.pvis]
    assert rising
    soup = BeautifulSoup(sheet_html(Worksheet(3, 0, tuple(rising))), "html.parser")
    sides = soup.select("svg.fp-profile")
    assert len(rising) == len(sides)
    for name in ("fp-device", "fp-hidden", "fp-sight", "fp-sight-back", "fp-station"):
        assert not [one for side in sides for one in side.select(f".{name}")]
    for side in sides:
        assert "Heights" in side.get_text()
        assert "warning" not in side.get_text()
        check_labels(str(side).replace("viewbox", "viewBox"))


def test_most_pages_hold_two_situations_and_what_is_left_is_to_write_on():
    made = [worksheet_body(CONTEXT, sheet_of(number), LETTER) for number in range(1, 4)]
    assert max(pages for _, pages in made) <= 4
    assert sum(pages for _, pages in made) / len(made) <= 3.5
    assert any("blank-why--whole" in html for html, _ in made)


def test_the_lines_that_are_given_fit_between_the_margins_and_lose_no_word():
    typeface = load_typeface(CONTEXT.fonts)
    column = LETTER.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
    own = [Worksheet(9, at, tuple(scene_task(RULES, one[0]) for one in GROUPS[at::4])) for at in range(4)]
    for sheet in (sheet_of(7), *own):
        soup = BeautifulSoup(sheet_html(sheet), "html.parser")
        for task, given in zip(sheet.tasks, soup.select(".given"), strict=True):
            joined = " ".join(given.get_text().split())
            assert joined.startswith(
                f"{situation_words(task)} {needed_words(task, RULES)} 1 in on this sheet is"
            )
            for row in given.select(".row"):
                bold = row.select_one(".scale")
                plain = row.get_text()[: -len(bold.get_text())] if bold else row.get_text()
                letters = typeface.regular.width(plain)
                letters += typeface.bold.width(bold.get_text()) if bold else 0
                assert letters * 11 / 1000 * 25.4 / 72 <= column


def test_a_name_without_spaces_is_broken_before_it_runs_off_the_paper(monkeypatch):
    long = "W" * 150
    monkeypatch.setattr(
        "forty_paces.outputs.classroom.worksheets.situation_words", lambda task: f"{long} Road."
    )
    soup = BeautifulSoup(sheet_html(sheet_of(7)), "html.parser")
    given = soup.select_one(".given")
    column = LETTER.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
    widths = [load_typeface(CONTEXT.fonts).regular.width(row.get_text()) for row in given.select(".row")]
    assert all(width * 11 / 1000 * 25.4 / 72 <= column for width in widths)
    assert long in given.get_text().replace(" ", "").replace("\n", "")


def test_the_worksheets_drawing_shows_no_device_no_hidden_stretch_and_no_line_of_sight(pair):
    soup = BeautifulSoup(pair[1], "html.parser")
    for name in ("fp-device", "fp-device-place", "fp-hidden", "fp-sight", "fp-station"):
        assert not soup.select(f"svg.fp-blank .{name}")
    assert len(pair[0].tasks) == len(soup.select("svg.fp-blank"))


def test_every_worksheet_and_key_is_one_file_that_asks_nothing(pair):
    for html in pair[1:]:
        assert "default-src &#39;none&#39;" in html
        assert not re.search(r'(?:src|href)="(?!#)', html)
        assert " style=" not in html


def test_no_label_of_a_blank_drawing_overlaps_another_or_leaves_the_page():
    for group in GROUPS:
        placed = place_in_scene(RULES, group[0])
        for room in (SCREEN, WALL_BLANK, SHEET):
            check_labels(blank_plan(placed, RULES, prefix="a", room=room).draw())


@pytest.mark.long
@pytest.mark.soak
def test_no_label_of_a_solved_drawing_overlaps_another_or_leaves_the_page():
    for group in GROUPS:
        for scene in sample(group, 4):
            placed = place_in_scene(RULES, scene)
            for room in (WALL, SHEET):
                check_labels(solved_plan(placed, RULES, prefix="a", room=room).draw())


def check_labels(svg):
    found, page = text_boxes(svg), view_box(svg)
    assert found
    for place, one in enumerate(found):
        assert one.box.inside(page), one.text
        for other in found[place + 1 :]:
            assert not one.box.overlaps(other.box), (one.text, other.text)


@pytest.mark.long
def test_the_pdf_has_the_pages_that_were_composed_on_a4_too():
    """Those of the edition, with all its forms, are on letter: test_documents.py lays them out."""
    for made in class_papers(CONTEXT, PAPERS["a4"], number=7, variants=1):
        assert pdf.to_pdf(made.html, pages=made.pages).startswith(b"%PDF")
