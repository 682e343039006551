"""Dimensions of a printed card: margins, type sizes and spacing.

The same styles are used to measure a face (:mod:`forty_paces.outputs.paper.flow`) and to write its style
sheet, so that a card measured as fitting does fit in print. Colors and border styles are in
assets/css/cards.css.

Figures follow D92 and CAP 676 as the trade quotes them: body 12 pt, at least 10 pt; headings 14 pt, at least
12 pt; by-heart lines with an x-height of at least 2.5 mm; line spacing 1.3 times the type size; text at least
5 mm inside the trim; a margin of 15 mm for the thumb and the ring; tabs 12 mm high.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import PT_MM
from forty_paces.outputs.paper.sheets import PAPERS, PaperSize

LEADING = 1.3
"Ratio of line spacing (baseline to baseline) to type size."
BY_HEART_PT = 14.5
"Gives an x-height of 2.537 mm in the typeface in use (0.496 em)."
LEAST_ON_ONE_FACE_PT = 11.0
FOOT_PT = 10.0
FOOT_ABOVE_MM = 1.0
"Between the content and the foot, including the foot's rule."
WALLET_QR_MM = 9.0
SHEET_EDGE_MM = 4.4
"""What stands in the thumb margin keeps this distance from the bound edge, which may be the edge of a sheet.

Desktop printers leave up to 4.2 mm there blank: common practice, no source.
"""
QR_MM = 9.4
"With four modules of white toward the text, as ISO/IEC 18004 asks, and the distance above from the edge."


@dataclass(frozen=True, slots=True)
class Composition:
    """A set of type sizes. There are few, so that the cards of a set look alike."""

    id: str
    body_pt: float
    heading_pt: float
    title_pt: float
    by_heart_pt: float = BY_HEART_PT
    gap_mm: float = 0.5
    "Space between steps."

    @property
    def class_name(self) -> str:
        """The CSS class of a face in this composition."""
        return "set-" + self.id.replace(" ", "-").replace(".", "-")

    @property
    def is_large(self) -> bool:
        """Whether a card rather takes both faces of its leaf than to be set smaller than this."""
        return min(self.body_pt, self.by_heart_pt) >= LEAST_ON_ONE_FACE_PT

    @property
    def lead_pt(self) -> float:
        """Line spacing of the body, baseline to baseline."""
        return round(self.body_pt * LEADING, 4)


COMPOSITIONS = (
    Composition("12 pt", 12.0, 14.0, 16.0),
    Composition("12 pt close", 12.0, 12.5, 14.0, gap_mm=0.35),
    Composition("11.5 pt", 11.5, 12.0, 14.0, gap_mm=0.35),
    Composition("11 pt", 11.0, 12.0, 14.0, gap_mm=0.35),
    Composition("10.5 pt", 10.5, 12.0, 14.0, gap_mm=0.35),
    Composition("10 pt", 10.0, 12.0, 14.0, gap_mm=0.35),
)
"""Compositions of ordinary cards, largest first.

