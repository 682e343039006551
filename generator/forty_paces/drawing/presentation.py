"""Presentation attributes of each drawing class, in its day colors.

PAINT maps class -> attributes, and DAY holds the colors behind it.
These attributes are written beside the class so that a drawing still looks right
without a stylesheet (a standalone file, the PDF renderer). Where drawing.css is
present it overrides them and adds the night colors. A test keeps this table and the two
stylesheets consistent.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FONT_FAMILY = "Atkinson Hyperlegible, Segoe UI, Roboto, Helvetica Neue, Arial, sans-serif"

DAY: Mapping[str, str] = MappingProxyType(
    {
        "ink": "#111111",
        "paper": "#ffffff",
        "hairline": "#767676",
        "byheart-ground": "#fff4c7",
        "byheart-border": "#111111",
        "land": "#f1f1ec",
        "road": "#626262",
        "shoulder": "#d2d2d2",
        "mark-white": "#ffffff",
        "mark-yellow": "#ffd23f",
        "vehicle": "#ffffff",
        "vehicle-line": "#111111",
        "vehicle-glass": "#111111",
        "device": "#9b2423",
        "device-line": "#111111",
        "device-ground": "#ffffff",
        "traffic": "#ffffff",
        "hidden-ground": "#2a2a2a",
        "hidden-stripe": "#a9a9a9",
        "ruler": "#111111",
        "sight": "#005387",
        "terrain": "#b9b9ad",
        "obstacle": "#7b7b6d",
    }
)
"Day value of every token a drawing uses, by its name in tokens.css without the --fp- prefix."


def _paint(**attributes: str) -> Mapping[str, str]:
    return MappingProxyType({name.replace("_", "-"): value for name, value in attributes.items()})


def _area(token: str) -> Mapping[str, str]:
    return _paint(fill=DAY[token])


def _stroke(token: str, width: str, **more: str) -> Mapping[str, str]:
    return _paint(fill="none", stroke=DAY[token], stroke_width=width, **more)


PAINT: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        # areas
        "fp-land": _area("land"),
        "fp-road": _area("road"),
        "fp-road-line": _stroke("road", "4"),
        "fp-shoulder": _area("shoulder"),
        "fp-terrain": _area("terrain"),
        "fp-obstacle": _area("obstacle"),
        "fp-obstacle-wall": _stroke("obstacle", "6"),
        "fp-walk": _paint(fill=DAY["land"], stroke=DAY["hairline"], stroke_width="1"),
        "fp-lamp": _paint(fill=DAY["paper"], stroke=DAY["ruler"], stroke_width="1.5"),
        "fp-gap": _area("paper"),
        "fp-plate": _area("paper"),
        "fp-hidden-ground": _area("hidden-ground"),
        "fp-hidden-stripe": _stroke("hidden-stripe", "4"),
        "fp-hidden-edge": _stroke("ruler", "2.5", stroke_dasharray="7 5"),
        # road markings; broken ones set their own dash
        "fp-mark-white": _stroke("mark-white", "3"),
        "fp-mark-yellow": _stroke("mark-yellow", "3"),
        # objects on the road
        "fp-vehicle": _paint(fill=DAY["vehicle"], stroke=DAY["vehicle-line"], stroke_width="2.5"),
        "fp-vehicle-fine": _paint(fill=DAY["vehicle"], stroke=DAY["vehicle-line"], stroke_width="1.5"),
        "fp-vehicle-glass": _area("vehicle-glass"),
        "fp-device-edge": _paint(fill=DAY["device-line"]),
        "fp-place-edge": _area("ruler"),
        "fp-device-band": _paint(fill=DAY["device"]),
        "fp-device-face": _paint(fill=DAY["device-ground"]),
        "fp-traffic": _area("traffic"),
        # rulers, leaders and lines of sight
        "fp-ruler": _stroke("ruler", "2"),
        "fp-ruler-mark": _area("ruler"),
        "fp-ruler-zero": _paint(fill=DAY["paper"], stroke=DAY["ruler"], stroke_width="2"),
        "fp-leader": _stroke("ruler", "1.5", stroke_dasharray="2 3"),
        "fp-leader-fine": _stroke("ruler", "1.3"),
        "fp-leader-back": _stroke("paper", "4"),
        "fp-station": _stroke("sight", "3"),
        "fp-station-back": _stroke("paper", "6"),
        "fp-break": _stroke("ruler", "1.5"),
        "fp-sight": _stroke("sight", "3", stroke_dasharray="10 6"),
        "fp-sight-back": _stroke("paper", "6", stroke_dasharray="10 6"),
        "fp-sight-mark": _area("sight"),
        "fp-outline": _stroke("hairline", "1.5"),
        "fp-sign-solid": _area("ink"),
        "fp-sign-line": _stroke("ink", "5"),
        # words
        "fp-text": _area("ink"),
        "fp-device-number": _area("ink"),
        # bars
        "fp-bar": _paint(fill=DAY["paper"], stroke=DAY["ink"], stroke_width="2"),
        "fp-bar-grey": _paint(fill=DAY["hairline"], stroke=DAY["ink"], stroke_width="2"),
        "fp-bar-light": _paint(fill=DAY["shoulder"], stroke=DAY["ink"], stroke_width="2"),
        "fp-bar-solid": _paint(fill=DAY["ink"], stroke=DAY["ink"], stroke_width="2"),
        "fp-cross": _stroke("ink", "3"),
        # boxes of a route; a plain box is a bar
        "fp-by-heart": _paint(fill=DAY["byheart-ground"], stroke=DAY["byheart-border"], stroke_width="3"),
        "fp-end": _paint(fill=DAY["paper"], stroke=DAY["ink"], stroke_width="4"),
    }
)
"Attributes by class. A class not listed here has no appearance of its own (it is a hook or a group)."
