"""Lessons answered in a browser: whole sessions, what comes back, two learners on one tablet, no storage."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import icalendar
import pytest
from forty_paces.outputs.classroom.score_files import ScoreRow, read_folder
from forty_paces.outputs.classroom.score_report import learners
from playwright.sync_api import Page, expect
from selenium import webdriver
from selenium.webdriver.common.by import By

from tests.browser.auditing import violations
from tests.browser.classroom_pages import OpenPage, classroom_folder, on_the_wall
from tests.browsers import settle

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

FIRST_DAY = dt.datetime(2026, 12, 4, 9, 0, tzinfo=dt.UTC)
STATE = """() => {
  const slide = document.querySelector('.slide.is-now'), count = what => slide.querySelectorAll(what).length;
  const all = JSON.parse(document.getElementById('lesson-data').textContent);
  return {
    id: slide.id, choices: count('[data-give]'), lines: count('[data-line]'), fields: count('.typed'),
    right: [...slide.querySelectorAll('.options--marked > li')]
      .findIndex(one => one.className === 'is-right'),
    devices: all.devices[slide.id] || null, asks: !document.getElementById('replies').hidden,
    closing: slide.classList.contains('slide--closing'), place: document.getElementById('place').textContent,
  };
}"""


def enter(page: Page, group: str, number: str, session: str = "First session") -> None:
    page.get_by_role("button", name="Answer here").click()
    page.get_by_label("Class", exact=True).fill(group)
    page.get_by_label("Your number").fill(number)
    page.get_by_role("radio", name=session, exact=True).check()
    page.get_by_role("button", name="Begin", exact=True).click()


def answer(page: Page, *, rightly: bool, sure: bool = True) -> str:
    """Answer what is asked now, and return the slide's id; nothing where nothing is asked."""
    now = page.evaluate(STATE)
    if not now["asks"]:
        return ""
    slide = page.locator(".slide.is-now")
    if now["choices"]:
        page.keyboard.press(str(1 + (now["right"] if rightly else (now["right"] + 1) % now["choices"])))
    for line in range(now["lines"]):
        slide.locator(f"[data-line='{line if rightly else now['lines'] - 1 - line}']").click()
    if now["fields"]:
        asked = now["devices"]
        for field, device in zip(
            slide.locator(".typed").all(), asked["expected"][asked["placed"] :], strict=True
        ):
            field.locator(f"[data-side='{device['toward']}']").click()
            field.locator("input").fill(str(device["distance"] if rightly else 999))
    page.click(f"#replies [data-reply='{'sure' if sure else 'unsure'}']")
    if page.locator("[data-reply='had_it']").is_visible():
        page.locator("[data-reply='had_it']" if rightly else "[data-reply='had_not']").click()
    return str(now["id"])


def session_of(page: Page, *, miss: tuple[str, ...] = (), unsure: tuple[str, ...] = ()) -> list[str]:
    """Answer to the end, missing some at the first try; the ids of what was asked, in order."""
    asked: list[str] = []
    while not (state := page.evaluate(STATE))["closing"]:
        now = state["id"]
        first = now not in asked
        answered = answer(page, rightly=not (first and now in miss), sure=now not in unsure)
        asked += [answered] if answered else []
        page.keyboard.press("PageDown")
    return asked


def saved_rows(page: Page, folder: Path, button: str) -> list[ScoreRow]:
    with page.expect_download() as saving:
        page.get_by_role("button", name=button).click()
    folder.mkdir(exist_ok=True)
    saving.value.save_as(folder / saving.value.suggested_filename)
    rows, findings = read_folder(folder, None)
    assert [] == findings
    return rows


def opened(page: Page, folder: Path, name: str, day: dt.datetime) -> None:
    """The page as on another day, in a new tab's storage."""
    page.goto("about:blank")
    page.clock.set_fixed_time(day)
    page.goto((folder / f"{name}.html").as_uri())


MISSED, UNSURE = ("measured-from", "place-ramp"), ("hold-it",)