A face that is slightly too long first loses heading size and white space, then step size in half points down
to the minimum of 10 pt, never below it.
"""

WALLET_COMPOSITIONS = (
    Composition("14.5 pt", 12.0, 12.0, 12.0),
    *(
        Composition(f"wallet {size:g} pt", min(size, 12.0), 12.0, 12.0, by_heart_pt=size)
        for size in (12.0, 11.0, 10.0)
    ),
)
"""By-heart lines on a wallet card. It is read in the hand, so the minimum is that of body text."""


@dataclass(frozen=True, slots=True)
class Card:
    """A finished card: paper size and margins, as on a front."""

    paper: PaperSize
    thumb_mm: float
    """Margin at the bound edge (left on fronts, right on backs), for the ring hole and tick boxes; no text.
    """
    edge_mm: float
    "Margin at the edge with the tabs."
    top_mm: float
    bottom_mm: float
    qr_mm: float

    @property
    def column_mm(self) -> float:
        """Width of the text column."""
        return round(self.paper.width_mm - self.thumb_mm - self.edge_mm, 4)

    def qr_box_mm(self, *, back: bool) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the QR code, level with the end of the foot."""
        bottom = self.paper.height_mm - self.bottom_mm
        if self.slots:
            left = self.paper.width_mm - SHEET_EDGE_MM - self.qr_mm if back else SHEET_EDGE_MM
        else:
            left = self.paper.width_mm - (self.thumb_mm if back else self.edge_mm) - self.qr_mm
        return left, bottom - self.qr_mm, left + self.qr_mm, bottom

    @property
    def room_mm(self) -> float:
        """Height between the top and bottom margins."""
        return round(self.paper.height_mm - self.top_mm - self.bottom_mm, 4)

    @property
    def slots(self) -> int:
        """Number of tabs that fit one below another at the edge; 0 on a wallet card."""
        return (
            0
            if self.thumb_mm < 15
            else int((self.paper.height_mm - TAB_TOP_MM - TAB_BOTTOM_MM) // TAB_PITCH_MM)
        )


TAB_TOP_MM = 14.0
"Distance from the top of the card to the first tab and the first row of the index."
TAB_BOTTOM_MM = 20.0
"Left free below the last row of the index for a foot of three lines."
TAB_HEIGHT_MM = 9.8
TAB_CODE_MM = 3.0
"Width of the drawn code on a tab, which is 4 mm wide within the trim."
TAB_PITCH_MM = 10.3
"Distance from one tab to the next. Half letter holds 17, so 51 cards in three columns."
INDEX_PT = 10.5
"Type of the index at most: two lines are no higher than a tab, so every row is level with its tab."

CARDS: dict[str, Card] = {
    size: Card(PAPERS[size], 15.0, 5.5, 5.2, 5.2, QR_MM) for size in ("a6", "3x5", "half-letter", "a5")
} | {"id-1": Card(PAPERS["id-1"], 5.0, 5.0, 5.0, 5.0, WALLET_QR_MM)}
"""Card formats by size."""

WALLET_FOOT_MM = round(CARDS["id-1"].column_mm - WALLET_QR_MM - 1.0, 4)
"Width of the foot of a wallet card beside its code."


def _type(size_pt: float, *, bold: bool | None = None, above_mm: float = 0.0) -> BoxStyle:
    """A style with a type size and the line spacing that belongs to it."""
    return BoxStyle(size_pt=size_pt, lead_pt=round(size_pt * LEADING, 4), bold=bold, above_mm=above_mm)


CODE_EM = 2.8
"Width of the widest code, three letters and a digit in the bold face: WEA6 takes 2.785."
CODE_BOX_MM = 5.6
"Padding and border of the box of the code, and the gap between it and the title."
NUMBER_MM = 6.2
"Indent of a step's text after its number."
SYMBOL_MM = 5.2
"Side length of a notice's symbol: no taller than a one-line notice in the smallest type."
SYMBOL_DOWN_MM = 0.4
"Distance from the top of the notice to its symbol."


def code_mm(size_pt: float) -> float:
    """Width at the right of a title for the card's code in the same size."""
    return round(CODE_EM * size_pt * PT_MM + CODE_BOX_MM, 2)


@lru_cache(maxsize=64)  # measured blocks are kept by the identity of their styles
def styles(composition: Composition) -> dict[str, BoxStyle]:
    """The styles of a face by class name; on an element with several classes, later ones override."""
    c = composition
    return {
        "face": _type(c.body_pt, bold=False),
        "aside": BoxStyle(display="aside"),
        "head": BoxStyle(below_mm=0.8, right_mm=code_mm(c.title_pt)),
        "title": _type(c.title_pt, bold=True),
        "heading": _type(c.heading_pt, bold=True, above_mm=c.gap_mm + 0.3),
        "by-heart": replace(_type(c.by_heart_pt), below_mm=0.5, border_mm=0.8),
        "by-heart-title": BoxStyle(size_pt=12.0, lead_pt=13.8, bold=True, below_mm=0.3, left_mm=1.0),
        "by-heart-line": BoxStyle(left_mm=6.2, right_mm=0.6),
        "start": BoxStyle(above_mm=2 * c.gap_mm),
        "step": BoxStyle(above_mm=c.gap_mm),
        "step-do": BoxStyle(left_mm=NUMBER_MM),
        "other-way": BoxStyle(left_mm=2 * NUMBER_MM),
        "notice": BoxStyle(above_mm=c.gap_mm, below_mm=c.gap_mm, left_mm=NUMBER_MM),
        "notice-word": BoxStyle(left_mm=1.0, right_mm=1.0),
        "bold": BoxStyle(bold=True),
        "choice": BoxStyle(above_mm=c.gap_mm - 0.1, left_mm=NUMBER_MM),
        "finished": BoxStyle(above_mm=c.gap_mm, below_mm=c.gap_mm, left_mm=NUMBER_MM),
        "turn-over": BoxStyle(above_mm=c.gap_mm, left_mm=NUMBER_MM),
        "never": BoxStyle(above_mm=c.gap_mm),
        "never-line": BoxStyle(above_mm=0.2, left_mm=NUMBER_MM),
        "by-heart-size": _type(c.by_heart_pt),
        "wallet-head": BoxStyle(below_mm=0.6, right_mm=code_mm(c.title_pt)),
        "wallet-line": BoxStyle(left_mm=4.2),
        "wallet-phone": BoxStyle(above_mm=0.3),
        "phone": BoxStyle(above_mm=1.0),
        "phone-number": _type(c.heading_pt, bold=True),
        "blank": BoxStyle(above_mm=1.0, height_mm=7.5),
        "drawing": BoxStyle(above_mm=0.5, below_mm=0.5),
        "device": BoxStyle(above_mm=0.6, left_mm=NUMBER_MM),
        "walk": BoxStyle(above_mm=0.4),
        "leg": BoxStyle(above_mm=0.4, left_mm=NUMBER_MM),
        "caution": BoxStyle(above_mm=1.0),
        "moved-head": BoxStyle(bold=True, above_mm=1.5),
        **{f"moved-{count}": BoxStyle(display="row", shares=_moved_shares(count)) for count in range(2, 8)},
        "moved-box": BoxStyle(below_mm=0.25),
        "moved-cell": BoxStyle(bold=False, above_mm=1.4, below_mm=1.4, right_mm=0.3, left_mm=0.3),
        **{f"index-{count}": BoxStyle(display="row", shares=(1 / count,) * count) for count in range(1, 16)},
        **{f"leaves-{count}": BoxStyle(display="row", shares=(1 / count,) * count) for count in range(1, 10)},
        "leaves-cell": BoxStyle(bold=False, right_mm=1.5),
        "index-cell": BoxStyle(height_mm=TAB_PITCH_MM),
        "index-words": replace(
            _type(min(c.body_pt, INDEX_PT), above_mm=0.8),
            left_mm=round(5.6 + 0.98 * min(c.body_pt, INDEX_PT), 2),
            right_mm=0.6,
        ),
        "foot": _type(FOOT_PT, bold=False, above_mm=FOOT_ABOVE_MM),
        "wallet-foot": BoxStyle(above_mm=0.6, right_mm=round(CARDS["id-1"].column_mm - WALLET_FOOT_MM, 4)),
        "code": BoxStyle(size_pt=c.title_pt, lead_pt=round(c.title_pt * LEADING, 4)),
    }


def _moved_shares(count: int) -> tuple[float, ...]:
    """Column shares of a distance table; the first column is bold and slightly wider than the others."""
    first = 1.06 / (count + 0.06)
    return (first, *((1 - first) / (count - 1),) * (count - 1))


def card_css(card: Card, used: Collection[str]) -> str:
    """The style sheet for the faces on a card and for the elements in its margins.

    ``used`` holds the class names that occur; rules for other classes would only slow down layout.
    """
    rules = [
        style_sheet(
            {name: style for name, style in styles(composition).items() if name in used},
            f".{composition.class_name}",
            root="face",
        )
        for composition in (*COMPOSITIONS, *WALLET_COMPOSITIONS)
        if composition.class_name in used
    ]
    rules.append(_edges(card))
    rules += [
        f".slot-{slot}{{top:{TAB_TOP_MM + TAB_PITCH_MM * (slot - 1):g}mm}}"
        for slot in range(1, card.slots + 1)
    ]
    return "\n".join(rules)


def _edges(card: Card) -> str:
    """Rules for the margins (mirrored on backs), and for the ring hole and QR code in the thumb margin."""
    thumb, edge = card.thumb_mm, card.edge_mm
    qr_left = SHEET_EDGE_MM if card.slots else None
    rules = [
        f".front{{padding-left:{thumb:g}mm;padding-right:{edge:g}mm}}",
        f".back{{padding-left:{edge:g}mm;padding-right:{thumb:g}mm}}",
        f".face{{padding-top:{card.top_mm:g}mm}}",
        f".qr svg{{width:{card.qr_mm:g}mm;height:{card.qr_mm:g}mm}}",
        f".notice-symbol{{top:{SYMBOL_DOWN_MM:g}mm;width:{SYMBOL_MM:g}mm;height:{SYMBOL_MM:g}mm}}",
    ]
    if qr_left is None:
        rules.append(".qr{right:0;bottom:0}.ring{display:none}")
    else:
        outside = f"{qr_left - thumb:g}mm;bottom:0"
        rules.append(f".front .qr{{left:{outside}}}.back .qr{{right:{outside}}}")
        rules.append(".front .ring{left:5mm}.back .ring{right:5mm}")
    return "\n".join(rules)


LOGO_MM = 4.4
"Side of the square that holds the logo beside tick boxes, which begin 9.4 mm from the bound edge."
LARGE_LOGO_MM = 9.0
"The same on faces without tick boxes."
LOGO_TOP_MM = 13.0
"Below the ring hole, with 3 mm for the punch."


def logo_places(card: Card) -> str:
    """Rules for the place of the logo in the thumb margin; a wallet card has no such margin."""
    if not card.slots:
        return ".logo{display:none}"
    large = ",".join(f".face-{kind} .logo" for kind in ("index", "phones"))
    rules = [
        f".logo{{position:absolute;top:{LOGO_TOP_MM:g}mm;width:{LOGO_MM:g}mm;height:{LOGO_MM:g}mm}}",
        f"{large}{{width:{LARGE_LOGO_MM:g}mm;height:{LARGE_LOGO_MM:g}mm}}",
        f".front .logo{{left:{SHEET_EDGE_MM:g}mm}}.back .logo{{right:{SHEET_EDGE_MM:g}mm}}",
    ]
    return "\n".join(rules)


def gap_css(gaps: Iterable[int]) -> str:
    """Rules for the space between content and foot, in tenths of a millimeter, as measured for each face.

    The foot is in the flow and the bottom margin belongs to the page. If the content took more lines in print
    than were measured, it would start a second page, which ``pdf.to_pdf`` rejects.
    """
    return "\n".join(f".gap-{gap}{{height:{gap / 10:g}mm}}" for gap in sorted(set(gaps)))
