"""Card PDFs read back: page sizes, margins, type, strings, fonts, tags, and QR codes."""

from __future__ import annotations

import io
import itertools
import os
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from html import unescape

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from bs4 import BeautifulSoup
from forty_paces.authoring.texts import texts_by_id
from forty_paces.drawing.typeface import load_typeface
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.card_style import CARDS
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import procedures
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, PaperDocument, document_html

from tests.printed import EditionCards, Printed, ReadPage

pytestmark = pytest.mark.long  # whole builds, or every card laid out

MM = 25.4 / 72
SAFE_MM = 5.0
"Common practice, no source: cutters and hands are off by a few millimeters."
TYPE_SIZES = {10.0, 10.5, 11.0, 11.5, 12.0, 12.5, 14.0, 14.5, 16.0}
"""Type sizes in points.

Body 10 to 12 in half points; headings 12, 12.5 or 14; titles 14 or 16; by-heart lines 14.5, and on wallet
cards 10 to 14.5; feet 10.
"""


def words(text: str) -> str:
    """The text with each run of white space collapsed to one space."""
    return " ".join(text.replace("\u00a0", " ").split())


def page_words(page: ReadPage) -> str:
    """The page's text in reading order."""
    return words(page.extract_text(x_tolerance=1.5))


def letters(text: str) -> str:
    """The text without white space: PDF text has no no-break spaces at line ends."""
    return re.sub(r"\s", "", text.replace("\u00a0", ""))


@pytest.mark.parametrize("path", ["half-letter-all", "a5-all", "wallet-all"])
def test_pages_are_the_finished_size_to_a_tenth_of_a_millimetre(
    edition_cards: EditionCards, path: str
) -> None:
    size = "id-1" if path == "wallet-all" else path.removesuffix("-all")
    paper = CARDS[size].paper
    for page in edition_cards.printed(path).pages:
        assert paper.width_mm == pytest.approx(page.width * MM, abs=0.1)
        assert paper.height_mm == pytest.approx(page.height * MM, abs=0.1)


def test_there_is_one_page_a_face_and_the_whole_face_is_on_it(
    half_letter: CardSet, faces_pdf: Printed
) -> None:
    assert len(half_letter.faces) == len(faces_pdf.pages)
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        found = letters(page.extract_text())
        for key, text in face.strings.items():
            for word in words(text).split():
                assert letters(word) in found, (face.code, key, word)


def test_no_letter_stands_nearer_to_the_trim_than_5_mm(faces_pdf: Printed, wallet_pdf: Printed) -> None:
    for page in (*faces_pdf.pages, *wallet_pdf.pages):
        width, height = float(page.width) * MM, float(page.height) * MM
        for char in page.chars:
            if char["text"].isspace():
                continue
            left, right = char["x0"] * MM, width - char["x1"] * MM
            top, bottom = char["top"] * MM, height - char["bottom"] * MM
            assert min(left, right, top, bottom) >= SAFE_MM - 0.05, (page.page_number, char["text"])


def test_the_thumb_margin_of_15_mm_holds_no_letter(half_letter: CardSet, faces_pdf: Printed) -> None:
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        width = float(page.width) * MM
        inked = [char for char in page.chars if not char["text"].isspace()]
        front = face.number % 2 == 1
        nearest = min(char["x0"] * MM if front else width - char["x1"] * MM for char in inked)
        assert nearest >= 15 - 0.05, face.code


def test_type_is_of_the_sizes_set_down_and_never_below_10_pt(faces_pdf: Printed, wallet_pdf: Printed) -> None:
    for page in (*faces_pdf.pages, *wallet_pdf.pages):
        for char in page.chars:
            assert char["size"] >= 10 - 0.01, (page.page_number, char["text"], char["size"])


def test_words_outside_drawings_are_of_the_sizes_set_down(half_letter: CardSet, faces_pdf: Printed) -> None:
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        if not face.code.startswith("P"):
            assert {round(char["size"], 1) for char in page.chars} <= TYPE_SIZES, face.code


def test_the_body_is_of_the_size_that_the_face_is_said_to_be_set_in(
    half_letter: CardSet, faces_pdf: Printed
) -> None:
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        if face.kind == "procedure":
            regular = Counter(
                round(char["size"], 1) for char in page.chars if char["fontname"].endswith("Hyperlegible")
            )
            # Headings are bold and by-heart lines 14.5 pt; the foot of 10 pt may hold more letters than the
            # body, so the body is known by its size and not by their number.
            body_pt = max(size for size in regular if size < 14)
            assert float(face.composition.split()[0]) == body_pt, (face.code, regular)


