"""The carrier's logo and colors: a logo that is safe to inline and can be drawn, colors that can be read.

A logo is put into pages and painted into icons, so it may hold shapes and nothing that runs, loads or embeds.
Contrast is that of WCAG 2.2; "in gray" takes the gray of ITU-R BT.601 luma, as gray printers do
(that they do: common practice, no source).
"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.parsers import expat

from forty_paces.authoring.documents import Loc, ParsedRecord
from forty_paces.authoring.findings import Finding, clip
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.parsed_content import ParsedContent

LARGEST_LOGO_BYTES = 64 * 1024
"""Every page of the cab file and every icon carries it; a logo in outlines is about a tenth of this."""

DAY_PAPER, NIGHT_PAPER = "#ffffff", "#0b0b0b"
"""Grounds of the two looks, as in tokens.css."""

LEAST_CONTRAST = 7.0
"""Text on main buttons is acted on: WCAG 2.2, success criterion 1.4.6."""

LEAST_CONTRAST_GRAY = 4.5
"""The same printed in gray: WCAG 2.2, success criterion 1.4.3."""

_SHAPES = frozenset(
    {
        *("svg", "g", "defs", "use", "symbol", "title", "desc", "clipPath", "mask"),
        *("path", "rect", "circle", "ellipse", "line", "polyline", "polygon"),
        *("linearGradient", "radialGradient", "stop"),
    }
)
"""Elements that draw and can neither run, load nor embed anything."""

_BITMAPS = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"RIFF", b"BM", b"II*\x00", b"MM\x00*", b"\x00\x00\x01\x00")


def read_logo(project: Path, fleet: ParsedRecord[Fleet]) -> tuple[str | None, tuple[Finding, ...]]:
    """The text of the logo that fleet.yml names, or None, and findings about it."""
    name = fleet.record.looks.logo
    if name is None:
        return None, ()
    text, wrong, fix = _logo(project / "content", name)
    if not wrong:
        return text, ()
    return None, (fleet.document.finding(("looks", "logo"), wrong, fix=fix),)


def _logo(content: Path, name: str) -> tuple[str, str, str]:
    """The text, or what is wrong and how to fix it."""
    shown = f'the logo "{clip(name)}"'
    if "\\" in name:
        return (
            "",
            f"{shown} is written as a Windows path",
            f"write it with forward slashes: {name.replace(chr(92), '/')}",
        )
    file = content / name
    if Path(name).is_absolute() or not file.resolve().is_relative_to(content.resolve()):
        return (
            "",
            f"{shown} is outside content",
            "put the file into content and name it from there, such as logo.svg",
        )
    if not file.is_file():
        return "", f"{shown} is not there", f"put the file at content/{name}, or take the line out"
    size = file.stat().st_size
    if size > LARGEST_LOGO_BYTES:
        wrong = f"{shown} holds {size:,} bytes; {LARGEST_LOGO_BYTES:,} is the most"
        return "", wrong, "save it as plain SVG, without embedded pictures and with fewer points"
    raw = file.read_bytes()
    if raw.startswith(_BITMAPS):
        return "", f"{shown} is a bitmap", "name an SVG file: it stays sharp on a card and on a tablet"
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        return "", f"{shown} is not UTF-8 text", "save it as plain SVG in UTF-8"
    line, wrong = unsafe_drawing(text)
    if wrong:
        return "", f"{shown}, line {line}: {wrong}", "save it as plain SVG: outlines and gradients alone"
    text = re.sub(r"^\s*<\?xml[^>]*\?>\s*", "", text)
    if not re.search(r"<svg[^>]*\sxmlns\s*=", text):  # browsers draw no image without it
        text = text.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
    if not _seen_on_paper(text):
        return (
            "",
            f"nothing of {shown} can be seen on white paper",
            "use the logo as drawn for a white ground",
        )
    return text, "", ""


def _seen_on_paper(svg: str) -> bool:
    """Whether the drawing leaves any mark on white."""
    import resvg_py  # a fleet without a logo does not wait for it

    def painted(text: str) -> bytes:
        drawn: bytes = resvg_py.svg_to_bytes(
            svg_string=text, width=96, height=96, background="#ffffff", skip_system_fonts=True
        )
        return drawn

    try:
        return painted(_framed(svg)) != painted(_framed("<svg xmlns='http://www.w3.org/2000/svg'/>"))
    except ValueError:
        return False


def _framed(svg: str) -> str:
    """The drawing as an image in a square, whatever its proportions."""
    address = base64.b64encode(svg.encode()).decode()
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96"><image width="96" height="96" '
        f'href="data:image/svg+xml;base64,{address}"/></svg>'
    )


@dataclass(slots=True)
class _UnsafePart:
    """The first thing in an SVG that may not be there."""

    parser: Any
    wrong: str = ""
    line: int = 0
    depth: int = 0
    words: list[str] = field(default_factory=list)

    def fault(self, wrong: str) -> None:
        if not self.wrong:
            self.wrong, self.line = wrong, self.parser.CurrentLineNumber

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        if self.depth == 1 and name != "svg":
            self.fault(f'its root is "{clip(name)}", not "svg"')
        if self.depth == 1 and not ("viewBox" in attributes or {"width", "height"} <= attributes.keys()):
            self.fault("it has no viewBox, so it has no size")
        if name in ("script", "foreignObject"):
            self.fault(f'it holds "{name}", which could run code in a page')
        elif name == "image":
            self.fault("it embeds a bitmap")
        elif name in ("text", "tspan", "textPath"):
            self.fault("it holds text, which looks different on each machine; turn text into outlines")
        elif name not in _SHAPES:
            self.fault(f'it holds "{clip(name)}", which is no plain shape')
        for key, value in attributes.items():
            if key.lower().startswith("on"):
                self.fault(f'it holds "{clip(key)}", which could run code in a page')
            elif key.rpartition(":")[2] == "href" and not value.startswith("#"):
                self.fault(f'it points to "{clip(value)}", outside the drawing')
            elif re.search(r"url\((?!\s*['\"]?#)|@import|expression|javascript:", value, re.IGNORECASE):
                self.fault(f'"{clip(key)}" loads something from outside the drawing')

    def end(self, name: str) -> None:
        self.depth -= 1


def unsafe_drawing(text: str) -> tuple[int, str]:
    """Line and reason why an SVG is refused; an empty reason if it is not."""
    parser = expat.ParserCreate()
    found = _UnsafePart(parser)
    parser.StartElementHandler, parser.EndElementHandler = found.start, found.end
    parser.StartDoctypeDeclHandler = lambda *_: found.fault("it declares a document type")
    parser.EntityDeclHandler = lambda *_: found.fault("it declares an entity")
    parser.ProcessingInstructionHandler = lambda *_: found.fault("it holds a processing instruction")
    if "<!DOCTYPE" in text or "<!ENTITY" in text:  # never parsed: an entity can grow without bound
        return text[: text.index("<!")].count("\n") + 1, "it declares a document type"
    try:
        parser.Parse(text, True)
    except expat.ExpatError as error:
        return error.lineno, f"it is not well-formed XML ({expat.ErrorString(error.code)})"
    return found.line, found.wrong


def check_colors(draft: ParsedContent) -> Iterator[Finding]:
    """The carrier's colors can be read by day, by night and printed in gray."""
    if draft.fleet is None:
        return
    looks = draft.fleet.record.looks
    for key, color, paper, look in (
        ("color", looks.color, DAY_PAPER, "by day on white"),
        ("night_color", looks.night_color, NIGHT_PAPER, "by night on near-black"),
    ):
        if color is None:
            continue
        loc: Loc = ("looks", key)
        darker = "darker" if paper == DAY_PAPER else "lighter"
        measured = contrast(color, paper)
        in_gray = contrast(gray(color), paper)
        if measured < LEAST_CONTRAST:
            wrong = f"{color} has a contrast of {_down(measured)} {look}; {LEAST_CONTRAST:g} is the least"
            yield draft.fleet.document.finding(loc, wrong, fix=f"choose a {darker} color")
        elif in_gray < LEAST_CONTRAST_GRAY:
            wrong = (
                f"{color} has a contrast of {_down(in_gray)} in gray; {LEAST_CONTRAST_GRAY:g} is the least"
            )
            yield draft.fleet.document.finding(loc, wrong, fix=f"choose a {darker} color")


def _down(ratio: float) -> str:
    """A ratio with one decimal, rounded down: 6.99 must not be printed as 7.0."""
    return f"{int(ratio * 10) / 10:.1f}"


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colors such as ``#003f6b``, by WCAG 2.2: from 1 to 21."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def gray(color: str) -> str:
    """The gray of a color by the luma weights of ITU-R BT.601."""
    red, green, blue = _channels(color)
    level = f"{round(0.299 * red + 0.587 * green + 0.114 * blue):02x}"
    return f"#{level * 3}"


def _channels(color: str) -> tuple[int, int, int]:
    return int(color[1:3], 16), int(color[3:5], 16), int(color[5:7], 16)


def _luminance(color: str) -> float:
    parts = [channel / 255 for channel in _channels(color)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
