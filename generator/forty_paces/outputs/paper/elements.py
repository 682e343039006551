"""HTML of our own templates as a tree of elements, for measuring."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser


@dataclass(frozen=True, slots=True, eq=False)
class HtmlElement:
    """Elements that say the same are one object (:func:`_shared`), so they are compared by identity."""

    tag: str
    classes: tuple[str, ...]
    key: str
    height_mm: float
    "Printed height of an SVG whose height is given in millimeters; otherwise 0."
    children: tuple[HtmlElement | str, ...]


@lru_cache(maxsize=32_768)  # the splits of a card, and the sets of vehicles, repeat most of their elements
def _shared(
    tag: str, classes: tuple[str, ...], key: str, height_mm: float, children: tuple[HtmlElement | str, ...]
) -> HtmlElement:
    return HtmlElement(tag, classes, key, height_mm, children)


@dataclass(slots=True)
class _Open:
    """An element whose end has not been read."""

    tag: str
    classes: tuple[str, ...] = ()
    key: str = ""
    height_mm: float = 0.0
    children: list[HtmlElement | str] = field(default_factory=list)

    def closed(self) -> HtmlElement:
        return _shared(self.tag, self.classes, self.key, self.height_mm, tuple(self.children))


_VOID = frozenset(
    {"br", "hr", "img", "input", "meta", "link", "col", "path", "rect", "circle", "line", "use"}
)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open = [_Open("div")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        classes = tuple((named.get("class") or "").split())
        element = _Open(tag, classes, named.get("data-key") or "", _picture_mm(tag, named.get("height")))
        self.open.append(element)
        if tag in _VOID:
            self._close()

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self._close()

    def handle_endtag(self, tag: str) -> None:
        if tag in _VOID:
            return
        if self.open[-1].tag != tag:
            raise ValueError(f"</{tag}> closes <{self.open[-1].tag}>")
        self._close()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)

    def _close(self) -> None:
        element = self.open.pop().closed()
        self.open[-1].children.append(element)


def _picture_mm(tag: str, height: str | None) -> float:
    if tag == "svg" and height and height.endswith("mm"):
        return float(height.removesuffix("mm"))
    return 0.0


@lru_cache(maxsize=256)  # the same HTML is measured in one type size after another
def parsed(html: str) -> HtmlElement:
    """The root of the element tree. Raises ``ValueError`` if tags are not closed in order."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    if len(reader.open) != 1:
        raise ValueError(f"<{reader.open[-1].tag}> is never closed")
    return reader.open[0].closed()


@lru_cache(maxsize=256)  # as above
def strings_of(root: HtmlElement) -> dict[str, str]:
    """Every text that has a string id, by that id."""
    return dict(_strings(root))


def _strings(element: HtmlElement) -> Iterator[tuple[str, str]]:
    if element.key:
        yield element.key, " ".join(_text(element).split())
    for child in element.children:
        if isinstance(child, HtmlElement):
            yield from _strings(child)


def _text(element: HtmlElement) -> str:
    return "".join(child if isinstance(child, str) else _text(child) for child in element.children)