def test_by_heart_lines_have_an_x_height_of_2_5_mm(
    context: BuildContext, half_letter: CardSet, faces_pdf: Printed
) -> None:
    x_height = load_typeface(context.fonts).regular.x_height / 1000
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        by_heart = [text for key, text in face.strings.items() if "/by_heart/" in key]
        sizes = {char["size"] for char in page.chars if round(char["size"], 1) == 14.5}
        assert bool(by_heart) == bool(sizes), face.code
        for size in sizes:
            assert size * MM * x_height >= 2.5
    assert any("/by_heart/" in key for face in half_letter.faces for key in face.strings)


def test_lines_stand_1_3_times_the_type_size_apart(half_letter: CardSet, faces_pdf: Printed) -> None:
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        if face.code[0] not in "RS":
            continue
        lines = page.extract_text_lines()
        for one, other in itertools.pairwise(lines):
            size = max(char["size"] for char in one["chars"])
            least = min(char["size"] for char in other["chars"])
            apart = other["chars"][0]["bottom"] - one["chars"][0]["bottom"]
            assert apart >= min(size, least) * 1.3 - 0.1, (face.code, one["text"], other["text"])


def test_no_line_is_longer_than_80_characters(faces_pdf: Printed) -> None:
    for page in faces_pdf.pages:
        for line in page.extract_text_lines(return_chars=False, x_tolerance=1.5):
            assert len(line["text"]) <= 80, line["text"]


def test_there_are_no_italics_and_no_other_family(
    faces_pdf: Printed, wallet_pdf: Printed, sheets_pdf: Printed
) -> None:
    for read in (faces_pdf, wallet_pdf, sheets_pdf):
        names = {char["fontname"].split("+")[1] for page in read.pages for char in page.chars}
        assert names <= {"Atkinson-Hyperlegible", "Atkinson-Hyperlegible-Bold"}


def test_every_font_is_embedded(faces_pdf: Printed) -> None:
    with pikepdf.open(io.BytesIO(faces_pdf.data)) as read:
        dictionaries = [one for one in read.objects if isinstance(one, pikepdf.Dictionary)]
        descriptors = [set(one.keys()) for one in dictionaries if "/FontName" in one]
    assert descriptors
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & keys for keys in descriptors)


def test_the_pdf_is_tagged_and_has_its_title_and_language(context: BuildContext, faces_pdf: Printed) -> None:
    with pikepdf.open(io.BytesIO(faces_pdf.data)) as read:
        assert "/StructTreeRoot" in read.Root
        assert read.Root.MarkInfo.Marked is True
        assert "en" == str(read.Root.Lang)
        title = (
            f"{context.library.fleet.carrier}: glovebox cards for all vehicles, half letter, 5.5 by 8.5 in"
        )
        assert title == str(read.docinfo["/Title"])
        assert read.Root.ViewerPreferences.DisplayDocTitle is True


def test_every_picture_in_the_pdf_has_words_instead(faces_pdf: Printed) -> None:
    with pikepdf.open(io.BytesIO(faces_pdf.data)) as read:
        dictionaries = [one for one in read.objects if isinstance(one, pikepdf.Dictionary)]
        words_of = [str(one.get("/Alt", "")) for one in dictionaries if one.get("/S") == "/Figure"]
    assert len(words_of) >= len(faces_pdf.pages)
    assert all(words_of)


def test_strings_on_cards_are_those_of_the_site(context: BuildContext, half_letter: CardSet) -> None:
    site = {
        key: text
        for artifact in procedures.artifacts(context)
        if artifact.path.startswith("procedures/")
        for key, text in _keyed(str(artifact.content)).items()
    }
    checked = 0
    for face in half_letter.faces:
        if face.code[0] in "RS":
            for key, text in face.strings.items():
                assert words(site[key]) == words(text), key
                checked += 1
    assert checked > 300


def test_every_string_of_a_procedure_that_is_to_be_done_is_on_its_card(
    context: BuildContext, half_letter: CardSet
) -> None:
    for made in context.library.procedures:
        shown = {key: text for face in half_letter.faces for key, text in face.strings.items()}
        for key, text in texts_by_id(made).items():
            part = key.split("/")[1]
            is_reason = key.endswith("/why")
            if part in ("by_heart", "blocks", "decision", "never", "finished", "stopped") and not is_reason:
                assert text == shown[key], key


