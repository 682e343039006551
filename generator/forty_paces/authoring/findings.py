"""What is wrong with a content file, said to its author.

In: a place, the author's words, a trail of named things and a hint.
Out: findings in one form, sorted. The only formatter of such messages.

    content/procedures/tire-fire.yml:14:11: the next procedure "evacuat" does not exist
        in:   procedure "tire-fire" > decision > row "spreads" > leads_to
        fix: name one of: evacuation, cargo-fire (closest: evacuation)

Exception tree: ``ContentFault`` (findings stand; nothing may be written).
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"})
"""Unicode general categories: controls, formats, surrogates, unassigned, private, line and page ends."""

_IGNORABLE = (
    *((0x034F, 0x034F), (0x115F, 0x1160), (0x17B4, 0x17B5), (0x180B, 0x180F), (0x2800, 0x2800)),
    *((0x3164, 0x3164), (0xFE00, 0xFE0F), (0xFFA0, 0xFFA0), (0xE0000, 0xE0FFF)),
)
"""Letters and marks that show nothing either: the other code points with Default_Ignorable_Code_Point in
Unicode's DerivedCoreProperties.txt (list from memory), and the blank Braille pattern."""


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
    """One thing to fix."""

    place: Place
    wrong: str
    "What is wrong, with the author's own value quoted."
    trail: tuple[str, ...] = field(default=())
    "Named things from the file down to the fault, such as ('procedure \"skid\"', 'step \"steer\"', 'do')."
    fix: str = ""
    "What to write instead; every check has something to offer."
    rule: str = ""
    "The wording or structure rule it breaks, such as verb-first; empty for plain faults."
    advice: bool = False
    "True where it is reported but does not stop the build."
    address: str = ""
    "The text it is about, by ids, where a waiver may name it: 'blocks/secure/steps/flashers/do'."

    def __post_init__(self) -> None:
        """Show what cannot be seen as numbers, whoever prints the finding."""
        for name in ("wrong", "fix", "address"):
            object.__setattr__(self, name, printable(getattr(self, name)))
        object.__setattr__(self, "trail", tuple(printable(part) for part in self.trail))

    def __str__(self) -> str:
        rule = f"{self.rule} at {self.address}" if self.address else self.rule
        label = ("advice: " if self.advice else "") + self.wrong + (f" [{rule}]" if rule else "")
        lines = [f"{self.place}: {label}"]
        if self.trail:
            lines.append("    in:   " + " > ".join(self.trail))
        lines.append("    fix: " + self.fix)
        return "\n".join(lines)


class ContentFault(Exception):
    """Raised once, with every finding that stops the build, sorted by place."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(sorted(set(findings)))
        count = len(self.findings)
        closing = f"{count} finding{'s' if count != 1 else ''}; nothing was written."
        super().__init__("\n".join([*map(str, self.findings), closing]))


def is_unseen(character: str) -> bool:
    """Whether a character shows nothing of itself: a control, a direction mark, a filler."""
    code = ord(character)
    return unicodedata.category(character) in _UNSEEN or any(
        first <= code <= last for first, last in _IGNORABLE
    )


def printable(text: str) -> str:
    """A text in which whatever cannot be seen is written as its number.

    So an author's value, quoted in a finding, cannot rewrite the terminal or the log that shows it.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_numbered(one) if is_unseen(one) else one for one in text)


def _numbered(character: str) -> str:
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


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
