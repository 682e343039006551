"""Wording rule against phrases that are misread under stress or by non-native speakers.

Each has a common second meaning or an unclear reference. The principle, one meaning for
one word, is that of ASD-STE100; the list itself is common practice, no source. A new entry
needs the words, how they are misread, and what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.authoring.wording.rule import TextGroup, Violation, violation


@dataclass(frozen=True, slots=True)
class Misread:
    """One entry of the list."""

    words: str
    "The words as shown on the page on writing procedures."
    pattern: str
    "A regular expression for whole words, in lower case; it must have no unbounded repetition."
    misread: str
    "The wrong meaning, or the question that the words leave open."
    write: str
    "What to write instead."


_NUMBER = r"\d[\d,]{0,7}"

LIST: tuple[Misread, ...] = (
    Misread("bank", "banks?", "a place for money", "write 'slope beside the road'"),
    Misread("shoot", "shoots?|shooting|shot", "to fire a gun", "write 'spray', 'aim at' or 'come out fast'"),
    Misread("fix", "fix|fixes|fixed|fixing", "to repair as well as to attach", "write 'attach' or 'repair'"),
    Misread("mend", "mends?|mended|mending", "unknown to many", "write 'repair'"),
    Misread(
        "the gear still goes in",
        "(?:gear|it) still goes in",
        "to try, and be left without a gear",
        "say when to shift: 'before the grade', or which gear to keep",
    ),
    Misread(
        "stop short",
        "(?:stop|stops|stopped) short",
        "to brake hard",
        "write 'go back' or 'stop before' and the place",
    ),
    Misread("goes dark", "go(?:es)? dark", "nightfall", "write what is seen: 'the sign shows nothing'"),
    Misread(
        "a countersteer",
        "(?:a|an|one|the|your|quick|clear) countersteer",
        "a part or a place",
        "write 'steer the other way'",
    ),
    Misread("see across it", "see (?:across|over) it", "across what?", "name what is seen, and how far"),
    Misread(
        "ease the brake on",
        "ease (?:the |your )?(?:[a-z]{1,12} ){0,2}brakes? on|ease on the (?:[a-z]{1,12} ){0,2}brakes?",
        "to let it off",
        "write 'pull the parking brake slowly'",
    ),
    Misread(
        "ease the cap",
        "ease the (?:[a-z]{1,12} ){0,2}cap",
        "to be gentle with it",
        "write 'turn the cap slowly'",
    ),
    Misread("past it", "past (?:it|them)", "past what?", "name the thing"),
    Misread(
        "past that ...",
        "past that [a-z]{1,15}",
        "how far past, and which?",
        "write 'do not walk by the wheel that smokes'",
    ),
    Misread(
        "the next 100 ft",
        rf"(?:the|another) (?:next|last) {_NUMBER} (?:ft|feet|m|meters)",
        "measured from the device before it",
        "name the device, and measure from the vehicle: 'Second triangle: 100 ft behind the vehicle'",
    ),
    Misread(
        "place the next",
        "place the (?:next|last|first)(?= \\d)",
        "which one?",
        "name the device: 'the second triangle'",
    ),
    Misread(
        "until it falls",
        "until it falls",
        "rain, or something that drops",
        "write 'goes down' and name what does",
    ),
    Misread(
        "the side away from the wind",
        "(?:side|end) away from the wind",
        "the side the wind meets",
        "write 'the sheltered side'",
    ),
    Misread("if not,", "if not(?=,)", "if not what?", "name what is not so"),
    Misread(
        "with the lean no worse",
        "with the [a-z]{1,15} no worse",
        "no better?",
        "write 'If it leans more, get away'",
    ),
    Misread("nobody past", "nobody past", "no verb", "write 'nobody walks past' and name the place"),
    Misread("feet clear", "feet clear", "clear of what?", "say where to stand: 'from beside the wheel'"),
    Misread("short try", "short try", "an attempt that failed", "write 'squeeze once, briefly'"),
    Misread("do the same", "do the same", "the same as what?", "write the act again"),
    Misread(
        "after 911", "(?:after|before) 911", "a number or a time", "write 'call 911 first, then' and whom"
    ),
    Misread(
        "the center (911)",
        r"the center(?= (?:sends|needs|asks|answers|tells)\b)|plays the center",
        "the middle",
        "write 'the 911 operator'",
    ),
    Misread("rest until", "rest until", "to sleep", "write 'wait until'"),
    Misread("give way", "gives? way", "to let others go first", "write 'breaks', 'sinks' or 'yields'"),
    Misread("goes off", "go(?:es)? off", "to stop, or to start sounding", "write 'stops' or 'sounds'"),
    Misread("pull up", "pulls? up", "to lift, or to stop", "write 'stop' or 'lift'"),
)
"""All entries. At any position only the first match is reported."""

_LINES = "|".join(f"(?P<n{number}>{line.pattern})" for number, line in enumerate(LIST))
_ANY = re.compile(
    rf"(?<![\w-])(?:{_LINES})(?![\w-])",
    re.IGNORECASE,
)


def no_misread_words(page: TextGroup) -> Iterator[Violation]:
    """No phrases that are known to be misread."""
    for driver_text in page.texts:
        for match in _ANY.finditer(driver_text.text):
            line = LIST[int((match.lastgroup or "n0")[1:])]
            yield violation(driver_text, f'"{match.group()}" is easily misread: {line.misread}', line.write)
