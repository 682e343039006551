"""Each wording rule on sentences that keep it and sentences that break it, limits in threes.

Sources of the rules: ASD-STE100 (sentence length, one instruction, imperative,
condition first), US federal plain-language guidelines (must, active, if-then
tables, slashes), DOE-STD-1029 (timed steps with a fallback), CAP 676 (few
actions by heart), as carried over in the project's list of rules.
"""

import pytest
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.glossary import Abbreviation, Glossary, Term
from forty_paces.authoring.models.procedure import Waiver
from forty_paces.authoring.texts import Role, Said
from forty_paces.authoring.wording.registry import RULES, hits_on, used_waivers
from forty_paces.authoring.wording.rule import Sheet

from tests.faults.projects import BASE, TODAY

GLOSSARY = Glossary(
    terms=(
        Term(id="tie-down", term="tie-down", meaning="A strap.", instead_of=("lashing", "load binder")),
        Term(id="lamp", term="hazard lamp", meaning="A lamp.", instead_of=("lamp", "blinker")),
    ),
    abbreviations=(Abbreviation(short="CB", long="citizens band radio"),),
)
PROCEDURES = {procedure.id: procedure for procedure in load_library(BASE, TODAY).procedures}
CHECKS = {rule.id: rule for rule in RULES}


def broken(rule, role, text):
    """Whether a rule is broken by one text in one role; advice counts."""
    sheet = Sheet((Said("x", ("x",), role, text),), GLOSSARY, PROCEDURES["engine-smoke"])
    return [hit.wrong for hit in CHECKS[rule].check(sheet) if hit.address == "x"]


def words(count):
    return " ".join(["Walk", *["on"] * (count - 1)]) + "."


@pytest.mark.parametrize(
    ("rule", "role", "limit"),
    [
        ("W1", Role.STEP, 20),
        ("W1", Role.NEVER, 20),
        ("W1", Role.WHY, 25),
        ("W1", Role.FINISHED, 25),
        ("M4", Role.BY_HEART, 10),
    ],
)
def test_the_limit_of_words_is_exact(rule, role, limit):
    assert [False, False, True] == [bool(broken(rule, role, words(n))) for n in (limit - 1, limit, limit + 1)]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Walk 100 ft (30 m) back.", 3),
        ("Wait 10 to 15 min.", 4),
        ("Put the low-air lamp on.", 5),
        ("Don’t stop.", 2),
        ("Call 911.", 2),
    ],
)
def test_a_measure_is_one_word_and_its_second_unit_none(text, count):
    """ASD-STE100 counts numbers, units and hyphenated words as one each; number and unit as one is ours."""
    from forty_paces.authoring.wording.language import length, sentences

    assert count == length(sentences(text)[0])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Stop here. Get out.", ["Stop here", "Get out"]),
        ("Wait 2.5 s. Then look.", ["Wait 2.5 s", "Then look"]),
        ("In the U.S. look left.", ["In the U.S. look left"]),
        ("Is it hot? Yes!", ["Is it hot", "Yes"]),
        ("Read No. 4 first.", ["Read No. 4 first"]),
        ("...", []),
    ],
)
def test_sentences_are_told_apart(text, expected):
    from forty_paces.authoring.wording.language import sentences

    assert expected == sentences(text)


