"""The ways out of a step in the cab file: one tap out, one tap back, in the same place on every screen."""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, go, reload

pytestmark = pytest.mark.browser

SIZES = ((390, 844), (844, 390), (1280, 800), (800, 1280), (320, 640))
SCREENS = (
    "crash-scene",
    "crash-scene/1",
    "crash-scene/decision",
    "crash-scene/finished",
    "crash-scene/list",
    "warning-devices/3",
    "find",
    "clock",
    "record",
    "phones",
    "way-fire",
)
LEAST_PX = 48


def came_from(page: Page) -> str:
    return page.inner_text("[data-came-from]").strip()


ROW = """(screens) => screens.map((screen) => {
  location.hash = screen;
  window.dispatchEvent(new HashChangeEvent("hashchange"));
  const buttons = Array.from(document.querySelectorAll("[data-way]"));
  const boxes = buttons.map((one) => one.getBoundingClientRect());
  return {
    opened: document.querySelector(".screen.is-open").id,
    texts: buttons.map((one) => one.innerText),
    places: boxes.map(({ left, top }) => [Math.round(left), Math.round(top)]),
    least: Math.min(...boxes.flatMap(({ width, height }) => [width, height])),
    right: Math.max(...boxes.map(({ right }) => right)),
  };
})"""
"""The buttons of the row on each screen."""


def test_the_row_is_in_the_same_place_on_every_screen(open_cab: OpenCab, library: Library) -> None:
    page = open_cab()
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        seen = dict(zip(SCREENS, page.evaluate(ROW, SCREENS), strict=True))
        for screen, row in seen.items():
            assert row["opened"] == screen.split("/")[0]
            assert row["texts"] == [way.button for way in library.ways_out], screen
            assert row["least"] >= LEAST_PX, (screen, width, height)
            assert row["right"] <= width, (screen, width, height)
        places = [row["places"] for row in seen.values()]
        assert places == [places[0]] * len(SCREENS), (width, height)


def test_no_button_moves_when_the_clock_comes_up(open_cab: OpenCab) -> None:
    where = "all => all.map((one) => [one.getBoundingClientRect().x, one.getBoundingClientRect().y])"
    for width, height in SIZES:
        page = open_cab("breakdown", width=width, height=height)
        before = page.locator(".band a:visible").evaluate_all(where)
        assert len(before) >= 7
        page.click("[data-next]")
        expect(page.locator("[data-clock-shown]")).to_be_visible()
        assert page.locator(".band a:visible").evaluate_all(where) == before, (width, height)


def test_the_row_stays_in_sight_on_the_longest_screen(open_cab: OpenCab) -> None:
    page = open_cab("crash-scene/list")
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("window.scrollTo(0, document.documentElement.scrollHeight)")
        assert page.evaluate("scrollY") > 0
        hit = page.locator("[data-way]").evaluate_all(
            """(all) => all.map((one) => {
              const { left, right, top, bottom } = one.getBoundingClientRect();
              const there = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
              return [one.dataset.way, there && there.closest("[data-way]")?.dataset.way, top >= 0];
            })"""
        )
        assert len(hit) > 1
        assert hit == [[way, way, True] for way, _, _ in hit], (width, height)


def test_the_start_screen_has_tiles_in_place_of_the_row(open_cab: OpenCab) -> None:
    expect(open_cab().locator("[data-ways]")).to_be_hidden()


def test_a_way_with_one_procedure_opens_it_and_one_tap_leads_back_to_the_step(
    open_cab: OpenCab, library: Library
) -> None:
    page = open_cab("crash-scene/4")
    page.click('[data-way="leak"]')
    expect(page.locator("#cargo-spill.is-open .by-heart")).to_be_visible()
    assert came_from(page) == f"Back to {library.procedure('crash-scene').title}, step 4"
    page.click("[data-came-from] a")
    assert page.inner_text(".is-open .progress").startswith("Step 4 of")
    assert page.inner_text(".is-open h2") == library.procedure("crash-scene").title
    expect(page.locator("[data-came-from]")).to_be_hidden()


def test_fire_asks_what_burns_and_one_more_tap_opens_the_right_procedure(
    open_cab: OpenCab, library: Library
) -> None:
    fires = next(way for way in library.ways_out if way.id == "fire").opens
    assert set(fires) == {one.id for one in library.procedures if one.symbol.endswith("-fire")}
    page = open_cab()
    for fire in fires:
        go(page, "breakdown/2")
        page.click('[data-way="fire"]')
        page.click(f'.is-open .way__opens [href="#{fire}"]')
        assert page.inner_text(".is-open h2") == library.procedure(fire).title
        page.click("[data-back]")  # from the first screen of a procedure to what led there
        assert page.inner_text(".is-open .progress").startswith("Step 2 of")


