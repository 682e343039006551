"""The cab file by keyboard and screen reader: the whole walk, what has the focus, what is announced."""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import Page

from tests.browsers import OpenCab, go, progress
from tests.projects import step_count
from tests.soaking import sample

pytestmark = pytest.mark.browser


class TestKeyboard:
    def test_a_whole_procedure_from_start_to_start_by_tab_and_enter_alone(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()

        def tab_to(selector: str) -> None:
            for _ in range(60):
                page.keyboard.press("Tab")
                if page.evaluate("(wanted) => document.activeElement.matches(wanted)", selector):
                    return
            raise AssertionError(f"Tab does not reach {selector} from here")

        tab_to('.family[href="#family-fire"]')
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "family-fire-title"
        tab_to('.tile[href="#tire-fire"]')
        page.keyboard.press("Enter")
        tab_to("[data-next]")
        page.keyboard.press("Enter")
        for number in range(1, step_count(view_procedure(library.procedure("tire-fire"))) + 1):
            assert progress(page).startswith(f"Step {number} of")
            # The step itself has the focus, so a screen reader starts there and Tab goes on below it.
            assert page.evaluate("document.activeElement.classList.contains('is-now')")
            tab_to("[data-next]")
            page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.matches('[data-decision]')")
        tab_to('[data-choice][href="#tire-fire/finished"]')
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.matches('[data-finished]')")
        tab_to("[data-next]")
        page.keyboard.press("Enter")
        assert page.is_visible("#start.is-open")

    def test_what_has_the_focus_is_never_behind_the_lines_that_stay(self, open_cab: OpenCab) -> None:
        # WCAG 2.4.11: a focused control is not wholly hidden by what the author put in front of it.
        # Past the last control the focus leaves the page for the browser: the body has it, and hides nothing.
        seen_now = """() => {
          const name = document.activeElement.outerHTML.slice(0, 90);
          if (document.activeElement === document.body) return ["", false];
          const box = document.activeElement.getBoundingClientRect();
          const x = box.left + box.width / 2;
          return [name, [box.top + 3, box.top + box.height / 2, box.bottom - 3].every((y) => {
            const there = document.elementFromPoint(x, y);
            const at = document.activeElement;
            return !there || !(at.contains(there) || there.contains(at));
          })];
        }"""
        for width, height in ((1280, 800), (390, 844)):
            page = open_cab("tire-fire/2", width=width, height=height)
            for view in ("#find", "#crash-scene/list", "#record"):
                go(page, view)
                for key in ("Tab", "Shift+Tab"):
                    seen: list[str] = []
                    for _ in range(45):
                        page.keyboard.press(key)
                        name, hidden = page.evaluate(seen_now)
                        assert not hidden, (view, key, width, name)
                        if len(seen) > 8 and name == seen[0]:
                            break  # it has gone all the way round
                        seen.append(name)
                    assert len(set(seen)) >= 8, "the focus goes nowhere"

    def test_a_running_clock_is_never_announced(self, open_cab: OpenCab) -> None:
        page = open_cab()
        loud = page.eval_on_selector_all(
            "[aria-live], [role=status], [role=alert], [role=timer]",
            "all => all.map(one => Object.keys(one.dataset)[0] || Object.keys(one.parentElement.dataset)[0])",
        )
        texts = [
            "editionSignature",
            "editionStatus",
            "finderSaid",
            "persistTold",
            "recordTold",
            "practiceSaid",
            "tripSaid",
        ]
        texts += ["erased", "photoSaid", "positionSaid", "expiry", "expiryWarned"]
        # Not kept: beside the clock, in the record and in the list before the trip.
        assert sorted(loud) == sorted([*texts, "notKept", "notKept", "notKept"])
        clock = "[data-ten-left], [data-ten-words], [data-clock-shown]"
        inside = page.eval_on_selector_all(
            clock, "all => all.filter(one => one.closest('[aria-live], [role]'))"
        )
        assert inside == []

    @pytest.mark.long
    @pytest.mark.soak
    def test_every_step_of_every_procedure_by_tab_and_enter_and_in_the_accessibility_tree(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        for procedure in sample(library.procedures, 4):
            go(page, procedure.id)
            view = view_procedure(procedure)
            press_next(page)
            for block in view.blocks:
                for step in block.steps:
                    assert progress(page).startswith(f"Step {step.number} of {step_count(view)}")
                    tree = page.locator(".is-open .step.is-now").aria_snapshot()
                    said = " ".join(tree.replace('\\"', '"').split())
                    assert step.step.do in said, step.key
                    press_next(page)
            focused = "[data-decision]" if procedure.decision else "[data-finished]"
            assert page.evaluate("(wanted) => document.activeElement.matches(wanted)", focused)


def press_next(page: Page) -> None:
    """Reach the button that leads on by Tab alone, and press it."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.matches('[data-next]')"):
            page.keyboard.press("Enter")
            return
    raise AssertionError("Tab does not reach the button that leads on")
