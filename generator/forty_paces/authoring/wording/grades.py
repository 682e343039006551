"""Selects the texts whose reading grade is measured together, and the limits.

One line of eight words is too short for a meaningful grade; all instructions of a procedure
together, or its whole page, are long enough.
"""

from __future__ import annotations

from forty_paces.authoring.texts import Role
from forty_paces.authoring.wording.rule import ProcedureTexts

STEP_GRADE = 6.0
PAGE_GRADE = 8.0

_NO_SENTENCES = (
    *(Role.TITLE, Role.TILE, Role.NEED, Role.BLOCK_TITLE, Role.DECISION_TITLE, Role.CLUSTER_TITLE),
    *(Role.LABEL, Role.VALUE, Role.ANSWER),
)


def step_texts(sheet: ProcedureTexts) -> list[str]:
    """By-heart lines, steps and the lines of alternatives."""
    return [driver_text.text for driver_text in sheet.of(Role.BY_HEART, Role.STEP, Role.OTHER_WAY)]


def page_texts(sheet: ProcedureTexts) -> list[str]:
    """Every text that consists of sentences."""
    return [driver_text.text for driver_text in sheet.texts if driver_text.role not in _NO_SENTENCES]