@pytest.mark.walk
def test_a_whole_lesson_and_its_return_after_a_week_and_a_month(
    classroom_folder: Path, open_page: OpenPage, tmp_path: Path
) -> None:
    page = open_page(classroom_folder / "devices.html", width=1280, height=720)
    opened(page, classroom_folder, "devices", FIRST_DAY)
    enter(page, "b 12", "7")
    asked = session_of(page, miss=MISSED, unsure=UNSURE)
    assert list(MISSED) == asked[-2:], "what was missed comes back at the end"
    assert len(asked) == len(set(asked)) + 2
    result = page.locator(".slide.is-now .reply").inner_text()
    assert f"Right at the first answer: {len(set(asked)) - 2} of {len(set(asked))}." in result
    assert "Sure, and not right: 2." in result
    rows = saved_rows(page, tmp_path / "first", "Save my results")
    assert [f"scores-B12-7-{FIRST_DAY:%Y-%m-%d}.csv"] == [f.name for f in (tmp_path / "first").iterdir()]
    assert [(one, 1) for one in MISSED] + [(one, 2) for one in MISSED] == sorted(
        ((row.question, row.attempt) for row in rows if row.question in MISSED), key=lambda one: one[1]
    )
    assert {"first"} == {row.session for row in rows}
    page.get_by_role("button", name="Hand over to the next learner").click()

    opened(page, classroom_folder, "devices", FIRST_DAY + dt.timedelta(days=7))
    enter(page, "B12", "7", "After a week")
    boxes = page.locator(".slide--by-heart").count()
    page.keyboard.press("PageDown")
    answer(page, rightly=True)
    page.keyboard.press("PageDown")
    place = page.evaluate(STATE)["place"]
    page.reload()
    assert place == page.evaluate(STATE)["place"], "a session is kept across a reload"
    week = session_of(page)
    assert {*MISSED, *UNSURE} == set(week[:3]), "what was missed or unsure comes first, after the boxes"
    assert 1 == boxes
    set_of_the_week = page.evaluate("[...document.querySelectorAll('[data-week]')].map(slide => slide.id)")
    assert set(set_of_the_week) - {"start", "close", "by-heart-warning-devices"} <= set(week)
    assert "Nothing is left over for next time." in page.locator(".slide.is-now .reply").inner_text()
    page.get_by_role("button", name="Hand over to the next learner").click()

    opened(page, classroom_folder, "devices", FIRST_DAY + dt.timedelta(days=28))
    enter(page, "B12", "7", "After a month")
    month = session_of(page)
    set_of_the_month = page.evaluate("[...document.querySelectorAll('[data-month]')].map(slide => slide.id)")
    assert set(set_of_the_month) - {"start", "close"} == set(month)
    rows = saved_rows(page, tmp_path / "all", "Save my results")
    assert ["2026-12-04", "2026-12-11", "2027-01-01"] == sorted({row.day.isoformat() for row in rows})
    assert [] == page.faults
    assert {"file"} == {url.split(":")[0] for url in page.requests} - {"about", "blob"}


def test_the_answer_is_not_there_before_sure_or_not_sure_and_then_speaks_to_the_choice(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=800)
    enter(page, "B12", "7")
    while not page.evaluate(STATE)["choices"]:
        page.get_by_role("button", name="I do not know").click() if page.evaluate(STATE)["asks"] else None
        page.keyboard.press("PageDown")
    here, now = page.evaluate(STATE)["id"], page.evaluate(STATE)
    slide = page.locator(".slide.is-now")
    for key in ("PageDown", "ArrowRight", "End", "s"):
        page.keyboard.press(key)
        assert here == page.evaluate(STATE)["id"]
        assert 0 == slide.locator("details[open]").count()
    expect(page.get_by_role("button", name="Sure (S)")).to_be_disabled()
    assert [] == violations(page)
    wrong = (now["right"] + 1) % now["choices"]
    page.keyboard.press(str(wrong + 1))
    assert 0 == slide.locator("details[open]").count()
    page.keyboard.press("u")
    correction = (
        slide.locator(".options--marked > li").nth(wrong).locator(".options__correction").inner_text()
    )
    shown_text = slide.locator(".reply").inner_text()
    assert shown_text.startswith("Not right. It comes back at the end and next time.")
    assert f"You chose {'ABCD'[wrong]}: " in shown_text
    assert correction in shown_text
    assert "reply" in page.evaluate("document.activeElement.className")
    assert [] == violations(page)


CLASS_SIZE = 8
"""Enough for what is typed and tapped from outside; ``test_classroom_played`` has a class of twenty."""


