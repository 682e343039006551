"""What a browser reports of a page: colors, sizes, targets, lines, light."""

from __future__ import annotations

import io
import json
from base64 import b64decode
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from playwright.sync_api import CDPSession, Page

from tests.browsers import settle, started
from tests.drawing.test_tokens import contrast
from tests.soaking import sample

TABLETS = [(800, 1280), (1280, 800)]
PHONE = (390, 844)
NARROW = (320, 640)
LOW = (640, 320)
CAB_SCREENS = (
    "",
    "#family-fire",
    "#tire-fire",
    "#tire-fire/2",
    "#tire-fire/list",
    "#tire-fire/finished",
    "#find",
    "#clock",
    "#record",
    "#phones",
    "#trip",
    "#hands",
    "#vehicle",
)
SITE_PAGES = (
    "index.html",
    "procedures/tire-fire.html",
    "procedures/warning-devices.html",
    "placing/two-lane.html",
    "placing/tables.html",
    "before-trip.html",
    "after-event.html",
    "reference/stopping.html",
    "review.html",
)

CONTENT = """
(root) => {
  const shown = (e) => e.checkVisibility({ checkVisibilityCSS: true }) && e.getClientRects().length;
  const clear = /^rgba\\(.*, 0\\)$|transparent/;
  const grounds = new Map([[null, "rgb(255, 255, 255)"]]);
  const groundOf = (e) => {
    if (!grounds.has(e)) {
      const color = getComputedStyle(e).backgroundColor;
      grounds.set(e, clear.test(color) ? groundOf(e.parentElement) : color);
    }
    return grounds.get(e);
  };
  const found = [];
  // What is not displayed is passed over with all that it holds: of the cab file one screen is displayed.
  const walk = document.createTreeWalker(
    document.querySelector(root), NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT,
    (node) => node.nodeType === Node.TEXT_NODE ? NodeFilter.FILTER_ACCEPT
      : node.matches("svg, script, style") || getComputedStyle(node).display === "none"
        ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_SKIP,
  );
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const e = node.parentElement;
    if (!node.textContent.trim() || !shown(e)) continue;
    const box = e.getBoundingClientRect();
    if (box.width <= 1 || box.height <= 1) continue;
    const look = getComputedStyle(e);
    const block = e.closest(
      "p, li, dd, dt, td, th, h1, h2, h3, caption, a, button, label, summary, figcaption"
    );
    found.push({
      text: node.textContent.trim().slice(0, 60),
      classes: [e, e.parentElement].map((one) => one.className).join(" "),
      tag: (block || e).tagName.toLowerCase(),
      key: (e.closest("[data-key]") || { dataset: {} }).dataset.key || "",
      color: look.color,
      ground: groundOf(e),
      size: parseFloat(look.fontSize),
      weight: Number(look.fontWeight),
      leading: parseFloat(look.lineHeight) / parseFloat(look.fontSize),
      align: look.textAlign,
      hyphens: look.hyphens,
      slant: look.fontStyle,
      family: look.fontFamily,
    });
  }
  return found;
}
"""
"""Every visible text below a selector with its style, without the words inside drawings."""

TARGETS = """
(selector) => Array.from(document.querySelectorAll(selector))
  .filter((e) => e.checkVisibility({ checkVisibilityCSS: true }) && e.getClientRects().length)
  .map((e) => {
    const box = e.getBoundingClientRect();
    let { width, height, left, right, top, bottom } = box;
    for (const name of ["::before", "::after"]) {
      const made = getComputedStyle(e, name);
      if (made.content !== "none" && made.position === "absolute" && made.inset === "0px") {
        const whole = (e.closest("tr, .step") || e).getBoundingClientRect();
        ({ width, height, left, right, top, bottom } = whole);
      }
    }
    return { what: (e.innerText || e.getAttribute("aria-label") || e.id || e.className).trim().slice(0, 40),
             width, height, left, right, top, bottom };
  })
"""
"""Boxes of tap targets; where a link covers a whole row, the box of the row."""

TAPPED = {
    "body": "a, button, summary, textarea, .tick",
    "article": "article :is(a, button, summary, textarea, .tick, label:has(> input[type=checkbox])),"
    " .md-nav__link[href], .md-tabs__link, .md-header__button",
}
"""What is tapped in the cab file (body) and on a page of the site (article)."""

INLINE = """
() => Array.from(document.querySelectorAll("a")).filter((e) => e.checkVisibility()
  && getComputedStyle(e).display.startsWith("inline") && !getComputedStyle(e).display.includes("flex"))
  .map((e) => (e.innerText || "").trim().slice(0, 40))
"""
"""Links that run in a text, which WCAG 2.5.8 exempts."""


def boxes(page: Page, selector: str) -> list[dict[str, Any]]:
    """The boxes of what is tapped, without what is there for readers alone."""
    return [one for one in page.evaluate(TARGETS, selector) if one["width"] > 1]


