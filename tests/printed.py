"""The repository's own cards: fitted, laid out and read back once for all test workers."""

from __future__ import annotations

import io
import pickle
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

import pikepdf
import pypdfium2
import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.documents import CatalogEntry, set_documents
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import BuildContext
from pdfplumber import utils

from tests.projects import PROJECT
from tests.reading import chars_of, strokes_of
from tests.sharing import made_once, shared_folder
from tests.soaking import cases, sample

_Made = TypeVar("_Made")

OWN_SET = 3
"""The vehicle of the fleet whose own A5 set is printed beside the one for all vehicles."""

SHEETS_READ = 12


@dataclass(frozen=True)
class ReadPage:
    """A page with what pdfplumber would read from it, by its names; it can be handed to other workers."""

    page_number: int
    width: float
    height: float
    chars: list[dict[str, Any]]
    rects: list[dict[str, Any]]
    lines: list[dict[str, Any]]

    @cached_property
    def _maps(self) -> dict[tuple[tuple[str, Any], ...], Any]:
        return {}

    def _map(self, options: dict[str, Any]) -> Any:
        key = tuple(sorted(options.items()))
        if key not in self._maps:
            box = (0, 0, self.width, self.height)
            self._maps[key] = utils.chars_to_textmap(self.chars, layout_bbox=box, **options)
        return self._maps[key]

    def extract_text(self, **options: Any) -> str:
        return str(self._map(options).as_string)

    def extract_text_lines(self, *, return_chars: bool = True, **options: Any) -> list[dict[str, Any]]:
        return list(self._map(options).extract_text_lines(return_chars=return_chars))


@dataclass(frozen=True)
class Printed:
    """A PDF of cards, and its pages as they are shown: cut to their CropBox."""

    data: bytes
    pages: list[ReadPage]
    "Of sheets with their front and back only a sample, known by its page numbers."


def read_pages(data: bytes, count: int | None = None) -> list[ReadPage]:
    """Pages of cards, read without their QR codes: the strokes of these take as long as all letters.

    ``count`` sheets, each with its front and back, stand for those of a document that shows the same faces
    as another.
    """
    written = io.BytesIO()
    with pikepdf.open(io.BytesIO(data)) as opened:
        for page in opened.pages:
            page.mediabox = page.cropbox
            for form in page.Resources.XObject.values():
                if not form.Resources.keys():  # all else that is printed has fonts or graphics states
                    form.write(b"/Figure <</MCID 0>> BDC\nEMC")
        opened.save(written)
    read = pypdfium2.PdfDocument(written.getvalue())
    fronts = range(0, len(read), 2)
    numbers = sorted({at + side for at in sample(fronts, count or len(fronts)) for side in (0, 1)})
    return [_read(read[number], number + 1) for number in numbers if number < len(read)]


def _read(page: pypdfium2.PdfPage, number: int) -> ReadPage:
    width, height = page.get_size()
    return ReadPage(number, width, height, chars_of(page), *strokes_of(page))


class MadeOnce:
    """What is made by the first test worker that asks for it, and handed to the others in a file."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.known: dict[str, Any] = {}

    def get(self, name: str, make: Callable[[], _Made]) -> _Made:
        if name not in self.known:
            file = made_once(
                self.folder / f"{name}.made",
                lambda target: target.write_bytes(pickle.dumps(make(), pickle.HIGHEST_PROTOCOL)),
            )
            self.known[name] = pickle.loads(file.read_bytes())
        made: _Made = self.known[name]
        return made


@dataclass(frozen=True)
class EditionCards:
    """The card sets of the edition, and their PDFs as the edition has them."""

    library: Library
    once: MadeOnce

    @cached_property
    def _context(self) -> BuildContext:
        return BuildContext(self.library, PROJECT / "site_overrides")

    def of(self, size: str, owner: int | None = None) -> CardSet:
        """The set for all vehicles, or the own set of a vehicle."""
        vehicle = None if owner is None else self.library.fleet.vehicles[owner]
        return self.once.get(f"{size}-{owner}", lambda: card_set(self._context, size, vehicle))

    def a5(self, owner: int | None = None) -> CardSet:
        """The faces of A5 that are laid out."""
        return self.sampled("a5", owner, fullest=12 if owner is None else 8, others=8 if owner is None else 4)

    def sampled(self, size: str, owner: int | None = None, *, fullest: int, others: int) -> CardSet:
        """Faces of such a set: the fullest, on which the next line would not fit, and some of all others.

        The own set of a vehicle gives faces that are not those of all vehicles.
        """
        cards = self.of(size, owner)
        shared = {face.body_html for face in self.of(size).faces} if owner is not None else set()
        own = [face for face in cards.faces if face.body_html not in shared]
        full = sorted(own, key=lambda face: face.gap)[: cases(fullest, len(own))]
        chosen = {face.number for face in (*full, *sample(own, others))}
        return replace(cards, faces=tuple(face for face in cards.faces if face.number in chosen))

    def printed(self, path: str) -> Printed:
        """A document by its path, such as ``half-letter-all-sheets-letter``."""
        group = path.split("-")[0]
        data = self.once.get(f"{group}-pdfs", lambda: self._laid_out(group))[path]
        count = SHEETS_READ if "-sheets-" in path else None
        return Printed(data, self.once.get(f"{path}-read", lambda: read_pages(data, count)))

    def documents(self, group: str) -> list[CatalogEntry]:
        """The documents of a size that tests read, in A5 of a sample of its faces."""
        context = self._context
        if group == "a5":
            sets = (self.a5(), self.a5(OWN_SET))
            return [entry for cards in sets for entry in set_documents(context, cards, ())]
        if group == "wallet":
            return list(set_documents(context, self.of(WALLET_SIZE), ("letter", "a4")))
        entries = set_documents(context, self.of("half-letter"), ("letter",))
        return [entry for entry in entries if entry.kind != "cut"]

    def _laid_out(self, group: str) -> dict[str, bytes]:
        entries = self.documents(group)
        paths = [entry.printed.path for entry in entries]
        # In one process: the others are at work on other tests.
        return dict(zip(paths, card_pdfs(self._context, entries, processes=1), strict=True))


@pytest.fixture(scope="session")
def edition_cards(library: Library, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> EditionCards:
    """The repository's own card sets and their PDFs, made once and shared by all test workers."""
    return EditionCards(library, MadeOnce(shared_folder(tmp_path_factory, worker_id)))
