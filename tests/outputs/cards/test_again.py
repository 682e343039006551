"""A reprint played through: which leaves are printed again, and whether they fit into their set."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path

import pytest
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.outputs.cards.binding import Gone, leaf_of
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.slip import slip_document, slip_rows
from forty_paces.outputs.cards.status import (
    EarlierEdition,
    face_record,
    is_stale,
    read_earlier,
    set_name,
    statuses,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PAPERS

from tests.outputs.cards.card_content import procedure, step

NAME = "half-letter, all"
LONG = [
    {
        "id": f"b{n}",
        "title": f"Look at side {n}",
        "steps": [step(f"s{n}-{k}", "Look at the wheel on that side.") for k in range(9)],
    }
    for n in range(4)
]


def project(context: BuildContext, *procedures: Procedure, **fleet: object) -> BuildContext:
    library = replace(
        context.library,
        procedures=procedures,
        fleet=context.library.fleet.model_copy(update=fleet),
        edition=replace(context.library.edition, id="0ld0ld00"),
    )
    return BuildContext(library, context.overrides)


def noise(**more: object) -> Procedure:
    return procedure(code="FLM1", position=1, **more)


def smell(**more: object) -> Procedure:
    return procedure("odd-smell", title="Odd smell inside", code="FLM2", position=2, **more)


def smoke(**more: object) -> Procedure:
    return procedure("odd-smoke", title="Smoke from below", code="FLM3", position=3, **more)


@pytest.fixture(scope="module")
def old(context: BuildContext) -> CardSet:
    """A set of two procedures, as the fleet has it."""
    return card_set(project(context, noise(), smoke()), "half-letter")


@pytest.fixture(scope="module")
def earlier(context: BuildContext, old: CardSet, tmp_path_factory: pytest.TempPathFactory) -> EarlierEdition:
    """Its record, written and read."""
    file = tmp_path_factory.mktemp("record") / "cards.json"
    file.write_text(json.dumps(face_record(project(context), [old])), encoding="utf-8")
    return read_earlier(file)


def new_set(made: BuildContext, earlier: EarlierEdition) -> CardSet:
    return card_set(made, "half-letter", kept=earlier.kept(NAME))


def again(cards: CardSet, earlier: EarlierEdition) -> CardSet:
    return cards.leaves_with(lambda face: is_stale(face, set_name(cards), earlier))


def codes_by_leaf(cards: CardSet) -> dict[int, set[str]]:
    found: dict[int, set[str]] = {}
    for face in cards.faces:
        found.setdefault(leaf_of(face.number), set()).add(face.code)
    return found


def places(cards: CardSet) -> dict[tuple[str, str], tuple[int, int]]:
    return {(face.code, face.more): (face.number, face.entry) for face in cards.faces}


def test_nothing_changed_is_nothing_to_print(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    same = new_set(project(context, noise(), smoke()), earlier)
    assert places(old) == places(same)
    assert () == again(same, earlier).faces
    assert [] == slip_rows(again(same, earlier))


def test_another_edition_of_another_day_with_the_same_words_is_nothing_to_print(
    context: BuildContext, earlier: EarlierEdition
) -> None:
    made = project(context, noise(), smoke())
    edition = replace(made.library.edition, id="ffffffff", date=dt.date(2027, 1, 1))
    later = BuildContext(replace(made.library, edition=edition), made.overrides)
    assert () == again(new_set(later, earlier), earlier).faces


def test_one_number_changed_is_two_leaves_the_list_and_the_numbers(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    phones = list(context.library.fleet.phones)
    phones[-1] = phones[-1].model_copy(update={"number": "555-0199"})
    cards = new_set(project(context, noise(), smoke(), phones=tuple(phones)), earlier)
    assert places(old) == places(cards)
    found = codes_by_leaf(again(cards, earlier))
    assert {1: {"ALL1", "ALL4"}, 2: {"ALL2", "FLM1"}} == found


def test_one_step_changed_is_two_leaves_the_list_and_its_own_whole_leaf(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    cards = new_set(project(context, noise(), smoke(steps=[step("s", "Look at each hub.")])), earlier)
    assert places(old) == places(cards)
    found = codes_by_leaf(again(cards, earlier))
    assert {1, 3} == set(found)
    assert "FLM3" in found[3]
    assert next(face.version for face in old.faces if face.code == "FLM3") == "1.0", (
        "the hand-kept version stays"
    )


def test_one_procedure_added_goes_on_a_leaf_of_its_own_behind_the_last(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    """It would stand second: in a new set every later face would be on another side of another leaf."""
    made = project(context, noise(), smell(), smoke())
    assert places(old).items() - places(card_set(made, "half-letter")).items(), "a new set moves the others"
    cards = new_set(made, earlier)
    assert places(old).items() <= places(cards).items()
    (added,) = [face for face in cards.faces if face.code == "FLM2" and not face.more]
    assert 1 == added.number % 2
    assert leaf_of(added.number) == max(map(leaf_of, (face.number for face in old.faces))) + 1
    assert added.entry == max(face.entry for face in old.faces) + 1
    printed = again(cards, earlier)
    assert {1, leaf_of(added.number)} == set(codes_by_leaf(printed))
    index, leaves = cards.faces[:2]
    assert f'index-code">{added.code}<' in index.html
    assert added.leaf in leaves.html
    row = slip_rows(replace(printed, since="0ld0ld00"))[-1]
    assert row.is_added
    slip = slip_document(context, replace(printed, since="0ld0ld00"), "Slip", PAPERS["letter"], "slip").html
    assert "nothing: put the new leaf behind the last one" in slip


def test_a_procedure_taken_out_leaves_a_blank_side_or_takes_its_leaf_along(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    cards = new_set(project(context, smoke()), earlier)
    number = places(old)["FLM1", ""][0]
    assert number % 2 == 0
    assert cards.sides[number - 1] is not None
    assert cards.sides[number - 1].more == ", notes", "its side of the leaf of numbers is for notes"
    assert number in {face.number for face in again(cards, earlier).faces}
    lone = replace(old, faces=tuple(face for face in old.faces if face.number < 5))
    kept = tuple(one for one in earlier.kept(NAME) if one.code not in ("FLM3", "PLC1"))
    extra = [
        replace(kept[0], code="OLD1", number=41, leaf="0ldleaf0"),
        replace(kept[0], code="OLD2", number=42),
    ]
    gone = card_set(project(context, noise()), "half-letter", only=["FLM1"], kept=(*kept, *extra)).gone
    assert Gone(21, ("OLD1", "OLD2")) in gone
    rows = slip_rows(replace(lone, faces=lone.faces[:2], kept=(*kept, *extra), gone=gone[-1:]))
    assert (21, ("OLD1", "OLD2"), "0ldleaf0", ()) == (
        rows[-1].leaf,
        rows[-1].old,
        rows[-1].version,
        rows[-1].new,
    )


def test_a_procedure_that_now_needs_both_faces_moves_behind_the_last_and_leaves_notes(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    cards = new_set(project(context, noise(blocks=LONG), smoke()), earlier)
    number = places(old)["FLM1", ""][0]
    moved = [face.number for face in cards.faces if face.code == "FLM1"]
    assert [moved[0], moved[0] + 1] == moved
    assert moved[0] % 2 == 1
    assert moved[0] > max(face.number for face in old.faces)
    left = {face.number: face for face in cards.faces}[number]
    assert "notes" == left.kind


def test_page_foot_code_and_status_say_the_same_version_of_a_leaf(
    context: BuildContext, old: CardSet, earlier: EarlierEdition
) -> None:
    for face in old.faces:
        assert f", leaf {face.leaf}." in face.html.replace("\u00a0", " ")
        assert f"LEAF {face.leaf.upper()} FACE {face.number} OF {face.of}" in face.html.replace("\u00a0", " ")
    listed = old.faces[1].html
    for face in old.faces[2:]:
        assert face.leaf in listed
    status = {(one.code, one.number): one.leaf for one in statuses([old], dt.date(2026, 12, 1), earlier)}
    assert {(face.code, face.number): face.leaf for face in old.faces} == status
    by_leaf: dict[int, set[str]] = {}
    for face in old.faces:
        by_leaf.setdefault(leaf_of(face.number), set()).add(face.leaf)
    assert all(len(versions) == 1 for versions in by_leaf.values())


def test_a_signature_is_a_new_leaf(context: BuildContext, earlier: EarlierEdition) -> None:
    """A draft that was signed since is printed again: it says who signed."""
    made = smoke()
    signature = SignOff(name="Odalys Brandvold", day=dt.date(2026, 11, 26))
    signed = made.model_copy(update={"review": made.review.model_copy(update={"safety_lead": signature})})
    cards = new_set(project(context, noise(), signed), earlier)
    assert 3 in codes_by_leaf(again(cards, earlier))


def test_a_record_that_notes_no_places_gives_none(tmp_path: Path) -> None:
    file = tmp_path / "cards.json"
    faces = [{"set": NAME, "code": "FLM1", "version": "1.0", "number": 3, "of": 9}]
    file.write_text(json.dumps({"edition": "0ld", "strings": {}, "faces": faces}), encoding="utf-8")
    assert () == read_earlier(file).kept(NAME)
