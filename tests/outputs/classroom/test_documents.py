"""Recall cards, the yard plan and the sign-off sheet."""

import pytest
from bs4 import BeautifulSoup
from forty_paces.messages import quantities
from forty_paces.outputs.classroom import index as classroom
from forty_paces.outputs.classroom import yard_plan
from forty_paces.outputs.classroom.documents import (
    ASKED,
    recall_cards,
    recall_document,
    signoff_paper,
    yard_paper,
)
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

from tests.drawing.text_boxes import text_boxes, view_box
from tests.outputs.classroom.lesson_samples import CONTEXT, real_decks, real_library
from tests.soaking import sample

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
LETTER = PAPERS["letter"]


def test_the_yard_marks_every_distance_of_the_rule_and_no_other():
    """49 CFR 392.22(b): 10 ft, 100 ft and 200 ft; 4, 40 and (computed) 80 paces."""
    marks = yard_plan.yard_marks(RULES)
    assert [("behind", 10, 4), ("behind", 100, 40), ("behind", 200, 80), ("ahead", 100, 40)] == [
        (mark.toward.value, mark.distance_ft, mark.paces) for mark in marks
    ]


def test_own_paces_are_never_short():
    for row in yard_plan.own_paces(RULES):
        own_pace_ft = 100 / int(row["count"])
        for name, count in row.items():
            if name != "count":
                wanted = float(name.removesuffix(" ft"))
                assert int(count) * own_pace_ft >= wanted - 1e-6
                assert (int(count) - 1) * own_pace_ft < wanted


def test_forty_paces_over_a_hundred_feet_gives_the_rules_own_counts():
    (row,) = [row for row in yard_plan.own_paces(RULES) if row["count"] == "40"]
    assert {"count": "40", "10 ft": "4", "100 ft": "40", "200 ft": "80"} == row


@pytest.mark.parametrize("rules", LIBRARY.rules)
def test_the_yard_drawing_has_no_two_labels_on_one_another(rules):
    svg = yard_plan.draw_yard(LIBRARY.rules[rules].rule_set, prefix="yard")
    found = text_boxes(svg)
    for place, one in enumerate(found):
        assert one.box.inside(view_box(svg)), one.text
        assert not any(one.box.overlaps(other.box) for other in found[place + 1 :]), one.text


@pytest.mark.parametrize("lesson", LIBRARY.lessons)
def test_a_card_asks_on_its_front_and_answers_on_its_back(lesson):
    one = real_decks()[lesson]
    page = BeautifulSoup(recall_document(CONTEXT, one, LETTER, "r").html, "html.parser")
    fronts, backs = page.select(".recall--front"), page.select(".recall--back")
    cards = recall_cards(one)
    assert len(cards) == len(fronts) == len(backs)
    asked = [slide for slide in one.slides if slide.kind in ASKED]
    assert [card.slide for card in cards] == asked
    for sheet in page.select(".sheet"):
        assert 1 == len(
            {"front" if "recall--front" in c["class"] else "back" for c in sheet.select(".recall")}
        )
    text = {
        front.select_one(".recall__head").get_text().split(",")[0]: front.get_text(" ") for front in fronts
    }
    for back in backs:
        front = text[back.select_one(".recall__head").get_text().split(",")[0]]
        for line in back.select(".recall__line span:first-child, ol span[data-key]"):
            assert line.get_text() not in front


def test_every_front_has_its_back_behind_it():
    """Flipped, the left column of a back lies behind the right column of its front."""
    page = BeautifulSoup(
        recall_document(CONTEXT, next(iter(real_decks().values())), LETTER, "r").html, "html.parser"
    )
    place = {}
    for cell in page.select(".cell"):
        number = cell.select_one(".recall__head").get_text().split(" of ")[0].split()[-1]
        side = "front" if cell.select_one(".recall--front") else "back"
        (spot,) = [name for name in cell["class"] if name.startswith("at-")]
        place[number.lstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"), side] = spot
    for number, side in list(place):
        if side == "front":
            front, back = place[number, "front"].split("-"), place[number, "back"].split("-")
            assert front[2] == back[2]
            assert front[1] != back[1]


def test_the_sign_off_sheet_lists_every_lesson_and_claims_no_review():
    text = BeautifulSoup(signoff_paper(CONTEXT, LETTER).html, "html.parser").get_text(" ")
    for lesson in LIBRARY.lessons.values():
        assert lesson.title in text
    unreviewed = [one.code for one in LIBRARY.procedures if one.review.safety_lead is None]
    assert f"Cards not yet reviewed by your safety lead: {', '.join(unreviewed) or 'none'}." in text


@pytest.mark.long
@pytest.mark.soak
def test_every_paper_fills_the_pages_it_was_composed_on():
    shown = tuple(real_decks().values())
    papers = classroom.papers(CONTEXT, shown)
    assert len(papers) == 2 + 3 + len(shown)
    recall = [paper for paper in papers if paper.path.rpartition("/")[2].startswith("recall-")]
    assert len(recall) == len(shown)
    by_length = sorted(recall, key=lambda paper: paper.pages)
    once = [paper for paper in papers if paper not in recall]
    for paper in (*once, *sample(by_length, 2)):  # the shortest and the longest
        assert pdf.to_pdf(paper.html, pages=paper.pages).startswith(b"%PDF")
    for one in (yard_paper(CONTEXT, PAPERS["a4"]), signoff_paper(CONTEXT, PAPERS["a4"])):
        pdf.to_pdf(one.html, pages=one.pages)


def test_the_index_leads_to_every_page_and_paper():
    shown = tuple(real_decks().values())
    listing = classroom.ClassroomIndex(shown, classroom.papers(CONTEXT, shown))
    text = classroom.index_page(CONTEXT, listing)
    for one in shown:
        assert f'href="classroom/{one.lesson.id}.html"' in text
        assert f'href="classroom/{one.lesson.id}-notes.html"' in text
    for paper in listing.papers:
        assert f'href="{paper.path}.html"' in text
    for page in ("which", "placing", "seat", "sight", "trainer", "drill"):
        assert f'href="classroom/{page}.html"' in text


def test_metric_marks_are_the_printed_meters():
    assert ["3 m", "30 m", "61 m"] == [quantities.meters(feet) for feet in (10, 100, 200)]
