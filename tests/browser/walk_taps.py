"""The guided walk of the cab file, tapped from its first question to the plan.

``tapped`` enters many situations one after another, and a JavaScript function of the caller reads the screen
after each; ``to_plan`` taps one walk as a driver does.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import Page, expect

from tests.rule_files import under_rules
from tests.soaking import SOAK

OpenPage = Callable[..., Page]
PROJECT = Path(__file__).resolve().parents[2]
SITUATIONS = 60
FEWER_SITUATIONS = SITUATIONS if SOAK else 18
"""For other rule sets than the demo carrier's: each answer occurs; hundreds are computed under Node."""
CAUSES = ("bend-right", "bend-left", "hill", "obstruction")

TAPS = """
(all) => {
  // All that is tapped and read is in the screen of the walk, but for the button that leads on.
  const home = document.querySelector("#find");
  const next = document.querySelector("[data-walk-next]");
  const one = (selector) => home.querySelector(selector);
  const many = (selector, from) => Array.from((from || home).querySelectorAll(selector));
  const tap = (at) => {
    for (const axis of ["road", "speed", "visibility", "grade", "surface"]) {
      const choice = one(`[data-axis="${axis}"][data-place="${at[axis]}"]`);
      if (axis === "road" || choice.getAttribute("aria-pressed") !== "true") choice.click();
    }
    if (!one('[data-part="conditions"]').hidden) next.click();
    for (const side of ["behind", "ahead"]) {
      const question = one(`[data-ask-side="${side}"]`);
      if (question.hidden) continue;
      question.querySelector(`[data-cause="${at[side] ? at.cause : ""}"]`).click();
      if (!at[side]) continue;
      question.querySelector(`[data-hidden="${at[side]}"]`).click();
      const ends = at.cause === "obstruction" ? "far" : "near";
      question.querySelector(`[data-end-of="${ends}"] [data-end="${at.end}"]`).click();
    }
  };
  const read = READ;
  return all.map((at) => { tap(at); return read(one("[data-drawing]:not([hidden])")); });
}
"""


def walk_under(rules_id: str, library: Library, open_page: OpenPage, folder: Path) -> Page:
    """The walk of a carrier that uses that rule set, in a cab file of its own."""
    if rules_id not in _CAB_FILES:
        context = BuildContext(under_rules(rules_id, library), PROJECT / "site_overrides")
        _CAB_FILES[rules_id] = cab_html(context)
    file = folder / "cab.html"
    file.write_text(_CAB_FILES[rules_id], encoding="utf-8")
    return open_page(file.as_uri() + "#find")


_CAB_FILES: dict[str, str] = {}
"""The cab file of the project's own content by rule set, made once for the tests of a process."""


def placement_data_of(page: Page) -> dict[str, Any]:
    """The placement data embedded in the page."""
    return dict(page.evaluate("JSON.parse(document.getElementById('cab-data').textContent).placement"))


def situations(data: dict[str, Any], seed: int | str, count: int = SITUATIONS) -> list[dict[str, Any]]:
    """Every road, speed, grade, surface, light, distance and end at least once, combined by a fixed seed."""
    sight, ends = len(data["lengths"]["sight"]), len(data["lengths"]["near"])
    sizes = {
        "road": len(data["roads"]),
        "speed": len(data["speeds"]),
        "grade": len(data["grades"]),
        "surface": len(data["surfaces"]),
        "visibility": len(data["visibility"]),
        "behind": 1 + sight,
        "ahead": 1 + sight,
    }
    assert count >= max(sizes.values())
    lot = random.Random(seed)
    made = []
    for at in range(count):
        cause = CAUSES[at % len(CAUSES)]
        known = [str(end) for end in range(1, 1 + ends)]
        offered = ["unknown", *known, *([] if cause == "obstruction" else ["within"])]
        picked = {axis: (at if at < size else lot.randrange(size)) for axis, size in sizes.items()}
        made.append({**picked, "cause": cause, "end": lot.choice(offered)})
    return made


def tapped(page: Page, wanted: list[dict[str, Any]], read: str) -> list[dict[str, Any]]:
    """What ``read`` returns after each situation.

    ``read`` is a JavaScript function of the drawing shown, or null where there is none; it may call
    ``one(selector)`` and ``many(selector, from)``, which look in the screen of the walk, ``home``.
    """
    return list(page.evaluate(TAPS.replace("READ", read.strip()), wanted))


UNDER_THE_FINGER = """(one) => {
  const box = one.getBoundingClientRect();
  const there = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  return Boolean(there) && one.contains(there);
}"""
"""Whether a tap on its middle would reach it as the screen stands."""

Hiding = tuple[str, int, str]
"Cause, number of the distance to the end of the view, and the end: what hides the vehicle from one side."


def to_plan(page: Page, *, road: int = 0, behind: Hiding | None = None, ahead: Hiding | None = None) -> None:
    """Answer every question on the screen as a driver does, from the road to the plan."""
    page.click(f'[data-axis="road"][data-place="{road}"]')
    if page.is_visible('[data-part="conditions"]'):
        page.click("[data-walk-next]")
    for side, hiding in {"behind": behind, "ahead": ahead}.items():
        if page.is_visible(f'[data-part="{side}"]'):
            answer_side(page, side, hiding)
    expect(page.locator("[data-part=plan]")).to_be_visible()


def answer_side(page: Page, side: str, hiding: Hiding | None) -> None:
    """Answer the questions of one side."""
    question = page.locator(f'[data-ask-side="{side}"]')
    if hiding is None:
        question.locator('[data-cause=""]').click()
        return
    cause, sight, end = hiding
    question.locator(f'[data-cause="{cause}"]').click()
    question.locator(f'[data-hidden="{sight}"]').click()
    question.locator(f'[data-end="{end}"] >> visible=true').click()


MOVED_OUT = "Place device 2: 310 ft (124 paces) behind the vehicle, center of lane or shoulder."
"""A bend hides the vehicle at 300 ft and begins nobody knows where: the device goes 10 ft past it, within the
100 to 500 ft of 49 CFR 392.22(b)(2)(iv)."""


def step_of(library: Library, step: str, procedure: str = "warning-devices") -> str:
    """The address of a step."""
    for block in view_procedure(library.procedure(procedure)).blocks:
        for view in block.steps:
            if view.step.id == step:
                return f"{procedure}/{view.number}"
    raise LookupError(step)
