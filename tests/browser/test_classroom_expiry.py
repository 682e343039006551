"""Results of a class go by the carrier's setting: days after its last answer, and after a week of warning."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.classroom.drill import drill_html
from forty_paces.outputs.classroom.trainer import trainer_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Page, expect

from tests.browser.auditing import violations
from tests.browser.classroom_pages import OpenPage, classroom_folder
from tests.browser.test_classroom_answers import answer, enter, opened, saved_rows

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

PROJECT = Path(__file__).resolve().parents[2]
FIRST = dt.datetime(2026, 12, 4, 9, 0, tzinfo=dt.UTC)
LAST_DAY = "January 8, 2028"
WARNING = (
    f"On {LAST_DAY} this device erases all results of class B12, and what its numbers missed. "
    "Save or print them before."
)


def after(days: int) -> dt.datetime:
    return FIRST + dt.timedelta(days=days)


def kept(page: Page) -> dict[str, object]:
    """What the classroom keeps in this browser, by the last word of its key."""
    stored = page.evaluate("Object.fromEntries(Object.entries(localStorage))")
    return {key.rpartition("-")[2]: json.loads(value) for key, value in stored.items()}


def held(page: Page) -> set[tuple[str, str]]:
    """Which class has answers, and which has lessons that stand somewhere."""
    rows, lessons = kept(page).get("scores") or [], kept(page).get("lessons") or {}
    assert isinstance(rows, list)
    assert isinstance(lessons, dict)
    return {("scores", row["class"]) for row in rows} | {("lessons", key.split("/")[0]) for key in lessons}


def one_answer(page: Page, group: str, number: str) -> None:
    enter(page, group, number)
    page.keyboard.press("PageDown")
    answer(page, rightly=True)
    page.get_by_role("button", name="Hand over").click()


def test_results_are_kept_warned_of_saved_printed_and_erased_by_class(
    classroom_folder: Path, open_page: OpenPage, library: Library, tmp_path: Path
) -> None:
    assert 400 == library.fleet.scores_kept_days
    page = open_page(classroom_folder / "skids.html", width=1280, height=800)
    opened(page, classroom_folder, "skids", FIRST)
    one_answer(page, "B12", "7")
    opened(page, classroom_folder, "skids", after(10))
    one_answer(page, "C3", "1")
    opened(page, classroom_folder, "trainer", after(392))
    lines = page.locator("#expiry-lines p")
    expect(lines).to_have_text(
        [
            f"This device erases the results of class B12 on {LAST_DAY}, 400 days after its last answer.",
            "This device erases the results of class C3 on January 18, 2028, 400 days after its last answer.",
        ]
    )

    opened(page, classroom_folder, "skids", after(393))
    page.get_by_role("button", name="Answer here").click()
    expect(page.locator("#expiry-lines p")).to_have_text([WARNING])
    page.get_by_role("button", name="Print my results").click()
    expect(page.locator("#expiry-said")).to_have_text(
        "Type the class and a number. No names: the list of names stays with the trainer."
    )
    page.get_by_label("Class", exact=True).fill("B12")
    page.get_by_label("Your number").fill("7")
    assert [] == violations(page)
    (row,) = saved_rows(page, tmp_path / "mine", "Save my results")
    assert ("B12", "7", "right") == (row.group, str(row.number), row.verdict)
    page.evaluate("window.print = () => { window.printed = true; }")
    page.get_by_role("button", name="Print my results").click()
    assert page.evaluate("window.printed")
    sheet = page.locator(".results-sheet")
    expect(sheet).to_be_hidden()
    page.emulate_media(media="print")
    expect(sheet).to_be_visible()
    expect(page.locator("#who")).to_be_hidden()
    expect(sheet.locator("h2")).to_have_text(["Class B12, number 7"])
    expect(sheet.locator("tbody tr")).to_have_count(1)
    assert ["2026-12-04", "1 of 1"] == [sheet.locator("td").nth(place).inner_text() for place in (0, 5)]
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    expect(sheet).to_have_count(0)

    opened(page, classroom_folder, "drill", after(400) - dt.timedelta(minutes=1))
    expect(page.locator("#expiry-lines p")).to_have_text([WARNING])
    assert {("scores", "B12"), ("lessons", "B12"), ("scores", "C3"), ("lessons", "C3")} == held(page)
    opened(page, classroom_folder, "placing", after(401))
    assert {("scores", "C3"), ("lessons", "C3")} == held(page)
    expect(page.locator("#expiry-lines")).to_contain_text("The results of class B12 were erased on")

    opened(page, classroom_folder, "trainer", after(404))
    assert [] == violations(page)
    expect(lines).to_have_count(2)
    expect(lines.first).to_contain_text("On January 19, 2028 this device erases all results of class C3")
    expect(lines.last).to_have_text(
        "The results of class B12 were erased on January 9, 2028. Your carrier keeps results for 400 days."
    )
    page.get_by_role("button", name="Keep them 400 more days").click()
    expect(lines.first).to_contain_text("This device erases the results of class C3 on February 15, 2029")
    opened(page, classroom_folder, "trainer", after(700))
    assert {("scores", "C3"), ("lessons", "C3")} == held(page)


def test_results_from_before_the_setting_have_their_days_from_the_first_opening(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "skids.html", width=1280, height=800)
    opened(page, classroom_folder, "skids", FIRST)
    one_answer(page, "B12", "7")
    page.evaluate("localStorage.removeItem('forty-paces-classroom-expiry')")
    opened(page, classroom_folder, "drill", after(1000))
    expect(page.locator("#expiry")).to_be_hidden()
    assert {"B12": {"touched": after(1000).timestamp() * 1000}} == kept(page)["expiry"]
    for day in (3000, 3006):  # nobody opened it when it was due: it warns first
        opened(page, classroom_folder, "drill", after(day))
        expect(page.locator("#expiry-lines p")).to_contain_text(["all results of class B12"])
        assert {("scores", "B12"), ("lessons", "B12")} == held(page)
    opened(page, classroom_folder, "drill", after(3007))
    expect(page.locator("#expiry-lines p")).to_contain_text(["The results of class B12 were erased"])
    assert set() == held(page)


def test_without_the_setting_nothing_is_counted_shown_or_erased(
    library: Library, open_page: OpenPage, tmp_path: Path
) -> None:
    fleet = library.fleet.model_copy(update={"scores_kept_days": None})
    context = BuildContext(dataclasses.replace(library, fleet=fleet), PROJECT / "site_overrides")
    for name, html in (("drill", drill_html(context)), ("trainer", trainer_html(context))):
        (tmp_path / f"{name}.html").write_text(html, encoding="utf-8")
    page = open_page(tmp_path / "drill.html")
    row = {"class": "B12", "number": "7", "question": "a", "work": "drill"}
    page.evaluate("row => localStorage.setItem('forty-paces-classroom-scores', JSON.stringify([row]))", row)
    for name in ("drill", "trainer"):
        opened(page, tmp_path, name, after(9000))
        assert 0 == page.locator("#expiry").count()
        assert {"scores": [row]} == kept(page)
    expect(page.locator("#numbers li")).to_have_text(["Class B12, number 7: 1 rows"])
