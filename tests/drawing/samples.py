"""Shared by the drawing tests: situations, scenes and the checks that every drawing must pass."""

from __future__ import annotations

import itertools
import math
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

from forty_paces.authoring.binding import plain
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.yaml_tree import parse_file
from forty_paces.drawing.text import Box
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import RoadKind, Situation
from forty_paces.geometry.solver import place_in_scene

from tests.drawing.text_boxes import text_boxes, view_box
from tests.rule_files import names, rule_file

PROJECT = Path(__file__).resolve().parents[2]
ASSETS = PROJECT / "site_overrides" / "assets"
SCENES = PROJECT / "content" / "scenes"
SVG = "{http://www.w3.org/2000/svg}"

RULES = {name: rule_file(name).rule_set for name in names()}
US = RULES["us"]

HIDDEN = [
    (math.inf, math.inf),
    (0.0, math.inf),
    (90.0, 90.0),
    (100.0, math.inf),
    (300.0, math.inf),
    (math.inf, 300.0),
    (260.0, 430.0),
    (500.0, 500.0),
    (501.0, 1200.0),
]
"Obstruction distances behind and ahead: none, near, at and beyond the federal limits."


def situation(road, behind=math.inf, ahead=math.inf, speed_mph=55.0, rules=US):
    return Situation(road, speed_mph, hidden_behind_ft=behind, hidden_ahead_ft=ahead, **rules.reaches())


@cache
def placed(name, road, behind=math.inf, ahead=math.inf, speed_mph=55.0):
    """A rule set, a situation and its computed placement."""
    rules = RULES[name]
    situation_given = situation(road, behind, ahead, speed_mph, rules)
    return place(rules, situation_given), rules, situation_given


ROADS = list(itertools.product(RULES, RoadKind))


@cache
def scene(name):
    tree, findings = parse_file(SCENES / f"{name}.yml", name)
    assert not findings
    return SceneFile.model_validate(plain(tree)).scene()


SCENE_NAMES = sorted(file.stem for file in SCENES.glob("*.yml"))


@cache
def solved(name, rules="us"):
    return place_in_scene(RULES[rules], scene(name))


def root_of(svg):
    return ElementTree.fromstring(svg)


def with_class(root, name, tag="*"):
    return [
        one
        for one in root.iter()
        if name in one.get("class", "").split() and (tag == "*" or one.tag == SVG + tag)
    ]


def corners(shape):
    return [tuple(map(float, pair.split(","))) for pair in shape.get("points").split()]


def box_of(shape):
    xs, ys = zip(*corners(shape), strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def words_in(group):
    return ["".join(text.itertext()) for text in group.iter(SVG + "text")]


def assert_sound(svg, prefix):
    """The drawing has a title, ids of its own and nothing that a strict content security policy blocks."""
    root = root_of(svg)
    assert root.tag == SVG + "svg"
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{prefix}-title {prefix}-desc"
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(f"{prefix}-") for name in ids)
    said = {one.get("id"): one.text for one in root if one.get("id")}
    assert said[f"{prefix}-title"]
    assert said[f"{prefix}-desc"]
    for one in root.iter():
        assert one.tag.removeprefix(SVG) not in {"script", "style", "foreignObject", "image", "a"}
        for attribute, value in one.attrib.items():
            assert attribute != "style"
            assert not attribute.startswith("on")
            for used in re.findall(r"url\(#([^)]*)\)", value):
                assert used in ids
            assert not re.search(r"https?:|data:|javascript:", value)


def assert_legible(svg, *, at_px, least_px=12.0):
    """Text is on the page, overlaps no other text and no device, and is large enough at ``at_px`` width."""
    page = view_box(svg)
    shrink = min(1.0, at_px / page.width)
    words = [one for one in text_boxes(svg) if one.shown]
    for one in words:
        assert one.box.inside(page), f"{one.text!r} leaves the page: {one.box} in {page}"
        assert one.size * shrink >= least_px, f"{one.text!r} is {one.size * shrink:.1f} px at {at_px} px"
    for one, other in itertools.combinations(words, 2):
        assert not one.box.overlaps(other.box), f"{one.text!r} runs into {other.text!r}"


def assert_devices_uncovered(svg):
    """Each number is inside its own triangle, and no other text touches a device or the vehicle."""
    root = root_of(svg)
    assert not [one for one in root.iter() if one.get("transform")], "boxes are compared without transforms"
    numbers = [one for one in text_boxes(svg) if "fp-device-number" in one.classes]
    others = [one for one in text_boxes(svg) if "fp-device-number" not in one.classes and one.shown]
    triangles = [box_of(shape) for shape in with_class(root, "fp-device-edge", "polygon")]
    bodies = [
        box_of(shape)
        for name in ("fp-vehicle", "fp-vehicle-fine")
        for shape in with_class(root, name, "polygon")
    ]
    for number in numbers:
        assert any(number.box.inside(triangle) for triangle in triangles)
    for other, thing in itertools.product(others, [*triangles, *bodies]):
        assert not other.box.overlaps(thing), f"{other.text!r} covers something at {thing}"
