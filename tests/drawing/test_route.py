"""Routes: read back from the drawing, arrows connect the right boxes and all text stays in its box."""

from __future__ import annotations

import itertools

import pytest
from forty_paces.drawing.formats import Size
from forty_paces.drawing.labels import line_meets_box
from forty_paces.drawing.route import Route, RouteBlock, RouteRow, draw_route
from forty_paces.drawing.text import Box
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawing.samples import SVG, assert_legible, assert_sound, root_of, with_class, words_in
from tests.drawing.text_boxes import text_boxes

SIZES = (Size.WIDE, Size.TALL)
SHOWN_AT_PX = {Size.WIDE: 640, Size.TALL: 390}
"The narrowest a drawing of each size is shown: wide in windows over 600 px, else tall."

PUMP = Route(
    cues=("The needle is in the red.",),
    by_heart=("Ease off.", "Steer to the shoulder."),
    stopped="After you have stopped, start here.",
    blocks=(RouteBlock("Let it cool", 4, 2), RouteBlock("Look under the hood", 1)),
    finished="The needle is back in the green.",
    question="What you see under the hood",
    rows=(
        RouteRow("a hose has come off", "Leave it.", "Breakdown"),
        RouteRow("nothing drips", "Wait and look again."),
    ),
)


def box_of(group):
    """The box on the page: its outermost shape."""
    edges = []
    for rect in group.iter(f"{SVG}rect"):
        left, top = float(rect.get("x")), float(rect.get("y"))
        edges.append((left, top, left + float(rect.get("width")), top + float(rect.get("height"))))
    for line in group.iter(f"{SVG}line"):
        edges.append(tuple(float(line.get(key)) for key in ("x1", "y1", "x2", "y2")))
    lefts, tops, rights, bottoms = zip(*edges, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


def boxes(svg, prefix="r"):
    """Box id to (Box, its text)."""
    return {
        group.get("id").removeprefix(f"{prefix}-"): (box_of(group), words_in(group))
        for group in root_of(svg).iter(f"{SVG}g")
        if group.get("id")
    }


def arrows(svg):
    """(from, to, its points) of every arrow."""
    return [
        (
            line.get("data-from"),
            line.get("data-to"),
            [tuple(map(float, pair.split(","))) for pair in line.get("points").split()],
        )
        for line in with_class(root_of(svg), "fp-ruler", "polyline")
    ]


def joined(route):
    """The expected connections, derived from the route itself."""
    chain = ["cue", *(["by-heart"] if route.by_heart else []), "stopped"]
    chain += [f"block-{number}" for number in range(1, len(route.blocks) + 1)]
    pairs = set(itertools.pairwise([*chain, "question" if route.rows else "finished"]))
    for number, row in enumerate(route.rows, 1):
        pairs.add(("question", f"row-{number}"))
        pairs.add((f"row-{number}", f"open-{number}" if row.opens else "finished"))
    return pairs


def on_edge(point, box):
    x, y = point
    across = box.left - 0.02 <= x <= box.right + 0.02
    down = box.top - 0.02 <= y <= box.bottom + 0.02
    on_side = min(abs(x - box.left), abs(x - box.right)) < 0.02 and down
    return on_side or (min(abs(y - box.top), abs(y - box.bottom)) < 0.02 and across)


def assert_a_route(svg, route):
    placed = boxes(svg)
    lines = arrows(svg)
    assert {(start, end) for start, end, _ in lines} == joined(route)
    assert len(lines) == len(joined(route))
    for (_, (one, _)), (_, (other, _)) in itertools.combinations(placed.items(), 2):
        assert not one.overlaps(other)
    for start, end, corners in lines:
        assert on_edge(corners[0], placed[start][0]), (start, end)
        assert on_edge(corners[-1], placed[end][0]), (start, end)
        for leg in itertools.pairwise(corners):
            assert leg[0][0] == leg[1][0] or leg[0][1] == leg[1][1], "lines run straight across or down"
            for name, (box, _) in placed.items():
                assert not line_meets_box(leg, box.grown(-1)), f"{start} to {end} runs through {name}"
    words = [one for one in text_boxes(svg) if one.text]
    for one in words:
        assert any(one.box.inside(box) for box, _ in placed.values()), f"{one.text!r} leaves its box"


words = st.text("abcdefghij klmno-pqr", min_size=1, max_size=70).filter(str.strip)
rows = st.builds(RouteRow, words, words, st.one_of(st.just(""), words))
routes = st.builds(
    Route,
    cues=st.lists(words, min_size=1, max_size=4).map(tuple),
    by_heart=st.lists(words, max_size=4).map(tuple),
    stopped=words,
    blocks=st.lists(
        st.builds(RouteBlock, words, st.integers(1, 9), st.integers(0, 9)), min_size=1, max_size=5
    ).map(tuple),
    finished=words,
    question=words,
    rows=st.lists(rows, max_size=5).map(tuple),
)


@settings(deadline=None, max_examples=60)
@given(routes, st.sampled_from(SIZES))
def test_every_route_joins_what_it_should_and_no_line_runs_through_a_box(route, size):
    svg = draw_route(route, prefix="r", title="Route", size=size)
    assert_sound(svg, "r")
    assert_a_route(svg, route)


@pytest.mark.parametrize("size", SIZES)
def test_a_route_is_legible_where_it_is_shown(size):
    assert_legible(draw_route(PUMP, prefix="r", title="Route", size=size), at_px=SHOWN_AT_PX[size])


@pytest.mark.parametrize("size", SIZES)
def test_the_boxes_say_what_the_route_says(size):
    said = {
        name: " ".join(words)
        for name, (_, words) in boxes(draw_route(PUMP, prefix="r", title="R", size=size)).items()
    }
    assert said == {
        "cue": "What the driver notices The needle is in the red.",
        "by-heart": "By heart 1. Ease off. 2. Steer to the shoulder.",
        "stopped": "After you have stopped, start here.",
        "block-1": "Let it cool 4 steps, 2 critical",
        "block-2": "Look under the hood 1 step",
        "question": "Then decide What you see under the hood",
        "row-1": "If a hose has come off: Leave it.",
        "open-1": "Open: Breakdown",
        "row-2": "If nothing drips: Wait and look again.",
        "finished": "Finished when The needle is back in the green.",
    }


def test_the_text_alternative_says_all_of_it():
    root = root_of(draw_route(PUMP, prefix="r", title="Route"))
    said = next(one.text for one in root if one.get("id") == "r-desc")
    for words_said in (
        *PUMP.cues,
        *PUMP.by_heart,
        PUMP.stopped,
        "4 steps, 2 critical",
        "Breakdown",
        PUMP.finished,
    ):
        assert words_said in said


def test_the_ends_and_the_by_heart_box_differ_without_color():
    root = root_of(draw_route(PUMP, prefix="r", title="Route"))

    def drawn(name):
        (group,) = with_class(root, f"fp-route-{name}", "g")
        return [(one.get("stroke-width"), one.get("rx")) for one in group.iter(f"{SVG}rect")]

    looks = [drawn(name) for name in ("by-heart", "question", "open", "finished")]
    assert len({tuple(look) for look in looks}) == 4
    assert len(drawn("open")) == 2


def test_a_wide_route_lies_in_two_columns_and_a_tall_one_in_one():
    wide = {name: box for name, (box, _) in boxes(draw_route(PUMP, prefix="r", title="R")).items()}
    tall = {
        name: box for name, (box, _) in boxes(draw_route(PUMP, prefix="r", title="R", size=Size.TALL)).items()
    }
    assert wide["question"].left > wide["block-2"].right
    assert tall["question"].top > tall["block-2"].bottom


def test_a_route_is_not_drawn_card_size():
    with pytest.raises(ValueError, match="wide or tall"):
        draw_route(PUMP, prefix="r", title="R", size=Size.CARD)


def test_a_route_without_blocks_is_refused():
    with pytest.raises(ValueError, match="leads nowhere"):
        draw_route(Route(("Cue.",), (), "Stopped.", (), "Done."), prefix="r", title="R")


def test_hostile_words_stay_words():
    route = Route(("<script>&\"'",), (), "]]>", (RouteBlock("<b>", 1),), "--><x>")
    svg = draw_route(route, prefix="r", title="</title><x>")
    assert_sound(svg, "r")
    assert "<script>&\"'" in words_in(root_of(svg))
