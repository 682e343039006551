"""The shipped lessons: every procedure family is taught, and each lesson follows research on learning.

Sources: IES practice guide NCER 2007-2004 (recommendations 1, 2 and 5b), Dunlosky et al. 2013.
"""

import pytest
from forty_paces.geometry.records import RoadKind
from forty_paces.outputs.classroom.lesson_view import Session, SlideKind, deck, mixed_slides
from forty_paces.outputs.classroom.lessons import decks, lesson_context
from forty_paces.outputs.classroom.placing_tasks import scene_task
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.lesson_samples import CONTEXT, PROJECT, real_decks, real_library
from tests.rule_files import under_rules

LIBRARY = real_library()
LESSONS = tuple(LIBRARY.lessons.values())


def test_every_family_and_every_procedure_has_a_lesson():
    assert {procedure.family for procedure in LIBRARY.procedures} == {lesson.family for lesson in LESSONS}
    taught = [name for lesson in LESSONS if not lesson.lists for name in lesson.procedures]
    assert sorted(procedure.id for procedure in LIBRARY.procedures) == sorted(taught)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.id)
def test_a_lesson_opens_closed_book_with_the_box_of_every_procedure_it_teaches(lesson):
    assert lesson.procedures == lesson.recall.by_heart
    first = real_decks()[lesson.id].slides[1]
    assert (SlideKind.BY_HEART, "Closed book") == (first.kind, first.part)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.id)
def test_every_question_shows_answer_reason_and_the_procedures_own_line(lesson):
    texts = lesson_context(CONTEXT).texts
    asked = [slide for slide in real_decks()[lesson.id].slides if slide.kind is SlideKind.QUESTION]
    assert asked
    for slide in asked:
        (answer,) = slide.reveals
        assert answer.answer
        assert answer.why
        assert texts[answer.line.key] == answer.line.text
        assert all(option.right or option.correction for option in answer.options)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.id)
def test_worked_comes_before_part_done_and_part_done_before_an_own_attempt(lesson):
    order = ["Worked example", "Part-done example", "Your own attempt"]
    parts = [slide.part for slide in real_decks()[lesson.id].slides if slide.part in order]
    assert set(order) == set(parts)
    assert sorted(parts, key=order.index) == parts


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.id)
def test_the_emergency_is_asked_before_the_action(lesson):
    for slide in real_decks()[lesson.id].slides:
        if slide.kind is SlideKind.WHICH:
            which, first = slide.reveals
            assert "which it is" in which.label
            assert first.line is not None
            assert 1 == sum(option.right for option in slide.options)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.id)
@pytest.mark.parametrize("session", [Session.WEEK, Session.MONTH])
def test_a_return_begins_with_the_boxes_and_asks_only_what_was_asked(lesson, session):
    shown = real_decks()[lesson.id].session(session)
    boxes = len(lesson.recall.by_heart)
    assert ["start", *(f"by-heart-{name}" for name in lesson.recall.by_heart)] == [
        slide.id for slide in shown[: boxes + 1]
    ]
    assert "close" == shown[-1].id
    assert all(slide.reveals for slide in shown[1:-1])
    assert any(slide.kind is SlideKind.WHICH for slide in shown)


def test_the_right_choice_stands_at_every_letter_somewhere():
    letters = {
        option.letter
        for one in real_decks().values()
        for slide in one.slides
        for option in slide.options
        if option.right
    }
    assert {"A", "B", "C"} <= letters


def test_the_placing_lesson_covers_every_kind_of_road_and_of_hidden_view():
    lesson = LIBRARY.lessons["devices"]
    rules = LIBRARY.rules["us"].rule_set
    tasks = [scene_task(rules, LIBRARY.scenes[example.scene]) for example in lesson.placing]
    assert set(RoadKind) == {task.scene.kind for task in tasks}
    hidden_by = {side.hidden_by for task in tasks for side in task.solved.sides if side.hidden_by}
    assert any("slope" in name or "rock" in name for name in hidden_by), "a curve"
    assert any("trailer" in name for name in hidden_by), "an obstruction"
    assert any("road" in name or "surface" in name for name in hidden_by), "a hill"
    assert any("house" in blocker.title for task in tasks for blocker in task.scene.blockers), "a town street"
    assert any(one.moved for task in tasks for one in task.expected)


