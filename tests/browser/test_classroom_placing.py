"""The placing exercise in Chromium: set by key, tap and number, and marked as the engine marks."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.forms import SITE_NUMBER, RoadPurpose, difficulty, form_tasks, kind_of
from forty_paces.outputs.classroom.how_many import compared, in_words
from forty_paces.outputs.classroom.marking import SetDevice, lazy_attempts, mark
from forty_paces.outputs.classroom.placing_tasks import Task, scene_task, situations
from forty_paces.outputs.classroom.score_files import read_folder
from forty_paces.outputs.classroom.seeded_random import SeededRandom
from playwright.sync_api import Page, expect

from tests.browser.auditing import violations
from tests.browser.classroom_pages import (
    OpenPage,
    asked_elsewhere,
    assert_work_fits,
    attempt,
    classroom_folder,
)
from tests.browsers import reload
from tests.outputs.classroom.dealing import choice, lazy_in, score, sequence

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def dealt(library: Library, classroom_folder: Path) -> list[Task]:
    """The first situations of sheet 1, as the engine solves them."""
    rules = library.rules["us"].rule_set
    groups = situations(rules, library.scenes.values())
    lazy = lazy_in((classroom_folder / "placing.html").read_text(encoding="utf-8"))
    return [scene_task(rules, groups[scene][variant]) for scene, variant in sequence(lazy, 1, 8)]


@pytest.fixture
def page(classroom_folder: Path, open_page: OpenPage) -> Page:
    opened = open_page(classroom_folder / "placing.html", width=1280, height=800)
    yield opened
    assert [] == opened.faults
    assert [] == asked_elsewhere(opened)


def row(page: Page, device: int) -> Any:
    return page.locator(f"[data-device='{device}']")


def set_device(page: Page, device: int, toward: str, distance: int, across: str) -> None:
    line = row(page, device)
    line.get_by_role("button", name=toward.capitalize(), exact=True).click()
    line.get_by_role("textbox").fill(str(distance))
    short = across.split(" of ")[0]
    line.get_by_role("button", name=short[0].upper() + short[1:], exact=True).click()


def set_all(page: Page, devices: list[tuple[str, int, str]]) -> None:
    for number, device in enumerate(devices):
        set_device(page, number, *device)


def answer(task: Task) -> list[tuple[str, int, str]]:
    return [(one.toward.value, one.distance_ft, one.across) for one in task.expected]


def shown_marks(page: Page) -> tuple[str, list[str]]:
    verdicts = page.locator("#marks li").evaluate_all("items => items.map(item => item.dataset.verdict)")
    return page.locator(".score").inner_text(), verdicts


def engine_marks(task: Task, devices: list[tuple[str, int, str]]) -> tuple[str, list[str]]:
    marks = mark(task.expected, [SetDevice(Toward(t), d, a) for t, d, a in devices])
    right, of = score(marks)
    return f"{right:g} of {of} right", [one.verdict.value for one in marks]


def test_the_situations_of_a_number_are_those_that_python_deals(page: Page, dealt: list[Task]) -> None:
    for task in dealt:
        shown_text = page.locator("#task").inner_text()
        assert shown_text.startswith(f"{task.scene.title}.")
        assert f"posted {task.scene.speed_mph:g} mph. {task.light}." in shown_text
        page.get_by_role("button", name="Next situation").click()


def test_the_same_number_begins_again_with_the_same_situation(page: Page) -> None:
    first = page.locator("#task").inner_text()
    page.get_by_label("Sheet", exact=True).fill("17")
    page.get_by_role("button", name="Begin this sheet").click()
    seventeen = page.locator("#task").inner_text()
    page.get_by_label("Sheet", exact=True).fill("1")
    page.get_by_role("button", name="Begin this sheet").click()
    assert first == page.locator("#task").inner_text()
    assert first != seventeen


def test_right_wrong_and_the_edges_of_the_tolerance_are_marked_as_the_engine_marks(
    page: Page, dealt: list[Task]
) -> None:
    right = answer(dealt[0])
    (toward, distance, across), edge = right[1], dealt[0].expected[1]
    attempts = [
        right,
        [right[0], (toward, edge.low_ft, across), right[2]],
        [right[0], (toward, edge.low_ft - 1, across), right[2]],
        [right[0], (toward, edge.high_ft, across), right[2]],
        [right[0], (toward, edge.high_ft + 1, across), right[2]],
        [right[0], (toward, distance, "traffic side"), right[2]],
        [right[0], right[1], ("behind", 200, across)],
        [("ahead", 500, across), ("ahead", 20, across), ("ahead", 300, across)],
    ]
    for devices in attempts:
        assert engine_marks(dealt[0], devices) == attempt(page, 0, devices), devices
    page.get_by_role("button", name="Begin this sheet").click()
    set_all(page, right)
    page.get_by_role("button", name="Mark it").click()
    assert engine_marks(dealt[0], right) == shown_marks(page), "set from outside"
    assert "3 of 3 right" == engine_marks(dealt[0], attempts[0])[0]
    assert len({str(engine_marks(dealt[0], devices)) for devices in attempts}) >= 5


def test_the_reason_shown_is_the_engines(page: Page, dealt: list[Task]) -> None:
    set_all(page, [("behind", 20, "traffic side")] * len(dealt[0].expected))
    page.get_by_role("button", name="Mark it").click()
    shown_text = page.locator("#marks").inner_text()
    for one in dealt[0].expected:
        assert one.why in shown_text
        assert f"Asked for: {one.distance_ft} ft {one.toward}" in shown_text


def test_the_warning_is_the_engines_for_the_device_as_it_moves(page: Page, dealt: list[Task]) -> None:
    side = dealt[0].side(Toward.BEHIND)
    approach = dealt[0].solved.placement.approach(Toward.BEHIND)
    needed = dealt[0].lengths.up(approach.needed_ft)
    page.get_by_role("button", name="Warning", exact=True).click()
    curve = {round(point.distance_ft): point.warning_ft for point in side.curve}
    for distance in (100, 150, 300, 500):
        set_device(page, 0, "behind", distance, "center of lane or shoulder")
        got = dealt[0].lengths.down(max(curve[distance], approach.vehicle_only_ft))
        shown_text = page.locator("#live p").first.inner_text()
        missing = f" {needed - got:,} ft missing" if got < needed else ""
        assert shown_text == f"Drivers from behind get {got:,} ft; to stop takes {needed:,} ft.{missing}"


HUNDREDS = """() => [...document.querySelectorAll(".hundred__picture")]
  .filter(figure => figure.checkVisibility())
  .map(figure => ({
    said: figure.querySelector("figcaption").innerText,
    parts: [...figure.querySelectorAll(".fp-hundred-grid")].map(grid =>
      [...grid.querySelectorAll("path")].map(path => path.getAttribute("d").split("M").length - 1)),
  }))"""
"""The pictures of 100 drivers that are shown: their words, and how many squares are in each part."""


def test_the_correction_shows_how_many_can_stop_at_the_rules_distance_and_the_moved_one(
    page: Page, dealt: list[Task]
) -> None:
    rules = dealt[0].lengths.rules
    for situation, task in enumerate(dealt):
        attempt(page, situation, answer(task))
        pairs = list(compared(task.solved, rules))
        wanted = []
        for pair in pairs:
            bands = [one.band.percent() for one in pair]
            parts = [[low, high - low, high - low, 100 - high] for low, _, high in bands]
            wanted.append({"said": in_words(pair, rules), "parts": parts})
        assert wanted == page.evaluate(HUNDREDS), task.id
        page.click("#again")
        expect(page.locator("#hundred")).to_be_hidden()
    assert any(one.moved for task in dealt for one in task.expected)


def test_a_test_is_the_one_on_paper_and_ends_after_four_situations(page: Page, library: Library) -> None:
    rules = library.rules["us"].rule_set
    page.get_by_label("Class", exact=True).fill("B12")
    page.get_by_label("Your number").fill("7")
    page.get_by_label("Work").select_option("Test 1 B")
    page.get_by_role("button", name="Begin this sheet").click()
    expect(page.get_by_role("button", name="Warning", exact=True)).to_be_hidden()
    again = page.get_by_role("button", name="Next situation")
    for number, task in enumerate(form_tasks(rules, SITE_NUMBER, 1), start=1):
        expect(page.locator("#place")).to_have_text(f"Test 1 B, situation {number} of 4")
        expect(page.locator("#task")).to_contain_text(f"{task.scene.title}. {task.scene.place}.")
        assert f"({difficulty(task)})" in task.scene.place
        expect(again).to_be_disabled()
        never = [(one.toward.value, one.distance_ft, one.across) for one in next(iter(lazy_attempts(task)))]
        devices = answer(task) if number < 3 else never
        set_all(page, [(toward, round(distance), across) for toward, distance, across in devices])
        page.get_by_role("button", name="Mark it").click()
        assert engine_marks(task, devices) == shown_marks(page)
        if number == 2:
            reload(page)
            expect(page.locator("#place")).to_have_text("Test 1 B, situation 2 of 4")
            set_all(page, answer(task))
            page.get_by_role("button", name="Mark it").click()
        if number < 4:
            again.click()
    straight = [kind_of(task) is RoadPurpose.STRAIGHT for task in form_tasks(rules, SITE_NUMBER, 1)]
    assert f"{2 + sum(straight[2:])} of 4 situations count." in page.locator("#over").inner_text()
    expect(again).to_be_disabled()
    assert 5 == page.locator("#rows tr").count(), "the second situation was answered twice"
    assert ["1 B"] * 5 == page.locator("#rows td:first-child").all_inner_texts()


def test_a_device_is_set_by_arrow_keys_alone(page: Page, dealt: list[Task]) -> None:
    row(page, 1).get_by_role("textbox").focus()
    for _ in range(3):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("PageUp")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Shift+ArrowUp")
    assert "121" == row(page, 1).get_by_role("textbox").input_value()
    for _ in range(3):
        page.keyboard.press("PageDown")
    assert "0" == row(page, 1).get_by_role("textbox").input_value()


@pytest.mark.walk
def test_the_whole_exercise_by_keyboard_alone(page: Page, dealt: list[Task]) -> None:
    page.locator("#devices button").first.focus()
    for toward, distance, across in answer(dealt[0]):
        context(page, toward == "behind", steps=1)
        page.keyboard.type(str(distance))
        page.keyboard.press("Tab")  # over "farther"
        context(page, across == "traffic side", steps=0)
    page.keyboard.press("Tab") if page.evaluate("document.activeElement.id") != "mark" else None
    page.keyboard.press("Enter")
    assert engine_marks(dealt[0], answer(dealt[0])) == shown_marks(page)
    assert "marks" == page.evaluate("document.activeElement.id")


def context(page: Page, first: bool, steps: int) -> None:
    """Choose one of the next two buttons, then move focus past both and ``steps`` more."""
    if steps == 0:
        page.keyboard.press("Tab")
    if not first:
        page.keyboard.press("Tab")
    page.keyboard.press("Space")
    for _ in range((1 if not first else 2) + steps):
        page.keyboard.press("Tab")


def test_a_tap_on_the_road_sets_the_device_whose_turn_it_is(page: Page) -> None:
    data = json.loads(page.locator("#table").text_content() or "")
    scene = page.evaluate("[...document.querySelectorAll('.stage__road')].findIndex(road => !road.hidden)")
    svg = page.locator(".stage__road:not([hidden]) .stage__above svg")
    for number, (side, distance) in enumerate((("behind", 100), ("ahead", 200), ("behind", 10))):
        points = data["scenes"][scene]["stand"][("behind", "ahead").index(side)]
        x, y = points[2 * distance // 10], points[2 * distance // 10 + 1]
        spot = svg.evaluate(
            "(svg, at) => { const spot = new DOMPoint(...at).matrixTransform(svg.getScreenCTM()); "
            "return [spot.x, spot.y]; }",
            [x, y],
        )
        page.mouse.click(*spot)
        assert str(distance) == row(page, number).get_by_role("textbox").input_value()
        pressed = row(page, number).get_by_role("button", name=side.capitalize(), exact=True)
        assert "true" == pressed.get_attribute("aria-pressed")
    assert 3 == page.locator(".stage__road:not([hidden]) .set-device").count()


def test_the_script_deals_and_marks_as_python_does_in_hundreds_of_tries(page: Page, library: Library) -> None:
    numbers = [0, 1, 7, 2**31, 2**32 - 1]
    dealt = page.evaluate(
        "numbers => numbers.map(n => { const l = classroom.seededRandom(n); "
        "return [Array.from({length: 30}, () => l.below(1000)), l.shuffled([...Array(20).keys()])]; })",
        numbers,
    )
    for number, (draws, order) in zip(numbers, dealt, strict=True):
        random = SeededRandom(number)
        assert [random.below(1000) for _ in range(30)] == draws
        assert list(random.shuffled(range(20))) == order

    rules = library.rules["us"].rule_set
    data = json.loads(page.locator("#table").text_content() or "")
    across = data["across"]
    random = SeededRandom(4)
    for group, found in zip(
        situations(rules, library.scenes.values()), data["tasks"][: data["practice"]], strict=True
    ):
        task, shown_text = scene_task(rules, group[0]), found[0]
        attempts = [
            [
                (
                    choice(random, ("behind", "ahead")),
                    choice(random, (0, 8, 10, 12, 90, 100, random.below(550))),
                    choice(random, across),
                )
                for _ in range(random.below(4))
            ]
            for _ in range(25)
        ]
        marks = page.evaluate(
            "([expected, attempts]) => attempts.map(a => { const m = classroom.mark(expected, a); "
            "return [classroom.score(m), m.map(one => one.verdict), m.map(one => one.points)]; })",
            [
                shown_text["expected"],
                [
                    [{"toward": t, "distance": d, "across": across.index(a)} for t, d, a in one]
                    for one in attempts
                ],
            ],
        )
        for devices, (scored, verdicts, points) in zip(attempts, marks, strict=True):
            wanted = mark(task.expected, [SetDevice(Toward(t), d, a) for t, d, a in devices])
            assert list(score(wanted)) == scored
            assert [one.verdict.value for one in wanted] == verdicts
            assert [one.points for one in wanted] == points


def test_a_needlessly_long_walk_is_half_right_with_its_seconds(page: Page, dealt: list[Task]) -> None:
    """Out and back at the 3.5 ft/s of the MUTCD: 500 ft are 286 s."""
    situation, number = next(
        (situation, number)
        for situation, task in enumerate(dealt)
        for number, one in enumerate(task.expected)
        if one.open_ft and one.open_ft[-1][1] == 500 > one.economic_ft
    )
    task, one = dealt[situation], dealt[situation].expected[number]
    for _ in range(situation):
        page.get_by_role("button", name="Next situation").click()
    devices = answer(task)
    devices[number] = (one.toward.value, 500, one.across)
    set_all(page, devices)
    page.get_by_role("button", name="Mark it").click()
    count = len(task.expected)
    assert f"{count - 0.5} of {count} right" == page.locator(".score").inner_text()
    more = round(2 * 500 / 3.5) - round(2 * one.distance_ft / 3.5)
    assert f"a walk of 286 s, {more} s more than needed" in page.locator("#marks").inner_text()


def enter(page: Page, group: str, number: str) -> None:
    page.get_by_label("Class", exact=True).fill(group)
    page.get_by_label("Your number").fill(number)
    page.get_by_role("button", name="Begin this sheet").click()


def test_rows_have_number_attempt_aids_and_time_and_stay_here_until_saved(
    page: Page, dealt: list[Task], tmp_path: Path
) -> None:
    enter(page, " b-12", "07")
    expect(page.locator("#answers-as")).to_have_text("Class B12, number 7")
    for task in dealt[:2]:
        set_all(page, answer(task))
        page.get_by_role("button", name="Mark it").click()
        page.get_by_role("button", name="Next situation").click()
    reload(page)
    expect(page.locator("#place")).to_have_text("Sheet 1, situation 3")
    page.get_by_role("button", name="Begin this sheet").click()
    page.get_by_role("button", name="Warning", exact=True).click()
    set_all(page, [("behind", 20, "traffic side")] * len(dealt[0].expected))
    page.get_by_role("button", name="Mark it").click()
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save my results").click()
    assert re.fullmatch(r"scores-B12-7-\d{4}-\d\d-\d\d\.csv", saving.value.suggested_filename)
    saving.value.save_as(tmp_path / "scores.csv")
    rows, findings = read_folder(tmp_path, None)
    assert [] == findings
    assert [(1, "", "right"), (1, "", "right"), (2, "warning shown", "wrong")] == [
        (one.attempt, one.aids, one.verdict) for one in rows
    ]
    assert dealt[0].id == rows[0].question == rows[2].question
    assert all(f"{one.distance_ft} ft" in rows[0].answer for one in dealt[0].expected)


def test_a_place_kept_wrongly_begins_the_first_sheet(page: Page) -> None:
    enter(page, "B12", "7")
    for left in (
        7,
        {"number": -1, "situation": 3},
        {"number": "x", "test": {}, "situation": {}},
        {"number": 1, "test": "9 Z", "situation": 1e9, "counted": "many"},  # a test that is not here
    ):
        kept = json.dumps({"B12/7/placing": left})
        page.evaluate("kept => localStorage.setItem('forty-paces-classroom-lessons', kept)", kept)
        reload(page)
        assert "Sheet 1, situation 1" == page.locator("#place").inner_text(), left
        assert page.locator("#again").is_enabled(), left


def test_the_next_learner_sees_nothing_of_the_last(page: Page, dealt: list[Task]) -> None:
    enter(page, "B12", "7")
    set_all(page, answer(dealt[0]))
    page.get_by_role("button", name="Mark it").click()
    assert 1 == page.locator("#rows tr").count()
    page.get_by_role("button", name="Hand over to the next learner").click()
    assert 0 == page.locator("#rows tr").count()
    assert ["", ""] == [
        page.get_by_label(name, exact=True).input_value() for name in ("Class", "Your number")
    ]
    assert "" == page.locator("#marks").inner_text()
    enter(page, "B12", "8")
    assert 0 == page.locator("#rows tr").count()
    enter(page, "B12", "7")
    assert 1 == page.locator("#rows tr").count()


def test_without_class_and_number_nothing_is_kept(page: Page, dealt: list[Task]) -> None:
    set_all(page, answer(dealt[0]))
    page.get_by_role("button", name="Mark it").click()
    assert "Nothing is kept" in page.locator("#answers-as").inner_text()
    assert 0 == page.evaluate("localStorage.length + sessionStorage.length")


def test_rows_of_another_tab_appear_without_a_reload(page: Page, dealt: list[Task]) -> None:
    other = page.context.new_page()
    other.goto(page.url)
    enter(page, "B12", "7")
    enter(other, "B12", "7")
    set_all(other, answer(dealt[0]))
    other.get_by_role("button", name="Mark it").click()
    expect(page.locator("#rows tr")).to_have_count(1)
    other.close()


def test_without_storage_the_exercise_still_works(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page("about:blank", width=1280, height=800)
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } });"
    )
    page.goto((classroom_folder / "placing.html").as_uri())
    enter(page, "B12", "7")
    set_device(page, 0, "behind", 10, "traffic side")
    page.get_by_role("button", name="Mark it").click()
    assert 1 == page.locator("#rows tr").count()
    assert "This device keeps nothing" in page.locator("#kept").inner_text()
    assert [] == page.faults


def test_without_the_warning_what_drivers_need_is_still_stated(page: Page) -> None:
    assert re.fullmatch(r"To stop takes \d+ ft( from behind, \d+ ft from ahead)?\.", page.inner_text("#live"))


def test_the_work_fits_the_wall_and_reads_from_the_back_row(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "placing.html")
    assert_work_fits(page, 20)


@pytest.mark.parametrize("width", [1280, 390])
def test_the_rows_of_devices_stand_in_columns_and_a_field_keeps_its_unit(
    classroom_folder: Path, open_page: OpenPage, width: int
) -> None:
    page = open_page(classroom_folder / "placing.html", width=width, height=844)
    lefts = [
        row(page, n).get_by_role("button", name="Behind", exact=True).bounding_box()["x"] for n in range(3)
    ]
    assert lefts[0] == pytest.approx(lefts[1], abs=0.5)
    assert lefts[0] == pytest.approx(lefts[2], abs=0.5)
    for number in range(3):
        field, unit = (
            row(page, number).get_by_role("textbox").bounding_box(),
            row(page, number).locator(".unit"),
        )
        middle = field["y"] + field["height"] / 2
        box = unit.bounding_box()
        assert box["y"] < middle < box["y"] + box["height"]
        assert 0 < box["x"] - field["x"] - field["width"] < 20


def test_a_right_distance_at_the_wrong_place_across_is_not_called_right(
    page: Page, dealt: list[Task]
) -> None:
    wrong = [("behind", one.distance_ft, "traffic side") for one in dealt[0].expected]
    wrong[0] = ("behind", dealt[0].expected[0].distance_ft, "center of lane or shoulder")
    set_all(page, wrong)
    page.get_by_role("button", name="Mark it").click()
    first = page.locator("#marks li").first.inner_text()
    assert "Right distance. Wrong place across the road." in first


def test_it_is_clean_by_axe_before_and_after_marking(page: Page, dealt: list[Task]) -> None:
    assert [] == violations(page)
    set_all(page, [*answer(dealt[0])[:-1], ("behind", 500, "traffic side")])
    assert [] == violations(page)
    page.get_by_role("button", name="Mark it").click()
    assert [] == violations(page)


def test_without_scripts_every_situation_can_be_read_and_its_answer_opened(
    classroom_folder: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(classroom_folder / "placing.html", java_script_enabled=False)
    asked = situations(library.rules["us"].rule_set, library.scenes.values())
    assert len(asked) == page.locator(".plain__task").count()
    first = page.locator(".plain__task").first
    assert "paces" not in first.inner_text()
    first.get_by_text("Show the answer").click()
    assert "paces" in first.inner_text()
    assert not page.locator("#exercise").is_visible()
