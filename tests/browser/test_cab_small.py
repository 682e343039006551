"""Every step of every procedure on phones upright and sideways and on tablets: what must be in sight is.

One page for each size; the walk changes the address within it. On a tablet, where there is more room than
on a phone either way up, `make soak` opens every step; an ordinary run those that need most of it.
"""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.procedure_view import view_procedure

from tests.browser.walk_taps import to_plan
from tests.browsers import OpenCab
from tests.projects import step_count
from tests.soaking import SOAK

pytestmark = pytest.mark.browser

SIZES = (
    (390, 844, ""),
    (390, 844, "large"),
    (844, 390, ""),
    (844, 390, "large"),
    (800, 1280, ""),
    (800, 1280, "large"),
    (1280, 800, ""),
    (1280, 800, "large"),
)

WALK = """(every) => {
  const wrong = [];
  const counts = { views: 0, steps: 0, notices: 0, orders: 0, boxes: 0, buttons: 0 };
  const inSight = (one, kind, where) => {
    counts[kind] += 1;
    const { left, top, right, bottom } = one.getBoundingClientRect();
    let seen = bottom > top && top >= 0 && left >= 0;
    seen = seen && bottom <= innerHeight + 0.5 && right <= innerWidth + 0.5;
    for (const y of [top + 2, (top + bottom) / 2, bottom - 2]) {
      for (const x of [left + 4, (left + right) / 2, right - 4]) {
        const there = document.elementFromPoint(x, y);
        seen = seen && there && (one.contains(there) || there.contains(one));
      }
    }
    const words = one.textContent.trim().slice(0, 30);
    if (!seen) wrong.push(`${where}: ${one.className} "${words}" ${top}-${bottom}`);
  };
  const open = (address) => {
    // An address that is assigned makes the browser look for a place to scroll to, on the screen before.
    history.replaceState(null, "", address);
    window.dispatchEvent(new HashChangeEvent("hashchange"));
    counts.views += 1;
    for (const button of document.querySelectorAll("[data-bar] button")) {
      if (button.checkVisibility()) inSight(button, "buttons", address);
    }
  };
  for (const procedure of document.querySelectorAll(".procedure")) {
    open("#" + procedure.id);
    for (const box of procedure.querySelectorAll(".by-heart")) inSight(box, "boxes", procedure.id);
    const steps = [...procedure.querySelectorAll(".block:not([hidden]) .step:not([hidden])")];
    const order = (step) => step.querySelector(".step__do").textContent.length;
    const first = (some) => some.toSorted((one, other) => order(other) - order(one))[0];
    const chosen = [first(steps), first(steps.filter((step) => step.querySelector(".step__tool a")))];
    counts.steps += steps.length;
    steps.forEach((step, at) => {
      const notice = Boolean(step.querySelector(".notice"));
      counts.notices += notice;
      if (!every && !notice && !chosen.includes(step)) return;
      const address = `#${procedure.id}/${at + 1}`;
      open(address);
      inSight(step.querySelector(".step__do"), "orders", address);
      const tool = step.querySelector(".step__tool a");
      if (tool) inSight(tool, "buttons", address);
    });
  }
  return [wrong, counts];
}"""

HIDDEN = """(screens) => {
  const lost = [];
  let met = 0;
  for (const screen of screens) {
    history.replaceState(null, "", screen);
    window.dispatchEvent(new HashChangeEvent("hashchange"));
    const all = document.querySelectorAll(
      ".screen.is-open :is(a[href], button, input, textarea, summary, [tabindex='0']), .bar :is(a, button)"
    );
    for (const one of all) {
      if (!one.checkVisibility()) continue;
      one.focus();
      met += 1;
      const box = one.getBoundingClientRect();
      const x = Math.min(box.left + box.width / 2, innerWidth - 2);
      const seen = [box.top + 3, box.top + box.height / 2, box.bottom - 3].some((y) => {
        const there = document.elementFromPoint(x, y);
        return there && (one.contains(there) || there.contains(one));
      });
      if (!seen) lost.push(`${screen}: ${one.outerHTML.slice(0, 80)} ${box.top}-${box.bottom}`);
    }
  }
  return [met, lost];
}"""


