"""Each wording rule on valid and invalid sentences, limits tested below, at and above.

Sources of the rules: ASD-STE100 (sentence length, one instruction, imperative,
condition first), US federal plain-language guidelines (must, active, if-then
tables, slashes), DOE-STD-1029 (timed steps with a fallback), CAP 676 (few
actions by heart).
"""

import re
from pathlib import Path

import forty_paces
import pytest
from forty_paces.authoring.checks import NAMED_CHECKS
from forty_paces.authoring.checks.reviews import OVERDUE
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.glossary import Abbreviation, Glossary, Term
from forty_paces.authoring.models.procedure import Waiver
from forty_paces.authoring.texts import DriverText, Role
from forty_paces.authoring.wording.misread import LIST, no_misread_words
from forty_paces.authoring.wording.registry import RULES, used_waivers, violations_of
from forty_paces.authoring.wording.rule import ProcedureTexts, TextGroup

from tests.faults.projects import BASE, TODAY

GLOSSARY = Glossary(
    terms=(
        Term(id="tie-down", term="tie-down", meaning="A strap.", instead_of=("lashing", "load binder")),
        Term(id="lamp", term="hazard lamp", meaning="A lamp.", instead_of=("lamp", "blinker")),
    ),
    abbreviations=(Abbreviation(short="CB", long="citizens band radio"),),
)
PROCEDURES = {procedure.id: procedure for procedure in load_library(BASE, TODAY).procedures}
CHECKS = {rule.name: rule for rule in RULES}


def broken(rule, role, text):
    """Whether one text in one role violates a rule; advice counts."""
    sheet = ProcedureTexts((DriverText("x", ("x",), role, text),), GLOSSARY, PROCEDURES["engine-smoke"])
    return [hit.wrong for hit in CHECKS[rule].check(sheet) if hit.address == "x"]


def words(count):
    return " ".join(["Walk", *["on"] * (count - 1)]) + "."


