"""Situations entered in the finder of the cab file, one after another.

The situations come from the choices that the finder offers; a JavaScript function of the caller reads
the screen after each.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Page

from tests.rule_files import under_rules

OpenPage = Callable[..., Page]
PROJECT = Path(__file__).resolve().parents[2]
SITUATIONS = 240
CAUSES = ("bend-right", "bend-left", "hill", "obstruction")

TAPS = """
(all) => {
  const one = (selector) => document.querySelector(selector);
  const many = (selector, from) => Array.from((from || document).querySelectorAll(selector));
  const tap = (at) => {
    for (const axis of ["road", "speed", "visibility", "grade"]) {
      one(`[data-axis="${axis}"][data-place="${at[axis]}"]`).click();
    }
    for (const side of ["behind", "ahead"]) {
      const question = one(`[data-ask-side="${side}"]`);
      if (question.hidden) continue;
      question.querySelector(`[data-cause="${at[side] ? at.cause : ""}"]`).click();
      if (at[side]) question.querySelector(`[data-hidden="${at[side]}"]`).click();
    }
  };
  const read = READ;
  return all.map((at) => { tap(at); return read(one("[data-drawing]:not([hidden])")); });
}
"""


def finder_under(rules_id: str, library: Library, open_page: OpenPage, folder: Path) -> Page:
    """The finder of a carrier that uses that rule set, in a cab file of its own."""
    context = BuildContext(under_rules(rules_id, library), PROJECT / "site_overrides")
    file = folder / "cab.html"
    file.write_text(cab_html(context), encoding="utf-8")
    return open_page(file.as_uri() + "#find")


def placement_data_of(page: Page) -> dict[str, Any]:
    """The placement data embedded in the page."""
    return dict(page.evaluate("JSON.parse(document.getElementById('cab-data').textContent).placement"))


def situations(data: dict[str, Any], seed: int | str) -> list[dict[str, Any]]:
    """Every road, speed, grade, visibility and hidden distance at least once, combined at random."""
    sizes = {
        "road": len(data["roads"]),
        "speed": len(data["speeds"]),
        "grade": len(data["grades"]),
        "visibility": len(data["visibility"]),
        "behind": 1 + len(data["lengths"]["sight"]),
        "ahead": 1 + len(data["lengths"]["sight"]),
    }
    lot = random.Random(seed)
    return [
        {
            **{axis: (at if at < size else lot.randrange(size)) for axis, size in sizes.items()},
            "cause": CAUSES[at % len(CAUSES)],
        }
        for at in range(SITUATIONS)
    ]


def tapped(page: Page, wanted: list[dict[str, Any]], read: str) -> list[dict[str, Any]]:
    """What ``read`` returns after each situation.

    ``read`` is a JavaScript function of the drawing shown, or null where there is none; it may
    call ``one(selector)`` and ``many(selector, from)``.
    """
    return list(page.evaluate(TAPS.replace("READ", read.strip()), wanted))
