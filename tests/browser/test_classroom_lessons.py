"""Lessons on a projector, in Chromium, from a folder: by keyboard, at projector sizes, for all readers."""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.auditing import violations
from tests.browser.classroom_pages import (
    READ_WALL,
    SIZES,
    OpenPage,
    asked_elsewhere,
    classroom_folder,
    on_the_wall,
)
from tests.soaking import sample

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

LESSONS = (
    "tires",
    "skids",
    "hydroplaning",
    "brakes",
    "weather",
    "people",
    "fire",
    "stopping",
    "devices",
    "crash",
    "engine",
    "cargo",
    "before",
    "after",
    "which",
)


def at(folder: Path, name: str, slide: str) -> str:
    return f"{(folder / f'{name}.html').as_uri()}#{slide}"


WALK = f"""(key) => {{
  const read = {READ_WALL};
  const seen = [read()];
  for (;;) {{
    document.activeElement.dispatchEvent(
      new KeyboardEvent("keydown", {{ key, bubbles: true, cancelable: true }})
    );
    const now = read(), last = seen.at(-1);
    if (now.id === last.id && now.open === last.open) return seen;
    seen.push(now);
  }}
}}"""
"""A walk by a key from within: one from outside takes four times as long; one whole lesson goes by that."""


def walk(page: Page, *, from_outside: bool = False) -> list[dict[str, Any]]:
    """Every state of a lesson, from where it is to its last slide, by one key alone."""
    if not from_outside:
        return list(page.evaluate(WALK, "PageDown"))
    seen = [on_the_wall(page)]
    while True:
        page.keyboard.press("PageDown")
        now = on_the_wall(page)
        if (now["id"], now["open"]) == (seen[-1]["id"], seen[-1]["open"]):
            return seen
        seen.append(now)


def test_there_are_no_other_lessons(classroom_folder: Path) -> None:
    pages = {file.stem.removesuffix("-notes") for file in classroom_folder.glob("*-notes.html")} | {"which"}
    assert set(LESSONS) == pages


@pytest.mark.long
@pytest.mark.soak
@pytest.mark.parametrize("name", sample(LESSONS, 3))
def test_a_whole_lesson_by_one_key_fits_the_wall_and_reads_from_the_back_row(
    classroom_folder: Path, open_page: OpenPage, name: str
) -> None:
    """Smallest type at least 1/30 of the picture's height; nothing to scroll; one answer per key press."""
    page = open_page(classroom_folder / f"{name}.html", width=1280, height=720)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.keyboard.press("Home")
        states = walk(page, from_outside=(name, width) == (LESSONS[0], SIZES[0][0]))
        for state in states:
            assert (0, 0) == (max(0, state["down"]), max(0, state["across"])), (name, width, state)
            assert state["share"] <= 30, (name, width, state)
        total = page.locator(".slide").count()
        assert total == len({state["id"] for state in states})
        assert page.locator("details.reveal").count() == sum(state["open"] > 0 for state in states), (
            "one press an answer"
        )
    assert [] == page.faults
    assert [] == asked_elsewhere(page)


@pytest.mark.walk
def test_every_key_of_a_clicker_and_of_a_keyboard_turns_the_slides(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720)
    for forward, back in (
        ("PageDown", "PageUp"),
        ("ArrowRight", "ArrowLeft"),
        ("ArrowDown", "ArrowUp"),
        (" ", "Backspace"),
        ("Enter", "Backspace"),
    ):
        page.keyboard.press("Home")
        page.keyboard.press(forward)
        assert ("by-heart-steer-tire-blowout", 0) == state_of(page), forward
        page.keyboard.press(forward)
        assert ("by-heart-steer-tire-blowout", 1) == state_of(page), forward
        page.keyboard.press(back)
        assert ("by-heart-steer-tire-blowout", 0) == state_of(page), back
        page.keyboard.press(back)
        assert ("start", 0) == state_of(page), back


