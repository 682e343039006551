"""Assemble PDF documents from pieces that were laid out once.

A piece is one laid-out page: the body of a card's face, its foot, the frame of a sheet. It is kept as a form
XObject, and every document that shows it (single faces, sheets, folds, the set of each vehicle) takes the
same bytes; fonts are embedded once for each document. Each document is tagged: the structure of every piece
is copied for each place where it is shown, as ISO 32000-1, 14.7.4.3 describes for marked content in form
XObjects. The same pieces give the same bytes.
"""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from markupsafe import escape

from forty_paces.outputs.paper.composed import PT, Cell, ComposedDocument, ComposedPage, DrawnPiece
from forty_paces.outputs.paper.pdf import Bookmark, Layout, joining_library
from forty_paces.outputs.paper.structure import Node, marks_of, nodes_of

_PX = 0.75
"Points in one CSS pixel (CSS Values and Units Level 3, 5.2)."
_RESOURCES = ("ExtGState", "XObject", "Pattern", "Shading", "ColorSpace", "Font")
_NAME = re.compile(rb"/([A-Za-z0-9_.+-]+)")


@dataclass(frozen=True, slots=True)
class _StockPiece:
    form: Any
    width_pt: float
    height_pt: float
    nodes: tuple[Node, ...]
    "Empty for a piece that is an artifact."
    marks: int
    "How many stretches of marked content it has."
    bookmarks: tuple[Bookmark, ...]


class Stock:
    """The pieces of laid-out documents, by key."""

    def __init__(
        self,
        layouts: Iterable[tuple[Sequence[Hashable], Layout]],
        drawn: Mapping[Hashable, DrawnPiece] = MappingProxyType({}),
    ) -> None:
        """Each layout comes with the keys of its pages."""
        self._lib = joining_library()
        self._store = self._lib.new()
        self._fonts: dict[bytes, Any] = {}
        self._pieces: dict[Hashable, _StockPiece] = {}
        self._producer = ""
        for keys, layout in layouts:
            with self._lib.open(io.BytesIO(layout.data)) as source:
                self._producer = str(source.docinfo.get("/Producer", ""))
                self._pieces |= zip(keys, self._taken(source, layout), strict=True)
        self._pieces |= {key: self._drawn(piece) for key, piece in drawn.items()}

    def page_of(self, key: Hashable) -> ComposedPage:
        """A page of the size of one piece that shows this piece alone."""
        piece = self._pieces[key]
        return ComposedPage(piece.width_pt / PT, piece.height_pt / PT, (Cell((key,), 0, 0),))

    def assemble(self, document: ComposedDocument) -> bytes:
        """The document as a tagged PDF (PDF/UA-1)."""
        return _Assembly(self._lib, self._pieces, self._producer).of(document)

    def _drawn(self, drawn: DrawnPiece) -> _StockPiece:
        form = self._lib.Stream(self._store, b"/Figure <</MCID 0>> BDC\n" + drawn.content + b"\nEMC")
        form.Type, form.Subtype = self._lib.Name.XObject, self._lib.Name.Form
        width, height = (round(side * PT, 4) for side in (drawn.width_mm, drawn.height_mm))
        form.BBox = self._lib.Array([0, 0, width, height])
        form.Resources = self._lib.Dictionary()
        box = tuple(edge * PT / _PX for edge in drawn.box_mm)
        return _StockPiece(form, width, height, (Node("Figure", drawn.alt, box, (), (0,)),), 1, ())

    def _taken(self, source: Any, layout: Layout) -> Iterator[_StockPiece]:
        pages = list(source.pages)
        nodes: dict[tuple[int, int], list[Node]] = {page.objgen: [] for page in pages}
        if "/StructTreeRoot" in source.Root:
            for element in source.Root.StructTreeRoot.K[0].K:
                nodes[element.Pg.objgen] += nodes_of(element)
        pruned: set[tuple[int, int]] = set()
        shared: set[tuple[int, int]] = set()
        for page, bookmarks in zip(pages, layout.bookmarks, strict=True):
            content, box = page.Contents, page.TrimBox
            form = self._lib.Stream(source, content.read_raw_bytes())
            form.Filter = content.Filter
            form.Type, form.Subtype = self._lib.Name.XObject, self._lib.Name.Form
            form.BBox = page.MediaBox
            form.Resources = self._used(page.Resources, content.read_bytes(), pruned)
            own = tuple(nodes[page.objgen])
            kept = self._store.copy_foreign(form)
            self._share_fonts(kept, shared)
            yield _StockPiece(
                kept,
                float(box[2]) - float(box[0]),
                float(box[3]) - float(box[1]),
                own,
                1 + max((mark for node in own for mark in marks_of(node)), default=-1),
                bookmarks,
            )

    def _used(self, resources: Any, content: bytes, pruned: set[tuple[int, int]]) -> Any:
        """The resources that the content names: a page of WeasyPrint lists those of the whole document."""
        named = {match[1].decode() for match in _NAME.finditer(content)}
        kept = self._lib.Dictionary()
        for group in _RESOURCES:
            entries = resources.get(f"/{group}")
            if entries is None:
                continue
            wanted = {key: value for key, value in entries.items() if key[1:] in named}
            if wanted:
                kept[f"/{group}"] = self._lib.Dictionary(wanted)
        for stream in self._within(kept):
            if stream.objgen not in pruned:
                pruned.add(stream.objgen)
                stream.Resources = self._used(stream.Resources, stream.read_bytes(), pruned)
        return kept

    def _within(self, resources: Any) -> Iterator[Any]:
        """The groups, patterns and masks among resources, which have resources of their own."""
        for group in ("/XObject", "/Pattern", "/ExtGState"):
            for value in (resources.get(group) or {}).values():
                stream = value.get("/SMask", {}).get("/G") if group == "/ExtGState" else value
                if isinstance(stream, self._lib.Stream) and "/Resources" in stream:
                    yield stream

    def _share_fonts(self, stream: Any, seen: set[tuple[int, int]]) -> None:
        """Point a form, and the patterns and groups in it, to the first of all fonts that are the same."""
        if stream.objgen in seen:
            return
        seen.add(stream.objgen)
        fonts = stream.Resources.get("/Font") or {}
        for key, font in list(fonts.items()):
            fonts[key] = self._fonts.setdefault(_fingerprint(font), font)
        for inner in self._within(stream.Resources):
            self._share_fonts(inner, seen)


