"""What a wording rule is: a name, a claim, and one small check.

In: one procedure with its texts and the site's words. Out: hits, which the
registry turns into findings. Refuses to know files and lines.
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
    """Texts that are read together, of a procedure or of anything else."""

    texts: tuple[DriverText, ...]
    "In reading order."
    glossary: Glossary

    def of(self, *roles: Role) -> Iterator[DriverText]:
        """The texts that have one of these roles."""
        return (said for said in self.texts if said.role in roles)


@dataclass(frozen=True, slots=True)
class ProcedureTexts(TextGroup):
    """One procedure as the rules see it."""

    procedure: Procedure


@dataclass(frozen=True, slots=True)
class Violation:
    """One place where a rule is broken."""

    address: str
    loc: Loc
    wrong: str
    fix: str
    advice: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule with its check."""

    name: str
    "In words, as the page on writing procedures, findings and waivers have it: condition-first. Stable."
    says: str
    "The rule in one line."
    write: str
    "What to write to keep it, in one line."
    check: Callable[[ProcedureTexts], Iterator[Violation]]
    advice: bool = False
    "True where it is only ever reported and never stops a build."
    waivable: bool = True
    "False where no reason can outweigh it: a figure without a source, five actions by heart."


def violation(said: DriverText, wrong: str, fix: str, *, advice: bool = False) -> Violation:
    """A hit on one text."""
    return Violation(said.address, said.loc, wrong, fix, advice)
