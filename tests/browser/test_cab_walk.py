"""Walking the procedures in the cab file as a driver does: by taps, one step at a time, to the finish."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, open_procedure, reload
from tests.projects import step_count

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
READING_MS = 450
"""A moment between two taps; two that come faster are one double tap."""


def go(page: Page, cab_file: Path, hash_: str) -> None:
    page.goto(f"{cab_file.as_uri()}{hash_}")


def progress(page: Page) -> str:
    return page.inner_text(".is-open .progress")


WALK = """
(id) => {
  const every = (selector) => Array.from(document.querySelectorAll(selector));
  const shown = (selector) => every(selector).filter((one) => one.checkVisibility());
  const next = document.querySelector("[data-next]");
  const seen = [];
  document.querySelector(`.tile[href="#${id}"]`).click();
  const title = document.querySelector(".is-open h2").textContent;
  next.click();
  while (seen.length < 100) {
    const steps = shown(".is-open .step");
    if (!steps.length) break;
    seen.push({
      progress: document.querySelector(".is-open .progress").textContent,
      steps: steps.map((one) => one.dataset.step),
      text: steps.map((one) => one.innerText).join(),
      focused: document.activeElement === steps[0],
    });
    next.click();
  }
  const choices = shown(".is-open [data-choice]").map((one) => one.dataset.choice);
  const asked = choices.length > 0 && next.hidden;
  const finish = shown(".is-open .go").find((one) => one.getAttribute("href") === `#${id}/finished`);
  if (choices.length) finish.click();
  const finished = shown(`[data-key="${id}/finished"]`).length;
  next.click();
  return { title, seen, choices, asked, finished, end: document.querySelector(".screen.is-open").id };
}
"""


class TestWalk:
    def test_every_procedure_is_walked_to_its_finished_line(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        for procedure in library.procedures:
            view = view_procedure(procedure)
            walk = page.evaluate(WALK, procedure.id)
            assert walk["title"] == procedure.title
            # Two taps, a tile and "I have stopped", lead to step 1; one tap leads on from each step.
            steps = [(block, step) for block in view.blocks for step in block.steps]
            assert [one["steps"] for one in walk["seen"]] == [[step.key] for _, step in steps]
            for (block, step), seen in zip(steps, walk["seen"], strict=True):
                expected = f"Step {step.number} of {step_count(view)} · {block.block.title}"
                assert (seen["progress"], seen["focused"]) == (expected, True)
                assert step.step.do in seen["text"]
                if step.notice:
                    assert seen["text"].index(step.notice.hazard) < seen["text"].index(step.step.do)
            rows = procedure.decision.rows if procedure.decision else ()
            links = [f"{procedure.id}/decision/rows/{row.id}" for row in rows for _ in row.opens or ("",)]
            assert walk["choices"] == links
            assert walk["asked"] == bool(rows)
            assert (walk["finished"], walk["end"]) == (1, "start")
        assert page.faults == []

    @pytest.mark.walk
    def test_one_procedure_by_real_taps_on_a_touch_screen(
        self, cab_file: Path, open_page: OpenPage, library: Library
    ) -> None:
        page = open_page(cab_file, width=800, height=1280, has_touch=True)
        view = view_procedure(library.procedure("tire-fire"))
        page.tap('.family[href="#family-fire"]')
        page.wait_for_timeout(READING_MS)
        page.tap('.tile[href="#tire-fire"]')
        page.wait_for_timeout(READING_MS)
        page.tap("[data-next]")
        for block in view.blocks:
            for step in block.steps:
                assert progress(page) == f"Step {step.number} of {step_count(view)} · {block.block.title}"
                page.wait_for_timeout(READING_MS)
                page.tap("[data-next]")
        page.tap('.is-open .decision tr:has([href="#tire-fire/finished"])')  # the whole row is the target
        assert page.is_visible('[data-key="tire-fire/finished"]')
        assert page.faults == []

    def test_each_branch_leads_where_the_file_says(self, open_cab: OpenCab, library: Library) -> None:
        page = open_cab()
        branches = [
            (p.id, row.id, leads_to)
            for p in library.procedures
            if p.decision
            for row in p.decision.rows
            for leads_to in row.opens or ("",)
        ]
        assert len(branches) > 20
        opened = page.evaluate(
            """(branches) => branches.map(([id, row, leadsTo]) => {
              history.replaceState(null, "", `#${id}/decision`);
              window.dispatchEvent(new HashChangeEvent("hashchange"));
              const href = `#${leadsTo || id + "/finished"}`;
              document.querySelector(`[data-choice="${id}/decision/rows/${row}"][href="${href}"]`).click();
              const open = document.querySelector(".screen.is-open");
              return [open.id, open.dataset.view];
            })""",
            branches,
        )
        for (id_, row, leads_to), where in zip(branches, opened, strict=True):
            assert where == ([leads_to, "first"] if leads_to else [id_, "finished"]), (id_, row)

    def test_the_whole_list_shows_every_step_once_and_ticks_it(self, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire")
        page.click("[data-list]")
        steps = page.locator(".is-open .step")
        assert all(one.is_visible() for one in steps.all())
        page.click(".is-open .step >> nth=1")  # the whole row is the target
        assert page.locator(".is-open [data-tick] >> nth=1").is_checked()
        page.click("[data-back]")
        assert page.inner_text("[data-next]") == "Go on: step 1"

    @pytest.mark.parametrize("view", ["", "/2", "/decision", "/finished", "/list"])
    def test_every_view_opens_at_its_top(self, open_cab: OpenCab, view: str) -> None:
        page = open_cab(width=320, height=568)
        page.evaluate("(hash) => { location.hash = hash; }", "#tire-fire" + view)
        page.wait_for_selector("#tire-fire.is-open")
        page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        assert page.evaluate("scrollY") == 0
        # The browser's own scroll to the part that the address names may come after ours.
        page.evaluate("document.getElementById(location.hash.slice(1))?.scrollIntoView()")
        assert page.evaluate("scrollY") == 0

    def test_back_leads_back_and_the_browsers_own_back_too(self, open_cab: OpenCab) -> None:
        page = open_cab()
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        page.click("[data-back]")
        assert progress(page).startswith("Step 1 of")
        page.go_back()
        assert progress(page).startswith("Step 2 of")
        page.click("[data-back]")
        page.click("[data-back]")
        assert page.is_visible(".is-open .by-heart")
        page.click("[data-back]")
        assert page.is_visible("#family-fire.is-open")
        page.click(".top__start")
        assert page.is_visible("#start.is-open")
        page.go_back()
        assert page.is_visible("#family-fire.is-open")


class TestMarks:
    def test_marks_survive_reload_and_rotation(self, cab_file: Path, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire")
        for _ in range(3):
            page.click("[data-next]")
        assert progress(page).startswith("Step 3 of")
        page.set_viewport_size({"width": 800, "height": 1280})
        assert progress(page).startswith("Step 3 of")
        reload(page)
        assert progress(page).startswith("Step 3 of")
        go(page, cab_file, "#tire-fire")
        assert page.inner_text("[data-next]") == "Go on: step 3"
        page.click("[data-list]")
        ticked = page.eval_on_selector_all(".is-open [data-tick]", "all => all.map(one => one.checked)")
        assert ticked[:3] == [True, True, False]

    def test_after_an_interruption_the_block_starts_again(
        self, cab_file: Path, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab("tire-fire")
        blocks = view_procedure(library.procedure("tire-fire")).blocks
        second = blocks[1].steps
        for _ in range(len(blocks[0].steps) + 2):
            page.click("[data-next]")
        assert progress(page).startswith(f"Step {second[1].number} of")
        page.click(".is-open .block.is-now [data-restart]")
        page.click("[data-sure]")
        assert progress(page).startswith(f"Step {second[0].number} of")
        go(page, cab_file, "#tire-fire/list")
        ticked = page.eval_on_selector_all(".is-open [data-tick]", "all => all.map(one => one.checked)")
        assert ticked[: second[0].number] == [True] * (second[0].number - 1) + [False]

    def test_start_again_clears_the_marks_but_not_the_record(self, cab_file: Path, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        go(page, cab_file, "#tire-fire")
        page.click("[data-start-again] >> visible=true")
        page.click("[data-sure]")
        assert progress(page).startswith("Step 1 of")
        go(page, cab_file, "#tire-fire/list")
        assert not any(
            page.eval_on_selector_all(".is-open [data-tick]", "all => all.map(one => one.checked)")
        )
        go(page, cab_file, "#record")
        assert len(page.query_selector_all("[data-log] li")) == 3  # stopped, step 1, started again

    def test_a_mark_taken_back_is_taken_off_the_record(self, cab_file: Path, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire/list")
        page.click(".is-open .step >> nth=0")
        page.click(".is-open .step >> nth=0")
        go(page, cab_file, "#record")
        assert page.query_selector_all("[data-log] li") == []

    def test_a_second_page_sees_what_the_first_one_marked(self, cab_file: Path, open_page: OpenPage) -> None:
        one = open_page(cab_file.as_uri() + "#tire-fire/list")
        two = one.context.new_page()
        two.goto(cab_file.as_uri() + "#tire-fire/list")
        one.click(".is-open .step >> nth=0")
        expect(two.locator("#tire-fire [data-tick]").first).to_be_checked()


class TestVehicle:
    def test_each_vehicle_sees_the_steps_that_may_apply_to_it(
        self, cab_file: Path, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        for vehicle in library.fleet.vehicles:
            go(page, cab_file, "#vehicle")
            page.click(f'[data-vehicle-set="{vehicle.id}"]')
            shown = page.eval_on_selector_all(
                ".block:not([hidden]) .step:not([hidden])", "all => all.map(one => one.dataset.step)"
            )
            views = [view_procedure(procedure, vehicle) for procedure in library.procedures]
            assert shown == [step.key for view in views for block in view.blocks for step in block.steps]
            numbers = page.eval_on_selector_all(
                "#breakdown .step:not([hidden]) .step__number", "all => all.map(one => one.textContent)"
            )
            assert numbers == [str(at + 1) for at in range(len(numbers))]
            tags = page.eval_on_selector_all(
                ".step:not([hidden]) .condition:not([hidden])", "all => all.map(one => one.textContent)"
            )
            assert tags == []  # everything is known of the demo vehicles

    def test_the_choice_is_remembered_and_can_be_undone(self, open_cab: OpenCab, library: Library) -> None:
        page = open_cab()
        page.click("[data-vehicle-shown]")
        page.click('[data-vehicle-set="straight-truck"]')
        reload(page)
        assert "unit 118" in page.inner_text("[data-vehicle-shown]")
        page.click("[data-vehicle-shown]")
        page.click('[data-vehicle-set=""]')
        everything = sum(step_count(view_procedure(procedure)) for procedure in library.procedures)
        assert page.locator(".step:not([hidden])").count() == everything

    def test_with_no_vehicle_every_condition_is_said(self, open_cab: OpenCab, library: Library) -> None:
        page = open_cab()
        conditional = [
            step.key
            for procedure in library.procedures
            for block in view_procedure(procedure).blocks
            for step in block.steps
            if step.condition
        ]
        said = page.eval_on_selector_all(
            ".step:has(.condition:not([hidden]))", "all => all.map(one => one.dataset.step)"
        )
        assert len(conditional) > 3
        assert said == conditional