@pytest.mark.soak
@pytest.mark.parametrize(("width", "height", "text"), SIZES if SOAK else SIZES[1::2])
def test_order_by_heart_box_and_buttons_are_in_sight_in_every_step_of_every_procedure(
    open_cab: OpenCab, library: Library, width: int, height: int, text: str
) -> None:
    page = open_cab(width=width, height=height)
    if text:
        page.click("[data-text-switch]")
    every = SOAK or min(width, height) < 800
    wrong, counts = page.evaluate(WALK, every)
    assert wrong == []
    views = [view_procedure(procedure) for procedure in library.procedures]
    steps = sum(step_count(view) for view in views)
    notices = sum(bool(step.notice) for view in views for block in view.blocks for step in block.steps)
    assert (counts["steps"], counts["notices"]) == (steps, notices)
    # Those with a notice above the order, and of each procedure the longest order, and that above a button.
    assert counts["orders"] == steps if every else notices + len(views) <= counts["orders"] < steps
    assert counts["boxes"] == sum(bool(view.by_heart) for view in views)
    assert counts["views"] == counts["orders"] + len(views)
    assert counts["buttons"] >= 3 * counts["views"]


@pytest.mark.parametrize(("width", "height"), [(844, 390), (640, 400)])
def test_on_a_low_screen_no_control_is_hidden_while_it_has_the_focus(
    open_cab: OpenCab, width: int, height: int
) -> None:
    # WCAG 2.4.11: a focused control is not wholly hidden by what the author put in front of it.
    page = open_cab(width=width, height=height)
    met, lost = page.evaluate(
        HIDDEN, ["#start", "#family-fire", "#find", "#crash-scene", "#crash-scene/list", "#record", "#phones"]
    )
    assert lost == []
    assert met > 100


def test_a_low_screen_shows_a_step_at_640_by_400_too(open_cab: OpenCab, library: Library) -> None:
    # A tablet at 200 percent, WCAG 1.4.4: what does not fit may scroll, but nothing may cover it.
    page = open_cab(width=640, height=400)
    covered = page.evaluate(
        """() => {
          const found = [];
          for (const procedure of document.querySelectorAll(".procedure")) {
            history.replaceState(null, "", `#${procedure.id}/1`);
            window.dispatchEvent(new HashChangeEvent("hashchange"));
            const order = procedure.querySelector(".step.is-now .step__do").getBoundingClientRect();
            for (const bar of document.querySelectorAll(".bar")) {
              if (!bar.checkVisibility()) continue;
              const box = bar.getBoundingClientRect();
              if (box.left < order.right && order.left < box.right) found.push(procedure.id);
            }
          }
          return found;
        }"""
    )
    assert covered == []


@pytest.mark.soak
@pytest.mark.parametrize(("width", "height", "text"), SIZES if SOAK else SIZES[1::2])
def test_the_look_back_check_of_a_moved_device_is_in_sight_while_it_is_asked(
    open_cab: OpenCab, width: int, height: int, text: str
) -> None:
    page = open_cab("find", width=width, height=height)
    if text:
        page.evaluate("document.documentElement.dataset.text = 'large'")
    to_plan(page, behind=("bend-right", 7, "unknown"))
    page.click("[data-walk-next]")
    page.click("[data-walk-next]")
    seen = page.evaluate(
        """() => {
          const { left, top, right, bottom } = document.querySelector(".look-back").getBoundingClientRect();
          return [[left + 6, top + 6], [right - 6, bottom - 6]].map(([x, y]) => {
            const there = document.elementFromPoint(x, y);
            return Boolean(there && there.closest(".look-back"));
          });
        }"""
    )
    assert seen == [True, True]