def test_n_opens_the_notes_w_fills_the_whole_screen_and_the_buttons_say_so(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720)
    for letter, name in (("N", "Notes"), ("W", "Whole screen"), ("B", "Blank"), ("T", "Timer")):
        button = page.get_by_role("button", name=f"{name} ({letter})", exact=True)
        expect(button).to_have_attribute("aria-keyshortcuts", letter)
    page.evaluate("document.documentElement.requestFullscreen = async () => { document.title = 'whole'; }")
    page.keyboard.press("w")
    expect(page).to_have_title("whole")
    with page.context.expect_page() as opened:
        page.keyboard.press("n")
    assert opened.value.url.endswith("tires-notes.html")
    for letter in "fpsx":
        page.keyboard.press(letter)
    assert (("start", 0), 2) == (state_of(page), len(page.context.pages))


def state_of(page: Page) -> tuple[str, int]:
    now = on_the_wall(page)
    return now["id"], now["open"]


def test_the_answer_is_out_of_sight_and_out_of_the_spoken_page_until_asked_for(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(at(classroom_folder, "tires", "first-bang"), width=1280, height=720)
    assert page.get_by_text("They stay off the brake.").count() > 0
    asked = page.locator("#first-bang")
    assert "A rolling vehicle with no brake" not in asked.inner_text()
    assert "A rolling vehicle with no brake" not in page.locator("#first-bang").aria_snapshot()
    page.keyboard.press("PageDown")
    assert "A rolling vehicle with no brake" in asked.inner_text()
    spoken = asked.aria_snapshot()
    assert spoken.index("What do your feet do?") < spoken.index("A rolling vehicle with no brake")


def test_focus_goes_to_what_is_new(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720)
    focused = "document.activeElement.textContent.trim().slice(0, 40)"
    page.keyboard.press("PageDown")
    assert page.evaluate(focused).startswith("Write down the")
    page.keyboard.press("PageDown")
    assert page.evaluate(focused).startswith("By heart, while rolling")


def test_a_blank_wall_comes_back_with_the_next_press(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(at(classroom_folder, "tires", "hands"), width=1280, height=720)
    page.keyboard.press("b")
    assert "rgb(0, 0, 0)" == page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert not page.locator("#hands h2").is_visible()
    page.keyboard.press("PageDown")
    assert page.locator("#hands h2").is_visible()
    assert ("hands", 0) == state_of(page)


def test_the_place_survives_the_reload_that_a_clickers_start_key_makes(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(at(classroom_folder, "tires", "from-where"), width=1280, height=720)
    page.keyboard.press("PageUp")
    place = state_of(page)[0]
    page.reload()
    assert place == state_of(page)[0]


def test_a_return_session_asks_its_own_set_in_its_own_order(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720)
    orders = set()
    for minute in range(3):
        page.clock.set_fixed_time(f"2026-12-04T09:0{minute}:00.{minute}07Z")
        page.keyboard.press("Home")
        page.get_by_role("link", name="After a week").click()
        ids = list(dict.fromkeys(state["id"] for state in walk(page)))
        wanted = page.evaluate("[...document.querySelectorAll('[data-week]')].map(slide => slide.id)")
        assert sorted(wanted) == sorted(["start", *ids])
        boxes = [one.startswith("by-heart-") for one in ids]
        assert boxes == sorted(boxes, reverse=True), "the by-heart boxes first"
        assert "close" == ids[-1]
        orders.add(tuple(ids))
    assert 3 == len(orders), "shuffled anew each time"
    page.keyboard.press("PageUp")
    before = state_of(page), page.locator("#place").inner_text()
    page.reload()
    assert before == (state_of(page), page.locator("#place").inner_text())
    assert "After a week, " in page.locator("#place").inner_text()


def test_the_timer_counts_down_only_when_asked_and_stops_with_the_slide(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(at(classroom_folder, "tires", "hands"), width=1280, height=720)
    assert "" == page.locator("#clock").inner_text()
    page.keyboard.press("t")
    assert page.locator("#clock").inner_text().endswith(" s")
    page.keyboard.press("PageDown")
    page.keyboard.press("PageDown")
    assert "" == page.locator("#clock").inner_text()


def test_the_teachers_window_follows_and_turns_the_wall_also_after_a_reload(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    wall = open_page(at(classroom_folder, "tires", "hands"), width=1280, height=720)
    with wall.context.expect_page() as opened:
        wall.get_by_role("button", name="Notes").click()
    notes = opened.value
    notes.wait_for_selector(".note.is-now[data-slide='hands']")
    assert "They grip the wheel on both sides" in notes.locator(".note.is-now").inner_text()
    assert "where-to-steer" == notes.locator(".note.is-next").get_attribute("data-slide")
    notes.keyboard.press("PageDown")
    expect(wall.locator("#hands details").first).to_have_attribute("open", "")
    expect(notes.locator("#state")).to_have_text(re.compile("answer shown$"))
    notes.get_by_role("button", name="Next").click()
    wall.wait_for_selector("#where-to-steer.is-now")
    wall.reload()
    notes.wait_for_selector(".note.is-now[data-slide='where-to-steer']")
    wall.keyboard.press("PageUp")
    notes.wait_for_selector(".note.is-now[data-slide='hands']")


def test_without_scripts_the_lesson_is_whole_and_answers_open_by_themselves(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720, java_script_enabled=False)
    assert page.locator(".slide").count() == page.locator(".slide:visible").count()
    question = page.locator("#hands")
    assert "They grip the wheel" not in question.inner_text()
    question.get_by_text("Show the answer").click()
    assert "They grip the wheel" in question.inner_text()
    assert page.get_by_role("heading", name="After a week", exact=True).is_visible()


def test_on_a_narrow_screen_nothing_needs_sideways_scrolling(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=320, height=700)
    for width in (320, 390):
        page.set_viewport_size({"width": width, "height": 700})
        page.keyboard.press("Home")
        states = walk(page)
        assert len(states) > 20
        assert [] == [state for state in states if state["across"] > 0], width


KINDS = """() => [...document.querySelectorAll('.slide')].map(slide => ({
  id: slide.id, answers: slide.querySelectorAll('details').length,
  kind: [...slide.classList].filter(name => name !== 'is-now').join(' '),
}))"""


ALONE = """() => {
  const closed = [...document.querySelectorAll('.slide:not(.is-now)')];
  const places = closed.map(slide => {
    const place = document.createComment('');
    slide.replaceWith(place);
    return place;
  });
  window.backAgain = () => places.forEach((place, at) => place.replaceWith(closed[at]));
}"""
"""Takes the other slides away: axe-core would read them only to skip them."""


def violations_of_slide(page: Page) -> list[str]:
    page.evaluate(ALONE)
    found = violations(page)
    page.evaluate("backAgain()")
    return found


def test_every_kind_of_slide_is_clean_by_axe_open_and_closed(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=800)
    checked: dict[tuple[str, int], list[str]] = {}
    for name in ("tires", "devices", "which"):
        page.goto((classroom_folder / f"{name}.html").as_uri())
        ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
        assert len(ids) == len(set(ids)), "what axe-core can see only with all slides together"
        for slide in page.evaluate(KINDS):
            states = {(slide["kind"], count) for count in range(slide["answers"] + 1)}
            if states <= set(checked):
                continue
            page.goto("about:blank")  # an address of the same page would open no other slide
            page.goto(at(classroom_folder, name, slide["id"]))
            for count in range(slide["answers"] + 1):
                assert (slide["id"], count) == state_of(page)
                if (slide["kind"], count) not in checked:
                    checked[slide["kind"], count] = violations_of_slide(page)
                page.keyboard.press("PageDown")
    assert {} == {state: found for state, found in checked.items() if found}
    assert len(checked) >= 9


@pytest.mark.parametrize("name", ["tires-notes", "devices-notes"])
def test_the_notes_are_clean_by_axe(classroom_folder: Path, open_page: OpenPage, name: str) -> None:
    assert [] == violations(open_page(classroom_folder / f"{name}.html"))


def test_a_lesson_without_scripts_is_clean_by_axe(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=800)
    page.get_by_role("button", name="List").click()
    assert [] == violations(page)


def test_buttons_are_large_enough_and_keep_apart(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "tires.html", width=1280, height=720)
    boxes = [button.bounding_box() for button in page.locator(".controls button:visible").all()]
    assert all(box["width"] >= 48 and box["height"] >= 48 for box in boxes)
    for one, other in itertools.pairwise(boxes):
        assert other["x"] - (one["x"] + one["width"]) >= 8
