"""Draws the route through a procedure, for reviewers.

A Route is plain text: cues, by-heart lines, the stopped line, blocks with
their step counts, the decision's rows and where each leads. The SVG is upright in one
column or horizontal in two. The steps themselves are not shown; the page shows them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from forty_paces.drawing import svg
from forty_paces.drawing.formats import Size
from forty_paces.drawing.marks import ruler_tip
from forty_paces.drawing.svg import Element, Point, element
from forty_paces.drawing.text import Box, TextBlock, TextLine, wrap
from forty_paces.messages.drawings import DRAWING
from forty_paces.messages.languages import cached_by_language

TALL_WIDTH, WIDE_WIDTH = 400.0, 760.0
EDGE = 12.0
GUTTER = 48.0
"Between the two columns of a horizontal drawing."
FIRST_COLUMN = 0.36
"Share of the first column there: the decision beside it has more rows than the way to it has boxes."
SMALL, PLAIN = 15.0, 16.0
PAD = 10.0
SHORT_PAD = 6.0
INDENT = 30.0
"Left of the decision's rows, for the line leading to them; right of them, for the line to the end."
DROP = 12.0
"Between a box and the next one below: space for an arrow."
SHORT_DROP = 10.0
"Between a row and what it opens."
TIP = 9.0


@dataclass(frozen=True, slots=True)
class RouteBlock:
    """A titled sequence of steps."""

    title: str
    steps: int
    critical: int = 0
    "How many of the steps may cost a life if missed."


@dataclass(frozen=True, slots=True)
class RouteRow:
    """One row of the decision."""

    see: str
    do: str
    opens: str = ""
    "Title of the procedure to open next; empty where the row ends this procedure."


@dataclass(frozen=True, slots=True)
class Route:
    """Everything the drawing shows of one procedure."""

    cues: tuple[str, ...]
    by_heart: tuple[str, ...]
    "May be empty: then the cue leads to the stopped line."
    stopped: str
    blocks: tuple[RouteBlock, ...]
    finished: str
    question: str = ""
    "The decision; empty where the blocks lead straight to the end."
    rows: tuple[RouteRow, ...] = ()


@dataclass(frozen=True, slots=True)
class _RouteBox:
    """One box before it is placed."""

    id: str
    look: str
    "cue, by-heart, stopped, block, question, row, open or finished."
    texts: tuple[tuple[str, bool], ...]
    "Paragraphs, each with whether it is bold."
    left: float
    right: float

    @property
    def block(self) -> TextBlock:
        """Its text, wrapped to its width."""
        room = self.right - self.left - 2 * PAD
        lines = []
        for text, bold in self.texts:
            size = PLAIN if bold else SMALL
            lines += [TextLine(line, size, bold=bold) for line in wrap(text, size, room, bold=bold)]
        return TextBlock(tuple(lines))


@dataclass(frozen=True, slots=True)
class _Placed:
    """A placed box."""

    node: _RouteBox
    box: Box

    @property
    def foot(self) -> Point:
        """Center of its bottom edge."""
        return ((self.box.left + self.box.right) / 2, self.box.bottom)

    @property
    def head(self) -> Point:
        """Center of its top edge."""
        return ((self.box.left + self.box.right) / 2, self.box.top)

    @property
    def middle(self) -> float:
        """Vertical center of the box on the page."""
        return (self.box.top + self.box.bottom) / 2


@cached_by_language(maxsize=256)  # a preview builds again after every edit, and the card shows the route too
def draw_route(route: Route, *, prefix: str, title: str, size: Size = Size.WIDE) -> str:
    """Draw the route as SVG, wide (two columns) or tall (one); every id begins with ``prefix``.

    ``ValueError`` for a prefix that cannot start an id, for the card size, or for a route without blocks.
    """
    if size not in (Size.WIDE, Size.TALL):
        raise ValueError(f"a route is drawn wide or tall, not {size}")
    if not route.blocks:
        raise ValueError("a route without blocks leads nowhere")
    width = WIDE_WIDTH if size is Size.WIDE else TALL_WIDTH
    across = size is Size.WIDE and bool(route.rows)
    columns = width - 2 * EDGE - GUTTER if size is Size.WIDE else width - 2 * EDGE
    first = columns * FIRST_COLUMN if across else columns / 2 if size is Size.WIDE else columns
    before = _stack(_before(route, EDGE, EDGE + first), EDGE)
    left = EDGE + first + GUTTER if across else EDGE
    under = EDGE if across else before[-1].box.bottom + DROP
    after = _stack(_after(route, left, width - EDGE if across else EDGE + first), under)
    placed = [*before, *after]
    by_id = {box.node.id: box for box in placed}
    arrows = list(_arrows(route, by_id, before, across))
    height = max(node.box.bottom for node in placed) + EDGE
    children = [svg.rect(0, 0, width, height, "fp-plate"), *arrows]
    children += [_draw(node, prefix) for node in placed]
    return svg.drawing(
        width, height, children, prefix=prefix, title=title, desc=_description(route), classes="fp-route"
    )


def _before(route: Route, left: float, right: float) -> Iterator[_RouteBox]:
    """The boxes up to and including the last block."""
    yield _RouteBox("cue", "cue", ((DRAWING["route-cue"], True), *_plain(route.cues)), left, right)
    if route.by_heart:
        lines = (f"{number}. {line}" for number, line in enumerate(route.by_heart, 1))
        yield _RouteBox(
            "by-heart", "by-heart", ((DRAWING["route-by-heart"], True), *_plain(lines)), left, right
        )
    yield _RouteBox("stopped", "stopped", ((route.stopped, True),), left, right)
    for number, block in enumerate(route.blocks, 1):
        texts = ((block.title, True), (_count(block), False))
        yield _RouteBox(f"block-{number}", "block", texts, left, right)


def _after(route: Route, left: float, right: float) -> Iterator[_RouteBox]:
    """The boxes after the last block."""
    if route.rows:
        decision = ((DRAWING["route-decide"], True), (route.question, False))
        yield _RouteBox("question", "question", decision, left, right)
    for number, row in enumerate(route.rows, 1):
        texts = ((DRAWING["route-if"].format(see=row.see), False), (row.do, True))
        yield _RouteBox(f"row-{number}", "row", texts, left + INDENT, right - INDENT)
        if row.opens:
            opened = ((DRAWING["route-open"].format(title=row.opens), True),)
            yield _RouteBox(f"open-{number}", "open", opened, left + INDENT, right - INDENT)
    texts = ((DRAWING["route-finished"], True), (route.finished, False))
    yield _RouteBox("finished", "finished", texts, left, right)


def _plain(texts: Iterable[str]) -> tuple[tuple[str, bool], ...]:
    return tuple((text, False) for text in texts)


def _count(block: RouteBlock) -> str:
    steps = DRAWING["route-step" if block.steps == 1 else "route-steps"].format(steps=block.steps)
    return DRAWING["route-critical"].format(steps=steps, critical=block.critical) if block.critical else steps


def _stack(nodes: Iterable[_RouteBox], top: float) -> tuple[_Placed, ...]:
    """The boxes below one another."""
    placed: list[_Placed] = []
    for node in nodes:
        if placed:
            top = placed[-1].box.bottom + (SHORT_DROP if node.look == "open" else DROP)
        height = node.block.height + 2 * _pad(node)
        placed.append(_Placed(node, Box(node.left, top, node.right, top + height)))
    return tuple(placed)


def _pad(node: _RouteBox) -> float:
    """Space above and below the words: less in the many boxes of the decision."""
    return SHORT_PAD if node.look in ("row", "open") else PAD


def _draw(placed: _Placed, prefix: str) -> Element:
    node, box = placed.node, placed.box
    shapes: list[Element] = []
    if node.look == "stopped":
        shapes.append(svg.line((box.left, box.top), (box.right, box.top), "fp-sign-line"))
        shapes.append(svg.line((box.left, box.bottom), (box.right, box.bottom), "fp-outline"))
    elif node.look == "open":
        inner = box.grown(-5)
        shapes.append(svg.rect(box.left, box.top, box.width, box.height, "fp-bar"))
        shapes.append(svg.rect(inner.left, inner.top, inner.width, inner.height, "fp-outline"))
    else:
        rounding = 14.0 if node.look in ("cue", "finished") else None
        shapes.append(svg.rect(box.left, box.top, box.width, box.height, _LOOKS[node.look], rx=rounding))
    words = node.block.draw(box.left + PAD, box.top + _pad(node))
    return svg.group([*shapes, *words], f"fp-route-{node.look}", id=f"{prefix}-{node.id}")


_LOOKS = {
    "cue": "fp-bar",
    "by-heart": "fp-by-heart",
    "block": "fp-bar",
    "question": "fp-bar",
    "row": "fp-bar",
    "finished": "fp-end",
}


def _arrows(
    route: Route, by_id: dict[str, _Placed], before: Sequence[_Placed], across: bool
) -> Iterator[Element]:
    for first, other in itertools.pairwise(before):
        yield _down(first, other)
    last, end = before[-1], by_id["finished"]
    if not route.rows:
        yield _down(last, end)
        return
    question = by_id["question"]
    if across:
        x = (last.box.right + question.box.left) / 2
        start, turn = (last.box.right, last.middle), (x, last.middle)
        yield _arrow(
            last, question, [start, turn, (x, question.middle), (question.box.left, question.middle)]
        )
    else:
        yield _down(last, question)
    spine = question.box.left + INDENT / 2
    rail = question.box.right - INDENT / 2
    for number, row in enumerate(route.rows, 1):
        box = by_id[f"row-{number}"]
        path = [(spine, question.box.bottom), (spine, box.middle), (box.box.left, box.middle)]
        yield _arrow(question, box, path)
        if row.opens:
            yield _down(box, by_id[f"open-{number}"])
        else:
            yield _arrow(box, end, [(box.box.right, box.middle), (rail, box.middle), (rail, end.box.top)])


def _down(upper: _Placed, other: _Placed) -> Element:
    return _arrow(upper, other, [upper.foot, other.head])


def _arrow(start: _Placed, other: _Placed, path: Sequence[Point]) -> Element:
    """A line with its arrowhead at the box it leads to."""
    line = element(
        "polyline",
        "fp-ruler",
        points=svg.points(path),
        data_from=start.node.id,
        data_to=other.node.id,
    )
    return svg.group([line, ruler_tip(path[-2], path[-1], TIP)], "fp-route-arrow")


def _description(route: Route) -> str:
    """Describe the route in words."""
    parts = [DRAWING["route-begins"].format(cues=" ".join(route.cues))]
    if route.by_heart:
        parts.append(DRAWING["route-by-heart-lines"].format(lines=" ".join(route.by_heart)))
    parts.append(route.stopped)
    parts += [DRAWING["route-block"].format(title=block.title, steps=_count(block)) for block in route.blocks]
    if route.rows:
        parts.append(DRAWING["route-question"].format(question=route.question))
    for row in route.rows:
        leads = DRAWING["route-row-opens" if row.opens else "route-row-finished"]
        parts.append(leads.format(see=row.see, do=row.do, title=row.opens))
    parts.append(DRAWING["route-finished-when"].format(finished=route.finished))
    return " ".join(parts)
