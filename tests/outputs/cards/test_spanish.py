"""Cards in the library's Spanish: longer words fit as English ones do, and nothing on a face is English."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from forty_paces.authoring.models.fleet import Untranslated
from forty_paces.outputs.cards.card_set import CardSet, card_set, try_set
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.side_by_side import pairs, side_by_side_document, side_by_side_plan
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.translations import MARK, in_language
from forty_paces.outputs.paper.sheets import PAPERS

from tests.projects import PROJECT
from tests.soaking import SOAK


@pytest.fixture(scope="module")
def spanish(context: BuildContext) -> Iterator[BuildContext]:
    """The real content in Spanish, the demo carrier's own words marked in English."""
    fleet = context.library.fleet.model_copy(update={"untranslated": Untranslated.ENGLISH})
    falling_back = replace(context, library=replace(context.library, fleet=fleet))
    with in_language(falling_back, PROJECT, "es_US") as own:
        yield own


@pytest.fixture(scope="module")
def spanish_cards(spanish: BuildContext) -> CardSet:
    """The default set for all vehicles; it raises if a face does not fit."""
    return card_set(spanish, "half-letter")


def text_of(html: str) -> str:
    return re.sub(r"<svg.*?</svg>|<[^>]*>", " ", html)


def test_every_face_of_the_library_fits_half_letter_in_spanish(
    spanish_cards: CardSet, half_letter: CardSet
) -> None:
    assert {face.code for face in spanish_cards.faces} == {face.code for face in half_letter.faces}


@pytest.mark.parametrize("size", ["half-letter", WALLET_SIZE])
def test_the_faces_of_the_vehicle_with_most_lines_fit_too(spanish: BuildContext, size: str) -> None:
    tanker = next(one for one in spanish.library.fleet.vehicles if one.id == "tanker")
    assert try_set(spanish, size, tanker)[1] == ()


def test_the_wallet_cards_for_all_vehicles_fit(spanish: BuildContext) -> None:
    assert try_set(spanish, WALLET_SIZE)[1] == ()


def test_every_wallet_face_of_a_vehicle_fits_and_prints_its_unit(spanish: BuildContext) -> None:
    for vehicle in spanish.library.fleet.vehicles:
        faces, misfits = try_set(spanish, WALLET_SIZE, vehicle)
        assert misfits == ()
        for face in faces.faces:
            line = f". Unid. {vehicle.unit}, hoja {face.leaf}, {face.number}/{face.of}"
            assert line in text_of(face.html).replace("\u00a0", " "), face.id


@pytest.mark.long
@pytest.mark.soak
def test_all_faces_fit_every_vehicle_on_half_letter_and_the_fullest_sets_on_a5(spanish: BuildContext) -> None:
    """A set that did not fit would be refused when it is made, and name what to shorten."""
    vehicles = (None, *spanish.library.fleet.vehicles)
    fullest = [one for one in vehicles if SOAK or one is None or one.id == "tanker"]
    assert len(fullest) > 1
    sets = [*(("half-letter", one) for one in vehicles), *(("a5", one) for one in fullest)]
    assert {(size, one and one.id): () for size, one in sets} == {
        (size, one and one.id): try_set(spanish, size, one)[1] for size, one in sets
    }


def test_signal_words_places_and_sides_are_spanish(spanish_cards: CardSet) -> None:
    said = text_of(" ".join(face.html for face in spanish_cards.faces)).replace("\u00a0", " ")
    for english in ("WARNING", "DANGER", "CAUTION", "traffic side", "center of lane", " paces", "Turn over"):
        assert english not in said
    for wanted in ("ADVERTENCIA", "PELIGRO", "lado del tráfico", "centro del carril", "40 pasos"):
        assert wanted in said


def test_numbers_to_call_are_not_marked_as_english(spanish_cards: CardSet) -> None:
    phones = text_of(" ".join(face.html for face in spanish_cards.faces if face.code == "ALL2"))
    assert f"{MARK}Larkspur" in phones
    assert not re.search(rf"{re.escape(MARK)}\s*\d", phones)


def test_numbers_that_one_face_cannot_hold_go_on_behind_and_none_is_lost(spanish: BuildContext) -> None:
    fleet = spanish.library.fleet
    many = tuple(
        phone.model_copy(update={"id": f"{phone.id}-{copy}"}) for copy in range(2) for phone in fleet.phones
    )
    library = replace(spanish.library, fleet=fleet.model_copy(update={"phones": many}))
    front, back = (
        face
        for face in card_set(replace(spanish, library=library), "half-letter", only=["ALL2"]).faces
        if face.code == "ALL2"
    )
    keys = {f"fleet/phones/{phone.id}/number" for phone in many}
    assert keys <= set(front.strings) | set(back.strings)
    assert not set(front.strings) & set(back.strings)
    assert back.number == front.number + 1


def test_two_languages_stand_side_by_side_where_two_cards_cover_a_sheet() -> None:
    cover = {
        (size, paper)
        for size in ("half-letter", "a5", "a6", "3x5", WALLET_SIZE)
        for paper in ("letter", "a4", "tabloid", "a3")
        if side_by_side_plan(size, PAPERS[paper])
    }
    assert cover == {("half-letter", "letter"), ("a5", "a4")}


def test_each_card_stands_beside_itself_in_the_other_language_and_none_is_missing(
    half_letter: CardSet, spanish_cards: CardSet
) -> None:
    made = list(pairs(half_letter, spanish_cards))
    assert all(one is None or two is None or one.code == two.code for one, two in made)
    for column, cards in enumerate((half_letter, spanish_cards)):
        shown = [pair[column] for pair in made if pair[column] is not None]
        assert shown == [face for face in cards.faces if not face.id.endswith("-notes")]


def test_a_sheet_of_two_languages_names_each_and_has_no_id_twice(
    context: BuildContext, half_letter: CardSet, spanish_cards: CardSet, spanish: BuildContext
) -> None:
    plan = side_by_side_plan("half-letter", PAPERS["letter"])
    assert plan is not None
    document = side_by_side_document(context, half_letter, spanish_cards, spanish.language, plan)
    ids = re.findall(r'\bid="([^"]*)"', document.html)
    assert len(ids) == len(set(ids))
    assert document.html.count('class="page sheet"') == document.pages
    assert document.html.count('lang="es-US"') > 40
    labels = re.findall(r'(?:aria-labelledby="|href="#|url\(#)([^")]*)', document.html)
    assert {one for label in labels for one in label.split()} <= set(ids)