def test_a_class_on_one_tablet_leaves_numbers_alone_and_the_trainer_wipes_it(
    classroom_folder: Path, open_page: OpenPage, tmp_path: Path
) -> None:
    page = open_page(classroom_folder / "skids.html", width=800, height=1280)
    opened(page, classroom_folder, "skids", FIRST_DAY)
    for number in range(1, CLASS_SIZE + 1):
        enter(page, "B12", str(number))
        expect(page.locator("#place")).to_have_text(f"Class B12, number {number}: 1 of {total(page)}")
        page.keyboard.press("PageDown")
        assert 0 == page.locator(".slide.is-now .reply").count(), "nothing of the last learner"
        assert 0 == page.locator(".slide.is-now [aria-pressed='true']").count()
        answer(page, rightly=number % 2 == 1)
        page.get_by_role("button", name="Hand over").click()
        assert "number" not in page.locator("body").inner_text()
        assert page.evaluate("sessionStorage.length") == 0
    opened(page, classroom_folder, "trainer", FIRST_DAY)
    assert CLASS_SIZE == page.locator("#numbers li").count()
    assert "right" not in page.locator("#numbers").inner_text().lower()
    assert [] == violations(page)
    rows = saved_rows(page, tmp_path / "class", "Save every number's results")
    assert [("B12", str(number)) for number in range(1, CLASS_SIZE + 1)] == list(learners(rows))
    assert ["right", "wrong"] * (CLASS_SIZE // 2) == [row.verdict for row in rows]
    page.get_by_role("button", name="Wipe the scores").click()
    assert CLASS_SIZE == page.locator("#numbers li").count(), "wiping takes two taps"
    page.get_by_role("button", name="Yes, wipe the scores now").click()
    expect(page.locator("#numbers")).to_have_text("There are no scores on this device.")
    left = {f"forty-paces-classroom-{name}" for name in ("lessons", "expiry")}
    assert left == set(page.evaluate("Object.keys(localStorage)"))
    page.get_by_role("button", name="Wipe everything", exact=True).click()
    page.get_by_role("button", name="Yes, wipe everything now").click()
    assert [] == page.evaluate("Object.keys(localStorage)")


def total(page: Page) -> int:
    return page.locator("[data-first]").count()


@pytest.mark.parametrize(
    "broken",
    [
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } });"
        "Object.defineProperty(window, 'sessionStorage', { get() { throw new Error('refused'); } });",
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };",
    ],
    ids=["forbidden", "full"],
)
def test_where_nothing_can_be_kept_the_page_says_so_and_the_results_can_still_be_saved(
    classroom_folder: Path, open_page: OpenPage, tmp_path: Path, broken: str
) -> None:
    page = open_page("about:blank", width=1280, height=720)
    page.add_init_script(broken)
    page.goto((classroom_folder / "hydroplaning.html").as_uri())
    enter(page, "B12", "7")
    expect(page.locator("#kept")).to_contain_text("This device keeps nothing")
    asked = session_of(page)
    assert len(set(asked)) == len(saved_rows(page, tmp_path / "rows", "Save my results"))
    assert [] == page.faults


LOW = """() => [...document.querySelectorAll("main button, #replies button")]
  .filter(button => button.checkVisibility({ visibilityProperty: true }))
  .filter(button => button.getBoundingClientRect().height < 48)
  .map(button => button.textContent.trim())"""
"""The buttons that are shown and less than 48 px high."""


def test_answering_needs_no_sideways_scrolling_and_its_buttons_are_large(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "devices.html", reduced_motion="reduce")
    enter(page, "B12", "0")
    assert page.locator("#place").inner_text().startswith("Class B12, all together: ")
    kinds = set()
    while not (now := page.evaluate(STATE))["closing"]:
        kinds.add((now["choices"] > 0, now["lines"] > 0, now["fields"] > 0))
        fits_every_width(page, now)
        if now["asks"]:
            page.click("#replies [data-reply='unknown']")
            fits_every_width(page, now)
        page.keyboard.press("PageDown")
        if len(kinds) == 4 and now["id"].startswith("which"):
            break
    assert len(kinds) == 4
    moving = page.evaluate("document.getAnimations().length")
    assert 0 == moving


def fits_every_width(page: Page, now: dict[str, Any]) -> None:
    for width, height in ((390, 844), (800, 1280), (1280, 720)):
        page.set_viewport_size({"width": width, "height": height})
        assert on_the_wall(page)["across"] <= 0, (width, now)
        assert [] == page.evaluate(LOW), (width, now)


def test_on_paper_a_lesson_asks_its_session_and_gives_no_answer(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "fire.html", width=1280, height=720)
    page.get_by_role("link", name="After a week").click()
    page.emulate_media(media="print")
    settle(page)
    shown = page.evaluate(
        "[...document.querySelectorAll('.slide')].filter(s => s.getClientRects().length).map(s => s.id)"
    )
    assert set(shown) == set(page.evaluate("[...document.querySelectorAll('[data-week]')].map(s => s.id)"))
    text = page.locator("#slides").inner_text()
    assert "not sure" in text
    assert "Dispatch cannot put anything out" not in text
    box = page.locator("#by-heart-tire-fire")
    assert 4 == box.locator(".on-paper__line:visible").count()
    assert "Stop in the open" not in box.inner_text()


