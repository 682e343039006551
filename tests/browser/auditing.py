"""What axe-core is asked, alike in every engine."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import axe_playwright_python
from forty_paces.authoring.library import Library
from playwright.sync_api import Page

from tests.soaking import SOAK, sample

AXE_SOURCE = Path(axe_playwright_python.__file__).parent / "axe.min.js"
"""The script of axe-core that comes with the package for Playwright."""

AA = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "resultTypes": ["violations"],  # of what passes, one element for each rule: describing all takes longer
    # Style sheets would be read a second time, for rules on trial that are not in use.
    "preload": {"assets": ["media"]},
}
"""All rules of WCAG 2.2 at levels A and AA, the size of targets among them."""

CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}, "resultTypes": ["violations"]}
"""Contrast at level AA, the one rule that the night view can break and the day view not."""

ENHANCED = {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}}
"""Contrast at level AAA: 7 to 1, and 4.5 to 1 for large text."""

AA_ENHANCED = AA | {"rules": {"color-contrast-enhanced": {"enabled": True}}}
"""Both together, in little more time than one: most of it goes into reading the page."""


REPORT = """async ([context, options]) => {
  const { violations } = await axe.run(context ?? document, { ...options, resultTypes: ["violations"] });
  return violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)} (${nodes.length})`);
}"""
"""Only violations are described element by element: to describe what passed takes as long as to check it."""


def violations(page: Page, options: dict[str, Any] = AA, *, within: str | None = None) -> list[str]:
    """Each violation that axe-core reports in Chromium, with the first element that shows it.

    ``within`` is a selector of the elements to look at.
    """
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SOURCE.read_text(encoding="utf-8"))
    return list(page.evaluate(REPORT, [within, options]))


SMALL = """
() => {
  const text = ".basis, .sources, p:not(.top__edition, .onward)";
  const inline = (e) => e.matches("a") && e.closest(text) && !e.matches(".button, .go");
  const closed = Array.from(document.querySelectorAll(".screen:not(.is-open)"));
  const found = closed.filter((e) => e.checkVisibility()).map((e) => `${e.id} is shown though it is closed`);
  // Of what is not displayed, most by far, nothing is asked.
  const parts = document.querySelectorAll("body > :not(main), main > :not(.screen), .screen.is-open");
  const controls = "a, button, summary, textarea, label, input";
  for (const e of Array.from(parts, (part) => [part, ...part.querySelectorAll(controls)]).flat()) {
    if (!e.matches(controls)) continue;
    if (!e.checkVisibility({ visibilityProperty: true }) || inline(e)) continue;
    if (e.matches("input") && e.closest("label")) continue;
    const box = e.getBoundingClientRect();
    const least = e.matches(".tile, .tick, .row, .bar__next") && innerHeight > 560 ? 96 : 48;
    const low = e.closest('[data-bar="list"]') ? 72 : least;
    if (e.matches(".fields label")) continue;  // its text area is the target
    if (box.height < Math.min(least, low) - 0.5 || box.width < 48 - 0.5) {
      const name = `${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 20)}`;
      found.push(`${name} ${box.width}x${box.height}`);
    }
  }
  return found;
}
"""
"""Controls smaller than 48 px, and large ones smaller than 96 px where the window is not low."""

VIEWS = (
    "start",
    "family-fire",
    "steer-tire-blowout",
    "tire-fire/2",
    "tire-fire/decision",
    "tire-fire/finished",
    "cargo-spill/list",
    "find",
    "find/conditions",
    "find/behind",
    "find/behind-sight",
    "find/behind-end",
    "find/plan",
    "find/device-1",
    "find/device-2",
    "clock",
    "record",
    "clear",
    "trip",
    "trip-new",
    "hands",
    "phones",
    "vehicle",
    "index",
)
"""Every screen of the cab file, and of procedures every kind."""

_LIKE_ANOTHER = {"steer-tire-blowout", "find", "find/behind-sight", "find/device-1", "trip-new"}

KINDS = VIEWS if SOAK else tuple(view for view in VIEWS if view not in _LIKE_ANOTHER)
"""For axe-core, which takes long: without those that have no element in a role or in colors of its own.

Like them are the first screen and a step of another procedure, ``find/plan`` (that is what ``find`` opens
once every question is answered), ``find/behind-end``, ``find/device-2`` and ``clear``.
"""

AAA_VIEWS = ["tire-fire", "power-line/6", "crash-scene/1", "crash-scene/decision", "way-hurt"]
"""A by-heart box, a step under a danger notice, one that calls, a decision, a way out."""

AAA_GIVEN = {"views": {"day": AAA_VIEWS, "night": AAA_VIEWS}, "options": ENHANCED}
AAA_GIVEN_ELSEWHERE = {"views": {"day": AAA_VIEWS, "night": AAA_VIEWS[1:4:2]}, "options": ENHANCED}
"""In other engines, which compute the same colors, two of them by night."""

ALIKE = """
(Array.from(document.querySelectorAll("main :is(ul:not(.tiles), ol, tbody)")).flatMap((list) => {
  const copied = /^(role|lang|aria-(?!label|describedby|controls))/;
  const look = (e) => {
    const { color, backgroundColor, fontSize, display } = getComputedStyle(e);
    const names = e.getAttributeNames();
    const given = names.map((name) => copied.test(name) ? `${name}=${e.getAttribute(name)}` : name);
    return [e.tagName, e.getAttribute("class"), given, color, backgroundColor, fontSize, display].join();
  };
  const kinds = new Map();
  for (const row of list.children) {
    const kind = [row, ...row.querySelectorAll("*")].map(look).join(";");
    kinds.set(kind, [...(kinds.get(kind) ?? []), row]);
  }
  return [...kinds.values()].filter((rows) => rows.length > 4).flatMap((rows) => {
    const most = Math.max(...rows.map((row) => row.textContent.length));
    const longest = rows.find((row) => row.textContent.length === most);
    return rows.slice(1).filter((row) => row !== longest);
  });
}))
"""
"""Rows of long lists that differ in words alone, in markup and colors not, from two that stay there.

Those two are the first and the longest of their kind. In `make soak` every row is looked at.
"""
if SOAK:
    ALIKE = "[]"

_OPEN_ALONE = """
  const open = (view) => {
    location.hash = view;
    window.dispatchEvent(new HashChangeEvent("hashchange"));
  };
  const alone = async (act) => {
    // Axe-core would read the closed screens too, only to skip them.
    const closed = Array.from(document.querySelectorAll(".screen:not(.is-open)")).concat(ALIKE);
    const places = closed.map((screen) => {
      const place = document.createComment("");
      screen.replaceWith(place);
      return place;
    });
    try {
      return await act();
    } finally {
      places.forEach((place, at) => place.replaceWith(closed[at]));
    }
  };
""".replace("ALIKE", ALIKE.strip().replace("main :is", ".is-open :is"))

AAA_AUDIT = """
async ({ views, options }) => {
  const found = {};
  const press = (selector) => document.querySelector(selector).click();
  OPEN_ALONE
  const pale = async () => {
    const { passes, violations } = await alone(() => axe.run(".is-open", options));
    const nodes = violations.flatMap((one) => one.nodes.map((node) => node.html.slice(0, 160)));
    return { pale: nodes, looked: passes.flatMap((one) => one.nodes).length };
  };
  for (const look of ["day", "night"]) {
    for (const view of views[look]) {
      open(view);
      found[`${look} ${view}`] = { ...(await pale()), small: (SMALL)() };
    }
    press("[data-look-switch]");
  }
  // Colors do not change with the size of the text; the room that a control gets does.
  press("[data-text-switch]");
  for (const view of views.day) {
    open(view);
    found[`day ${view}`].small.push(...(SMALL)());
  }
  press("[data-text-switch]");
  return found;
}
""".replace("OPEN_ALONE", _OPEN_ALONE).replace("SMALL", SMALL.strip())
"""Contrast at level AAA and the size of targets on these views: by day, by night, and with large text."""


def held_to_aaa(found: Mapping[str, Mapping[str, Any]], given: Mapping[str, Any] = AAA_GIVEN) -> None:
    """Fails with what ``AAA_AUDIT`` found; also where it looked at nothing."""
    assert {*found} == {f"{look} {view}" for look, views in given["views"].items() for view in views}
    assert {name: seen for name, seen in found.items() if seen["pale"] or seen["small"]} == {}
    assert all(seen["looked"] > 3 for seen in found.values())


EVERY_VIEW = """
async ({ views, options }) => {
  const found = {};
  let looked = 0;
  OPEN_ALONE
  for (const view of views) {
    open(view);
    const { passes, violations } = await alone(() => axe.run(document, options));
    looked += passes.length;
    const named = ({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`);
    const wrong = violations.flatMap(named);
    const opened = document.querySelector(".screen.is-open").id;
    if (opened !== view.split("/")[0]) wrong.push(`${opened} is open instead`);
    if (wrong.length) found[view] = wrong;
  }
  return { found, looked };
}
""".replace("OPEN_ALONE", _OPEN_ALONE)
"""What axe-core reports on each view, and how often a rule had something to look at and found it good."""


def every_view(library: Library, count: int) -> dict[str, Any]:
    """For ``EVERY_VIEW``: kinds of screens, and all steps of ``count`` procedures; in `make soak` of all."""
    steps = [f"{procedure.id}/list" for procedure in sample(library.procedures, count)]
    return {"views": [*sample(KINDS, 7), *steps], "options": AA_ENHANCED}