def small_targets(page: Page, selector: str) -> list[str]:
    """What is less than 48 px wide or high, without links that run in a text."""
    inline = page.evaluate(INLINE)
    return [
        one["what"]
        for one in boxes(page, selector)
        if min(one["width"], one["height"]) < 48 - 0.5 and one["what"] not in inline
    ]


LINES = """
(root) => {
  const lines = [];
  const range = document.createRange();
  for (const e of document.querySelectorAll(`${root} :is(p, li, dd, figcaption)`)) {
    if (!e.checkVisibility() || e.querySelector("p, li, ul, ol, dl, table, svg")) continue;
    if (e.getBoundingClientRect().width <= 1) continue;
    const walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT);
    const blocks = new Map();
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      let block = node.parentElement;
      while (getComputedStyle(block).display === "inline") block = block.parentElement;
      if (!blocks.has(block)) blocks.set(block, new Map());
      const at = blocks.get(block);
      let written = 0;
      for (const part of node.textContent.matchAll(/[^\\s-]+-*|-+/g)) {  // a line may end after a hyphen
        const end = part.index + part[0].length;
        range.setStart(node, part.index);
        range.setEnd(node, end);
        const box = range.getClientRects()[0];
        if (!box) continue;
        const row = [...at.keys()].find((y) => Math.abs(y - box.bottom) < 6) ?? box.bottom;
        at.set(row, (at.get(row) || "") + node.textContent.slice(written, end));
        written = end;
      }
    }
    for (const at of blocks.values()) {
      for (const line of at.values()) lines.push(line.replace(/\\s+/g, " ").trim());
    }
  }
  return lines;
}
"""
"""The lines as they are set, one string each."""


def hex_of(color: str) -> str:
    """'rgb(17, 17, 17)' as '#111111'."""
    parts = [int(float(part)) for part in color[color.index("(") + 1 : -1].split(",")[:3]]
    return "#" + "".join(f"{part:02x}" for part in parts)


def ratio(text: dict[str, object]) -> float:
    """Contrast of a text on its background, WCAG 2.2; not rounded."""
    return contrast(hex_of(str(text["color"])), hex_of(str(text["ground"])))


def large(text: dict[str, object]) -> bool:
    """WCAG's large text: 24 px, or 18.66 px in bold."""
    size, weight = float(str(text["size"])), float(str(text["weight"]))
    return size >= 24 or (size >= 18.66 and weight >= 700)


def mean_light(tools: CDPSession, width: int, height: int) -> float:
    """Mean luminance of what is on a page's screen, white being 1.

    The picture is taken at a quarter of the size: it is averaged all the same.
    """
    clip = {"x": 0, "y": 0, "width": width, "height": height, "scale": 0.25}
    given = {"format": "jpeg", "quality": 90, "clip": clip}
    with Image.open(io.BytesIO(b64decode(tools.send("Page.captureScreenshot", given)["data"]))) as taken:
        small = np.asarray(taken.convert("RGB").resize((160, 160), Image.Resampling.BOX)) / 255
    linear = np.where(small <= 0.04045, small / 12.92, ((small + 0.055) / 1.055) ** 2.4)
    return float((linear @ [0.2126, 0.7152, 0.0722]).mean())


def visit(page: Page, file: Path, address: str = "") -> None:
    """Open the address of a built file."""
    page.goto(f"{file.as_uri()}{address}")
    started(page)


def show(page: Page, *, night: bool) -> None:
    """Give the page that look."""
    page.evaluate(
        "([cab, site]) => document.documentElement.hasAttribute('data-look')"
        " ? document.documentElement.setAttribute('data-look', cab)"
        " : document.body.setAttribute('data-md-color-scheme', site)",
        ["night", "slate"] if night else ["day", "default"],
    )


BORDERS = """
() => [".by-heart", ".finished", ".step__tick", ".tile", "input[type=checkbox]", ".decision td"]
  .flatMap((selector) => Array.from(document.querySelectorAll(selector)))
  .filter((e) => e.checkVisibility() && getComputedStyle(e).borderTopStyle !== "none"
    && parseFloat(getComputedStyle(e).borderTopWidth) > 0)
  .map((e) => {
    let ground = null;
    for (let at = e.parentElement; at && !ground; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      if (!/^rgba\\(.*, 0\\)$|transparent/.test(color)) ground = color;
    }
    return [e.className, getComputedStyle(e).borderTopColor, ground || "rgb(255, 255, 255)"];
  })
"""
"""Lines, boxes and icons that mean something, with their ground."""

FOCUS = """
() => {
  const e = document.activeElement;
  const look = getComputedStyle(e);
  let ground = null;
  for (let at = e.parentElement; at && !ground; at = at.parentElement) {
    const color = getComputedStyle(at).backgroundColor;
    if (!/^rgba\\(.*, 0\\)$|transparent/.test(color)) ground = color;
  }
  ground = ground || "rgb(255, 255, 255)";
  return [look.outlineColor, look.outlineStyle, parseFloat(look.outlineWidth), ground];
}
"""
"""The outline of what has the focus, with its ground."""

