"""Points 27 to 30: drawings, lessons, and the records of those who checked."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Review, SignOff
from forty_paces.outputs.pages.review import MISSED_PCT, RATERS, WALKERS
from playwright.sync_api import Page

from tests.soaking import sample

OpenPage = Callable[..., Page]


DRAWING = re.compile(r'<svg\b[^>]*\bclass="[^"]*\bfp-drawing\b.*?</svg>', re.DOTALL)
"""A drawing in a page. None holds another; each is well-formed XML, far faster to read than HTML."""


def drawings(file: Path) -> list[Element]:
    """The drawings of a page."""
    return [
        ElementTree.fromstring(found.replace(' xmlns="http://www.w3.org/2000/svg"', ""))
        for found in DRAWING.findall(file.read_text("utf-8"))
    ]


def words_of(element: Element | None) -> str:
    assert element is not None
    return "".join(element.itertext())


def of_class(drawing: Element, name: str) -> list[Element]:
    return [one for one in drawing.iter() if name in one.get("class", "").split()]


def test_point_27_every_drawing_of_the_edition_has_a_text_alternative(built_site: Path) -> None:
    seen = 0
    for file in sorted(built_site.rglob("*.html")):
        if file.parent.name in {"cards", "vehicles"}:
            continue  # cards are read as PDF; their pictures have a test of their own
        for drawing in drawings(file):
            assert "img" == drawing.get("role")
            seen += 1
            if drawing.find(".//use") is not None:  # one drawing repeated on a page: it has no ids of its own
                assert len(drawing.get("aria-label", "")) > 40, file
                continue
            title, desc = drawing.find(".//title"), drawing.find(".//desc")
            assert min(len(words_of(title)), len(words_of(desc))) > 5, file
            assert f"{title.get('id')} {desc.get('id')}" == drawing.get("aria-labelledby"), file
    assert seen > 300


FEET, METERS = r"[\d,]+ ft", r"[\d,]+ m"


def test_point_27_placements_carry_their_labels_inside_in_feet_and_paces_and_say_meters_too(
    built_site: Path, library: Library
) -> None:
    """Drawn labels give the two measures that a driver walks by: feet, or meters, and paces."""
    seen = 0
    for file in sorted((built_site / "placing").rglob("*.html")):
        for drawing in drawings(file):
            devices = of_class(drawing, "fp-device-number")
            if not devices:
                continue
            drawn = [words_of(text) for text in drawing.iter("text")]
            desc = words_of(drawing.find(".//desc"))
            named = re.findall(rf"Device (\d+): (?:{FEET} \({METERS}\)|{METERS}), \d+ paces?", desc)
            beside = re.findall(r"Device (\d+): beside the vehicle\.", desc)
            assert {words_of(one) for one in devices} <= {*named, *beside}, (file, desc)
            distances = [text for text in drawn if re.fullmatch(rf"{FEET}|{METERS}", text)]
            assert len(distances) >= len(set(named)), (file, drawn)
            seen += 1
    assert seen > 30


WORDS = """
() => Array.from(document.querySelectorAll("svg.fp-drawing text")).filter((e) => e.checkVisibility())
  .map((e) => {
    const box = e.getBoundingClientRect();
    const page = e.ownerSVGElement.getBoundingClientRect();
    const scale = page.width / e.ownerSVGElement.viewBox.baseVal.width;
    return { text: e.textContent, px: parseFloat(getComputedStyle(e).fontSize) * scale,
             inside: box.left >= page.left - 1 && box.right <= page.right + 1
               && box.top >= page.top - 1 && box.bottom <= page.bottom + 1 };
  })
