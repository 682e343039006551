"""The trainer's page: saving and wiping the scores of a device, and when lessons are due again."""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.messages.classroom_answers import LEARNER, SCORES
from forty_paces.outputs.classroom.standalone import (
    ANSWERING,
    KEEPING,
    classroom_modules,
    standalone_page,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

SCRIPTS = ("measure", "score_rows", *KEEPING, "due_state", *ANSWERING, "trainer")


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page."""
    yield Artifact("classroom/trainer.html", trainer_html(context))


def trainer_html(context: BuildContext) -> str:
    """The complete page."""
    lessons = tuple(context.library.lessons.values())
    return standalone_page(
        context,
        "classroom/trainer.html.j2",
        styles=("css/classroom.css",),
        modules=classroom_modules(SCRIPTS),
        lessons=lessons,
        data_json=inline_json({"words": {**LEARNER, **SCORES}}),
    )
