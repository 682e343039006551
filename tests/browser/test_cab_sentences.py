"""Everything the plan of a walk puts on the screen, read as a driver reads it, for every rule set."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library

from tests.browser.walk_taps import (
    FEWER_SITUATIONS,
    OpenPage,
    placement_data_of,
    situations,
    tapped,
    to_plan,
    walk_under,
)
from tests.outputs.cab.sentences import SENTENCE, broken
from tests.rule_files import names
from tests.soaking import sample

pytestmark = pytest.mark.browser

READ = """
(figure) => {
  const shown = (node) => node.checkVisibility && node.checkVisibility();
  return {
    sentences: many("[data-answer] :is(li, p):not(:has(p)):not(.devices__paces, .devices__counts)")
      .map((node) => node.textContent)
      .concat([one("[data-finder-said]").textContent]),
    labels: many("[data-strip] li, .devices__paces, .devices__counts, [data-answer] :is(h3, h4)")
      .map((node) => node.textContent)
      .concat(
        !figure ? []
        : many("text, desc, title", figure)
          .filter((node) => !node.closest("text") || shown(node))
          .map((node) => node.textContent)
      ),
  };
}
"""


@pytest.mark.soak
@pytest.mark.parametrize("rules_id", sample(names(), 4))
def test_no_situation_is_reported_in_broken_words(
    library: Library, open_page: OpenPage, tmp_path: Path, rules_id: str
) -> None:
    page = walk_under(rules_id, library, open_page, tmp_path)
    read = tapped(page, situations(placement_data_of(page), rules_id, FEWER_SITUATIONS), READ)
    sentences = {text for one in read for text in one["sentences"]}
    labels = {text for one in read for text in one["labels"] if text.strip()}
    assert len(sentences) > 30
    assert len(labels) > 15
    assert broken([*sentences]) == []
    assert sorted(text for text in sentences if not SENTENCE.search(text)) == []
    assert broken([text.strip() for text in labels]) == []
    assert page.faults == []


def test_what_stands_beside_the_vehicle_has_no_distance(
    library: Library, open_page: OpenPage, tmp_path: Path
) -> None:
    # Road Rules 227, South Australia and New South Wales: the third triangle is put beside the vehicle.
    page = walk_under("australia-sa", library, open_page, tmp_path)
    to_plan(page)
    said = page.inner_text("[data-finder-said]")
    assert "Device 1: beside the vehicle." in said
    first = page.locator(".devices li >> nth=0")
    assert first.locator(".devices__paces").inner_text() == "Beside the vehicle"
    assert first.locator(".devices__counts, .devices__across").count() == 0


def test_where_devices_are_forbidden_nothing_is_said_of_devices(
    library: Library, open_page: OpenPage, tmp_path: Path
) -> None:
    # Highway Code rule 276: no triangle on a motorway.
    page = walk_under("uk", library, open_page, tmp_path)
    page.click('[data-axis="road"][data-place="1"]')
    page.click("[data-walk-next]")
    assert page.inner_text("[data-strip]") == "Place no device here"
    assert page.is_hidden("[data-walk-next]")
    assert "without devices" not in page.inner_text("[data-answer]")
    assert page.inner_text(".gets__line").startswith("To stop takes ")
    assert page.locator(".devices li").count() == 0


@pytest.mark.parametrize("rules_id", ["us", "australia-sa", "germany"])
def test_the_largest_answer_fits_its_box_on_every_screen_in_both_sizes_of_text(
    library: Library, open_page: OpenPage, tmp_path: Path, rules_id: str
) -> None:
    page = walk_under(rules_id, library, open_page, tmp_path)
    page.click('[data-axis="road"][data-place="0"]')
    last = page.locator('[data-axis="speed"]').count() - 1
    page.click(f'[data-axis="speed"][data-place="{last}"]')
    page.click("[data-walk-next]")
    for _ in range(2):
        for road in (0, 1):
            page.goto(page.url.split("#")[0] + "#find/road")
            to_plan(page, road=road, behind=("hill", 11, "unknown"), ahead=("hill", 11, "unknown"))
            for width, height in ((1280, 800), (800, 1280), (390, 844), (320, 568)):
                page.set_viewport_size({"width": width, "height": height})
                out = page.eval_on_selector_all(
                    "[data-strip] li, [data-strip] li > *",
                    """all => all.filter((one) => {
                      const box = (one.closest("li")).getBoundingClientRect();
                      const mine = one.getBoundingClientRect();
                      return one.scrollWidth > one.clientWidth + 1 && one.matches("li")
                        || mine.right > box.right + 0.5 || mine.bottom > box.bottom + 0.5;
                    }).map((one) => one.textContent)""",
                )
                assert out == [], (width, road)
        page.evaluate("document.querySelector('[data-text-switch]').click()")  # on a phone: at the start


def test_no_line_ends_between_a_figure_and_its_unit(cab_file: Path, open_page: OpenPage) -> None:
    page = open_page(cab_file.as_uri() + "#find", width=320, height=568)
    to_plan(page)
    steps = page.locator("#warning-devices .step__do").all_text_contents()
    first = next(f"warning-devices/{at}" for at, text in enumerate(steps, 1) if "10 ft" in text)
    for view in (first, "warning-devices/list", "extinguisher/list", "find/plan", "clock"):
        page.evaluate("(hash) => { location.hash = hash; }", "#" + view)
        page.wait_for_selector(f"#{view.split('/')[0]}.is-open")
        held = page.eval_on_selector_all(
            ".is-open .together",
            "all => all.filter(one => one.checkVisibility())"
            ".map(one => [one.textContent, one.getClientRects().length])",
        )
        assert held, view
        assert [text for text, lines in held if lines != 1] == [], view
    page.evaluate("(hash) => { location.hash = hash; }", "#" + first)
    assert "10 ft" in page.locator(".step.is-now .step__do .together").all_inner_texts()