"""


@pytest.mark.browser
def test_point_27_labels_lie_inside_the_drawing_and_are_12_px_or_more_on_every_screen(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "placing/two-lane.html", width=800, height=900)
    for name in (
        "two-lane",
        "divided",
        "right-hand-bend",
        "crest",
        "town",
        "roads/quarry-bend",
        "roads/tarn-ridge",
    ):
        page.goto((built_site / f"placing/{name}.html").as_uri())
        for width in (390, 800, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            found = page.evaluate(WORDS)
            assert len(found) > 5
            for one in found:
                assert one["inside"], (name, width, one)
                assert one["px"] >= 12 - 0.05, (name, width, one)


def lesson_files(built_site: Path, library: Library) -> dict[str, Path]:
    return {name: built_site / f"classroom/{name}.html" for name in library.lessons}


@cache
def slides(file: Path) -> list[Tag]:
    return BeautifulSoup(file.read_text("utf-8"), "html.parser").select("section.slide")


def part(slide: Tag) -> str:
    return slide.select_one(".slide__part").get_text()


def test_point_28_a_lesson_opens_with_closed_book_recall_of_every_box_it_teaches(
    built_site: Path, library: Library
) -> None:
    for name, file in lesson_files(built_site, library).items():
        opening, *others = slides(file)
        boxes = library.lessons[name].procedures
        assert [f"by-heart-{one}" for one in boxes] == [str(one["id"]) for one in others[: len(boxes)]]
        assert {"Closed book"} == {part(one) for one in others[: len(boxes)]}
        assert {"first", "week", "month"} == {
            str(one["data-session"]) for one in opening.select("[data-session]")
        }
        for box in others[: len(boxes)]:
            assert {"data-first", "data-week", "data-month"} <= set(box.attrs)
            assert box.select("details.reveal .by-heart li")


def test_point_28_every_question_has_its_answer_and_reason_folded_away_behind_it(
    built_site: Path, library: Library
) -> None:
    asked = 0
    for file in lesson_files(built_site, library).values():
        for slide in slides(file):
            folded = slide.select("details.reveal")
            assert not any(one.has_attr("open") for one in folded)
            if "slide--question" in slide["class"]:
                (answer,) = folded
                assert answer.select_one(".answer__why").get_text(strip=True)
                assert answer.select_one(".line__text[data-key]") is not None
                wrong = answer.select("li.is-wrong")
                assert all(one.select_one(".options__correction").get_text(strip=True) for one in wrong)
                asked += 1
    assert asked > 40


SHOWN = """
(selector) => Array.from(document.querySelectorAll(selector))
  .filter((e) => e.checkVisibility({ checkVisibilityCSS: true }) && e.getClientRects().length)
  .map((e) => e.id || e.className)
