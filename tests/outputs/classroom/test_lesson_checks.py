"""A lesson that cannot be taught is rejected, with the place and what to write instead."""

import pytest
from forty_paces.authoring.models.lesson import Recall
from pydantic import ValidationError

from tests.outputs.classroom.lesson_samples import findings

FIRST_BANG_STEP = "step: steer-tire-blowout/by_heart/off-brake/do"


def test_a_shipped_lesson_has_no_finding(tmp_path):
    assert [] == findings(tmp_path, "tires")


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("answer", "      answer: They stay off the brake.\n"),
        ("why", "      why: A rolling vehicle with no brake on still goes where it is steered.\n"),
        ("step", f"      {FIRST_BANG_STEP}\n"),
    ],
)
def test_a_question_without_its_answer_reason_or_step_is_refused(tmp_path, key, line):
    """Immediate answer and reason: IES practice guide NCER 2007-2004 (5b); Kenney and Bailey 2021."""
    (finding,) = findings(tmp_path, "tires", (line, ""))
    assert f'the key "{key}" is missing' in finding
    assert 'in:   lesson "tires" > recall > question "first-bang"' in finding


def test_a_wrong_choice_without_its_correction_is_refused(tmp_path):
    line = "          correction: That takes one hand off the wheel just when you need both.\n"
    (finding,) = findings(tmp_path, "tires", (line, ""))
    assert 'the key "correction" is missing' in finding


def test_a_step_that_no_procedure_has_is_refused_and_the_nearest_named(tmp_path):
    (finding,) = findings(
        tmp_path, "tires", (FIRST_BANG_STEP, "step: steer-tire-blowout/by_heart/off-break/do")
    )
    assert finding.splitlines() == [
        'content/lessons/tires.yml:32:13: there is no line "steer-tire-blowout/by_heart/off-break/do" '
        "[line-known]",
        '    in:   lesson "tires" > recall > question "first-bang" > step',
        "    fix: point at a line that exists, such as steer-tire-blowout/by_heart/off-brake/do or "
        "steer-tire-blowout/by_heart/off-brake/why or steer-tire-blowout/by_heart/ease-off-straight/do",
    ]


def test_a_step_of_a_procedure_that_the_lesson_does_not_teach_is_refused(tmp_path):
    (finding,) = findings(tmp_path, "tires", (FIRST_BANG_STEP, "step: fog/by_heart/low-beams/do"))
    assert "a line of another procedure than this part teaches" in finding
    assert "fix: point at a line of steer-tire-blowout or rear-tire-blowout or off-road-wheels" in finding


def test_a_question_that_gives_its_answer_away_is_refused(tmp_path):
    finding = findings(
        tmp_path, "tires", ("ask: What do your feet do?", "ask: Why do they stay off the brake?")
    )
    assert any('the ask gives its answer away: "They stay off the brake."' in one for one in finding)


def test_a_choice_offered_twice_is_refused(tmp_path):
    change = ("text: Push the clutch in and shift down.", "text: They stay off the brake!")
    (finding,) = findings(tmp_path, "tires", change)
    assert 'the choice "They stay off the brake!" is offered twice [distinct-choice]' in finding


def test_a_cue_that_names_its_emergency_is_refused(tmp_path):
    old = "cue: You stopped ten minutes ago with a flat. Now thin smoke comes from that wheel."
    (finding,) = findings(tmp_path, "tires", (old, "cue: There is a tire fire at the rear."))
    assert 'the cue names the emergency: "Tire fire" [distinct-emergency]' in finding


def test_an_emergency_mistaken_for_itself_is_refused(tmp_path):
    old = "      - procedure: trailer-skid\n        correction: A skid comes without"
    new = "      - procedure: rear-tire-blowout\n        correction: A skid comes without"
    (finding,) = findings(tmp_path, "tires", (old, new))
    assert '"rear-tire-blowout" is the right answer here, not a mistake [distinct-emergency]' in finding


def test_examples_that_do_not_fade_from_solved_to_unsolved_are_refused(tmp_path):
    """IES practice guide, recommendation 2, and the faded worked examples of cognitive load research."""
    (finding,) = findings(tmp_path, "tires", ("    solved: 3\n", "    solved: 2\n"))
    assert "the examples do not go all the way from solved to unsolved [fading]" in finding
    finding = findings(tmp_path, "tires", ("    solved: 0\n", "    solved: 3\n"))
    assert any("solved further than the one before it [fading]" in one for one in finding)


def test_a_placing_lesson_needs_solved_part_solved_and_two_own_attempts(tmp_path):
    text = "solved: 0, step: warning-devices/facts/distances/items/divided-set/value}"
    changes = [(text, text.replace("solved: 0", "solved: 1"))]
    changes += [("scene: mercer-street\n    solved: 0", "scene: mercer-street\n    solved: 1")]
    changes += [("scene: bottomland-fog\n    solved: 0", "scene: bottomland-fog\n    solved: 1")]
    finding = findings(tmp_path, "devices", *changes)
    assert any("need a solved one, a part-solved one and two own attempts [fading]" in one for one in finding)


def test_a_return_to_a_question_that_was_never_asked_is_refused(tmp_path):
    (finding,) = findings(tmp_path, "tires", ("week: [first-bang,", "week: [first-bank,"))
    assert '"first-bank" is no question that this lesson asks [return-asked]' in finding
    assert "(closest: first-bang)" in finding


def test_a_step_that_was_shown_solved_cannot_be_asked_again_as_if_it_had_been_a_question(tmp_path):
    (finding,) = findings(tmp_path, "tires", ("week: [first-bang,", "week: [only-flat-see,"))
    assert '"only-flat-see" is no question that this lesson asks' in finding


def test_an_id_used_twice_is_refused_with_the_line_of_the_other(tmp_path):
    (finding, *_) = findings(tmp_path, "tires", ("- id: hands\n", "- id: first-bang\n"))
    assert 'the id "first-bang" is used twice in this lesson' in finding
    assert "the other stands in line" in finding


def test_procedures_and_scenes_must_exist(tmp_path):
    (finding,) = findings(tmp_path, "devices", ("scene: drover-crest", "scene: drover-crestt"))
    assert 'there is no scene "drover-crestt"' in finding
    assert "(closest: drover-crest)" in finding
    finding = findings(tmp_path, "tires", ("procedure: trailer-skid", "procedure: trailer-slide"))
    assert any('there is no procedure "trailer-slide"' in one for one in finding)


def test_a_recall_that_asks_nothing_is_refused():
    with pytest.raises(
        ValidationError, match="the recall asks nothing; name a by-heart box or write a question"
    ):
        Recall(by_heart=(), questions=())


def test_a_lesson_cannot_take_the_name_of_another_page(tmp_path):
    finding = findings(tmp_path, "tires", ("id: tires", "id: placing"))
    assert any('the name "placing" belongs to another page of the classroom' in one for one in finding)
