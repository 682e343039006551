"""Paper sizes, margins, @page rules, and printable HTML documents.

Browsers print the documents at actual size, and WeasyPrint converts them to PDF. All printed matter uses this
module: cards, worksheets, answer keys and floor plans. To make a document::

    document = PaperDocument("Worksheet 3", PAPERS["letter"], body_html, style=my_css)
    html = document_html(context, document)        # one self-contained file
    data = pdf.to_pdf(html)                        # where forty_paces.outputs.paper.pdf finds Pango

The body consists of ``<section class="page">`` elements, each of which starts a new page, where every page is
composed by hand; or of any other elements, which flow over as many pages as needed. Blocks that must not be
split have the class ``whole``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from forty_paces.drawing.typeface import font_files
from forty_paces.messages.cards import PAPER_SIZES
from forty_paces.messages.languages import ENGLISH, language
from forty_paces.messages.quantities import number
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.self_contained import content_security_policy, font_faces
from forty_paces.outputs.common.typesetting import foot_boxes

INCH_MM = 25.4
"""One inch in millimeters, exactly."""


def document_language() -> str:
    """The tag that a document in the language in force carries."""
    tag = language()
    return "en" if tag == ENGLISH else tag


@dataclass(frozen=True, slots=True)
class PaperSize:
    """The size of a sheet or of a finished card."""

    id: str
    width_mm: float
    height_mm: float
    sold: tuple[float, float]
    "Its two sides as its name gives them: millimeters, or inches."
    in_inches: bool = False
    lying: bool = False
    "Whether it is sold upright and lies on its long side here."

    @property
    def title(self) -> str:
        """The name it is sold by and its size, such as 'US Letter, 8.5 by 11 in'."""
        return self._with_size(self.id, self.sold, "inches" if self.in_inches else "millimeters")

    def named(self, metric: bool) -> str:
        """The title, with the size in millimeters alone where the rule set is written in meters."""
        if not metric or not self.in_inches:
            return self.title
        in_meters = f"{self.id}-in-meters"
        name = in_meters if in_meters in PAPER_SIZES else self.id
        return self._with_size(name, (round(self.width_mm), round(self.height_mm)), "millimeters")

    def _with_size(self, name: str, sides: tuple[float, float], unit: str) -> str:
        width, height = (number(side, 0 if side == round(side) else 1) for side in sides)
        size = PAPER_SIZES[unit].format(name=PAPER_SIZES[name], width=width, height=height)
        return PAPER_SIZES["lying"].format(size=size) if self.lying else size

    @property
    def turned(self) -> PaperSize:
        """The same sheet with width and height exchanged."""
        return replace(self, width_mm=self.height_mm, height_mm=self.width_mm)


def _inches(paper: str, short: float, long: float, *, lying: bool = False) -> PaperSize:
    """A size that is sold in inches."""
    width, height = (long, short) if lying else (short, long)
    in_mm = round(width * INCH_MM, 4), round(height * INCH_MM, 4)
    return PaperSize(paper, *in_mm, sold=(short, long), in_inches=True, lying=lying)


def _millimeters(paper: str, width: float, height: float) -> PaperSize:
    return PaperSize(paper, width, height, sold=(width, height))


PAPERS: dict[str, PaperSize] = {
    paper.id: paper
    for paper in (
        _inches("letter", 8.5, 11),
        _inches("tabloid", 11, 17),
        _millimeters("a4", 210, 297),
        _millimeters("a3", 297, 420),
        _millimeters("a5", 148, 210),
        _millimeters("a6", 105, 148),
        _inches("half-letter", 5.5, 8.5),
        _inches("3x5", 3, 5, lying=True),
        _millimeters("id-1", 79.6, 48.0),
    )
}
"""Sheets and finished cards by id.

