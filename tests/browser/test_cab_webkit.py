"""The cab file in WebKit, the engine of every iPad: procedures, distances, record and service worker."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.placement import place
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.procedure_view import view_procedure
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from tests.browser.auditing import (
    AAA_AUDIT,
    AAA_GIVEN_ELSEWHERE,
    AXE_SOURCE,
    EVERY_VIEW,
    every_view,
    held_to_aaa,
)
from tests.browser.serving import SiteServer, serving
from tests.browser.small_edition import build, hashes
from tests.browsers import ANEW
from tests.soaking import sample

pytestmark = pytest.mark.browser


VISIBLE = """
return Array.from(document.querySelectorAll(arguments[0])).filter((one) => {
  const { width, height } = one.getBoundingClientRect();
  return width && height && one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
});
"""


def visible(browser: webdriver.WebKitGTK, selector: str) -> list[Any]:
    """The elements that match and are shown. The driver asks for each by itself, which takes long."""
    return list(browser.execute_script(VISIBLE, selector))


def tap(browser: webdriver.WebKitGTK, selector: str) -> None:
    visible(browser, selector)[0].click()


def wait_for(met: Callable[[], object], seconds: float = 20) -> None:
    end = time.monotonic() + seconds
    while not met():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.05)


def started(browser: webdriver.WebKitGTK) -> None:
    wait_for(lambda: not browser.find_elements(By.CSS_SELECTOR, "html.is-starting"))


def written(browser: webdriver.WebKitGTK) -> None:
    wait_for(lambda: browser.find_elements(By.CSS_SELECTOR, "html[data-kept=kept]"))


@pytest.fixture
def cab(webkit: webdriver.WebKitGTK, cab_file: Path) -> webdriver.WebKitGTK:
    """The cab file with nothing kept, at its start; opened anew only where another page is open."""
    if webkit.current_url.split("#")[0] != cab_file.as_uri():
        webkit.get(cab_file.as_uri())
        started(webkit)
    webkit.set_script_timeout(30)
    webkit.execute_async_script(f"({ANEW})('start').then(arguments[0])")
    return webkit


class TestWalk:
    def test_a_procedure_is_walked_to_its_finished_line(
        self, cab: webdriver.WebKitGTK, library: Library
    ) -> None:
        view = view_procedure(library.procedure("tire-fire"))
        assert len(visible(cab, ".family")) == len(families(library.procedures))
        tap(cab, '.family[href="#family-fire"]')
        tap(cab, '.tile[href="#tire-fire"]')
        assert visible(cab, ".is-open .by-heart")
        tap(cab, "[data-next]")
        for block in view.blocks:
            for step in block.steps:
                (shown,) = visible(cab, ".is-open .step")
                assert shown.get_attribute("data-step") == step.key
                assert step.step.do in shown.text
                assert visible(cab, ".is-open [data-progress]")[0].text.startswith(f"Step {step.number} of")
                tap(cab, "[data-next]")
        tap(cab, '.is-open [href="#tire-fire/finished"]')
        assert visible(cab, '[data-key="tire-fire/finished"]')
        tap(cab, "[data-next]")
        assert len(visible(cab, ".family")) == len(families(library.procedures))

    def test_marks_survive_a_reload(self, cab: webdriver.WebKitGTK) -> None:
        tap(cab, '.family[href="#family-fire"]')
        tap(cab, '.tile[href="#tire-fire"]')
        tap(cab, "[data-next]")
        tap(cab, "[data-next]")
        written(cab)
        cab.refresh()
        started(cab)
        assert visible(cab, ".is-open [data-progress]")[0].text.startswith("Step 2 of")
        assert visible(cab, "[data-clock-shown]")[0].text == "Devices: 10 min left"

    def test_every_procedure_has_its_steps(self, cab: webdriver.WebKitGTK, library: Library) -> None:
        found = cab.execute_script(
            """
            return Object.fromEntries(arguments[0].map((id) => {
              location.hash = `${id}/list`;
              window.dispatchEvent(new HashChangeEvent("hashchange"));
              const steps = Array.from(document.querySelectorAll(`#${id}.is-open .step`));
              return [id, steps.filter((one) => one.offsetParent).map((one) => one.dataset.step)];
            }));
            """,
            [procedure.id for procedure in library.procedures],
        )
        for procedure in library.procedures:
            view = view_procedure(procedure)
            assert found[procedure.id] == [step.key for block in view.blocks for step in block.steps]

    def test_the_start_screen_fits(self, cab: webdriver.WebKitGTK) -> None:
        height, room = cab.execute_script("return [document.documentElement.scrollHeight, innerHeight]")
        assert height <= room


class TestDistances:
    @pytest.mark.soak
    def test_it_agrees_with_the_engine(self, cab: webdriver.WebKitGTK, library: Library) -> None:
        from forty_paces.geometry.records import RoadKind, Situation

        rules = library.rules["us"].rule_set
        cab.execute_script("location.hash = '#find'")
        wait_for(lambda: visible(cab, '[data-part="road"]'))
        cab.execute_script(
            """
            document.querySelector('[data-axis="road"][data-place="0"]').click();
            document.querySelector("[data-walk-next]").click();
            document.querySelector('[data-ask-side="ahead"] [data-cause=""]').click();
            """
        )
        answers = ((0, math.inf), (3, 100.0), (7, 300.0), (10, 450.0), (12, 600.0))
        for place_on_axis, hidden_ft in sample(answers, 3):
            cab.execute_script(
                """
                const one = (selector) => document.querySelector(`[data-ask-side="behind"] ${selector}`);
                one(`[data-cause="${arguments[0] ? "hill" : ""}"]`).click();
                if (arguments[0]) one(`[data-hidden="${arguments[0]}"]`).click();
                if (arguments[0]) one(`[data-end-of="near"] [data-end="unknown"]`).click();
                """,
                place_on_axis,
            )
            answer = place(rules, Situation(RoadKind.TWO_LANE, 55, rules.detection_ft(), hidden_ft))
            shown = [one.text for one in visible(cab, ".strip__paces")]
            assert shown == [str(device.paces) for device in answer.devices]


class TestAccess:
    @pytest.mark.soak
    def test_no_screen_and_no_step_has_a_violation_at_aa(
        self, cab: webdriver.WebKitGTK, library: Library
    ) -> None:
        given = every_view(library, 2)
        cab.execute_script(AXE_SOURCE.read_text(encoding="utf-8"))
        cab.set_script_timeout(600)
        seen = cab.execute_async_script(
            f"""
            const [given, done] = arguments;
            ({EVERY_VIEW})(given).then(done, (fault) => done({{ found: String(fault), looked: 0 }}));
            """,
            given,
        )
        assert seen["found"] == {}
        assert seen["looked"] > 10 * len(given["views"])

    @pytest.mark.long
    @pytest.mark.soak
    def test_every_step_is_reached_by_tab_and_enter_and_has_its_words_for_a_reader(
        self, cab: webdriver.WebKitGTK, library: Library
    ) -> None:
        def press_next() -> None:
            for _ in range(60):
                ActionChains(cab).send_keys(Keys.TAB).perform()
                if cab.execute_script("return document.activeElement.matches('[data-next]')"):
                    ActionChains(cab).send_keys(Keys.ENTER).perform()
                    return
            raise AssertionError("Tab does not reach the button that leads on")

        for procedure in sample(library.procedures, 2):
            cab.execute_script(f"location.hash = '#{procedure.id}'")
            wait_for(lambda id_=procedure.id: visible(cab, f"#{id_}.is-open"))
            press_next()
            for block in view_procedure(procedure).blocks:
                for step in block.steps:
                    shown = cab.find_element(By.CSS_SELECTOR, ".is-open .step.is-now")
                    assert shown.get_attribute("data-step") == step.key
                    assert shown.aria_role == "listitem"
                    assert step.step.do in shown.text
                    press_next()
            focused = "[data-decision]" if procedure.decision else "[data-finished]"
            assert cab.execute_script(f"return document.activeElement.matches('{focused}')"), procedure.id

    def test_steps_decisions_and_ways_out_reach_aaa_contrast_and_target_size(
        self, cab: webdriver.WebKitGTK
    ) -> None:
        cab.execute_script(AXE_SOURCE.read_text(encoding="utf-8"))
        cab.set_script_timeout(120)
        held_to_aaa(
            cab.execute_async_script(
                f"""
                const [given, done] = arguments;
                ({AAA_AUDIT})(given).then(done, (fault) => done({{ fault: String(fault) }}));
                """,
                AAA_GIVEN_ELSEWHERE,
            ),
            AAA_GIVEN_ELSEWHERE,
        )


class TestWorker:
    def test_the_edition_is_kept_and_read_with_the_network_dead(
        self, webkit: webdriver.WebKitGTK, tmp_path: Path
    ) -> None:
        folder = build(tmp_path / "edition", "cccccccc", 3)
        with serving(SiteServer(folder, "/yard/")) as server:
            webkit.get(server.address)
            wait_for(lambda: visible(webkit, '[data-edition-status][data-state="ready"]'))
            server.dead = True
            webkit.get(server.address + "subjects/page%2003.html")
            assert webkit.title == "same"
            webkit.set_script_timeout(30)
            found = webkit.execute_async_script(
                """
                const done = arguments[1];
                const read = async (path) => {
                  const got = await fetch(path);
                  const digest = await crypto.subtle.digest("SHA-256", await got.arrayBuffer());
                  return Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, "0")).join("");
                };
                Promise.all(arguments[0].map(read)).then(done, (fault) => done(String(fault)));
                """,
                [server.address + path.replace(" ", "%20") for path in sorted(hashes(folder))],
            )
            assert found == [digest for _, digest in sorted(hashes(folder).items())]
