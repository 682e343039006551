"""Types of the wording rules: a rule, its input and its violations.

A check works on the texts of one procedure and the glossary, without files and lines; the
registry converts its violations to findings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.texts import DriverText, Role


@dataclass(frozen=True, slots=True)
class TextGroup:
    """Texts that are checked together, of a procedure or another file."""

    texts: tuple[DriverText, ...]
    "In reading order."
    glossary: Glossary

    def of(self, *roles: Role) -> Iterator[DriverText]:
        """The texts with one of these roles."""
        return (text for text in self.texts if text.role in roles)


@dataclass(frozen=True, slots=True)
class ProcedureTexts(TextGroup):
    """The texts of a procedure, with the procedure itself."""

    procedure: Procedure


@dataclass(frozen=True, slots=True)
class Violation:
    """One violation of a rule."""

    address: str
    loc: Loc
    wrong: str
    fix: str
    advice: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """A named rule with its check."""

    name: str
    "Stable name used in findings, waivers and the page on writing procedures: condition-first."
    says: str
    "The rule, in one line."
    write: str
    "What to write instead, in one line."
    check: Callable[[ProcedureTexts], Iterator[Violation]]
    advice: bool = False
    "True if it never stops a build."
    waivable: bool = True
    "False if no reason can outweigh it, as for a figure without a source or five actions by heart."


def violation(driver_text: DriverText, wrong: str, fix: str, *, advice: bool = False) -> Violation:
    """A violation in one text."""
    return Violation(driver_text.address, driver_text.loc, wrong, fix, advice)
