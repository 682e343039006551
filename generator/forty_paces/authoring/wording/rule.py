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
from forty_paces.authoring.texts import Role, Said


@dataclass(frozen=True, slots=True)
class Page:
    """Texts that are read together, of a procedure or of anything else."""

    texts: tuple[Said, ...]
    "In reading order."
    glossary: Glossary

    def of(self, *roles: Role) -> Iterator[Said]:
        """The texts that have one of these roles."""
        return (said for said in self.texts if said.role in roles)


@dataclass(frozen=True, slots=True)
class Sheet(Page):
    """One procedure as the rules see it."""

    procedure: Procedure


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where a rule is broken."""

    address: str
    loc: Loc
    wrong: str
    mend: str
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
    check: Callable[[Sheet], Iterator[Hit]]
    advice: bool = False
    "True where it is only ever reported and never stops a build."
    waivable: bool = True
    "False where no reason can outweigh it: a figure without a source, five actions by heart."


def hit(said: Said, wrong: str, mend: str, *, advice: bool = False) -> Hit:
    """A hit on one text."""
    return Hit(said.address, said.loc, wrong, mend, advice)
