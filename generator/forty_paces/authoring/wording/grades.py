"""Which texts are measured together for their reading grade.

In: a sheet. Out: texts. One line of eight words has no grade worth the name;
all orders of a procedure together have one, and so has its whole page.
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
    """What is known by heart and what is read and done."""
    return [said.text for said in sheet.of(Role.BY_HEART, Role.STEP, Role.OTHER_WAY)]


def page_texts(sheet: ProcedureTexts) -> list[str]:
    """Every text that is a sentence."""
    return [said.text for said in sheet.texts if said.role not in _NO_SENTENCES]