KEPT = [
    ("W2", Role.STEP, "Turn off the engine."),
    ("W2", Role.STEP, "Slowly ease off the brake."),
    ("W2", Role.STEP, "If smoke still rises, stay away."),
    ("W2", Role.STEP, "With the wheel straight, brake gently."),
    ("W2", Role.STEP, "Do not stand in the lane."),
    ("W2", Role.STEP, "At a rail crossing, at night, walk toward the train."),
    ("W2", Role.STEP, "Once the drum is cold, feel it."),
    ("W2", Role.NEVER, "Never pour water on it."),
    ("W2", Role.NEVER, "Do not pour water on it."),
    ("W3", Role.STEP, "If the trailer is loaded, leave it."),
    ("W3", Role.STEP, "Stay there until the road is closed by police."),
    ("W3", Role.WHY, "Heat is stored in the drum."),
    ("W4", Role.WHY, "You must stop here, and you must not smoke."),
    ("W5", Role.STEP, "If it burns, run."),
    ("W5", Role.STEP, "Ask dispatch at once whether a test is due."),
    ("W5", Role.STEP, "Drive on only when the gauge holds."),
    ("W5", Role.STEP, "Wait until the drum is cold."),
    ("W5", Role.REPORT, "Note when you stopped."),
    ("S6", Role.STEP, "Put on the vest and gloves."),
    ("S6", Role.STEP, "Look at the lamps and brake lights."),
    ("S6", Role.STEP, "Hold the wheel while you brake."),
    ("S6", Role.STEP, "Do one of these: call, or wave."),
    ("S6", Role.STEP, "Walk behind the rail, back or front."),
    ("S6", Role.STEP, "If it burns, remove the key."),
    ("S6", Role.STEP, "Put out triangles, never fusees."),
    ("S6", Role.STEP, "Tell dispatch your name, place and load."),
    ("S8", Role.STEP, "If smoke rises, stay away."),
    ("S8", Role.SEE, "flames show"),
    ("S13", Role.WHY, "Brake heat stays in the drum."),
    ("S13", Role.WHY, "Water boils under the cap."),
    ("S13", Role.HAZARD, "Traffic passes close to your door."),
    ("S14", Role.FINISHED, "No smoke shows, and the crew has told you the wheel is safe."),
    ("S14", Role.FINISHED, "Three triangles stand on the road."),
    ("S15", Role.STEP, "Set the parking brake."),
    ("S15", Role.STEP, "Set out the triangles."),
    ("S15", Role.STEP, "Check that no fuel drips."),
    ("S15", Role.STEP, "Check the gauge for 100 psi."),
    ("W6", Role.STEP, "Turn on the hazard lamp."),
    ("W6", Role.STEP, "Tighten each tie-down."),
    ("W6", Role.STEP, "Splashing water helps."),
    ("W8", Role.STEP, "Never stand in the lane."),
    ("W8", Role.WHY, "Under the hood it is not cool."),
    ("W10", Role.VALUE, "60 mi/h or 100 km/h, and 4/32 in of tread"),
    ("W10", Role.VALUE, "Rated 10 B:C"),
    ("W11", Role.STEP, "Call on the citizens band radio (CB)."),
    ("W11", Role.STEP, 'Turn the switch to "PARK".'),
    ("W11", Role.WHY, "A WARNING tells of harm that could come. OK?"),
    ("W12", Role.STEP, "Walk 100 ft (30 m) back, 40 paces."),
    ("W12", Role.STEP, "Walk 500 ft (150 m) back."),
    ("W12", Role.STEP, "Call 911 or 555-0142."),
    ("W12", Role.STEP, "Wait 10 to 15 min."),
    ("W12", Role.VALUE, "1 for each 10 ft of cargo, and always at least 2"),
    ("W12", Role.VALUE, "62 of 100 highway vehicle fires"),
    ("W12", Role.STEP, "Take exit 12 to I-80, and read card S3, step 4."),
    ("W12", Role.STEP, "Put out three triangles."),
    ("W12", Role.WHY, "The ten-minute rule waits for no one."),
    ("W13", Role.FINISHED, "You have called 911."),
    ("W13", Role.LOCAL_RULE, "49 CFR 392.22(b)(1) and state law rule here."),
    ("W13", Role.NEED, "Three triangles"),
    ("W13", Role.STEP, "Walk 100 ft."),
    ("W16", Role.TITLE, "Tire smoke or fire"),
    ("W16", Role.BLOCK_TITLE, "Get everyone clear"),
    ("T7", Role.TITLE, "Stopped on a rail crossing"),
    ("T7", Role.STEP, "Look for a DANGER or WARNING sign."),
    ("S1", Role.TILE, "On a crossing"),
    ("S9", Role.STEP, "Do one of these: call, or wave."),
    ("W9", Role.WHY, "The front brake drum is hot."),
    ("W9", Role.WHY, "The driver who sees it stops at once."),
    ("M2", Role.STOPPED, "After you have stopped in the open, start here."),
    ("M2", Role.STOPPED, "Once the vehicle has stopped, start here."),
]

