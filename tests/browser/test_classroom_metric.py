"""The classroom's exercise and explorer in meters: what is typed is marked as the engine marks it in feet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.units import ft_to_m, m_to_ft
from forty_paces.outputs.classroom import sight_table
from forty_paces.outputs.classroom.marking import SetDevice, mark, verdict
from forty_paces.outputs.classroom.placing_tasks import Task, scene_task, situations
from forty_paces.outputs.classroom.score_files import read_folder
from forty_paces.outputs.classroom.sight_table import GRADES_PCT, ExplorerRoad, SightLimit
from playwright.sync_api import Page

from tests.abroad import ABROAD, tools_abroad
from tests.browser.classroom_pages import (
    SIZES,
    OpenPage,
    assert_explorer_fits,
    assert_work_fits,
    attempt,
    explanation_shown,
)
from tests.outputs.classroom.dealing import lazy_in, score, sequence

__all__ = ["tools_abroad"]
pytestmark = pytest.mark.browser


@pytest.fixture
def tools(tools_abroad: Path) -> Path:
    """Exercise and explorer under each of those rule sets."""
    return tools_abroad


def dealt(library: Library, tools: Path, name: str, count: int) -> list[Task]:
    """The first situations of sheet 1, as the engine solves them."""
    rules = library.rules[name].rule_set
    groups = situations(rules, library.scenes.values())
    lazy = lazy_in((tools / f"placing-{name}.html").read_text(encoding="utf-8"))
    return [scene_task(rules, groups[scene][variant]) for scene, variant in sequence(lazy, 1, count)]


def set_device(page: Page, device: int, toward: str, meters: int, across: str) -> None:
    line = page.locator(f"[data-device='{device}']")
    line.get_by_role("button", name=toward.capitalize(), exact=True).click()
    line.get_by_role("textbox").fill(str(meters))
    short = across.split(" of ")[0]
    line.get_by_role("button", name=short[0].upper() + short[1:], exact=True).click()


def begin(page: Page, situation: int) -> None:
    """Open exercise number 1 again, at that situation, counted from 0."""
    page.get_by_role("button", name="Begin this sheet").click()
    for _ in range(situation):
        page.get_by_role("button", name="Next situation").click()


@pytest.mark.parametrize("name", ABROAD)
def test_typed_meters_are_marked_as_the_engine_marks_them(
    tools: Path, open_page: OpenPage, library: Library, name: str
) -> None:
    page = open_page(tools / f"placing-{name}.html")
    said = set()
    for situation, task in enumerate(dealt(library, tools, name, 3)):
        *inner, last = task.expected
        low, high = round(ft_to_m(last.low_ft)), round(ft_to_m(last.high_ft))
        for meters in (low - 1, low, round(ft_to_m(last.distance_ft)), high, high + 1):
            devices = [(one.toward, round(ft_to_m(one.distance_ft)), one.across) for one in inner]
            devices.append((last.toward, meters, last.across))
            shown = attempt(page, situation, [(toward.value, m, across) for toward, m, across in devices])
            marks = mark(task.expected, [SetDevice(t, m_to_ft(m), a) for t, m, a in devices])
            right, of = score(marks)
            expected = f"{right:g} of {of} right", [one.verdict.value for one in marks]
            assert expected == shown, (task.id, devices)
            said |= set(expected[1])
    assert {"right", "too-near"} < said
    assert page.faults == []


@pytest.mark.parametrize("name", ABROAD)
def test_every_whole_meter_has_the_engines_verdict_in_every_situation(
    tools: Path, open_page: OpenPage, library: Library, name: str
) -> None:
    page = open_page(tools / f"placing-{name}.html")
    shown_text = page.evaluate(
        "() => { const table = JSON.parse(document.getElementById('table').textContent);"
        "return table.tasks.map(group => group.map(task => task.expected.map(one => "
        "Array.from({length: table.reach + 1}, (_, meters) => classroom.verdict(one, meters))))); }"
    )
    rules, tried = library.rules[name].rule_set, 0
    for group, shown in zip(situations(rules, library.scenes.values()), shown_text, strict=True):
        for scene, devices in zip(group, shown, strict=True):
            for one, verdicts in zip(scene_task(rules, scene).expected, devices, strict=True):
                expected = [verdict(one, m_to_ft(meters)).value for meters in range(len(verdicts))]
                assert expected == verdicts, scene.id
                tried += len(verdicts)
    assert tried > 10_000


def test_the_warning_is_the_engines_for_a_device_at_that_many_meters(
    tools: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(tools / "placing-germany.html")
    (task,) = dealt(library, tools, "germany", 1)
    (one,) = task.expected
    side, approach = task.side(one.toward), task.solved.placement.approach(one.toward)
    needed = task.lengths.up(approach.needed_ft)
    got = []
    page.get_by_role("button", name="Warning", exact=True).click()
    for meters in (5, 50, 100, 165):
        set_device(page, 0, one.toward.value, meters, one.across)
        warning = task.lengths.down(side.view.warning_ft([(m_to_ft(meters), one.across)]))
        shown_text = page.locator("#live p").first.inner_text()
        expected = f"Drivers from {one.toward} get {warning} m; to stop takes {needed} m."
        missing = f" {needed - warning} m missing" if warning < needed else ""
        assert shown_text == expected + missing
        got.append(warning)
    assert len(set(got)) > 1


def test_fields_keys_and_marks_speak_of_meters(tools: Path, open_page: OpenPage, library: Library) -> None:
    page = open_page(tools / "placing-germany.html")
    (task,) = dealt(library, tools, "germany", 1)
    assert f"posted {task.posted}." in page.locator("#task").inner_text()
    assert task.posted.endswith("0 km/h")
    field = page.get_by_label("Device 1: distance in meters")
    assert page.locator(".device-row .unit").inner_text() == "m"
    page.get_by_label("Device 1: 5 m farther").click()
    field.focus()
    page.keyboard.press("PageUp")
    page.keyboard.press("Shift+ArrowUp")
    assert field.input_value() == "56"
    page.get_by_role("button", name="Mark it").click()
    shown_text = page.locator("#marks").inner_text()
    assert "56 m behind" in shown_text
    # StVO section 15: about 100 m; 134 paces of 0.75 m.
    assert "Asked for: 100 m behind, same side of the road, 134 paces." in shown_text
    assert " mph" not in page.locator("#exercise").inner_text()


def test_a_score_row_names_its_units(tools: Path, open_page: OpenPage, tmp_path: Path) -> None:
    page = open_page(tools / "placing-germany.html")
    page.get_by_label("Class", exact=True).fill("B12")
    page.get_by_label("Your number").fill("7")
    begin(page, 0)
    page.get_by_label("Device 1: distance in meters").fill("100")
    page.get_by_role("button", name="Mark it").click()
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save my results").click()
    saving.value.save_as(tmp_path / "scores.csv")
    (row,), _ = read_folder(tmp_path, None)
    assert row.given.startswith("100 m ")
    assert row.answer.startswith("100 m ")
    assert re.search(r"posted \d+0 km/h", row.asked)


def test_a_device_beyond_the_road_that_is_drawn_stands_at_its_end(tools: Path, open_page: OpenPage) -> None:
    page = open_page(tools / "placing-australia-sa.html")
    page.get_by_label("Device 1: distance in meters").fill("250")
    drawn = page.locator(".stage__road:not([hidden]) .set-device path")
    road = page.locator(".stage__road:not([hidden]) .stage__above svg").bounding_box()
    box = drawn.bounding_box()
    assert page.get_by_label("Device 1: distance in meters").input_value() == "250"
    assert road["x"] <= box["x"]
    assert box["x"] + box["width"] <= road["x"] + road["width"]
    assert page.faults == []


@pytest.mark.parametrize("name", ABROAD)
def test_the_explorer_says_what_the_engine_says(
    tools: Path, open_page: OpenPage, library: Library, name: str
) -> None:
    page = open_page(tools / f"sight-{name}.html", width=1280, height=720)
    rules = library.rules[name].rule_set
    choices = sight_table.choices(rules)
    page.locator("input[value=crest]").check()
    seen = set()
    for speed in (0, len(choices.speeds) - 1):
        for grade, curve in ((0, 5), (2, 3), (3, 1), (5, 2)):
            for name, index in (("speed", speed), ("grade", grade), ("curve", curve)):
                page.locator(f"#{name}").fill(str(index))
            setting = ExplorerRoad(SightLimit.CREST, GRADES_PCT[grade], choices.curves[curve])
            scene = choices.scene(setting, choices.speeds_mph[speed], rules.visibility[0])
            wanted = sight_table.answer(rules, scene)
            assert wanted.reason == explanation_shown(page)
            note = page.locator("#note-device text").text_content() or ""
            assert note.startswith(f"Triangle at {wanted.distance} m, ")
            assert page.locator("#curve-value").inner_text() == f"{choices.curves[curve]} m"
            assert page.locator("#speed-value").inner_text().endswith(f" {rules.posted_in}")
            assert f"{wanted.warning} m" in page.locator("#gauge-moved").inner_text()
            seen.add(wanted.reason)
    assert len(seen) > 2
    assert page.faults == []


@pytest.mark.parametrize("name", ABROAD)
def test_both_fit_the_wall_and_read_from_the_back_row(tools: Path, open_page: OpenPage, name: str) -> None:
    page = open_page(tools / f"placing-{name}.html")
    assert_work_fits(page, 8)
    page.goto((tools / f"sight-{name}.html").as_uri())
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        for cause in ("bend", "crest"):
            page.locator(f"input[value={cause}]").check()
            assert_explorer_fits(page, height)
