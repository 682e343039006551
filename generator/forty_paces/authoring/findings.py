"""Findings about content files: position, message, trail and fix, in one format.

All messages to authors are formatted here:

    content/procedures/tire-fire.yml:14:11: the next procedure "evacuat" does not exist
        in:   procedure "tire-fire" > decision > row "spreads" > leads_to
        fix: name one of: evacuation, cargo-fire (closest: evacuation)

:class:`ContentFault` carries the findings that stop a build.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"})
"""Unicode general categories: controls, formats, surrogates, unassigned, private use, separators of lines."""

_IGNORABLE = (
    *((0x034F, 0x034F), (0x115F, 0x1160), (0x17B4, 0x17B5), (0x180B, 0x180F), (0x2800, 0x2800)),
    *((0x3164, 0x3164), (0xFE00, 0xFE0F), (0xFFA0, 0xFFA0), (0xE0000, 0xE0FFF)),
)
"""Invisible letters and marks: the other code points with Default_Ignorable_Code_Point in
Unicode's DerivedCoreProperties.txt (list from memory), and the blank Braille pattern."""


class Place(NamedTuple):
    """A position in the content: path relative to the project, line and column from 1."""

    path: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One error or piece of advice about a content file."""

    place: Place
    wrong: str
    "What is wrong, with the author's own value quoted."
    trail: tuple[str, ...] = field(default=())
    "Names from the file down to the error, such as ('procedure \"skid\"', 'step \"steer\"', 'do')."
    fix: str = ""
    "What to write instead; every check gives a fix."
    rule: str = ""
    "The wording or structure rule that is broken, such as verb-first; empty if it has no name."
    advice: bool = False
    "True if it is reported but does not stop the build."
    address: str = ""
    "Address of the text if a waiver may name it, by ids: 'blocks/secure/steps/flashers/do'."

    def __post_init__(self) -> None:
        """Escape invisible characters, so that every way of printing the finding is safe."""
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
    """Raised once, with every finding that stops the build, sorted by position."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(sorted(set(findings)))
        count = len(self.findings)
        closing = f"{count} finding{'s' if count != 1 else ''}; nothing was written."
        super().__init__("\n".join([*map(str, self.findings), closing]))


def is_unseen(character: str) -> bool:
    """Whether a character is invisible: a control, a direction mark, a filler."""
    code = ord(character)
    return unicodedata.category(character) in _UNSEEN or any(
        first <= code <= last for first, last in _IGNORABLE
    )


def printable(text: str) -> str:
    """The text with invisible characters written as numbered escapes, such as ``\\u200b``.

    An author's value quoted in a finding thus cannot manipulate the terminal or log that shows it.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_numbered(character) if is_unseen(character) else character for character in text)


def _numbered(character: str) -> str:
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def clip(text: str, longest: int = 60) -> str:
    """The text on one line, cut to ``longest`` characters for quoting in a message."""
    line = " ".join(text.split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


_UNIT = re.compile(
    r"_(?:(?P<ft>ft|feet|foot)|(?P<m>m|meters?|metres?)|(?P<mph>mph)|(?P<kmh>km_?h|kph|kmph)|(?P<in>in|inch|inches)"
    r"|(?P<pct>pct|percent)|(?P<s>s|sec|seconds?)|(?P<min>min|minutes?))$"
)
"""The unit suffix of a key, also as authors misspell it."""


def _unit(key: str) -> str | None:
    found = _UNIT.search(key)
    return None if found is None else found.lastgroup


def close_name(wanted: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known name closest to ``wanted``, or None; ``cutoff`` as in :func:`difflib.get_close_matches`.

    Never a key in another unit: a hint must not lead from ``length_m`` to meters under ``length_ft``.
    """
    unit = _unit(wanted)
    alike = [name for name in known if unit is None or _unit(name) == unit]
    return next(iter(difflib.get_close_matches(wanted, alike, n=1, cutoff=cutoff)), None)


def name_one_of(wanted: str, known: Iterable[str]) -> str:
    """A fix that lists the known names (12 at most) and the one closest to ``wanted``."""
    names = sorted(known)
    if not names:
        return "nothing of this kind exists yet: add it first"
    shown = ", ".join(names[:12]) + (f" and {len(names) - 12} more" if len(names) > 12 else "")
    closest = close_name(wanted, names)
    return f"name one of: {shown}" + (f" (closest: {closest})" if closest and len(names) > 1 else "")
