"""Every sentence that the finder can compose from its table, row by row, for every rule set."""

from __future__ import annotations

import json

import pytest
from forty_paces.authoring.worked_examples import placement_table
from forty_paces.geometry.table import TableReader

from tests.outputs.cab.sentences import BROKEN, SENTENCE, broken
from tests.rule_files import names, rule_file


@pytest.fixture(scope="module", params=names())
def reader(request: pytest.FixtureRequest) -> TableReader:
    return TableReader(placement_table(rule_file(request.param)))


def every_answer(reader: TableReader) -> list[dict]:
    """Each row of each side: hidden alike from behind and, where traffic comes from there, from ahead."""
    axes = reader.table["axes"]
    hidden = range(len(axes["hidden"]["ft"]))
    answers = []
    for road, sides in enumerate(axes["sides"]):
        for speed in range(len(axes["speed"]["mph"])):
            for grade in range(len(axes["grade"]["pct"])):
                for visibility in range(len(axes["visibility"]["id"])):
                    for place in hidden:
                        ahead = place if "ahead" in sides else 0
                        answers.append(reader.lookup(road, speed, grade, visibility, place, ahead))
    return answers


@pytest.mark.long
def test_every_row_reads_as_sentences(reader: TableReader) -> None:
    reasons, orders, cautions = set(), set(), set()
    for answer in every_answer(reader):
        reasons.update(device["reason"] for device in answer["devices"])
        orders.update(answer["walk"]["order"])
        cautions.update(answer["cautions"])
    said = [*reasons, *orders, *cautions]
    assert len(said) >= 10
    assert broken(said) == []
    assert [text for text in said if not SENTENCE.search(text)] == []


def test_every_word_for_a_length_a_time_or_a_share_is_whole(reader: TableReader) -> None:
    table = reader.table
    lengths = table["lengths"]
    distances = [place for place, paces in enumerate(lengths["paces"]) if paces]
    words = [lengths[kind][place] for kind in ("text", "other", "paced", "paces_text") for place in distances]
    words += [text for text in lengths["lines"] if text]
    for axis in ("speed", "grade", "visibility"):
        words += table["axes"][axis]["text"]
    words += [*table["needed"]["text"], *table["warnings"]["text"]]
    # The first shortfall is none at all, and is never said.
    words += [*table["shortfalls"]["text"][1:], *table["shortfalls"]["s_text"][1:]]
    words += [*table["walks"]["text"], *(text for text in table["walks"]["share"] if text)]
    texts = [text for text in words if not text.startswith("0 ")]
    assert len(texts) > 100
    assert broken(texts) == []


def test_a_shortfall_of_nothing_is_the_first_and_only_the_first(reader: TableReader) -> None:
    shortfalls = reader.table["shortfalls"]
    assert [text for text in shortfalls["text"][1:] if text.startswith("0 ")] == []


@pytest.mark.parametrize(
    "text",
    [
        "They get undefined of warning.",
        "NaN ft behind",
        "Moved out from {base}.",
        "Device 1: 10 ft  behind.",
        "1 feet",
        "1 paces behind",
        "0 m (0 paces) behind the vehicle",
        "Set it there..",
        "It is -5 min late",
        "null",
    ],
)
def test_the_sweep_finds_what_it_looks_for(text: str) -> None:
    assert BROKEN.search(text)


@pytest.mark.parametrize(
    "text",
    [
        "100 ft (40 paces) behind the vehicle, center of lane or shoulder.",
        "No device stands here (49 CFR 392.22(b)(2)(iv)).",
        "The rule allows 50 m to 150 m.",
        "2½ lane lines",
        "1 pace",
        "It takes 10 min 0 s.",
    ],
)
def test_and_leaves_plain_words_alone(text: str) -> None:
    assert not BROKEN.search(text)


def test_the_table_holds_no_text_that_says_nothing(reader: TableReader) -> None:
    assert json.dumps(reader.table["texts"]).count('""') == 0