def test_placing_slides_carry_computed_distances_and_no_typed_ones():
    slide = next(slide for slide in real_decks()["devices"].slides if slide.id == "place-crest")
    where, side, why, how_many = slide.reveals
    assert "How many can stop" == how_many.label
    assert "Heights" in side.drawing, "a crest is explained from the side"
    placed = scene_task(LIBRARY.rules["us"].rule_set, LIBRARY.scenes["drover-crest"])
    assert [f"{one.distance_ft} ft" for one in placed.expected] == [
        device.answer.partition(" (")[0] for device in why.devices
    ]
    assert "moved out" in where.drawing
    assert "moved out" not in slide.drawing
    assert ("10 ft behind", "100 ft ahead") == slide.given, "the device that moves is not given away"
    assert "To stop takes 503 ft from behind, 470 ft from ahead." in slide.situation
    assert slide.drawing.count('class="fp-device-place"') == len(slide.given)


def test_a_bend_that_also_rises_is_asked_from_above():
    slide = next(slide for slide in real_decks()["devices"].slides if slide.id == "place-ramp")
    assert "fp-blank" in slide.drawing
    assert "fp-profile" not in slide.drawing


def test_the_mixed_set_holds_every_cue_once_in_three_orders():
    slides = mixed_slides(real_decks().values())
    cues = [slide for slide in slides if slide.kind is SlideKind.WHICH]
    assert sum(len(lesson.mixed) for lesson in LESSONS) == len({slide.id for slide in cues})
    orders = [[slide.id for slide in sorted(cues, key=lambda s: s.turns[session])] for session in Session]
    assert len({tuple(order) for order in orders}) == 3
    assert all(set(order) == {slide.id for slide in cues} for order in orders)


def test_the_same_lesson_gives_the_same_slides():
    lesson = LIBRARY.lessons["tires"]
    lookup = lesson_context(CONTEXT)
    assert deck(lesson, lookup) == deck(lesson, lookup)


def test_no_lesson_claims_a_limit_to_attention():
    """Wilson and Korn 2007 found no support for a limit of ten or fifteen minutes."""
    for lesson in LESSONS:
        assert "attention" not in lesson.model_dump_json()


def placing_slides_under(rules_id):
    """The placing slides of every lesson for a carrier with another rule set."""
    context = BuildContext(under_rules(rules_id, LIBRARY), PROJECT / "site_overrides")
    return [slide for one in decks(context) for slide in one.slides if slide.kind is SlideKind.PLACING]


@pytest.mark.parametrize("rules_id", sorted(LIBRARY.rules))
def test_placing_is_asked_in_good_english_under_every_rule_set(rules_id):
    """Some require one device, some three, and some forbid any on a motorway."""
    rules = LIBRARY.rules[rules_id].rule_set
    for slide in placing_slides_under(rules_id):
        (example,) = [e for lesson in LESSONS for e in lesson.placing if e.id == slide.id]
        count = len(scene_task(rules, LIBRARY.scenes[example.scene]).expected)
        shown = min(example.solved, count)
        words = {2: "two", 3: "three", 4: "four"}
        if not count:
            expected = "This rule puts no device here. Why?"
        elif shown == count:
            expected = "Placed for you." if count == 1 else f"Placed for you: all {words[count]}."
        elif not shown:
            expected = (
                "Where does the device go?" if count == 1 else f"Where do the {words[count]} devices go?"
            )
        else:
            left = count - shown
            expected = "Where does the last one go?" if left == 1 else f"Where do the other {words[left]} go?"
        assert slide.title == expected


def test_where_a_rule_forbids_devices_the_answer_is_the_ban():
    bans = [
        slide for slide in placing_slides_under("uk") if slide.title.startswith("This rule puts no device")
    ]
    assert bans
    ban = next(layout.forbidden for layout in LIBRARY.rules["uk"].layouts if layout.forbidden)
    assert all(ban in slide.reveals[-1].why for slide in bans)