class _Assembly:
    """One document in the making."""

    def __init__(self, lib: Any, pieces: Mapping[Hashable, _StockPiece], producer: str) -> None:
        self.lib = lib
        self.pieces = pieces
        self.producer = producer
        self.pdf = lib.new()
        self.parents = lib.Array()
        "The number tree from marked content to its structure element."
        self.bookmarks: list[tuple[int, str, Any]] = []

    def of(self, document: ComposedDocument) -> bytes:
        dictionary = self.lib.Dictionary
        tree = self.pdf.make_indirect(dictionary(Type=self.lib.Name.StructTreeRoot))
        whole = self._element("Document", tree, None)
        for number, composed in enumerate(document.pages):
            self._add_page(number, composed, whole)
        tree.K = self.lib.Array([whole])
        tree.ParentTree = self.pdf.make_indirect(dictionary(Nums=self.parents))
        tree.ParentTreeNextKey = len(self.parents) // 2
        root = self.pdf.Root
        root.StructTreeRoot = tree
        root.Lang = self.lib.String(document.lang)
        root.MarkInfo = dictionary(Marked=True)
        root.ViewerPreferences = dictionary(DisplayDocTitle=True)
        metadata = self.pdf.make_stream(_metadata(document, self.producer).encode())
        metadata.Type, metadata.Subtype = self.lib.Name.Metadata, self.lib.Name.XML
        root.Metadata = metadata
        self.pdf.docinfo["/Title"] = document.title
        self.pdf.docinfo["/Subject"] = document.subject
        self.pdf.docinfo["/Producer"] = self.producer
        self._outline()
        written = io.BytesIO()
        self.pdf.save(
            written,
            min_version="1.7",
            deterministic_id=True,
            object_stream_mode=self.lib.ObjectStreamMode.generate,
        )
        return written.getvalue()

    def _add_page(self, number: int, composed: ComposedPage, whole: Any) -> None:
        width, height = round(composed.width_mm * PT, 4), round(composed.height_mm * PT, 4)
        page = self.pdf.add_blank_page(page_size=(width, height)).obj
        if beyond := composed.beyond_mm * PT:
            page.CropBox = self.lib.Array([0, 0, width, height])
            edges = (-beyond, -beyond, width + beyond, height + beyond)
            page.MediaBox = self.lib.Array([round(edge, 4) for edge in edges])
        page.Tabs = self.lib.Name.S
        trim, bleed = composed.boxes_pt()
        page.TrimBox, page.BleedBox = self.lib.Array(trim), self.lib.Array(bleed)
        forms: dict[str, Any] = {}
        drawn = []
        for cell in composed.cells:
            holder = self._element("Sect", whole, page) if len(cell.pieces) > 1 else whole
            for piece in (self.pieces[key] for key in cell.pieces):
                spot = _Spot(
                    page,
                    round(cell.left_mm * PT, 4),
                    round(height - cell.top_mm * PT - piece.height_pt, 4),
                    piece.width_pt,
                    piece.height_pt,
                    cell.turned,
                )
                name = f"/F{len(forms)}"
                clip = f" 0 0 {piece.width_pt:g} {piece.height_pt:g} re W n" if cell.trimmed else ""
                show = f"q {spot.matrix()} cm{clip} {name} Do Q"
                if piece.nodes:
                    forms[name] = self._tagged(piece, holder, spot)
                else:
                    forms[name] = self.pdf.copy_foreign(piece.form)
                    show = f"/Artifact BMC {show} EMC"
                drawn.append(show)
                for mark in piece.bookmarks:
                    place = spot.point(mark.x_px, mark.y_px)
                    target = [page, self.lib.Name.XYZ, *(round(at, 2) for at in place), 0]
                    self.bookmarks.append((mark.level, mark.label, self.lib.Array(target)))
        page.Resources = self.lib.Dictionary(XObject=self.lib.Dictionary(forms))
        page.Contents = self.pdf.make_stream("\n".join(drawn).encode())

    def _tagged(self, piece: _StockPiece, holder: Any, spot: _Spot) -> Any:
        """The piece's form, with its structure below ``holder``."""
        form = self.pdf.copy_foreign(piece.form)
        if "/StructParents" in form:  # shown before in this document: this place has structure of its own
            again = self.lib.Stream(self.pdf, form.read_raw_bytes())
            for entry in ("/Type", "/Subtype", "/BBox", "/Resources", "/Filter"):
                if entry in form:
                    again[entry] = form[entry]
            form = again
        owners: list[Any] = [None] * piece.marks
        for node in piece.nodes:
            self._add_node(node, holder, _Shown(spot, form, owners))
        key = len(self.parents) // 2
        form.StructParents = key
        self.parents.append(key)
        self.parents.append(self.pdf.make_indirect(self.lib.Array(owners)))
        return form

    def _add_node(self, node: Node, parent: Any, at: _Shown) -> None:
        element = self._element(node.kind, parent, at.spot.page)
        if node.alt:
            element.Alt = self.lib.String(node.alt)
        if node.box_px:
            left, top, right, bottom = node.box_px
            corners = at.spot.point(left, bottom), at.spot.point(right, top)
            box = [*map(min, zip(*corners, strict=True)), *map(max, zip(*corners, strict=True))]
            element.A = self.lib.Dictionary(O=self.lib.Name.Layout, BBox=[round(edge, 2) for edge in box])
        if node.table:
            table = {key: self.lib.Name(it) if isinstance(it, str) else it for key, it in node.table}
            element.A = self.lib.Dictionary(O=self.lib.Name.Table, **table)
        for child in node.children:
            if isinstance(child, Node):
                self._add_node(child, element, at)
            else:
                element.K.append(self.lib.Dictionary(Type=self.lib.Name.MCR, Stm=at.form, MCID=child))
                at.owners[child] = element

    def _element(self, kind: str, parent: Any, page: Any) -> Any:
        element = self.lib.Dictionary(
            Type=self.lib.Name.StructElem, S=self.lib.Name("/" + kind), P=parent, K=self.lib.Array()
        )
        if page is not None:
            element.Pg = page
        element = self.pdf.make_indirect(element)
        if "/K" in parent:
            parent.K.append(element)
        return element

    def _outline(self) -> None:
        with self.pdf.open_outline() as outline:
            above: list[tuple[int, list[Any]]] = [(0, outline.root)]
            for level, label, target in self.bookmarks:
                item = self.lib.OutlineItem(label, destination=target)
                while above[-1][0] >= level:
                    above.pop()
                above[-1][1].append(item)
                above.append((level, item.children))


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place on a page; lengths in points, from the bottom left corner."""

    page: Any
    x: float
    y: float
    width: float
    height: float
    turned: bool

    def matrix(self) -> str:
        """From the piece's coordinates to those of the page."""
        if self.turned:
            return f"-1 0 0 -1 {self.x + self.width:g} {self.y + self.height:g}"
        return f"1 0 0 1 {self.x:g} {self.y:g}"

    def point(self, x_px: float, y_px: float) -> tuple[float, float]:
        """A point of the piece, given in CSS pixels from its top left corner, on the page."""
        across, down = x_px * _PX, y_px * _PX
        if self.turned:
            return self.x + self.width - across, self.y + down
        return self.x + across, self.y + self.height - down


