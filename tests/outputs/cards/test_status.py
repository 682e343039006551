"""Which cards are out of date, compared with the record of an earlier edition."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.authoring.texts import string_hash, texts_by_id
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.documents import faces_document, sheets_document
from forty_paces.outputs.cards.slip import slip_document
from forty_paces.outputs.cards.status import (
    EarlierEdition,
    InvalidRecord,
    changed_keys,
    face_record,
    read_earlier,
    set_name,
    statuses,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.imposition import impose
from forty_paces.outputs.paper.sheets import PAPERS

from tests.outputs.cards.card_content import procedure, step
from tests.outputs.cards.printing import faces_as_pdf, sheets_as_pdf

DAY = dt.date(2026, 12, 1)


def set_of(context: BuildContext, *procedures: Procedure, **options: object) -> CardSet:
    made = BuildContext(replace(context.library, procedures=procedures), context.overrides)
    return card_set(made, "half-letter", only=[p.code for p in procedures], **options)  # type: ignore[arg-type]


def earlier_of(cards: CardSet, edition: str = "0ld0ld00") -> EarlierEdition:
    return EarlierEdition(
        edition, {k: string_hash(t) for face in cards.faces for k, t in face.strings.items()}
    )


def test_a_hash_is_the_first_12_digits_of_sha_256() -> None:
    assert hashlib.sha256(b"Stop.").hexdigest()[:12] == string_hash("Stop.")


def test_nothing_changed_means_nothing_to_print_again(context: BuildContext) -> None:
    cards = set_of(context, procedure())
    found = statuses([cards], DAY, earlier_of(cards))
    assert [False] * len(cards.faces) == [one.reprint for one in found]


def test_one_changed_string_names_its_face_and_no_other(context: BuildContext) -> None:
    other = procedure("odd-smell", title="Smell of fuel", code="FLM2", position=2)
    before = set_of(context, procedure(), other)
    after = set_of(context, procedure(steps=[step("listen", "Listen at every wheel.")]), other)
    found = {one.code: one for one in statuses([after], DAY, earlier_of(before))}
    assert ("odd-noise/blocks/look/steps/listen/do",) == found["FLM1"].changed
    assert found["FLM1"].reprint
    assert not found["FLM2"].reprint


def test_a_string_that_the_earlier_edition_lacks_counts_as_changed(context: BuildContext) -> None:
    cards = set_of(context, procedure())
    assert set(cards.faces[2].strings) == set(changed_keys(cards.faces[2], EarlierEdition("x", {})))


def test_a_face_past_its_review_date_is_overdue_and_one_on_it_is_not(context: BuildContext) -> None:
    cards = set_of(context, procedure())
    for day, overdue in ((dt.date(2027, 11, 25), False), (dt.date(2027, 11, 26), True)):
        assert {overdue} == {one.overdue for one in statuses([cards], day) if one.code == "FLM1"}


@pytest.mark.parametrize("folder", ["cards", "."], ids=["a site", "printed cards"])
def test_the_record_of_an_edition_and_of_its_cards_are_read_together(
    context: BuildContext, tmp_path: Path, folder: str
) -> None:
    cards = set_of(context, procedure())
    record = face_record(context, [cards])
    keys = {k: v for k, v in record["strings"].items() if k.startswith("odd-noise/")}
    (tmp_path / "edition.json").write_text(json.dumps({"edition": "abc12345", "strings": keys}))
    (tmp_path / folder).mkdir(exist_ok=True)
    (tmp_path / folder / "cards.json").write_text(json.dumps(record))
    for name in ("edition.json", f"{folder}/cards.json"):
        earlier = read_earlier(tmp_path / name)
        assert [face.number for face in cards.faces] == [one.number for one in earlier.kept(set_name(cards))]
        found = statuses([cards], DAY, earlier)
        assert not any(one.reprint for one in found)
    assert "abc12345" == read_earlier(tmp_path / "edition.json").edition


def test_a_record_of_cards_is_read_alone_whatever_lies_beside_it(tmp_path: Path) -> None:
    own, other = ({"edition": name, "strings": {f"{name}/title": name * 12}} for name in "ab")
    (tmp_path / "cards.json").write_text(json.dumps(own))
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards/cards.json").write_text(json.dumps(other))
    assert EarlierEdition("a", {"a/title": "a" * 12}) == read_earlier(tmp_path / "cards.json")


def test_keys_on_procedure_cards_are_those_that_editions_record(
    context: BuildContext, half_letter: CardSet
) -> None:
    recorded = {key for p in context.library.procedures for key in texts_by_id(p)}
    for face in half_letter.faces:
        if face.kind == "procedure":
            assert set(face.strings) <= recorded, face.code


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("not json", "it is no JSON"),
        ("[1]", "is not the record of an edition"),
        ("{}", 'no hashes of strings under "strings"'),
        ('{"strings": {"a": 1}}', 'no hashes of strings under "strings"'),
        ('{"strings": {}}', "does not name its edition"),
        ("[" * 100_000, "it is no JSON"),
    ],
)
def test_a_file_that_is_no_record_is_refused_with_the_reason(tmp_path: Path, text: str, wrong: str) -> None:
    file = tmp_path / "edition.json"
    file.write_text(text)
    with pytest.raises(InvalidRecord, match=wrong):
        read_earlier(file)


def test_changed_lines_carry_a_bar_and_the_edge_of_the_sheet_says_so(context: BuildContext) -> None:
    steps = [step("listen", "Listen at each wheel."), step("look", "Look under the trailer.")]
    changed = {"odd-noise/blocks/look/steps/look/do"}
    marked = set_of(context, procedure(steps=steps), changed=changed, since="0ld0ld00")
    plain = set_of(context, procedure(steps=steps))
    html = marked.faces[2].html
    assert 1 == html.count(' changed"')
    assert html.index(' changed"') < html.index("Look under the trailer.")
    assert html.index(' changed"') > html.index("Listen at each wheel.")
    assert ' changed"' not in plain.faces[2].html
    words = "A bar beside a line marks a change since edition 0ld0ld00."
    plan = impose(plain.card.paper, PAPERS["letter"])
    for cards, count in ((marked, 4), (plain, 0)):
        sheets = sheets_document(context, cards, plan, PAPERS["letter"], "x").html
        assert count == sheets.count(words), "on both sides of both sheets, or on none"
        assert words not in faces_document(context, cards, "x").html


def test_a_change_mark_never_changes_what_fits(context: BuildContext, half_letter: CardSet) -> None:
    """The fullest faces have not one line to spare."""
    everything = {key for face in half_letter.faces for key in face.strings}
    marked = card_set(context, "half-letter", changed=everything, since="0ld0ld00")
    for before, after in zip(half_letter.faces, marked.faces, strict=True):
        assert (before.composition, before.needed_mm) == (after.composition, after.needed_mm), before.code


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_a_face_printed_again_comes_with_its_leaf_as_it_is_in_the_whole_set(
    half_letter: CardSet, number: int
) -> None:
    wanted = half_letter.faces[number - 1]
    again = half_letter.leaves_with(lambda face: face.number == wanted.number)
    leaf = half_letter.faces[:2] if number <= 2 else half_letter.faces[2:4]
    assert leaf == again.faces == again.sides


def test_a_leaf_without_a_back_is_printed_with_a_blank_one(half_letter: CardSet) -> None:
    first, second, third, fourth = half_letter.faces[:4]
    assert (first, None, third, fourth) == replace(half_letter, faces=(first, third, fourth)).sides
    assert (None, second, third) == replace(half_letter, faces=(second, third)).sides


def test_a_leaf_printed_again_lies_on_its_sheet_as_it_did(
    context: BuildContext, half_letter: CardSet
) -> None:
    """Positions read from both PDFs; only the words at the edge of the sheet differ."""
    few = replace(half_letter, faces=half_letter.faces[:6])
    again = few.leaves_with(lambda face: face.number == 4)
    trim_mm = (38.1, 31.75, 38.1 + 139.7, 31.75 + 215.9)
    with (
        pdfplumber.open(io.BytesIO(sheets_as_pdf(context, few, "letter"))) as whole,
        pdfplumber.open(io.BytesIO(sheets_as_pdf(context, again, "letter"))) as read,
    ):
        assert 2 == len(read.pages)
        for before, after in zip(whole.pages[2:4], read.pages, strict=True):
            box = [edge / 25.4 * 72 for edge in trim_mm]
            found = [
                [(char["text"], round(char["x0"], 2), round(char["top"], 2)) for char in page.crop(box).chars]
                for page in (before, after)
            ]
            assert len(found[0]) > 100
            assert found[0] == found[1]


def test_the_slip_lists_each_leaf_to_take_out_and_what_to_put_in(
    context: BuildContext, half_letter: CardSet
) -> None:
    marked = replace(half_letter, since="0ld0ld00")
    again = marked.leaves_with(lambda face: face.number in (3, 40))
    printed = slip_document(context, again, "Cards to exchange", PAPERS["letter"], "slip")
    page = BeautifulSoup(printed.html, "html.parser")
    assert "Take out each leaf of edition 0ld0ld00 or older." in page.get_text()
    rows = [
        [cell.get_text(" ", strip=True) for cell in row.select("th, td")] for row in page.select("tbody tr")
    ]
    leaves = (half_letter.faces[-1].number + 1) // 2
    assert [f"2 of {leaves}", f"20 of {leaves}"] == [row[0] for row in rows]
    for face in again.faces:
        (row,) = [row for row in rows if int(row[0].split()[0]) == (face.number + 1) // 2]
        assert face.code in row[1]
        put_in = row[2].replace("\u00a0", " ")
        assert f"{face.code} {face.title}{face.more}, {face.number} of {face.of}" in put_in
        assert f"leaf version {face.leaf}" in put_in
    assert 1 == printed.pages


def test_a_slip_of_every_leaf_takes_the_pages_it_says(context: BuildContext, half_letter: CardSet) -> None:
    printed = slip_document(context, replace(half_letter, since="0ld0ld00"), "T", PAPERS["a4"], "slip")
    assert printed.pages > 1
    pdf.to_pdf(printed.html, pages=printed.pages)


def test_the_bar_is_printed_in_the_edge_margin_clear_of_the_words(context: BuildContext) -> None:
    changed = {"odd-noise/blocks/look/steps/listen/do"}
    cards = set_of(context, procedure(), changed=changed, since="0ld0ld00")
    mm = 25.4 / 72
    with pdfplumber.open(io.BytesIO(faces_as_pdf(context, cards))) as read:
        page = read.pages[2]
        (line,) = [one for one in page.extract_text_lines() if "Listen at each wheel." in one["text"]]
        bars = [
            rect
            for rect in page.rects
            if 0.5 < float(rect["width"]) * mm < 0.7
            and rect["top"] < line["bottom"]
            and rect["bottom"] > line["top"]
        ]
    assert 1 == len(bars)
    # a front: its edge margin is at the right, where its text ends 5.5 mm from the trim
    assert 139.7 - float(bars[0]["x0"]) * mm <= 5.0
    assert 139.7 - float(bars[0]["x1"]) * mm >= 4.1, "clear of the tabs, which reach 4 mm in from the trim"


def test_a_signed_procedure_says_who_signed_and_an_unsigned_one_that_nobody_has(
    context: BuildContext,
) -> None:
    signed = procedure()
    review = signed.review.model_copy(
        update={"safety_lead": SignOff(name="Odalys Brandvold, safety lead", day=dt.date(2026, 11, 26))}
    )
    cards = set_of(context, signed.model_copy(update={"review": review}))
    assert "Signed by Odalys Brandvold, safety lead, 2026-11-26." in cards.faces[2].html
    assert "Not yet reviewed by your safety lead." in set_of(context, procedure()).faces[2].html