"""
"""What is displayed of those elements."""


@pytest.mark.browser
@pytest.mark.soak
def test_point_28_no_answer_is_seen_until_it_is_asked_for_and_then_its_reason_with_it(
    built_site: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(built_site / "classroom/fire.html", java_script_enabled=False)
    for name, file in sample(list(lesson_files(built_site, library).items()), 5):
        page.goto(file.as_uri())
        assert page.locator(".answer").count() > 1
        assert [] == page.evaluate(SHOWN, ".answer"), name
        question = page.locator(".slide--question").first
        question.locator("summary").click()
        assert 1 == len(page.evaluate(SHOWN, ".answer")), name
        assert question.locator(".answer__why").is_visible()


@pytest.mark.browser
@pytest.mark.soak
def test_point_28_it_returns_after_a_week_and_after_a_month_with_the_boxes_first(
    built_site: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(built_site / "classroom/fire.html")
    for name, file in sample(list(lesson_files(built_site, library).items()), 5):
        for session in ("week", "month"):
            page.goto(file.as_uri())
            page.click(f'.sessions a[data-session="{session}"]')
            page.keyboard.press("PageDown")
            shown = page.evaluate(SHOWN, "section.slide")
            if not shown or not shown[0].startswith("by-heart-"):
                page.keyboard.press("PageDown")
                shown = page.evaluate(SHOWN, "section.slide")
            (first,) = shown
            boxes = library.lessons[name].recall.by_heart
            assert first in {f"by-heart-{box}" for box in boxes}, "the boxes come in another order each time"


def test_point_29_distances_go_solved_part_solved_own_attempt(built_site: Path, library: Library) -> None:
    order = ["Worked example", "Part-done example", "Your own attempt"]
    for name, file in lesson_files(built_site, library).items():
        parts = [part(one) for one in slides(file) if part(one) in order]
        assert parts == sorted(parts, key=order.index), name
        assert set(order) == set(parts), name
    placing = [
        one for one in slides(built_site / "classroom/devices.html") if "slide--placing" in one["class"]
    ]
    counts = [sum(part(one) == name for one in placing) for name in order]
    assert counts[0] >= 1
    assert counts[1] >= 1
    assert counts[2] >= 2
    for one in placing:
        worked, part_done = (part(one) == name for name in order[:2])
        assert worked == ("is-worked" in one["class"]), one["id"]
        assert part_done == bool(one.select(".slide__given")), one["id"]
        folded = [fold.summary.get_text() for fold in one.select("details.reveal")]
        assert worked != ("Show where" in folded), one["id"]
        assert folded[-1] in ("Show why", "How many can stop"), one["id"]
        assert "Show why" in folded, one["id"]


def test_point_29_mixed_scenarios_ask_which_emergency_before_what_next(
    built_site: Path, library: Library
) -> None:
    files = [*lesson_files(built_site, library).values(), built_site / "classroom/which.html"]
    for file in files:
        mixed = [one for one in slides(file) if part(one) == "Which emergency is this?"]
        assert mixed, file.name
        for one in mixed:
            first, *later = (fold.summary.get_text() for fold in one.select("details.reveal"))
            assert "which it is" in first, (file.name, one["id"])
            assert later, (file.name, one["id"])
            assert len(one.select("ol.options li")) >= 3
    families = {
        re.split("-which", str(one["id"]))[0]
        for one in slides(built_site / "classroom/which.html")
        if part(one) == "Which emergency is this?"
    }
    assert len(families) >= 8  # cues of many families, shuffled


def test_point_30_verification_and_validation_are_two_records_and_neither_is_claimed(
    library: Library, pages: Mapping[str, Tag]
) -> None:
    """Three drivers who walk it and two raters who score it: that is for people to do and sign."""
    kinds = {name: field.annotation for name, field in Review.model_fields.items()}
    assert kinds["technical"] == kinds["user"] == kinds["safety_lead"] == SignOff | None
    for procedure in library.procedures:
        said = " ".join(pages[procedure.id].select_one(".review").get_text().split())
        signed = procedure.review
        assert ("Not yet verified by a second person." in said) == (signed.technical is None)
        assert ("Not yet walked by a driver." in said) == (signed.user is None)
        assert ("Not yet reviewed by your safety lead." in said) == (signed.safety_lead is None)
        for signature in (signed.technical, signed.user, signed.safety_lead):
            assert signature is None or signature.name in said


def test_point_30_the_review_sheet_has_a_line_for_every_walk_score_and_signature(
    built_site: Path, library: Library
) -> None:
    assert (WALKERS, MISSED_PCT, RATERS) == (3, 6, 2)
    page = BeautifulSoup((built_site / "review.html").read_text("utf-8"), "html.parser")
    sheets: list[Any] = page.select("section.review-sheet")
    assert len(library.procedures) == len(sheets)
    for procedure, sheet in zip(library.procedures, sheets, strict=True):
        signatures, walks, scores = sheet.select("table.signatures")
        assert 3 == len(signatures.select("tbody tr"))
        assert WALKERS == len(walks.select("tbody tr"))
        assert RATERS == len(scores.select("tbody tr"))
        changes = [one.get_text() for one in sheet.select("ul.changes li")]
        assert [change.version for change in procedure.changes] == [one.partition(",")[0] for one in changes]


def test_point_30_what_changed_since_an_edition_is_marked_on_cards(built_site: Path) -> None:
    """The bar itself is drawn by ``fortypaces cards --since``; every edition has the data for it."""
    record = json.loads((built_site / "edition.json").read_text("utf-8"))
    assert len(record["strings"]) > 500
    assert all(re.fullmatch(r"[0-9a-f]{12,64}", one) for one in record["strings"].values())
