"""Every procedure is asked about in a lesson, and so are the lists before the trip and after the event."""

from collections import Counter

from tests.outputs.classroom.lesson_samples import real_library

LIBRARY = real_library()


def asked() -> Counter[str]:
    """How many questions rest on a line of each procedure and list."""
    questions = (question for lesson in LIBRARY.lessons.values() for _, question in lesson.questions())
    return Counter(question.step.partition("/")[0] for question in questions)


def test_every_procedure_has_two_questions_in_lessons_that_teach_it() -> None:
    taught = {name for lesson in LIBRARY.lessons.values() for name in lesson.procedures}
    assert taught == {procedure.id for procedure in LIBRARY.procedures}
    assert [] == [procedure.id for procedure in LIBRARY.procedures if asked()[procedure.id] < 2]


def test_both_lists_have_a_lesson_with_a_question_from_most_of_their_parts() -> None:
    assert {"before-trip", "after-event"} <= set(asked())
    steps = [q.step for lesson in LIBRARY.lessons.values() for _, q in lesson.questions()]
    for name in ("before-trip", "after-event"):
        parts = {step.split("/")[1] for step in steps if step.startswith(f"{name}/")}
        assert len(parts) >= 4, (name, parts)