def test_when_it_is_due_again_is_a_list_and_a_calendar_file(
    classroom_folder: Path, open_page: OpenPage, tmp_path: Path
) -> None:
    """The file is read by the library icalendar, after RFC 5545."""
    page = open_page(classroom_folder / "trainer.html")
    expect(page.get_by_role("button", name="Save as a calendar file (.ics)")).to_be_disabled()
    page.get_by_label("Day of the first session").fill("2026-12-04")
    page.locator("#due-class").fill("b12")
    page.get_by_label("Smoke and flame").check()
    page.get_by_label("Place the three devices").check()
    listed = page.locator("#due li").all_inner_texts()
    assert "2026-12-11 Class B12. Smoke and flame: after a week" in listed
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save as a calendar file (.ics)").click()
    assert "due-again-B12-2026-12-04.ics" == saving.value.suggested_filename
    calendar = icalendar.Calendar.from_ical(Path(saving.value.path()).read_bytes())
    events = list(calendar.walk("VEVENT"))
    assert listed == [f"{event.decoded('dtstart')} {event['summary']}" for event in events]
    assert {dt.date(2026, 12, 11), dt.date(2027, 1, 1)} == {event.decoded("dtstart") for event in events}
    assert {dt.timedelta(days=1)} == {e.decoded("dtend") - e.decoded("dtstart") for e in events}
    assert 4 == len({event["uid"] for event in events})
    assert [] == [error for component in calendar.walk() for error in component.errors]
    page.get_by_label("Day of the first session").fill("31.12.2026")
    assert 0 == page.locator("#due li").count()


def test_a_drill_is_played_by_keys_and_its_clock_has_the_engines_seconds(
    classroom_folder: Path, open_page: OpenPage, tmp_path: Path
) -> None:
    page = open_page("about:blank", width=1280, height=720)
    page.clock.set_fixed_time(FIRST_DAY)
    page.goto((classroom_folder / "drill.html").as_uri())
    page.get_by_label("Class", exact=True).fill("B12")
    page.get_by_label("Your number").fill("7")
    page.get_by_role("button", name="Keep my drills").click()
    acts = json.loads(page.locator("#drill-data").text_content() or "")["roads"][0]["acts"]
    page.get_by_role("button", name="Begin").click()
    for place, act in enumerate(acts):
        choices = page.locator("#choices .choice > span:last-child").all_inner_texts()
        right = choices.index(act["text"])
        if place == 0:
            assert [] == violations(page)
            for wrong in act["wrong"]:
                page.keyboard.press(str(1 + choices.index(wrong["text"])))
                expect(page.locator("#said")).to_have_text(wrong["why"])
        page.clock.set_fixed_time(FIRST_DAY + dt.timedelta(seconds=2 * (place + 1)))
        page.keyboard.press(str(1 + right))
        expect(page.locator("#done li")).to_have_count(place + 1)
    walk = sum(act["seconds"] for act in acts)
    total = walk + 2 * len(acts)
    shown_text = page.locator("#result").inner_text()
    assert f"All out and back after {total // 60}:{total % 60:02}, of 10:00 allowed." in shown_text
    assert f"Right at the first try: {len(acts) - 1} of {len(acts)}." in shown_text
    assert f"On foot: {walk} s" in shown_text
    assert [] == violations(page)
    (row,) = saved_rows(page, tmp_path / "drill", "Save my results")
    assert (total, len(acts) - 1, len(acts), "wrong") == (row.seconds, row.points, row.of, row.verdict)
    page.get_by_role("button", name="Begin").click()
    page.clock.set_fixed_time(FIRST_DAY + dt.timedelta(seconds=601 + 2 * len(acts)))
    expect(page.locator("#over")).to_contain_text("The time of the rule is over")
    assert [] == page.faults


SHORT = """
const button = name => [...document.querySelectorAll('button')].find(one => one.textContent.startsWith(name));
document.getElementById('answer').click();
document.getElementById('class').value = 'b12';
document.getElementById('learner').value = '7';
document.querySelector('#who-form [type=submit]').click();
button('Next').click();
const lines = () => [...document.querySelectorAll('.is-now [data-line]')];
lines().sort((a, b) => a.dataset.line - b.dataset.line).forEach(line => line.click());
button('Sure').click();
const rows = JSON.parse(localStorage.getItem('forty-paces-classroom-scores'));
return JSON.stringify([document.querySelector('.is-now .reply').textContent,
  document.getElementById('place').textContent, rows.map(row => [row.question, row.verdict, row.sure])]);
"""


def assert_short(seen: list[object]) -> None:
    shown_text, place, rows = seen
    assert "Right, and you were sure." == shown_text
    assert str(place).startswith("Class B12, number 7: 2 of ")
    assert [["by-heart-warning-devices", "right", "yes"]] == rows


def test_a_box_is_put_in_order_in_webkit(webkit: webdriver.WebKitGTK, classroom_folder: Path) -> None:
    webkit.get((classroom_folder / "devices.html").as_uri())
    try:
        assert_short(json.loads(webkit.execute_script(SHORT)))
        place = webkit.find_element(By.ID, "place").text
        webkit.refresh()
        assert webkit.find_element(By.ID, "place").text.split(":")[0] == place.split(":")[0]
    finally:
        webkit.execute_script("localStorage.clear(); sessionStorage.clear()")
