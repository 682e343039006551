"""The classroom in WebKit, opened from a folder: the engine of iPads and of Safari."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.classroom.placing_tasks import scene_task, situations
from forty_paces.outputs.classroom.seeded_random import SeededRandom
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from tests.browser.classroom_pages import classroom_folder
from tests.outputs.classroom.dealing import lazy_in, sequence

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

NOW = """const slide = document.querySelector('.slide.is-now');
return [slide.id, slide.querySelectorAll('details[open]').length];"""


def test_a_whole_lesson_by_a_clickers_key_alone(webkit: webdriver.WebKitGTK, classroom_folder: Path) -> None:
    webkit.get((classroom_folder / "tires.html").as_uri())
    body = webkit.find_element(By.TAG_NAME, "body")
    seen = [tuple(webkit.execute_script(NOW))]
    while True:
        body.send_keys(Keys.PAGE_DOWN)
        now = tuple(webkit.execute_script(NOW))
        if now == seen[-1]:
            break
        seen.append(now)
    slides = webkit.execute_script("return [...document.querySelectorAll('.slide')].map(s => s.id)")
    answers = webkit.execute_script("return document.querySelectorAll('details.reveal').length")
    assert slides == list(dict.fromkeys(slide for slide, _ in seen))
    assert len(slides) + answers == len(seen)
    body.send_keys(Keys.PAGE_UP)
    assert ("close", 0) != tuple(webkit.execute_script(NOW))


def test_a_scene_on_the_wall_gives_way_to_its_reasons(
    webkit: webdriver.WebKitGTK, classroom_folder: Path
) -> None:
    webkit.get((classroom_folder / "devices.html").as_uri() + "#place-crest")
    webkit.refresh()
    body = webkit.find_element(By.TAG_NAME, "body")
    height = (
        "return document.querySelector('#place-crest .answer__drawing svg').getBoundingClientRect().height"
    )
    body.send_keys(Keys.PAGE_DOWN)
    assert webkit.execute_script(height) > 300
    body.send_keys(Keys.PAGE_DOWN)
    assert webkit.execute_script(height) == 0, "the plan gives way to the profile, and both to the reasons"
    body.send_keys(Keys.PAGE_DOWN)
    overflow = "const s = document.querySelector('.is-now'); return s.scrollHeight - s.clientHeight"
    assert webkit.execute_script(overflow) <= 0


def test_the_exercise_deals_and_marks_as_python_does(
    webkit: webdriver.WebKitGTK, classroom_folder: Path, library: Library
) -> None:
    webkit.get((classroom_folder / "placing.html").as_uri())
    rules = library.rules["us"].rule_set
    page = (classroom_folder / "placing.html").read_text(encoding="utf-8")
    ((scene, variant),) = sequence(lazy_in(page), 1, 1)
    task = scene_task(rules, situations(rules, library.scenes.values())[scene][variant])
    assert webkit.find_element(By.ID, "task").text.startswith(f"{task.scene.title}.")
    draws = webkit.execute_script(
        "const l = classroom.seededRandom(2463534242); return Array.from({length: 50}, () => l.below(100000))"
    )
    random = SeededRandom(2463534242)
    assert [random.below(100000) for _ in range(50)] == draws
    for number, one in enumerate(task.expected):
        row = webkit.find_element(By.CSS_SELECTOR, f"[data-device='{number}']")
        row.find_element(By.CSS_SELECTOR, f"button[value='{one.toward}']").click()
        row.find_element(By.TAG_NAME, "input").send_keys(str(one.distance_ft))
        word = one.across.split(" of ")[0]
        row.find_element(By.XPATH, f".//button[starts-with(., '{word[0].upper()}{word[1:]}')]").click()
    webkit.find_element(By.ID, "mark").click()
    count = len(task.expected)
    assert f"{count} of {count} right" == webkit.find_element(By.CLASS_NAME, "score").text


def test_the_sight_explorer_follows_its_sliders(webkit: webdriver.WebKitGTK, classroom_folder: Path) -> None:
    webkit.get((classroom_folder / "sight.html").as_uri())
    before = webkit.find_element(By.ID, "why").text
    slider = webkit.find_element(By.ID, "speed")
    for _ in range(4):
        slider.send_keys(Keys.ARROW_LEFT)
    assert "35 mph" == webkit.find_element(By.ID, "speed-value").text
    assert before != webkit.find_element(By.ID, "why").text


def test_a_run_in_the_drivers_seat_ends_in_a_result(
    webkit: webdriver.WebKitGTK, classroom_folder: Path
) -> None:
    webkit.get((classroom_folder / "seat.html").as_uri())
    assert len(webkit.find_elements(By.CSS_SELECTOR, "#picture-one path")) > 5
    step = webkit.find_element(By.ID, "step")
    for _ in range(20):
        step.click()
    webkit.find_element(By.ID, "brake").click()
    assert "Brake at" in webkit.find_element(By.ID, "result").text
    assert webkit.find_elements(By.CSS_SELECTOR, "#picture-one .seat-device")
