"""Worksheets and answer keys: reproducible, different for neighbors, answers on the key only."""

import re
from itertools import pairwise

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.scene_blank import SCREEN, SHEET, WALL, WALL_BLANK, blank_plan, solved_plan
from forty_paces.drawing.typeface import load_typeface
from forty_paces.geometry.solver import place_in_scene
from forty_paces.messages.quantities import length_up
from forty_paces.outputs.classroom.placing_slides import needed_words
from forty_paces.outputs.classroom.worksheets import (
    deal_situations,
    key_document,
    scene_groups,
    situation_words,
    worksheet_document,
    worksheets,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, SHEET_MARGINS

from tests.drawing.text_boxes import text_boxes, view_box
from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
CONTEXT = BuildContext(LIBRARY, PROJECT / "site_overrides")
RULES = LIBRARY.rules["us"].rule_set
GROUPS = scene_groups(CONTEXT)
LETTER = PAPERS["letter"]


def sheets(number, variants=1, count=None, groups=GROUPS):
    return worksheets(RULES, groups, number, variants, count)


def words(html):
    soup = BeautifulSoup(html, "html.parser")
    for hidden in soup(["style", "title"]):
        hidden.extract()
    return " ".join(soup.get_text(" ").split())


@pytest.fixture(scope="module")
def pair():
    (sheet,) = sheets(7)
    return (
        sheet,
        worksheet_document(CONTEXT, sheet, LETTER, "w").html,
        key_document(CONTEXT, sheet, LETTER, "k").html,
    )


def test_the_same_number_gives_the_same_sheet_byte_for_byte(pair):
    sheet, worksheet, key = pair
    (again,) = sheets(7)
    assert sheet == again
    assert worksheet == worksheet_document(CONTEXT, again, LETTER, "w").html
    assert key == key_document(CONTEXT, again, LETTER, "k").html


def test_another_number_gives_another_sheet(pair):
    (other,) = sheets(8)
    assert [task.id for task in pair[0].tasks] != [task.id for task in other.tasks]


def test_neighbors_never_have_the_same_situation_at_the_same_place():
    few = scene_groups(CONTEXT, ("quarry-bend", "drover-crest"))
    for groups, count in ((GROUPS, None), (few, 2), (GROUPS, 12)):
        for number in range(50):
            for one, other in pairwise(deal_situations(groups, number, 5, count)):
                assert all(mine is not yours for mine, yours in zip(one, other, strict=True))


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
    rising = [(group[0],) for group in GROUPS if group[0].road.profile.pvis]
    assert rising
    (sheet,) = sheets(3, groups=rising, count=len(rising))
    document = worksheet_document(CONTEXT, sheet, LETTER, "w")
    soup = BeautifulSoup(document.html, "html.parser")
    sides = soup.select("svg.fp-profile")
    assert len(rising) == len(sides)
    for name in ("fp-device", "fp-hidden", "fp-sight", "fp-sight-back", "fp-station"):
        assert not [one for side in sides for one in side.select(f".{name}")]
    for side in sides:
        assert "Heights" in side.get_text()
        assert "warning" not in side.get_text()
        check_labels(str(side).replace("viewbox", "viewBox"))
    assert pdf.to_pdf(document.html, pages=document.pages).startswith(b"%PDF")


def test_most_pages_hold_two_situations_and_what_is_left_is_to_write_on():
    pages = [
        worksheet_document(CONTEXT, sheet, LETTER, "w").pages for n in range(1, 4) for sheet in sheets(n, 2)
    ]
    assert max(pages) <= 4
    assert sum(pages) / len(pages) <= 3
    html = worksheet_document(CONTEXT, sheets(2, 2)[1], LETTER, "w").html
    assert "blank-why--whole" in html


def test_the_lines_that_are_given_fit_between_the_margins_and_lose_no_word():
    typeface = load_typeface(CONTEXT.fonts)
    column = LETTER.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
    for number in range(1, 6):
        (sheet,) = sheets(number)
        soup = BeautifulSoup(worksheet_document(CONTEXT, sheet, LETTER, "w").html, "html.parser")
        for task, given in zip(sheet.tasks, soup.select(".given"), strict=True):
            told = " ".join(given.get_text().split())
            assert told.startswith(
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
    (sheet,) = sheets(1)
    soup = BeautifulSoup(worksheet_document(CONTEXT, sheet, LETTER, "w").html, "html.parser")
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


@pytest.mark.parametrize("room", [SCREEN, WALL_BLANK, SHEET], ids=["screen", "wall", "sheet"])
def test_no_label_of_a_blank_drawing_overlaps_another_or_leaves_the_page(room):
    for group in GROUPS:
        check_labels(blank_plan(place_in_scene(RULES, group[0]), RULES, prefix="a", room=room).draw())


@pytest.mark.long
@pytest.mark.parametrize("room", [WALL, SHEET], ids=["wall", "sheet"])
def test_no_label_of_a_solved_drawing_overlaps_another_or_leaves_the_page(room):
    for group in GROUPS:
        for scene in group:
            check_labels(solved_plan(place_in_scene(RULES, scene), RULES, prefix="a", room=room).draw())


def check_labels(svg):
    found, page = text_boxes(svg), view_box(svg)
    assert found
    for place, one in enumerate(found):
        assert one.box.inside(page), one.text
        for other in found[place + 1 :]:
            assert not one.box.overlaps(other.box), (one.text, other.text)


def test_a_thousand_numbers_deal_only_possible_situations_and_come_round_to_all():
    """Drawing and answer depend on the situation alone; those are tested above and in test_placing_tasks."""
    possible = {id(scene) for group in GROUPS for scene in group}
    seen = set()
    for number in range(1000):
        for sheet in deal_situations(GROUPS, number, 2):
            assert len({scene.id for scene in sheet}) == 4
            seen |= {id(scene) for scene in sheet}
    assert possible == seen


@pytest.mark.long
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_pdf_has_the_pages_that_were_composed(paper):
    for number in (1, 2, 7):
        for sheet in sheets(number, 2):
            for document in (worksheet_document, key_document):
                made = document(CONTEXT, sheet, PAPERS[paper], "x")
                assert pdf.to_pdf(made.html, pages=made.pages).startswith(b"%PDF")