BROKEN = [
    ("W2", Role.STEP, "The engine must be off."),
    ("W2", Role.STEP, "You turn off the engine."),
    ("W2", Role.STEP, "Driving lamps on."),
    ("W2", Role.STEP, "If smoke still rises stay away."),
    ("W2", Role.NEVER, "Pouring water is bad."),
    ("W3", Role.STEP, "Let the fire be fought by the crew."),
    ("W3", Role.BY_HEART, "Keep from being hit."),
    ("W3", Role.WHY, "The tire was cut by the rim."),
    ("W3", Role.STEP, "Wait, and be told by the crew."),
    ("W4", Role.LOCAL_RULE, "The driver shall stop."),
    ("W4", Role.NEVER, "Never park where you are required to move."),
    ("W5", Role.STEP, "Run if it burns."),
    ("W5", Role.STEP, "Stop, unless traffic is close."),
    ("W5", Role.BY_HEART, "Brake when the speed is low."),
    ("W5", Role.STEP, "Look if it drips."),
    ("S6", Role.STEP, "Turn off the engine and get out."),
    ("S6", Role.STEP, "Turn off the engine, then walk back."),
    ("S6", Role.STEP, "Turn off the engine; walk back."),
    ("S6", Role.STEP, "Turn off the engine, remove the key."),
    ("S6", Role.STEP, "If it burns, turn off the engine, and get out."),
    ("S6", Role.BY_HEART, "Hold the wheel and brake gently."),
    ("S6", Role.STEP, "Turn off the engine. If it runs on, pull the stop."),
    ("S6", Role.STEP, "Keep the cap on. Do not open it."),
    ("S8", Role.STEP, "If necessary, move back."),
    ("S8", Role.AVOID, "Stay back as required."),
    ("S8", Role.SEE, "if flames show"),
    ("S8", Role.CHOICE, "then stay away"),
    ("S9", Role.STEP, "Or wave to drivers."),
    ("S13", Role.WHY, "Keep your feet clear."),
    ("S13", Role.HAZARD, "Remember that it is hot."),
    ("S14", Role.FINISHED, "Remain in the cab."),
    ("S14", Role.FINISHED, "Everything is okay."),
    ("S14", Role.FINISHED, "End of the procedure."),
    ("S15", Role.STEP, "Check the tires."),
    ("S15", Role.STEP, "Make sure of the brakes."),
    ("S15", Role.ROLL_AGAIN, "Inspect the trailer."),
    ("S15", Role.STEP, "Set the mirror."),
    ("W6", Role.STEP, "Tighten the lashings."),
    ("W6", Role.WHY, "A Load Binder slips."),
    ("W6", Role.STEP, "Turn on the lamps."),
    ("W8", Role.NEVER, "Never drive on unless it is cool."),
    ("W8", Role.WHY, "It is not unsafe."),
    ("W8", Role.VALUE, "No fewer than 2 straps"),
    ("W8", Role.NEVER, "Never do not stop."),
    ("W10", Role.STEP, "Turn off the engine and/or fuel."),
    ("W10", Role.CUE, "Smoke / flames"),
    ("W11", Role.STEP, "Pull the EGR plug."),
    ("W11", Role.STEP, "Call on the CB."),
    ("W11", Role.STEP, "Read the ECMs."),
    ("W12", Role.STEP, "Wait 10."),
    ("W12", Role.STEP, "In front it is 4, elsewhere more."),
    ("W12", Role.STEP, "Hold it for five seconds."),
    ("W12", Role.STEP, "Walk ten feet."),
    ("W12", Role.STEP, "Walk 100 ft (33 m) back."),
    ("W12", Role.STEP, "Walk 30 m (100 ft) back."),
    ("W13", Role.CUE, "The gauge shows 230 °F."),
    ("W13", Role.TITLE, "Wind of 40 mph"),
    ("W13", Role.LOCAL_RULE, "State law says 200 ft."),
    ("W16", Role.TITLE, "How to stop"),
    ("W16", Role.CLUSTER_TITLE, "Distances."),
    ("W16", Role.BLOCK_TITLE, "Safety first"),
    ("T7", Role.STEP, "Stop. DO NOT GO BACK."),
    ("T7", Role.TITLE, "Tire Smoke Under Trailer"),
    ("S1", Role.TILE, "Stopped on a crossing"),
    ("W9", Role.WHY, "The trailer air brake line fitting leaks."),
    ("M2", Role.STOPPED, "Start here."),
]


@pytest.mark.parametrize(("rule", "role", "text"), KEPT)
def test_a_text_that_keeps_a_rule_is_left_alone(rule, role, text):
    assert [] == broken(rule, role, text)


