"""A face is set in one of a few compositions or rejected, with what to shorten."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import replace

import pytest
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import Library, load_library
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.drawing.formats import Size
from forty_paces.drawing.typeface import load_typeface
from forty_paces.outputs.cards import card_set as card_sets
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards import print_run as cards
from forty_paces.outputs.cards.card_set import CardSet, Face, Misfit, card_set, known_codes, try_set
from forty_paces.outputs.cards.face_layout import WALLET_SIZE, FaceLayout, foot_html
from forty_paces.outputs.cards.faces import (
    MOST_LISTED_BELOW,
    ListedCard,
    face_contents,
    list_face_content,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.paper.flow import measure
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.outputs.cards.card_content import notice, procedure, step
from tests.outputs.conftest import OVERRIDES
from tests.printed import EditionCards
from tests.rule_files import under_rules
from tests.soaking import cases


def context_of(context: BuildContext, *procedures: Procedure) -> BuildContext:
    """The same context with only these procedures."""
    return BuildContext(replace(context.library, procedures=procedures), context.overrides)


def set_one(context: BuildContext, made: Procedure, size: str) -> Face | Misfit:
    """The face of the procedure, or the misfit."""
    found, misfits = try_set(context_of(context, made), size, only=[made.code])
    every = {face.code: face for face in found.faces if not face.more} | {
        miss.draft.code: miss for miss in misfits
    }
    return every[made.code]


def long(lines: int, **more: object) -> Procedure:
    """A procedure of ``lines`` steps, each one line long on a half-letter face."""
    return procedure(steps=[step(f"s{n}", "Look at the wheel on that side.") for n in range(lines)], **more)


def test_a_short_procedure_is_set_in_12_pt_at_every_size(context: BuildContext) -> None:
    for size in ("a6", "half-letter", "a5"):
        face = set_one(context, procedure(), size)
        assert isinstance(face, Face)
        assert "12 pt" == face.composition


def test_headings_give_way_first_then_steps_by_half_points_to_10_pt_and_no_further(
    context: BuildContext,
) -> None:
    seen = [
        face.composition if isinstance(face, Face) else "refused"
        for face in (set_one(context, long(count), "half-letter") for count in range(8, 44))
    ]
    order = ["12 pt", "12 pt close", "11.5 pt", "11 pt", "10.5 pt", "10 pt", "refused"]
    assert order == list(dict.fromkeys(seen))


def blocks_of(*steps: int, **more: object) -> Procedure:
    """A procedure with a block of that many one-line steps for each argument."""
    steps_listed = [
        {
            "id": f"b{n}",
            "title": f"Look at side {n}",
            "steps": [step(f"s{n}-{k}", "Look at the wheel on that side.") for k in range(count)],
        }
        for n, count in enumerate(steps)
    ]
    return procedure(blocks=steps_listed, **more)


def both_faces(context: BuildContext, made: Procedure) -> tuple[Face, ...]:
    """Every face of the procedure."""
    return tuple(
        face for face in card_set(context_of(context, made), "half-letter").faces if face.code == "FLM1"
    )


def test_a_procedure_too_long_for_one_face_takes_both_faces_of_one_leaf(context: BuildContext) -> None:
    made = blocks_of(9, 9, 9, 9)
    front, back = both_faces(context, made)
    assert (1, 0) == (front.number % 2, back.number % 2)
    assert front.number + 1 == back.number
    assert front.composition == back.composition
    assert "Turn over" in front.html
    assert "Turn over" not in back.html
    assert "Odd noise underneath</span>, continued</h1>" in back.html


def test_blocks_stay_whole_and_every_step_stands_once_on_a_leaf(context: BuildContext) -> None:
    made = blocks_of(9, 9, 9, 9)
    front, back = both_faces(context, made)
    for block in made.blocks:
        keys = {f"odd-noise/blocks/{block.id}/steps/{one.id}/do" for one in block.steps}
        assert keys <= set(front.strings) or keys <= set(back.strings)
        assert not (keys & set(front.strings) and keys & set(back.strings))
    assert "odd-noise/stopped" in front.strings
    assert "odd-noise/finished" in back.strings


def test_a_leaf_begins_on_a_front_and_the_face_before_it_gets_a_back_for_notes(context: BuildContext) -> None:
    made = blocks_of(9, 9, 9, 9, code="FLM2", position=2)
    faces = card_set(context_of(context, made), "half-letter").faces
    assert ["ALL1", "ALL4", "ALL2", "ALL2", "FLM2", "FLM2"] == [face.code for face in faces[:6]]
    assert ["", "", "", ", notes", "", ", continued"] == [face.more for face in faces[:6]]
    assert {} == faces[3].strings


def test_no_face_changes_its_type_or_is_refused_for_the_digits_of_a_leafs_version(
    context: BuildContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Digits differ in width, so with a carrier's name of a certain length the foot takes one line more for
    # one version than for the next. With faces of every height, one is full to exactly that line.
    def under(name: int) -> BuildContext:
        fleet = context.library.fleet.model_copy(update={"carrier": "A" * name})
        return BuildContext(replace(context.library, fleet=fleet), context.overrides)

    def foot_mm(made: BuildContext, leaf: str) -> float:
        setting = FaceLayout(made, "half-letter", None, (), "", 4)
        (draft,) = [
            one for one in face_contents(context_of(made, long(1)), None, Size.CARD) if one.code == "FLM1"
        ]
        return measure(
            f'<section class="face">{foot_html(setting, draft, 3, leaf)}</section>',
            card_style.styles(card_style.COMPOSITIONS[0]),
            setting.card.column_mm,
            load_typeface(context.fonts),
        ).height_mm

    name = next(n for n in range(1, 90) if foot_mm(under(n), "1" * 8) < foot_mm(under(n), "0" * 8))

    def set_under(digit: str) -> list[Face | Misfit]:
        monkeypatch.setattr(card_sets, "leaf_versions", lambda places, said: defaultdict(lambda: digit * 8))
        return [set_one(under(name), long(lines), "half-letter") for lines in range(20, 40)]

    narrow, wide = ([face if isinstance(face, Face) else None for face in set_under(digit)] for digit in "10")
    assert [one and one.composition for one in narrow] == [one and one.composition for one in wide]
    heights = [
        (one.needed_mm, other.needed_mm) for one, other in zip(narrow, wide, strict=True) if one and other
    ]
    assert any(one < other for one, other in heights), "the foot never took a line more: nothing was tried"


def test_one_line_too_many_is_one_line_over(context: BuildContext) -> None:
    counts = range(24, 44)
    first = next(n for n in counts if isinstance(set_one(context, long(n), "half-letter"), Misfit))
    for more in range(3):
        miss = set_one(context, long(first + more), "half-letter")
        assert isinstance(miss, Misfit)
        assert more + 1 == pytest.approx(miss.lines_over, abs=1)


def test_an_over_long_procedure_fails_with_card_size_lines_and_what_to_shorten(context: BuildContext) -> None:
    wordy = "Look at each wheel from a few steps away, on both sides, for smoke, for flame and for fluid."
    steps = [step(f"s{n}", wordy) for n in range(24)]
    made = context_of(context, procedure(steps=steps))
    with pytest.raises(ContentFault) as caught:
        card_set(made, "half-letter", only=["FLM1"])
    (found,) = caught.value.findings
    miss = try_set(made, "half-letter", only=["FLM1"])[1][0]
    assert "content/procedures/odd-noise.yml:1:1" == str(found.place)
    assert (
        f'"Odd noise underneath" runs {miss.lines_over} lines over both faces of a card of half letter, '
        "5.5 by 8.5 in, in 10 pt, the smallest type allowed"
    ) == found.wrong
    assert ('card "FLM1"', 'size "half-letter"') == found.trail
    assert found.fix.startswith("shorten odd-noise/")
    assert "characters (saves a line)" in found.fix
    assert found.fix.endswith("or take a larger size in card_sizes")


def test_following_the_advice_saves_the_line(context: BuildContext) -> None:
    """Shorten the string named in the finding by the number of characters given: it needs one line less."""
    wordy = "Look at each wheel from a few steps away, on both sides, for smoke or for any flame now."
    steps = [step(f"s{n}", wordy) for n in range(24)]
    miss = set_one(context, procedure(steps=steps), "half-letter")
    assert isinstance(miss, Misfit)
    advice = next(saving for saving in miss.savings if "/steps/" in saving)
    key, _, rest = advice.partition(" by ")
    letters = int(rest.split()[0])
    wanted = key.removeprefix("odd-noise/blocks/look/steps/").removesuffix("/do")
    steps = [step(one["id"], wordy[:-letters] if one["id"] == wanted else wordy) for one in steps]
    after = set_one(context, procedure(steps=steps), "half-letter")
    assert isinstance(after, Misfit)
    assert miss.lines_over - 1 == after.lines_over


def test_a_word_too_wide_for_the_card_is_named(context: BuildContext) -> None:
    monster = "Un" + "screw" * 14
    with pytest.raises(ContentFault, match=f'the word "{monster}" is wider than the card of A6'):
        card_set(context_of(context, procedure(steps=[step("s", monster)])), "a6", only=["FLM1"])


def test_every_misfit_of_a_fleet_is_reported_at_once(context: BuildContext) -> None:
    both = (long(70), long(70, id="odd-smell", title="Odd smell inside", code="FLM2", position=2))
    with pytest.raises(ContentFault) as caught:
        cards.card_sets(context_of(context, *both))
    assert {'card "FLM1"', 'card "FLM2"'} == {found.trail[0] for found in caught.value.findings}


def test_nothing_is_printed_while_a_face_does_not_fit(context: BuildContext) -> None:
    with pytest.raises(ContentFault):
        list(cards.artifacts(context_of(context, long(70))))


def test_the_default_sizes_hold_every_procedure_of_the_content(
    context: BuildContext, edition_cards: EditionCards
) -> None:
    """A set with a face that does not fit is not made: it raises."""
    vehicles = context.library.fleet.vehicles
    for size in context.library.fleet.card_sizes:
        for owner in (None, *range(len(vehicles))):
            vehicle = None if owner is None else vehicles[owner]
            found = edition_cards.of(size.value, owner)
            assert vehicle == found.vehicle
            codes = {
                p.code
                for p in context.library.procedures
                if vehicle is None or vehicle.meets(p.when) is not False
            }
            assert codes <= {face.code for face in found.faces}


def test_the_wallet_holds_every_rolling_procedure(context: BuildContext, wallet: CardSet) -> None:
    rolling = {p.code for p in context.library.procedures if p.group.value == "rolling" and p.by_heart}
    assert rolling == {face.code for face in wallet.faces} - {"ALL3"}


def test_a_vehicles_set_shows_only_what_can_apply_to_it(
    context: BuildContext, edition_cards: EditionCards
) -> None:
    for owner, vehicle in enumerate(context.library.fleet.vehicles):
        found = edition_cards.of("half-letter", owner)
        shown = {key for face in found.faces for key in face.strings}
        for made in context.library.procedures:
            for block in made.blocks:
                for one in block.steps:
                    key = f"{made.id}/blocks/{block.id}/steps/{one.id}/do"
                    meets = False not in (vehicle.meets(made.when), vehicle.meets(one.when))
                    assert meets == (key in shown), key


def test_a_vehicle_has_no_card_for_what_it_cannot_meet(
    context: BuildContext, edition_cards: EditionCards
) -> None:
    vehicles = {vehicle.id: at for at, vehicle in enumerate(context.library.fleet.vehicles)}
    coach = context.library.fleet.vehicles[vehicles["coach"]]
    unknown = coach.model_copy(update={"trailer": None, "passengers": None})
    for size in ("half-letter", WALLET_SIZE):
        sets = {name: edition_cards.of(size, at) for name, at in vehicles.items()}
        sets["unknown"] = card_set(context, size, unknown)
        of = {name: {face.code for face in cards.faces} for name, cards in sets.items()}
        trailer_cards = {"SKD3", "CGO3"}
        for name in ("coach", "straight-truck"):
            assert not trailer_cards & of[name], name
        for name in ("tractor-trailer", "tanker", "unknown"):
            assert trailer_cards <= of[name], name
        if size != WALLET_SIZE:
            assert [name for name in of if "PEO2" in of[name]] == ["coach", "unknown"]


def test_a_decision_leads_to_no_card_that_the_vehicle_does_not_have(context: BuildContext) -> None:
    """The row is left out: it would not come up, and to end there instead would be wrong."""
    rows = [
        {
            "id": "swing",
            "see": "the trailer swings",
            "do": "Let go.",
            "leads_to": "odd-swing",
            "source": ["x"],
        },
        {"id": "still", "see": "nothing moves", "do": "Stay.", "leads_to": "finished", "source": ["x"]},
    ]
    made = procedure(decision={"title": "What moves", "rows": rows})
    swing = procedure("odd-swing", title="Swinging trailer", code="FLM2", position=2, when=["trailer"])
    vehicles = {vehicle.id: vehicle for vehicle in context.library.fleet.vehicles}
    for name, turned in (("tanker", True), ("coach", False)):
        faces = card_set(context_of(context, made, swing), "half-letter", vehicles[name]).faces
        (face,) = [one for one in faces if one.code == "FLM1" and not one.more]
        text = face.html.replace("\u00a0", " ").replace("&nbsp;", " ")
        assert turned == ("Turn to FLM2." in text)
        assert turned == ("the trailer swings" in text)
        assert 1 == text.count("End."), "the other row alone ends it"


def test_faces_are_numbered_through_the_set(half_letter: CardSet) -> None:
    count = len(half_letter.faces)
    assert list(range(1, count + 1)) == [face.number for face in half_letter.faces]
    assert {count} == {face.of for face in half_letter.faces}


def test_an_index_row_stands_level_with_the_tab_of_its_face(half_letter: CardSet) -> None:
    slots = half_letter.card.slots
    index = half_letter.faces[0].html
    rows = index.split('<tr class="index-')[1:]
    for face in half_letter.faces[2:]:
        column, row = divmod(face.entry - 1, slots)
        cell = rows[row].split("<td")[column + 1]
        assert f'<span class="aside index-code">{face.code}</span>' in cell
        (group,) = re.findall(r"index-tab tab-([a-z]+)", cell)
        assert re.search(
            rf'tab-{group} slot-{row + 1}"><div class="tab-code of-{face.code.lower()}-', face.html
        )
        assert {"PLC": "placing", "ALL": "help"}.get(face.code[:3], group) == group


def by_family(library: Library) -> list[tuple[str, list[str]]]:
    """Titles and codes as on the start screen of the cab file."""
    return [
        (one.title, [procedure.code for procedure in one.procedures]) for one in families(library.procedures)
    ]


def test_the_cards_of_a_set_follow_the_families_of_the_start_screen(
    context: BuildContext, half_letter: CardSet
) -> None:
    """Between the card of numbers and those for placing; on the wallet cards those that roll, alike."""
    in_order = [code for _, codes in by_family(context.library) for code in codes]
    bound = list(dict.fromkeys(face.code for face in half_letter.faces))
    placing = [code for code in bound if code.startswith("PLC")]
    assert ["ALL1", "ALL4", "ALL2", *in_order, *placing] == bound
    wallet = {face.code: face for face in card_set(context, WALLET_SIZE).faces if not face.more}
    for composed in (True, False):  # cards of one face together, then those of two
        listed = [
            code for code, face in wallet.items() if ("1/2" in face.html) == composed and code in in_order
        ]
        assert listed == [code for code in in_order if code in listed]


def test_a_rule_stands_in_the_index_wherever_a_family_begins(
    context: BuildContext, half_letter: CardSet
) -> None:
    cells = re.findall(r'<td class="cell-box">(.*?)</td>', half_letter.faces[0].html)
    ruled = {
        code[1]
        for cell in cells
        if "family-begins" in cell and (code := re.search(r'index-code">(\w+)<', cell))
    }
    assert {codes[0] for _, codes in by_family(context.library)} | {"PLC1"} == ruled


def test_the_list_of_leaves_has_each_card_under_the_title_of_its_family(
    context: BuildContext, half_letter: CardSet
) -> None:
    rows = re.findall(r'<tr class="leaves-\d+">(.*?)</tr>', half_letter.faces[1].html)
    columns = zip(
        *([re.sub(r"<[^>]*>", "", cell) for cell in row.split("</td>")[:-1]] for row in rows), strict=True
    )
    lines = [line for column in columns for line in column if line.strip()]
    leaf = {face.code: face.leaf for face in half_letter.faces}
    number = {face.code: face.number for face in reversed(half_letter.faces)}
    placing = [code for code in leaf if code.startswith("PLC")]
    wanted = [("", ["ALL2"]), *by_family(context.library), ("Placing devices", placing)]
    assert [
        line
        for title, codes in wanted
        for line in (*filter(None, [title]), *(f"{number[code]} {code} {leaf[code]}" for code in codes))
    ] == [line.replace("\u00a0", " ").strip() for line in lines]


def test_the_list_of_leaves_is_set_larger_than_a_foot_where_its_face_has_room(half_letter: CardSet) -> None:
    composition = next(one for one in card_style.COMPOSITIONS if one.id == half_letter.faces[1].composition)
    row = card_style.styles(composition)["leaves-cell"]
    assert (row.size_pt or composition.body_pt) > card_style.FOOT_PT


@pytest.mark.parametrize("count", range(1, 41))
def test_no_title_of_a_family_ends_a_column_of_the_list(context: BuildContext, count: int) -> None:
    listed = tuple(ListedCard(n, f"C{n}", "0a0a0a0a", f"family {n // 3}") for n in range(count))
    rows = list_face_content(context, None, listed).names["rows"]
    assert isinstance(rows, tuple)
    columns = [[line for line in column if line is not None] for column in zip(*rows, strict=True)]
    assert listed == tuple(line for column in columns for line in column if not isinstance(line, str))
    assert not any(isinstance(column[-1], str) for column in columns)
    assert len(columns) == -(-sum(map(len, columns)) // MOST_LISTED_BELOW)


def test_both_faces_of_a_leaf_bear_the_tabs_of_both_its_cards_at_heights_of_their_own(
    half_letter: CardSet,
) -> None:
    """So a set that is fanned from either side shows every card."""
    seen = set()
    for front, back in zip(half_letter.sides[2::2], half_letter.sides[3::2], strict=True):
        assert front is not None
        assert back is not None
        found = [
            re.findall(r"slot-(\d+)\"><div class=\"tab-code of-([a-z]+\d+)", one.html)
            for one in (front, back)
        ]
        assert found[0] == found[1]
        assert {code.upper() for _, code in found[0]} == {front.code, back.code}
        assert len({slot for slot, _ in found[0]}) == len(found[0])
        seen |= {front.code, back.code}
    assert seen == {face.code for face in half_letter.faces} - {"ALL1", "ALL4"}


def test_codes_asked_for_by_hand_are_those_of_a_full_set(context: BuildContext, half_letter: CardSet) -> None:
    assert {face.code for face in half_letter.faces} == known_codes(context)


def test_only_some_faces_can_be_set(context: BuildContext) -> None:
    found = card_set(context, "half-letter", only=["PLC1", "FLM2"])
    assert ["ALL1", "ALL4", "FLM2", "PLC1"] == list(dict.fromkeys(face.code for face in found.faces))
    assert {len(found.faces)} == {face.of for face in found.faces}


@pytest.mark.parametrize("signal", ["danger", "warning", "caution", "notice"])
def test_a_notice_says_its_word_before_its_step(context: BuildContext, signal: str) -> None:
    made = procedure(steps=[step("look", "Look at the tire.", notice=notice(signal))])
    face = set_one(context, made, "half-letter")
    assert isinstance(face, Face)
    assert face.html.index(f">{signal.upper()}<") < face.html.index("Look at the tire.")
    assert f"notice-{signal}" in face.html


def test_hostile_words_are_printed_as_words(context: BuildContext) -> None:
    evil = '<img src=x onerror="alert(1)"> & </p><script>'
    face = set_one(context, procedure(finished=evil, title=evil), "a5")
    assert isinstance(face, Face)
    assert evil == face.strings["odd-noise/finished"]
    assert "<script" not in face.html
    assert "<img" not in face.html


@pytest.mark.soak
@settings(max_examples=cases(25, soak=500), deadline=None, phases=[Phase.explicit, Phase.generate])
@given(
    st.lists(
        st.text(alphabet="abcdefghij klmno pqrs tuvw", min_size=3, max_size=120).filter(str.strip),
        min_size=1,
        max_size=30,
    ),
    st.sampled_from(["a6", "half-letter", "a5"]),
)
def test_a_set_face_never_needs_more_room_than_its_card_has(texts: list[str], size: str) -> None:
    context = _press()
    made = procedure(steps=[step(f"s{n}", text) for n, text in enumerate(texts)])
    face = set_one(context, made, size)
    if isinstance(face, Face):
        card = card_style.CARDS[size]
        total = face.needed_mm + face.gap / 10
        assert total <= card.room_mm - 0.04
        assert total >= card.room_mm - 0.2
        words = face.html
        assert all(" ".join(text.split()) in " ".join(words.split()) for text in texts)
    else:
        assert face.lines_over > 0 or face.word


_PRESSES: list[BuildContext] = []


def _press() -> BuildContext:
    if not _PRESSES:
        _PRESSES.append(BuildContext(load_library(OVERRIDES.parent), OVERRIDES))
    return _PRESSES[0]


def test_a_wallet_card_fits_a_wallet_with_the_sealed_edge_of_its_film() -> None:
    """ISO/IEC 7810 ID-1: 85.60 by 53.98 mm, which may be up to 85.72 by 54.03; 3 mm of film all round."""
    paper = card_style.CARDS[WALLET_SIZE].paper
    assert 85.47 <= paper.width_mm + 6 <= 85.72
    assert 53.92 <= paper.height_mm + 6 <= 54.03


def test_every_wallet_face_of_a_vehicle_prints_its_unit_at_the_cost_of_no_line(
    context: BuildContext, edition_cards: EditionCards
) -> None:
    for owner, vehicle in enumerate(context.library.fleet.vehicles):
        made = edition_cards.of(WALLET_SIZE, owner)
        for face in made.faces:
            line = f". Unit {vehicle.unit}, leaf {face.leaf}, {face.number}/{face.of}"
            assert line in foot_of(face), face.id
            assert f"SET UNIT {vehicle.unit} " in face.qr_text
        without = card_set(context, WALLET_SIZE, vehicle.model_copy(update={"unit": None, "title": ""}))
        assert heights_of(without) == heights_of(made)


def test_a_unit_that_a_wallet_cards_foot_cannot_hold_in_line_stands_in_the_code_alone(
    context: BuildContext, wallet: CardSet
) -> None:
    vehicle = next(one for one in context.library.fleet.vehicles if one.id == "tanker")
    sets = {
        unit: card_set(context, WALLET_SIZE, vehicle.model_copy(update={"unit": unit}))
        for unit in ("310", "31088", "LARKSPUR-TANKER-310")
    }
    held = {unit: {f" Unit {unit}, " in foot_of(face) for face in made.faces} for unit, made in sets.items()}
    assert held == {"310": {True}, "31088": {True}, "LARKSPUR-TANKER-310": {False}}
    for unit, made in sets.items():
        assert heights_of(made) == heights_of(sets["310"])
        assert {f"SET UNIT {unit}"} == {face.qr_text.partition(" WALLET")[0] for face in made.faces}
    for face in wallet.faces:
        assert f". Leaf {face.leaf}, {face.number}/{face.of}" in foot_of(face)


def foot_of(face: Face) -> str:
    (foot,) = re.findall(r'<p class="foot-words">(.*?)</p>', face.html)
    return foot.replace("\u00a0", " ")


def heights_of(made: CardSet) -> list[tuple[str, str, float]]:
    return [(face.id, face.composition, face.needed_mm) for face in made.faces]


def test_by_heart_lines_come_in_few_sizes_and_are_rather_split_than_small(wallet: CardSet) -> None:
    assert len({face.composition for face in wallet.faces}) <= 4
    one_faced = Counter(face.code for face in wallet.faces if face.kind != "notes")
    for face in wallet.faces:
        if face.kind == "wallet" and one_faced[face.code] == 1:
            assert face.composition in ("14.5 pt", "wallet 12 pt", "wallet 11 pt"), face.code


def test_a_wallet_card_of_two_faces_says_so_on_both_and_loses_no_line(
    context: BuildContext, wallet: CardSet
) -> None:
    lines = {procedure.code: len(procedure.by_heart) for procedure in context.library.procedures}
    split = 0
    for front, back in zip(wallet.sides[::2], wallet.sides[1::2], strict=True):
        if front is None or back is None or not (front.kind == back.kind == "wallet"):
            continue
        if front.code == back.code:
            split += 1
            assert ", 1/2</h1>" in front.html
            assert ", 2/2</h1>" in back.html
            shown = [re.findall(r'<li class="wallet-line[^s]', face.html) for face in (front, back)]
            assert lines[front.code] == len(shown[0]) + len(shown[1])
    assert split > 5


def test_a_procedure_takes_both_faces_rather_than_type_below_11_pt(half_letter: CardSet) -> None:
    faces = Counter(face.code for face in half_letter.faces if face.kind == "procedure")
    small = {face.code for face in half_letter.faces if face.composition in ("10 pt", "10.5 pt")}
    assert all(faces[code] == 2 for code in small & set(faces)), "it is small on two faces or not at all"
    assert len(small & set(faces)) <= 1


def test_a_device_at_the_vehicle_stands_beside_it_and_has_no_distance_on_its_card(
    context: BuildContext,
) -> None:
    """Australia's first device (Road Rules 227): not "0 m (0 ft), 0 paces behind the vehicle, beside it"."""
    abroad = BuildContext(under_rules("australia-sa", context.library), context.overrides)
    face = card_set(abroad, "a5", only=["PLC1"]).faces[2]
    key = "placing/australia-sa/p1/device"
    assert face.strings[f"{key}-1/across"] == "Beside the vehicle"
    assert f"{key}-1/distance" not in face.strings
    assert face.strings[f"{key}-2/distance"] == "200 m, 267 paces"


def test_beside_a_title_there_is_room_for_the_box_of_every_code_and_a_gap(context: BuildContext) -> None:
    """The box has 1.6 mm of padding and a border of 0.5 mm on both sides; a title once ran into it."""
    bold = load_typeface(context.fonts).weight(True)
    for composition in (*card_style.COMPOSITIONS, *card_style.WALLET_COMPOSITIONS):
        room_mm = card_style.code_mm(composition.title_pt)
        for code in known_codes(context):
            box_mm = bold.width(code) / 1000 * composition.title_pt * 25.4 / 72 + 2 * (1.6 + 0.5)
            assert room_mm - box_mm >= 1.0, (composition.id, code)
