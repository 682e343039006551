"""What is wrong with a content file, said to its author.

In: a place, the author's words, a trail of named things and a mending hint.
Out: findings in one form, sorted. The only formatter of such messages.

    content/procedures/tire-fire.yml:14:11: the next procedure "evacuat" does not exist
        in:   procedure "tire-fire" > decision > row "spreads" > leads_to
        mend: name one of: evacuation, cargo-fire (closest: evacuation)

Exception tree: ``ContentFault`` (findings stand; nothing may be written).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where in the content: a path relative to the project, line and column from 1."""

    path: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One thing to mend."""

    place: Place
    wrong: str
    "What is wrong, with the author's own value quoted."
    trail: tuple[str, ...] = field(default=())
    "Named things from the file down to the fault, such as ('procedure \"skid\"', 'step \"steer\"', 'do')."
    mend: str = ""
    "What to write instead; every check has something to offer."
    rule: str = ""
    "The wording or structure rule it breaks, such as verb-first; empty for plain faults."
    advice: bool = False
    "True where it is reported but does not stop the build."
    address: str = ""
    "The text it is about, by ids, where a waiver may name it: 'blocks/secure/steps/flashers/do'."

    def __str__(self) -> str:
        rule = f"{self.rule} at {self.address}" if self.address else self.rule
        label = ("advice: " if self.advice else "") + self.wrong + (f" [{rule}]" if rule else "")
        lines = [f"{self.place}: {label}"]
        if self.trail:
            lines.append("    in:   " + " > ".join(self.trail))
        lines.append("    mend: " + self.mend)
        return "\n".join(lines)


class ContentFault(Exception):
    """Raised once, with every finding that stops the build, sorted by place."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(sorted(set(findings)))
        count = len(self.findings)
        closing = f"{count} finding{'s' if count != 1 else ''}; nothing was written."
        super().__init__("\n".join([*map(str, self.findings), closing]))


def clip(text: str, longest: int = 60) -> str:
    """An author's value on one line, cut for quoting in a message."""
    line = " ".join(text.split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


_UNIT = re.compile(r"_(ft|m|in|mph|kmh|pct|s|min)$")
"""The unit that a key's name ends in."""


def close_name(wanted: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known name that comes closest to what was written, or None.

    Never one in another unit: who wrote ``length_m`` must not be led to put meters under ``length_ft``.
    """
    unit = _UNIT.search(wanted)
    alike = [name for name in known if unit is None or _UNIT.findall(name) == [unit[1]]]
    return next(iter(difflib.get_close_matches(wanted, alike, n=1, cutoff=cutoff)), None)


def name_one_of(wanted: str, known: Iterable[str]) -> str:
    """The hint that lists what exists and the closest name to what was written."""
    names = sorted(known)
    if not names:
        return "nothing of this kind exists yet: add it first"
    shown = ", ".join(names[:12]) + (f" and {len(names) - 12} more" if len(names) > 12 else "")
    closest = close_name(wanted, names)
    return f"name one of: {shown}" + (f" (closest: {closest})" if closest and len(names) > 1 else "")
