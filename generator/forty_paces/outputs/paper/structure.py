"""The structure of a laid-out piece: its headings, paragraphs, figures and tables, as tagged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

_UNNAMED = frozenset(("NonStruct", "Span"))
"Structure types without a meaning of their own, left out with their content taken over by the parent."


@dataclass(frozen=True, slots=True)
class Node:
    """A structure element of a piece. Its children are further elements, and numbers of marked content."""

    kind: str
    alt: str
    box_px: tuple[float, ...]
    "Of a figure: left, top, right and bottom in CSS pixels."
    table: tuple[tuple[str, int | str], ...]
    "Attributes of a table cell; a text is a name."
    children: tuple[Node | int, ...]


def nodes_of(element: Any) -> Iterator[Node]:
    """The structure of an element of WeasyPrint; content that belongs to none becomes a paragraph."""
    for child in _below(element, in_head=False):
        yield child if isinstance(child, Node) else Node("P", "", (), (), (child,))


def _below(element: Any, *, in_head: bool) -> Iterator[Node | int]:
    """The element without elements that neither mean nor hold anything."""
    kind = str(element.S)[1:]
    alt = str(element.Alt) if "/Alt" in element else ""
    children: list[Node | int] = []
    for child in element.K:
        if isinstance(child, int):
            children.append(child)
        else:
            children += _below(child, in_head=in_head or kind == "THead")
    if kind in _UNNAMED and not alt:
        yield from children
    elif children or kind in ("TD", "TH"):
        attributes = element.get("/A") or {}
        box = tuple(float(edge) for edge in attributes.get("/BBox") or ())
        yield Node(kind, alt, box, tuple(_cell_attributes(kind, attributes, in_head)), tuple(children))


def _cell_attributes(kind: str, attributes: Any, in_head: bool) -> Iterator[tuple[str, int | str]]:
    if kind not in ("TD", "TH"):
        return
    for key in ("ColSpan", "RowSpan"):
        if f"/{key}" in attributes:
            yield key, int(attributes[f"/{key}"])
    if kind == "TH":  # in place of WeasyPrint's ids of cells, which repeat from one piece to the next
        yield "Scope", "/Column" if in_head else "/Row"


def marks_of(node: Node) -> Iterator[int]:
    """The numbers of its marked content."""
    for child in node.children:
        if isinstance(child, Node):
            yield from marks_of(child)
        else:
            yield child
