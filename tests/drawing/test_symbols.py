"""Pictograms and signal symbols."""

import re
from xml.etree import ElementTree

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path
from forty_paces.drawing.symbols import NAMES, SIGNALS, symbol_svg

from tests.drawing.samples import PROJECT, SVG

TILES = [
    *(
        "tire-front",
        "tire-rear",
        "skid-drive",
        "skid-front",
        "skid-trailer",
        "water",
        "brakes",
        "shoulder-drop",
    ),
    *(
        "fog",
        "ice",
        "wind",
        "engine-fire",
        "tire-fire",
        "cargo-fire",
        "extinguisher",
        "breakdown",
        "triangles",
    ),
    *(
        "rail-crossing",
        "crash",
        "overheat",
        "load",
        "spill",
        "clock",
        "record",
        "phone",
        "finder",
        "day",
        "night",
    ),
    "speaker",
]


def paths(name):
    return [one for one in ElementTree.fromstring(symbol_svg(name)) if one.tag == f"{SVG}path"]


def bounds(path):
    pen = BoundsPen(None)
    parse_path(path.get("d"), pen)
    return pen.bounds


def test_every_tile_and_signal_word_has_its_symbol():
    assert {*TILES, *(f"signal-{word}" for word in SIGNALS)} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_symbol_takes_the_color_of_the_words_beside_it_and_hides_from_screen_readers(name):
    root = ElementTree.fromstring(symbol_svg(name))
    assert root.get("viewBox") == "0 0 64 64"
    assert root.get("aria-hidden") == "true"
    assert root.get("focusable") == "false"
    for one in root.iter():
        assert one.get("id") is None
        assert one.get("style") is None
        assert {one.get("fill"), one.get("stroke")} <= {None, "none", "currentColor"}


@pytest.mark.parametrize("name", NAMES)
def test_a_symbol_stays_inside_its_square(name):
    for path in paths(name):
        line = float(path.get("stroke-width", "4")) if path.get("stroke") != "none" else 0.0
        left, top, right, bottom = bounds(path)
        assert left - line / 2 >= 0
        assert top - line / 2 >= 0
        assert right + line / 2 <= 64
        assert bottom + line / 2 <= 64


@pytest.mark.parametrize("name", NAMES)
def test_a_symbol_fills_its_square_well(name):
    boxes = [bounds(path) for path in paths(name)]
    wide = max(box[2] for box in boxes) - min(box[0] for box in boxes)
    high = max(box[3] for box in boxes) - min(box[1] for box in boxes)
    assert max(wide, high) >= 44


def test_no_two_symbols_are_alike():
    drawn = {name: re.sub(r"fp-symbol-[a-z-]+", "", symbol_svg(name)) for name in NAMES}
    assert len(set(drawn.values())) == len(NAMES)


def border(word):
    """The frame of a signal symbol: rectangles, line width, dots."""
    frame = paths(f"signal-{word}")[0]
    dotted = frame.get("stroke-dasharray") is not None
    return frame.get("d").count("M"), float(frame.get("stroke-width", "4")), dotted


def test_the_four_signal_words_differ_by_border_alone():
    assert border("danger")[0] == 2
    assert border("warning")[0] == 1
    assert border("warning")[1] >= 3 * border("caution")[1]
    assert border("notice")[2] is True
    assert len({border(word) for word in SIGNALS}) == 4


def triangles(word):
    """Closed shapes of three straight sides."""
    return [
        path for path in paths(f"signal-{word}") if re.fullmatch(r"M[\d. ]+L[\d. ]+H[\d.]+Z", path.get("d"))
    ]


def test_the_alert_triangle_stands_on_all_but_a_notice():
    # ANSI Z535.4: the safety alert symbol marks risk of injury; a notice has no such risk.
    assert {word: len(triangles(word)) for word in SIGNALS} == {
        "danger": 1,
        "warning": 1,
        "caution": 1,
        "notice": 0,
    }


def test_an_unknown_symbol_is_refused_with_the_nearest_name():
    with pytest.raises(LookupError, match=r"'tire-frnt'; the closest is 'tire-front'"):
        symbol_svg("tire-frnt")


def test_a_name_like_nothing_is_refused_without_a_guess():
    with pytest.raises(LookupError, match=r"'qqq'$"):
        symbol_svg("qqq")


def test_every_procedure_names_a_symbol_there_is():
    found = [
        line.removeprefix("symbol:").strip()
        for file in sorted((PROJECT / "content" / "procedures").glob("*.yml"))
        for line in file.read_text(encoding="utf-8").splitlines()
        if line.startswith("symbol:")
    ]
    assert found
    assert set(found) <= set(NAMES)