@pytest.mark.parametrize(
    ("rule", "role", "limit"),
    [
        ("short-sentence", Role.STEP, 20),
        ("short-sentence", Role.NEVER, 20),
        ("short-sentence", Role.WHY, 25),
        ("short-sentence", Role.FINISHED, 25),
        ("short-by-heart", Role.BY_HEART, 10),
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
    ("no-misread-words", Role.STEP, "Wait on the slope beside the road."),
    ("no-misread-words", Role.STEP, "Spray the extinguisher through the grille."),
    ("no-misread-words", Role.STEP, "Walk past the trailer."),
    ("no-misread-words", Role.STEP, "Stop before the rail."),
    ("no-misread-words", Role.STEP, "Keep to the center of your lane."),
    ("no-misread-words", Role.STEP, "Countersteer at once."),
    ("no-misread-words", Role.STEP, "Use 2 tie-downs for the first 10 ft of length."),
    ("no-misread-words", Role.STEP, "Call 911 first, then dispatch."),
    ("no-misread-words", Role.STEP, "If the shoulder is not free, slow down."),
    ("verb-first", Role.STEP, "Turn off the engine."),
    ("verb-first", Role.STEP, "Slowly ease off the brake."),
    ("verb-first", Role.STEP, "If smoke still rises, stay away."),
    ("verb-first", Role.STEP, "With the wheel straight, brake gently."),
    ("verb-first", Role.STEP, "Do not stand in the lane."),
    ("verb-first", Role.STEP, "At a rail crossing, at night, walk toward the train."),
    ("verb-first", Role.STEP, "Once the drum is cold, feel it."),
    ("verb-first", Role.NEVER, "Never pour water on it."),
    ("verb-first", Role.NEVER, "Do not pour water on it."),
    ("active-voice", Role.STEP, "If the trailer is loaded, leave it."),
    ("active-voice", Role.STEP, "Stay there until the road is closed by police."),
    ("active-voice", Role.WHY, "Heat is stored in the drum."),
    ("plain-duty", Role.WHY, "You must stop here, and you must not smoke."),
    ("condition-first", Role.STEP, "If it burns, run."),
    ("condition-first", Role.STEP, "Ask dispatch at once whether a test is due."),
    ("condition-first", Role.STEP, "Drive on only when the gauge holds."),
    ("condition-first", Role.STEP, "Wait until the drum is cold."),
    ("condition-first", Role.REPORT, "Note when you stopped."),
    ("one-action", Role.STEP, "Put on the vest and gloves."),
    ("one-action", Role.STEP, "Look at the lamps and brake lights."),
    ("one-action", Role.STEP, "Hold the wheel while you brake."),
    ("one-action", Role.STEP, "Do one of these: call, or wave."),
    ("one-action", Role.STEP, "Walk behind the rail, back or front."),
    ("one-action", Role.STEP, "If it burns, remove the key."),
    ("one-action", Role.STEP, "Put out triangles, never fusees."),
    ("one-action", Role.STEP, "Tell dispatch your name, place and load."),
    ("visible-condition", Role.STEP, "If smoke rises, stay away."),
    ("visible-condition", Role.SEE, "flames show"),
    ("reasons-inform", Role.WHY, "Brake heat stays in the drum."),
    ("reasons-inform", Role.WHY, "Water boils under the cap."),
    ("reasons-inform", Role.HAZARD, "Traffic passes close to your door."),
    ("visible-finish", Role.FINISHED, "No smoke shows, and the crew has told you the wheel is safe."),
    ("visible-finish", Role.FINISHED, "Three triangles stand on the road."),
    ("wanted-state", Role.STEP, "Set the parking brake."),
    ("wanted-state", Role.STEP, "Set out the triangles."),
    ("wanted-state", Role.STEP, "Check that no fuel drips."),
    ("wanted-state", Role.STEP, "Check the gauge for 100 psi."),
    ("one-term", Role.STEP, "Turn on the hazard lamp."),
    ("one-term", Role.STEP, "Tighten each tie-down."),
    ("one-term", Role.STEP, "Splashing water helps."),
    ("no-double-negative", Role.STEP, "Never stand in the lane."),
    ("no-double-negative", Role.WHY, "Under the hood it is not cool."),
    ("no-slash", Role.VALUE, "60 mi/h or 100 km/h, and 4/32 in of tread"),
    ("no-slash", Role.VALUE, "Rated 10 B:C"),
    ("short-form-explained", Role.STEP, "Call on the citizens band radio (CB)."),
    ("short-form-explained", Role.STEP, 'Turn the switch to "PARK".'),
    ("short-form-explained", Role.WHY, "A WARNING tells of harm that could come. OK?"),
    ("digits-with-unit", Role.STEP, "Walk 100 ft (30 m) back, 40 paces."),
    ("digits-with-unit", Role.STEP, "Walk 500 ft (150 m) back."),
    ("digits-with-unit", Role.STEP, "Call 911 or 555-0142."),
    ("digits-with-unit", Role.STEP, "Wait 10 to 15 min."),
    ("digits-with-unit", Role.VALUE, "1 for each 10 ft of cargo, and always at least 2"),
    ("digits-with-unit", Role.VALUE, "62 of 100 highway vehicle fires"),
    ("digits-with-unit", Role.STEP, "Take exit 12 to I-80, and read card FLM3, step 4."),
    ("digits-with-unit", Role.STEP, "Put out three triangles."),
    ("digits-with-unit", Role.WHY, "The ten-minute rule waits for no one."),
    ("cited-figure", Role.FINISHED, "You have called 911."),
    ("cited-figure", Role.LOCAL_RULE, "49 CFR 392.22(b)(1) and state law rule here."),
    ("cited-figure", Role.NEED, "Three triangles"),
    ("cited-figure", Role.STEP, "Walk 100 ft."),
    ("heading-form", Role.TITLE, "Tire smoke or fire"),
    ("heading-form", Role.BLOCK_TITLE, "Get everyone clear"),
    ("sentence-case", Role.TITLE, "Stopped on a rail crossing"),
    ("sentence-case", Role.STEP, "Look for a DANGER or WARNING sign."),
    ("short-tile", Role.TILE, "On a crossing"),
    ("short-answer", Role.ANSWER, "There is a way off"),
    ("short-answer", Role.ANSWER, "Yes, there is a way"),
    ("alternatives-together", Role.STEP, "Do one of these: call, or wave."),
    ("no-noun-chain", Role.WHY, "The front brake drum is hot."),
    ("no-noun-chain", Role.WHY, "The driver who sees it stops at once."),
    ("stopped-line", Role.STOPPED, "After you have stopped in the open, start here."),
    ("stopped-line", Role.STOPPED, "Once the vehicle has stopped, start here."),
]

BROKEN = [
    ("no-misread-words", Role.STEP, "Wait behind a guardrail or up a bank."),
    ("no-misread-words", Role.STEP, "Shoot through the grille."),
    ("no-misread-words", Role.STEP, "Never fix a lit fusee to the vehicle."),
    ("no-misread-words", Role.STEP, "Get the brakes mended."),
    ("no-misread-words", Role.STEP, "Shift down while the gear still goes in."),
    ("no-misread-words", Role.STEP, "If it is unsafe, stop short."),
    ("no-misread-words", Role.STEP, "Stay parked until the sign goes dark."),
    ("no-misread-words", Role.STEP, "Make one clear turn back and a countersteer."),
    ("no-misread-words", Role.STEP, "Wait until you can see across it."),
    ("no-misread-words", Role.STEP, "Pump the pedal while you ease the parking brake on."),
    ("no-misread-words", Role.STEP, "Ease the cool cap until the hiss ends."),
    ("no-misread-words", Role.STEP, "Move the far device past it, 100 to 500 ft."),
    ("no-misread-words", Role.STEP, "Keep everybody from going past that wheel."),
    ("no-misread-words", Role.STEP, "Walk the last 200 ft behind the vehicle."),
    ("no-misread-words", Role.STEP, "Place the next 100 ft behind."),
    ("no-misread-words", Role.STEP, "Watch the water on the road until it falls."),
    ("no-misread-words", Role.STEP, "Never stand on the side away from the wind."),
    ("no-misread-words", Role.STEP, "If not, make one clear turn back."),
    ("no-misread-words", Role.STEP, "Start here with the lean no worse."),
    ("no-misread-words", Role.STEP, "Let nobody past the smoking wheel."),
    ("no-misread-words", Role.STEP, "Reach in from the side, feet clear."),
    ("no-misread-words", Role.STEP, "Make a short try on the way."),
    ("no-misread-words", Role.STEP, "Let go, and do the same each time."),
    ("no-misread-words", Role.STEP, "Call dispatch after 911."),
    ("no-misread-words", Role.STEP, "Tell what the center asks for."),
    ("no-misread-words", Role.STEP, "Rest until the fog lifts."),
    ("no-misread-words", Role.STEP, "Watch for ground that gives way."),
    ("no-misread-words", Role.STEP, "Wait until the alarm goes off."),
    ("no-misread-words", Role.STEP, "Pull up at the sign."),
    ("verb-first", Role.STEP, "The engine must be off."),
    ("verb-first", Role.STEP, "You turn off the engine."),
    ("verb-first", Role.STEP, "Driving lamps on."),
    ("verb-first", Role.STEP, "If smoke still rises stay away."),
    ("verb-first", Role.NEVER, "Pouring water is bad."),
    ("active-voice", Role.STEP, "Let the fire be fought by the crew."),
    ("active-voice", Role.BY_HEART, "Keep from being hit."),
    ("active-voice", Role.WHY, "The tire was cut by the rim."),
    ("active-voice", Role.STEP, "Wait, and be told by the crew."),
    ("plain-duty", Role.LOCAL_RULE, "The driver shall stop."),
    ("plain-duty", Role.NEVER, "Never park where you are required to move."),
    ("condition-first", Role.STEP, "Run if it burns."),
    ("condition-first", Role.STEP, "Stop, unless traffic is close."),
    ("condition-first", Role.BY_HEART, "Brake when the speed is low."),
    ("condition-first", Role.STEP, "Look if it drips."),
    ("one-action", Role.STEP, "Turn off the engine and get out."),
    ("one-action", Role.STEP, "Turn off the engine, then walk back."),
    ("one-action", Role.STEP, "Turn off the engine; walk back."),
    ("one-action", Role.STEP, "Turn off the engine, remove the key."),
    ("one-action", Role.STEP, "If it burns, turn off the engine, and get out."),
    ("one-action", Role.BY_HEART, "Hold the wheel and brake gently."),
    ("one-action", Role.STEP, "Turn off the engine. If it runs on, pull the stop."),
    ("one-action", Role.STEP, "Keep the cap on. Do not open it."),
    ("visible-condition", Role.STEP, "If necessary, move back."),
    ("visible-condition", Role.AVOID, "Stay back as required."),
    ("visible-condition", Role.SEE, "if flames show"),
    ("visible-condition", Role.CHOICE, "then stay away"),
    ("alternatives-together", Role.STEP, "Or wave to drivers."),
    ("reasons-inform", Role.WHY, "Keep your feet clear."),
    ("reasons-inform", Role.HAZARD, "Remember that it is hot."),
    ("visible-finish", Role.FINISHED, "Remain in the cab."),
    ("visible-finish", Role.FINISHED, "Everything is okay."),
    ("visible-finish", Role.FINISHED, "End of the procedure."),
    ("wanted-state", Role.STEP, "Check the tires."),
    ("wanted-state", Role.STEP, "Make sure of the brakes."),
    ("wanted-state", Role.ROLL_AGAIN, "Inspect the trailer."),
    ("wanted-state", Role.STEP, "Set the mirror."),
    ("one-term", Role.STEP, "Tighten the lashings."),
    ("one-term", Role.WHY, "A Load Binder slips."),
    ("one-term", Role.STEP, "Turn on the lamps."),
    ("no-double-negative", Role.NEVER, "Never drive on unless it is cool."),
    ("no-double-negative", Role.WHY, "It is not unsafe."),
    ("no-double-negative", Role.VALUE, "No fewer than 2 straps"),
    ("no-double-negative", Role.NEVER, "Never do not stop."),
    ("no-slash", Role.STEP, "Turn off the engine and/or fuel."),
    ("no-slash", Role.CUE, "Smoke / flames"),
    ("short-form-explained", Role.STEP, "Pull the EGR plug."),
    ("short-form-explained", Role.STEP, "Call on the CB."),
    ("short-form-explained", Role.STEP, "Read the ECMs."),
    ("digits-with-unit", Role.STEP, "Wait 10."),
    ("digits-with-unit", Role.STEP, "In front it is 4, elsewhere more."),
    ("digits-with-unit", Role.STEP, "Hold it for five seconds."),
    ("digits-with-unit", Role.STEP, "Walk ten feet."),
    ("digits-with-unit", Role.STEP, "Walk 100 ft (33 m) back."),
    ("digits-with-unit", Role.STEP, "Walk 30 m (100 ft) back."),
    ("cited-figure", Role.CUE, "The gauge shows 230 °F."),
    ("cited-figure", Role.TITLE, "Wind of 40 mph"),
    ("cited-figure", Role.LOCAL_RULE, "State law says 200 ft."),
    ("heading-form", Role.TITLE, "How to stop"),
    ("heading-form", Role.CLUSTER_TITLE, "Distances."),
    ("heading-form", Role.BLOCK_TITLE, "Safety first"),
    ("sentence-case", Role.STEP, "Stop. DO NOT GO BACK."),
    ("sentence-case", Role.TITLE, "Tire Smoke Under Trailer"),
    ("short-tile", Role.TILE, "Stopped on a crossing"),
    ("short-answer", Role.ANSWER, "Yes, there is a way off"),
    ("short-answer", Role.ANSWER, "No way off."),
    ("no-noun-chain", Role.WHY, "The trailer air brake line fitting leaks."),
    ("stopped-line", Role.STOPPED, "Start here."),
]


@pytest.mark.parametrize(("rule", "role", "text"), KEPT)
def test_a_text_that_keeps_a_rule_is_left_alone(rule, role, text):
    assert [] == broken(rule, role, text)


@pytest.mark.parametrize(("rule", "role", "text"), BROKEN)
def test_a_text_that_breaks_a_rule_is_reported(rule, role, text):
    assert broken(rule, role, text)


def test_each_rule_on_texts_is_tried_on_both_sides():
    """The other rules check whole procedures; the files in tests/faults violate each of them."""
    whole = {
        "by-heart-needed",
        "few-by-heart",
        "critical-first",
        "block-size",
        "block-time",
        "measured-step",
        "plain-reading",
        "short-sentence",
        "short-by-heart",
    }
    assert (
        {rule.name for rule in RULES} - whole == {rule for rule, *_ in KEPT} == {rule for rule, *_ in BROKEN}
    )


def test_a_short_form_is_reported_once_and_only_until_it_is_explained():
    said = [
        DriverText("a", ("a",), Role.STEP, "Call on the citizens band radio (CB)."),
        DriverText("b", ("b",), Role.STEP, "Leave the CB on."),
    ]
    for texts, expected in ((said, []), (said[::-1], ["b"])):
        sheet = ProcedureTexts(tuple(texts), GLOSSARY, PROCEDURES["engine-smoke"])
        assert expected == [hit.address for hit in CHECKS["short-form-explained"].check(sheet)]


@pytest.mark.parametrize(("steps", "reported"), [(8, False), (9, False), (10, True)])
def test_a_block_of_ten_steps_is_too_long(steps, reported):
    procedure = PROCEDURES["engine-smoke"]
    step = procedure.blocks[0].steps[1]
    block = procedure.blocks[0].model_copy(update={"steps": (step,) * steps})
    hits = violations_of(procedure.model_copy(update={"blocks": (block,)}), GLOSSARY)
    assert reported == ("block-size" in {rule.name for rule, _ in hits})


@pytest.mark.parametrize(("count", "expected"), [(3, []), (4, [True]), (5, [False])])
def test_four_lines_by_heart_are_advice_and_five_a_fault(count, expected):
    procedure = PROCEDURES["wheel-wobble"]
    lines = tuple(procedure.by_heart[0].model_copy(update={"id": f"l{i}"}) for i in range(count))
    hits = violations_of(procedure.model_copy(update={"by_heart": lines}), GLOSSARY)
    assert expected == [hit.advice for rule, hit in hits if rule.name == "few-by-heart"]


@pytest.mark.parametrize(("each", "reported"), [(74, False), (75, False), (76, True)])
def test_a_block_is_read_aloud_in_ninety_seconds(each, reported):
    """225 words at 150 words per minute take 90 s."""
    procedure = PROCEDURES["engine-smoke"]
    step = procedure.blocks[0].steps[1].model_copy(update={"do": words(each)})
    block = procedure.blocks[0].model_copy(update={"steps": (step,) * 3})
    hits = violations_of(procedure.model_copy(update={"blocks": (block,)}), GLOSSARY)
    assert reported == ("block-time" in {rule.name for rule, _ in hits})


def test_a_waiver_sets_aside_one_rule_for_one_text_and_is_reported():
    procedure = PROCEDURES["engine-smoke"].model_copy(update={"tile": "Smoke or fire here", "title": "A/B"})
    waiver = Waiver(at="tile", rule="short-tile", reason="Drivers know it by this name.")
    waived = procedure.model_copy(update={"waive": (waiver,)})
    assert ["short-tile"] == [used.waiver.rule for used in used_waivers(waived, GLOSSARY)]
    assert "the tile has 4 words; 3 is the most" == used_waivers(waived, GLOSSARY)[0].wrong
    assert () == used_waivers(procedure, GLOSSARY)


def test_a_waiver_hides_nothing_else(tmp_path):
    from forty_paces.authoring.library import inspect_project

    from tests.faults.projects import project_with

    path = "content/procedures/engine-smoke.yml"
    text = (BASE / path).read_text().replace("tile: Engine smoke", "tile: Smoke and/or fire here")
    waiver = "waive:\n  - {at: tile, rule: short-tile, reason: Drivers know it by this name.}\n"
    project = project_with(tmp_path, path, text + waiver)
    assert ["no-slash"] == [finding.rule for finding in inspect_project(project, TODAY).findings]


def test_rules_have_names_in_words_and_say_what_they_want_and_what_to_write():
    names = [rule.name for rule in RULES] + [check.name for check in NAMED_CHECKS]
    assert len(set(names)) == len(names)
    assert [] == [name for name in names if not re.fullmatch(r"[a-z]+(-[a-z]+)*", name)]
    for rule in (*RULES, *NAMED_CHECKS):
        assert rule.says.endswith(".")
        assert rule.write.endswith(".")


def test_every_name_that_a_finding_may_carry_is_on_the_page_on_writing_procedures():
    """The names are read from the source code: authors must be able to look up every name in a finding."""
    folder = Path(forty_paces.__file__).parent
    source = "\n".join(file.read_text(encoding="utf-8") for file in folder.rglob("*.py"))
    given = set(re.findall(r'(?<![-_])rule="([^"]+)"', source)) | {OVERDUE, "card-fits"}
    assert given - {rule.name for rule in RULES} <= {check.name for check in NAMED_CHECKS}
    assert {check.name for check in NAMED_CHECKS} <= given


def test_every_line_of_the_list_of_misread_words_is_tried():
    tried = " ".join(text for rule, _, text in BROKEN if rule == "no-misread-words")
    reached = {
        hit.fix for hit in no_misread_words(TextGroup((DriverText("x", (), Role.STEP, tried),), GLOSSARY))
    }
    assert [] == [line.words for line in LIST if line.write not in reached]
    assert [] == [line.words for line in LIST if re.search(r"[*+]|{\d+,}", line.pattern)]


def test_rules_that_guard_lives_cannot_be_waived():
    fixed = {rule.name for rule in RULES if not rule.waivable}
    assert {
        "by-heart-needed",
        "stopped-line",
        "few-by-heart",
        "critical-first",
        "measured-step",
        "cited-figure",
    } == fixed