A sizes by ISO 216; US sizes by ANSI/ASME Y14.1 and common practice (halves of Letter, index cards); the
wallet card is ISO/IEC 7810 ID-1, 85.60 by 53.98 mm, less 3 mm all round for the sealed edge of its film: with
it, it fits a wallet.
"""


@dataclass(frozen=True, slots=True)
class Margins:
    """Page margins in millimeters."""

    top_mm: float
    right_mm: float
    bottom_mm: float
    left_mm: float

    @classmethod
    def all_round(cls, mm: float) -> Margins:
        """The same margin on every side."""
        return cls(mm, mm, mm, mm)


SHEET_MARGINS = Margins(12, 15, 15, 18)
"""Margins of worksheets on Letter and A4.

They are clear of the area that desktop printers cannot reach (about 6 mm) and leave space at the left for a
binder.
"""

NO_MARGINS = Margins.all_round(0)
"""For pages composed by hand, such as card faces and sheets of them."""


@dataclass(frozen=True, slots=True)
class PaperDocument:
    """A document to print."""

    title: str
    "The document title, shown by the browser and stored in the PDF."
    paper: PaperSize
    body: str
    "HTML of the body, made by our own templates."
    margins: Margins = NO_MARGINS
    style: str = ""
    "CSS of this document, after the shared style sheets."
    sheets: tuple[str, ...] = field(default=())
    "Further style sheets below assets/css, such as 'drawing.css'."
    foot: str = ""
    "Plain text at the foot of every page, followed by the page number."
    lang: str = field(default_factory=document_language)


def page_rule(paper: PaperSize, margins: Margins = NO_MARGINS, foot: str = "") -> str:
    """The @page rule. Margin boxes name the typeface, because they inherit none."""
    edges = " ".join(
        f"{edge:g}mm" for edge in (margins.top_mm, margins.right_mm, margins.bottom_mm, margins.left_mm)
    )
    rule = f"size:{paper.width_mm:g}mm {paper.height_mm:g}mm;margin:{edges}"
    if foot:
        rule += f";{foot_boxes(foot)}"
    return f"@page{{{rule}}}"


@dataclass(frozen=True, slots=True)
class PrintDocument:
    """An HTML document ready to print from a browser or to convert to PDF."""

    path: str
    "Path below the site, without suffix."
    title: str
    html: str
    pages: int
    "Number of pages composed."


def document_html(context: BuildContext, document: PaperDocument, letters: str = "") -> str:
    """The document as one HTML file with embedded styles and typeface, without hints, which paper needs not.

    The typeface has the characters of the document; or ``letters`` alone, for a PDF that is to have the same
    fonts as others.
    """
    text = letters or document.title + document.foot + document.body
    parts = [
        font_faces(font_files(context.fonts), text, hinted=False),
        *(by_day(context, context.asset_text(f"css/{name}")) for name in (*document.sheets, "paper.css")),
        page_rule(document.paper, document.margins, document.foot),
        _screen_rule(document),
        by_day(context, document.style),
    ]
    style = "\n".join(parts)
    return context.render(
        "cards/paper.html.j2", document=document, style=style, csp=content_security_policy(styles=[style])
    )


def by_day(context: BuildContext, css: str) -> str:
    """The style sheet with each design token replaced by its day value; paper has no night theme.

    So a page does not need the token style sheet, and no element inherits sixty variables.
    """
    root = context.asset_text("css/tokens.css").partition(":root")[2].partition("}")[0]
    tokens = dict(_TOKEN.findall(root))
    return _VARIABLE.sub(lambda used: tokens.get(used[1], used[0]).strip(), css)


_TOKEN = re.compile(r"(--[\w-]+):([^;]+);")
_VARIABLE = re.compile(r"var\((--[\w-]+)\)")


def _screen_rule(document: PaperDocument) -> str:
    """Screen rules that show a sheet at its printed size."""
    margins = document.margins
    padding = f"{margins.top_mm:g}mm {margins.right_mm:g}mm {margins.bottom_mm:g}mm {margins.left_mm:g}mm"
    flows = 'class="page' not in document.body
    body = f"padding:{padding};background:#fff" if flows else ""
    return f"@media screen{{body{{width:{document.paper.width_mm:g}mm;{body}}}}}"
