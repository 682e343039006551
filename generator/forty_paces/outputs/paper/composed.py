"""Documents as they are composed: pages, and the pieces that stand on them. Lengths in millimeters."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field

from forty_paces.outputs.paper.sheets import INCH_MM, document_language

PT = 72 / INCH_MM
"""Points in one millimeter."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Pieces laid over one another at one place of a page; lengths from the page's top left corner."""

    pieces: tuple[Hashable, ...]
    "Keys of the pieces in the stock."
    left_mm: float
    top_mm: float
    turned: bool = False
    "Upside down."
    trimmed: bool = False
    "Without its bleed, which would lie on the card beside it."


@dataclass(frozen=True, slots=True)
class ComposedPage:
    """One page of a document, from its cells."""

    width_mm: float
    height_mm: float
    cells: tuple[Cell, ...]
    trim_mm: tuple[float, float, float, float] | None = None
    "Left, top, right and bottom of what is cut out; None where that is the page."
    bleed_mm: float = 0.0
    "How far ink goes beyond that."
    beyond_mm: float = 0.0
    """How far the paper of a printing press goes beyond the page: its MediaBox. Viewers show, and office
    printers print, what is within the page: its CropBox."""

    def boxes_pt(self) -> tuple[list[float], list[float]]:
        """TrimBox and BleedBox (ISO 32000-1, 14.11.2), from the bottom left corner."""
        left, top, right, bottom = self.trim_mm or (0.0, 0.0, self.width_mm, self.height_mm)
        bleed = [
            max(-self.beyond_mm, left - self.bleed_mm),
            max(-self.beyond_mm, self.height_mm - bottom - self.bleed_mm),
            min(self.width_mm + self.beyond_mm, right + self.bleed_mm),
            min(self.height_mm + self.beyond_mm, self.height_mm - top + self.bleed_mm),
        ]
        trim = [left, self.height_mm - bottom, right, self.height_mm - top]
        return [round(edge * PT, 4) for edge in trim], [round(edge * PT, 4) for edge in bleed]


@dataclass(frozen=True, slots=True)
class ComposedDocument:
    """A document to assemble."""

    title: str
    subject: str
    pages: tuple[ComposedPage, ...]
    lang: str = field(default_factory=document_language)


@dataclass(frozen=True, slots=True)
class DrawnPiece:
    """A piece that is one drawing, given by its PDF operators, for which no layout is needed."""

    width_mm: float
    height_mm: float
    content: bytes
    "Coordinates in points from the bottom left corner."
    alt: str
    box_mm: tuple[float, float, float, float]
    "Left, top, right and bottom of the drawing."