def test_each_face_says_which_it_is_and_until_when(
    context: BuildContext, half_letter: CardSet, faces_pdf: Printed
) -> None:
    for face, page in zip(half_letter.faces, faces_pdf.pages, strict=True):
        found = page_words(page)
        day = f"{face.next_review.day} {face.next_review:%b} {face.next_review.year}"
        version = f"version {re.escape(face.version)} " if face.version != face.leaf else ""
        assert re.search(rf"{face.code} {version}of ", found)
        assert f"review by {day}." in found
        assert f". {face.number} of {face.of}" in found
        assert f", leaf {face.leaf}." in found
        assert "Not yet reviewed by your safety lead." in found


def codes_read(data: bytes, dots_an_inch: int) -> Iterator[str]:
    """What a telephone reads from each page, decoded by ZXing, which shares no code with the encoder."""
    for page in pypdfium2.PdfDocument(data):
        picture = page.render(scale=dots_an_inch / 72, grayscale=True).to_pil()
        (code,) = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        yield code.text


def test_a_telephone_reads_the_same_facts_from_every_face(half_letter: CardSet, faces_pdf: Printed) -> None:
    for face, read in zip(half_letter.faces, codes_read(faces_pdf.data, 200), strict=True):
        version = f"VERSION {face.version} " if face.version != face.leaf else ""
        expected = (
            f"SET ALL. {face.code} {version}LEAF {face.leaf.upper()} FACE {face.number} OF {face.of} "
            f"REVIEW BY {face.next_review}. CHECK LEAF IN LIST ON FACE 2"
        )
        assert expected == read


def test_wallet_faces_are_read_by_a_telephone_too(wallet: CardSet, wallet_pdf: Printed) -> None:
    for face, read in zip(wallet.faces, codes_read(wallet_pdf.data, 300), strict=True):
        assert read.startswith(f"SET ALL WALLET {face.code} ")
        assert f" {face.number}/{face.of} " in read


def test_text_is_black_or_reversed_on_a_signal_ground(faces_pdf: Printed) -> None:
    """No text may depend on color: under a red lamp, red ink is invisible."""
    reversed_words = Counter(
        char["text"]
        for page in faces_pdf.pages
        for char in page.chars
        if max(char["non_stroking_color"] or (0,)) > 0.5
    )
    assert set(reversed_words) <= set("DANGERNOTICE "), reversed_words
    for page in faces_pdf.pages:
        for char in page.chars:
            assert max(char["non_stroking_color"] or (0,)) in (0, pytest.approx(0x11 / 255, abs=0.01), 1)


def test_a_document_has_the_same_bytes_in_another_process_whatever_it_laid_out_before(
    context: BuildContext, half_letter: CardSet
) -> None:
    """Documents embed the letters that they need, under one name of a typeface. Hashes differ in order."""
    cards = CardSet(half_letter.size, None, half_letter.faces[2:3])
    face = faces_document(context, cards, "x").html
    texts = "<p>Señal ≥ 3 ﬁ Ω</p>", "<p>Walk forty paces.</p>"
    before, walk = (document_html(context, PaperDocument("Walk", PAPERS["letter"], text)) for text in texts)
    code = (
        "import sys; from forty_paces.outputs.paper.pdf import to_pdf; "
        "made = [to_pdf(html) for html in sys.stdin.read().split('\\f')]; "
        "sys.stdout.buffer.write(b'|'.join(made[-2:]))"
    )
    alone, after = (
        subprocess.run(
            [sys.executable, "-c", code],
            input="\f".join(some).encode(),
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed, some in (("1", (walk, face)), ("2", (before, walk, face)))
    )
    assert alone == after
    assert alone.startswith(b"%PDF")
    assert b"%%EOF\n|%PDF" in alone


def test_a_page_that_ran_over_is_refused(context: BuildContext, half_letter: CardSet) -> None:
    """Set the type larger than measured, so that the layout differs from the measurement."""
    one = CardSet(half_letter.size, None, half_letter.faces[2:3])
    html = faces_document(context, one, "x").html
    larger = html.replace("line-height:13pt", "line-height:19pt")
    assert larger != html
    with pytest.raises(pdf.PageCountWrong, match="was composed on 1 page but fills 2"):
        pdf.to_pdf(larger, pages=1)


def _keyed(page: str) -> dict[str, str]:
    soup = BeautifulSoup(page, "html.parser")
    return {tag["data-key"]: unescape(tag.get_text()) for tag in soup.find_all(attrs={"data-key": True})}