MOVING = """
() => Array.from(document.querySelectorAll("*")).filter((e) => {
  if (!e.checkVisibility()) return false;
  const look = getComputedStyle(e);
  const times = `${look.transitionDuration},${look.animationDuration}`.split(",");
  return times.some((time) => parseFloat(time) > 0) || look.scrollBehavior === "smooth";
}).map((e) => `${e.tagName}.${e.className}`.slice(0, 80)).slice(0, 5)
"""
"""What is displayed and would move."""

OVERFLOW = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
RESTLESS = """
() => Array.from(
  document.querySelectorAll("meta[http-equiv=refresh], marquee, blink, video, audio, dialog[open]"),
  (e) => e.outerHTML.slice(0, 80),
)
"""


@dataclass(frozen=True)
class Screen:
    """What was read of one screen of the cab file or one page of the site.

    What no point asks for at a size is not read there, and None: a test that asks for it fails.
    """

    name: str
    texts: list[dict[str, Any]] | None = None
    lines: list[str] | None = None
    "As they are set."
    overflow_px: float | None = None
    moving: list[str] | None = None
    restless: list[str] | None = None
    borders: list[tuple[str, str, str]] | None = None
    "What it is, its color and that of its ground."
    focus: tuple[str, str, float, str] | None = None
    "Of the first thing that Tab reaches: color, style and width of its outline, color of its ground."
    small_targets: list[str] | None = None
    "What is tapped and less than 48 px wide or high; links that run in a text are exempt, WCAG 2.5.8."
    light: float | None = None
    "Mean luminance, white being 1."


Look = tuple[int, int, bool]
"""Width, height, and whether by night."""

Everywhere = Callable[..., list[Screen]]
"""``everywhere(width, height, night=False)``: every screen and page to test, in this look."""

READ_IN: dict[Look, tuple[str, ...]] = {
    (*NARROW, False): ("texts", "overflow_px"),
    (*LOW, False): ("overflow_px",),
    (*PHONE, False): ("texts", "lines", "small_targets"),
    (*TABLETS[1], False): ("texts", "lines", "overflow_px", "small_targets"),
    (*TABLETS[0], False): (
        *("texts", "lines", "overflow_px", "small_targets"),
        *("moving", "restless", "borders", "light", "focus"),
    ),
    (*TABLETS[0], True): ("texts", "borders", "light", "focus"),
}
"""What the points ask for in each look, in the order of reading: the focus last, since it stays."""

READ = f"""
({{ root, names }}) => {{
  const readers = {{
    texts: () => ({CONTENT.strip()})(root), lines: () => ({LINES.strip()})(root),
    overflow_px: () => {OVERFLOW}, moving: {MOVING.strip()}, restless: {RESTLESS.strip()},
    borders: {BORDERS.strip()},
  }};
  const asked = names.filter((name) => readers[name]);
  return JSON.stringify(Object.fromEntries(asked.map((name) => [name, readers[name]()])));
}}
"""
"""What is read by name, as one text: that is handed over in a tenth of the time of its parts."""

THIN = """
(kept) => document.querySelectorAll("section.review-sheet").forEach((sheet, at) => {
  if (!kept.includes(at)) sheet.remove();
})
"""
"""Leaves these of the review's sheets, which come from one template."""


def read_everywhere(page: Page, site: Path) -> Iterator[tuple[Look, Screen]]:
    """Open every screen and page once, turn and resize it, and read what the points ask for in each look."""
    places = [("cab.html", address, "body") for address in CAB_SCREENS]
    places += [(name, "", "article") for name in SITE_PAGES]
    tools = page.context.new_cdp_session(page)
    for name, address, root in places:
        visit(page, site / name, address)
        sizes = page.locator("section.review-sheet").evaluate_all(
            "sheets => sheets.map(one => one.textContent.length)"
        )
        if sizes:
            page.evaluate(THIN, [*sample(range(len(sizes)), 3), sizes.index(max(sizes))])
        reached = False
        for look, names in READ_IN.items():
            width, height, night = look
            if page.viewport_size != {"width": width, "height": height}:
                page.set_viewport_size({"width": width, "height": height})
            if night:  # the last look; every place begins by day
                show(page, night=True)
            settle(page)
            read = json.loads(page.evaluate(READ, {"root": root, "names": names}))
            if "small_targets" in names:
                read["small_targets"] = small_targets(page, TAPPED[root])
            if "light" in names:
                read["light"] = mean_light(tools, width, height)
            if "focus" in names:
                if not reached:
                    page.keyboard.press("Tab")
                    reached = True
                read["focus"] = page.evaluate(FOCUS)
            assert set(names) == set(read)
            yield look, Screen(name=name + address, **read)
        show(page, night=False)