def test_every_fire_is_in_the_first_screen_of_a_phone_held_upright(
    open_cab: OpenCab, library: Library
) -> None:
    page = open_cab("breakdown/2", width=390, height=844)
    page.click('[data-way="fire"]')
    bar = page.locator("[data-return]").bounding_box()
    fires = page.locator("#way-fire .way__opens a")
    expect(fires).to_have_count(len(next(way for way in library.ways_out if way.id == "fire").opens))
    for fire in fires.all():
        box = fire.bounding_box()
        assert bar is not None
        assert box is not None
        assert box["height"] >= 96
        assert box["y"] + box["height"] <= bar["y"]


def test_a_wrong_tap_is_taken_back_by_one_tap_from_the_screen_it_opened(open_cab: OpenCab) -> None:
    page = open_cab("breakdown/3")
    for way in ("fire", "hurt", "not-safe"):
        page.click(f'[data-way="{way}"]')
        expect(page.locator(f"#way-{way}.is-open")).to_be_visible()
        assert page.inner_text("[data-return]").strip().endswith(", step 3")
        page.click("[data-return] a")
        assert page.inner_text(".is-open .progress").startswith("Step 3 of")


def test_a_tool_left_for_a_fire_is_found_again_and_still_leads_to_its_step(open_cab: OpenCab) -> None:
    page = open_cab("warning-devices/8")
    page.click(".is-open .step.is-now .step__tool:not(.step__calls) a")
    tool = page.locator(".screen.is-open").get_attribute("id")
    page.click('[data-way="fire"]')
    page.click('.is-open .way__opens [href="#tire-fire"]')
    page.click("[data-next]")
    page.click("[data-came-from] a")
    expect(page.locator(f"#{tool}.is-open")).to_be_visible()
    assert page.inner_text("[data-return]").strip().endswith(", step 8")


def test_somebody_hurt_shows_the_lines_of_care_and_opens_what_may_have_happened(
    open_cab: OpenCab, library: Library
) -> None:
    page = open_cab("breakdown/3")
    page.click('[data-way="hurt"]')
    shown = page.inner_text("#way-hurt")
    steps = {step.id: step for block in library.procedure("crash-scene").blocks for step in block.steps}
    for name in ("do-as-told", "stop-bleeding", "leave-hurt", "keep-warm"):
        assert steps[name].do in shown
    opened = page.eval_on_selector_all(
        "#way-hurt .way__opens a", "all => all.map((one) => one.hash.slice(1))"
    )
    assert opened == ["crash-scene", "person-struck", "driver-ill"]
    page.click('#way-hurt [href="#person-struck"]')
    expect(page.locator("#person-struck.is-open")).to_be_visible()


def test_not_safe_names_the_dangers_that_change_the_order_first(open_cab: OpenCab, library: Library) -> None:
    way = next(way for way in library.ways_out if way.id == "not-safe")
    page = open_cab("breakdown/3")
    page.click('[data-way="not-safe"]')
    shown = page.inner_text("#way-not-safe")
    marks = [way.notice.avoid, *(line.do for line in way.lines)]
    places = [shown.index(mark) for mark in marks]
    assert places == sorted(places)


def test_a_procedure_that_a_decision_opened_leads_back_to_the_decision(open_cab: OpenCab) -> None:
    page = open_cab("engine-fire/decision")
    page.click('.is-open [data-choice][href="#extinguisher"]')
    page.click("[data-back]")
    expect(page.locator("#engine-fire.is-open [data-decision]")).to_be_visible()


def test_the_way_back_outlives_a_reload_and_ends_at_the_start_screen(open_cab: OpenCab) -> None:
    page = open_cab("breakdown/3")
    page.click('[data-way="leak"]')
    reload(page)
    assert came_from(page).endswith(", step 3")
    page.click(".top__start")
    page.click('.family[href="#family-weather"]')
    page.click('.tile[href="#fog"]')
    expect(page.locator("#fog.is-open")).to_be_visible()
    expect(page.locator("[data-came-from]")).to_be_hidden()
    page.click("[data-back]")
    expect(page.locator("#family-weather.is-open")).to_be_visible()
