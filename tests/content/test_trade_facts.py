"""What federal rules, driver manuals, research and the trade say, against what the content says.

The table, with the source and basis of each row, is tests/published/content_facts.yml.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from forty_paces.authoring.library import Library

from tests.content.published import published, said_at, said_by_id

FACTS = published()["facts"]
STRENGTH = {
    "read": 4,
    "read-in-a-copy": 4,
    "computed": 4,
    "read-in-part": 3,
    "second-hand": 2,
    "memory": 1,
}
"""Each basis of sources.yml: a figure rests no better than the text that it was taken from."""


@pytest.mark.parametrize("row", FACTS, ids=[row["fact"] for row in FACTS])
def test_a_published_fact_stands_where_the_table_says(library: Library, row: dict[str, Any]) -> None:
    found = said_at(library, row["where"])
    said = " | ".join(one.text for one in found)
    missing = [piece for piece in row["says"] if piece.lower() not in said.lower()]
    assert missing == [], f"{row['where']} says: {said!r}"


@pytest.mark.parametrize("row", FACTS, ids=[row["fact"] for row in FACTS])
def test_the_line_cites_the_source_of_the_fact(library: Library, row: dict[str, Any]) -> None:
    cited = {source for one in said_at(library, row["where"]) for source in one.sources}
    assert row["cites"] in cited


def test_every_row_names_a_source_and_how_it_was_met() -> None:
    assert [row["fact"] for row in FACTS if not row["source"] or row["basis"] not in STRENGTH] == []


def test_a_fact_of_the_trade_alone_says_so() -> None:
    alone = [row for row in FACTS if row["cites"] == "common-practice"]
    assert [row["fact"] for row in alone if row["basis"] != "memory"] == []


@pytest.mark.parametrize(
    "row", [row for row in FACTS if "value" in row], ids=[row["fact"] for row in FACTS if "value" in row]
)
def test_the_measured_value_is_the_published_one(library: Library, row: dict[str, Any]) -> None:
    owner, _, block, _, name = row["where"].split("/")
    procedure = library.procedure(owner)
    assert procedure is not None
    step = next(step for one in procedure.blocks if one.id == block for step in one.steps if step.id == name)
    assert step.measure is not None
    assert (row["value"]["number"], row["value"]["unit"]) == (step.measure.value, step.measure.unit.value)


UNTRUE = published()["untrue"]


@pytest.mark.parametrize("row", UNTRUE, ids=[row["why"] for row in UNTRUE])
def test_no_page_says_what_is_known_to_be_untrue(library: Library, row: dict[str, str]) -> None:
    pattern = re.compile(row["says"], re.IGNORECASE)
    assert {name: one.text for name, one in said_by_id(library).items() if pattern.search(one.text)} == {}


def test_the_hours_after_a_crash_are_the_published_ones(library: Library) -> None:
    assert library.after_event is not None
    expected = [(row["id"], row["hours"], row["weight"], (row["cites"],)) for row in published()["deadlines"]]
    found = [(one.id, one.hours, one.weight.value, one.source) for one in library.after_event.deadlines]
    assert expected == found


def test_the_record_holds_every_item_of_the_accident_register(library: Library) -> None:
    assert library.after_event is not None
    register = published()["register"]
    held = [item for item in library.after_event.record if item.register_item]
    for wanted in register["items"]:
        assert any(wanted.lower() in item.write.lower() for item in held), wanted
    assert len(register["items"]) == len(held)
    assert {(register["cites"],)} == {item.source for item in held}
    assert any(register["kept"] in (item.hint or "") for item in held)


def test_sources_in_the_table_are_known_with_the_same_basis_or_a_weaker_part(library: Library) -> None:
    stronger = {
        row["fact"]: (row["basis"], library.sources[row["cites"]].basis.value)
        for row in FACTS + published()["deadlines"]
        if "fact" in row and STRENGTH[row["basis"]] > STRENGTH[library.sources[row["cites"]].basis.value]
    }
    assert stronger == {}