@pytest.mark.parametrize(("rule", "role", "text"), BROKEN)
def test_a_text_that_breaks_a_rule_is_told(rule, role, text):
    assert broken(rule, role, text)


def test_each_rule_on_texts_is_tried_on_both_sides():
    """The others look at whole procedures; the faults beside this room break each of them."""
    whole = {"M1", "M3", "S3", "S4", "S5", "S10", "W7", "W1", "M4"}
    assert {rule.id for rule in RULES} - whole == {rule for rule, *_ in KEPT} == {rule for rule, *_ in BROKEN}


def test_a_short_form_is_told_once_and_only_until_it_is_explained():
    said = [
        Said("a", ("a",), Role.STEP, "Call on the citizens band radio (CB)."),
        Said("b", ("b",), Role.STEP, "Leave the CB on."),
    ]
    for texts, expected in ((said, []), (said[::-1], ["b"])):
        sheet = Sheet(tuple(texts), GLOSSARY, PROCEDURES["engine-smoke"])
        assert expected == [hit.address for hit in CHECKS["W11"].check(sheet)]


@pytest.mark.parametrize(("steps", "told"), [(8, False), (9, False), (10, True)])
def test_a_block_of_ten_steps_is_too_long(steps, told):
    procedure = PROCEDURES["engine-smoke"]
    step = procedure.blocks[0].steps[1]
    block = procedure.blocks[0].model_copy(update={"steps": (step,) * steps})
    hits = hits_on(procedure.model_copy(update={"blocks": (block,)}), GLOSSARY)
    assert told == ("S4" in {rule.id for rule, _ in hits})


@pytest.mark.parametrize(("count", "expected"), [(3, []), (4, [True]), (5, [False])])
def test_four_lines_by_heart_are_advice_and_five_a_fault(count, expected):
    procedure = PROCEDURES["wheel-wobble"]
    lines = tuple(procedure.by_heart[0].model_copy(update={"id": f"l{i}"}) for i in range(count))
    hits = hits_on(procedure.model_copy(update={"by_heart": lines}), GLOSSARY)
    assert expected == [hit.advice for rule, hit in hits if rule.id == "M3"]


@pytest.mark.parametrize(("each", "told"), [(74, False), (75, False), (76, True)])
def test_a_block_is_read_aloud_in_ninety_seconds(each, told):
    """225 words at 150 a minute are 90 s."""
    procedure = PROCEDURES["engine-smoke"]
    step = procedure.blocks[0].steps[1].model_copy(update={"do": words(each)})
    block = procedure.blocks[0].model_copy(update={"steps": (step,) * 3})
    hits = hits_on(procedure.model_copy(update={"blocks": (block,)}), GLOSSARY)
    assert told == ("S5" in {rule.id for rule, _ in hits})


def test_a_waiver_sets_aside_one_rule_for_one_text_and_is_reported():
    procedure = PROCEDURES["engine-smoke"].model_copy(update={"tile": "Smoke or fire here", "title": "A/B"})
    waiver = Waiver(at="tile", rule="S1", reason="Drivers know it by this name.")
    waived = procedure.model_copy(update={"waive": (waiver,)})
    assert ["S1"] == [used.waiver.rule for used in used_waivers(waived, GLOSSARY)]
    assert "the tile has 4 words; 3 is the most" == used_waivers(waived, GLOSSARY)[0].wrong
    assert () == used_waivers(procedure, GLOSSARY)


def test_a_waiver_hides_nothing_else(tmp_path):
    from forty_paces.authoring.library import inspect_project

    from tests.faults.projects import project_with

    path = "content/procedures/engine-smoke.yml"
    text = (BASE / path).read_text().replace("tile: Engine smoke", "tile: Smoke and/or fire here")
    waiver = "waive:\n  - {at: tile, rule: S1, reason: Drivers know it by this name.}\n"
    project = project_with(tmp_path, path, text + waiver)
    assert ["W10"] == [finding.rule for finding in inspect_project(project, TODAY).findings]


def test_rule_ids_are_unique_and_say_what_they_want():
    assert len({rule.id for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.says.endswith(".")
        assert rule.check.__doc__.startswith(f"{rule.id}: ")


def test_rules_that_guard_lives_cannot_be_waived():
    fixed = {rule.id for rule in RULES if not rule.waivable}
    assert {"M1", "M2", "M3", "S3", "S10", "W13"} == fixed