@dataclass(frozen=True, slots=True)
class _Shown:
    """A piece at its place, while its structure is copied."""

    spot: _Spot
    form: Any
    owners: list[Any]
    "The structure element of each piece of marked content."


def _fingerprint(font: Any) -> bytes:
    """A hash of everything that makes a font of WeasyPrint: its name, file, widths and characters."""
    inner = font.DescendantFonts[0]
    parts = (
        str(font.BaseFont).encode(),
        font.ToUnicode.read_bytes(),
        inner.W.unparse(),
        inner.FontDescriptor.FontFile2.read_bytes(),
    )
    return hashlib.sha256(b"".join(parts)).digest()


def _metadata(document: ComposedDocument, producer: str) -> str:
    """The XMP packet: title, edition and the claim of PDF/UA-1 (ISO 14289-1, clause 5)."""
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF'
        ' xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""'
        ' xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/"'
        ' xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"><pdfuaid:part>1</pdfuaid:part>'
        f"<pdf:Producer>{escape(producer)}</pdf:Producer>"
        f"<dc:title>{_by_default(document.title)}</dc:title>"
        f"<dc:description>{_by_default(document.subject)}</dc:description>"
        "</rdf:Description></rdf:RDF></x:xmpmeta>\n"
        '<?xpacket end="r"?>'
    )


def _by_default(text: str) -> str:
    """A text of which other languages would be alternatives, as XMP has it."""
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt>'
