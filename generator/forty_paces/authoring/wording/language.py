"""Heuristic analysis of English text: sentences, words, numbers, imperatives, conditions.

No grammar parser is used: results must be the same on every machine, fast, and
understandable to authors who disagree with them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import islice

from forty_paces.authoring.wording.verbs import ADVERBS, AFTER_A_VERB, ALSO_NOUNS, VERBS

CUSTOMARY_UNITS = (
    r"ft|feet|foot|mi|miles?|yd|yards?|in|inch(?:es)?|32nds(?: in| of an inch)?|mph|miles per hour|psi|"
    r"lbs?|pounds?|tons?|gallons?|°F|degrees? F"
)
"""Units of the United States after a number, as authors write them (a regular expression)."""

UNIT_WORDS = (
    rf"{CUSTOMARY_UNITS}|m|metres?|meters?|km|cm|mm|km/h|kPa|kg|°C|degrees?(?: C)?|s|seconds?|sec|min|"
    r"minutes?|h|hours?|days?|weeks?|months?|years?|%|percent|paces?|times?|amps?|volts?"
)
"""Units after a number, as authors write them (a regular expression)."""

NUMBER = re.compile(
    rf"(?<![\w.])\d[\d,]*(?:\.\d+)?(?:/\d+)?(?:[-–]\d+|(?:st|nd|rd|th)\b)?(?:\s?(?:{UNIT_WORDS})(?!\w))?"
)
"""A number with its unit, if any."""

_ABBREVIATED = re.compile(r"(?:\b(?:No|St|U\.S|a\.m|p\.m|approx|vs|Mr|Mrs|Dr)|\b[A-Z])$")
_WORD = re.compile(r"[A-Za-z]+(?:[-’'][A-Za-z]+)*")
_TOLD_TWICE = re.compile(rf"\(\s*(?:about )?{NUMBER.pattern}\s*\)")
"""The same measure in a second unit, in parentheses."""

CONDITION_WORDS = ("if", "when", "unless", "in case", "once")
OPENERS = (
    *CONDITION_WORDS,
    *("while", "before", "after", "until", "as", "as soon as", "where", "with", "without", "at", "on", "in"),
    *("from", "for", "to", "by", "during", "under", "within", "above", "below", "near", "behind", "ahead of"),
)
"""Words that can begin a clause before the verb of a step; the clause must end with a comma."""


def sentences(text: str) -> list[str]:
    """The sentences of a text, without final punctuation."""
    return list(_sentences(text))


@lru_cache(maxsize=20_000)  # nearly every rule splits the same texts
def _sentences(text: str) -> tuple[str, ...]:
    parts, start = [], 0
    for mark in re.finditer(r"(?<![.!?])[.!?]+(?=[\"')\]]?(?:\s|$))", text):
        before = text[start : mark.start()]
        if mark.group() == "." and _ABBREVIATED.search(before[-12:]) and mark.end() < len(text):
            continue
        parts.append(before.strip())
        start = mark.end()
    parts.append(text[start:].strip())
    return tuple(sentence for sentence in parts if re.search(r"\w", sentence))


def words(text: str) -> list[str]:
    """The words of a text without numbers; a hyphenated word counts as one."""
    return _WORD.findall(text)


@lru_cache(maxsize=20_000)
def length(sentence: str) -> int:
    """Number of words for length limits: a number with unit is one, its conversion in parentheses none."""
    once = _TOLD_TWICE.sub("", sentence)
    numbers = len(NUMBER.findall(once))
    return numbers + len(words(NUMBER.sub(" ", once)))


def spoken_words(text: str) -> int:
    """Number of words when read aloud; a number counts as two, its unit as one."""
    numbers = len(re.findall(r"\d[\d,.]*", text))
    return 2 * numbers + len(words(text))


_HEAD = 200
"""Characters of a clause searched for its verb; bounds the work on long texts."""


def _first_words(text: str, count: int) -> list[str]:
    return [match.group().lower() for match in islice(_WORD.finditer(text), count)]


@lru_cache(maxsize=20_000)
def verb_at(text: str) -> str | None:
    """The imperative verb that a text begins with, or None: 'Slowly ease off' gives 'ease'."""
    opening = _first_words(text, 4)
    while opening and opening[0] in ADVERBS:
        del opening[0]
    if not opening:
        return None
    if opening[:2] == ["do", "not"] or opening[0] in ("never", "don't", "don’t"):
        return "do not"
    first = opening[0].split("-")[0] if opening[0] not in VERBS else opening[0]
    return first if first in VERBS else None


def order_in(sentence: str) -> str | None:
    """The imperative verb of a sentence, also after an opening clause with a comma or colon; or None."""
    start = _order_start(sentence)
    return verb_at(sentence[start:]) if start is not None else None


def _order_start(sentence: str) -> int | None:
    """Index of the imperative in a sentence, after any opening clause; None if there is none."""
    if verb_at(sentence) is not None:
        return 0
    if not opens_with_clause(sentence):
        return None
    ends = (mark.end() for mark in re.finditer(r"[,:]\s", sentence))
    return next((end for end in ends if verb_at(sentence[end : end + _HEAD]) is not None), None)


def opens_with_clause(sentence: str) -> bool:
    """Whether the sentence begins with a condition, time or place."""
    lowered = sentence.lower()
    return any(lowered.startswith(f"{opener} ") for opener in OPENERS)


_TAIL = re.compile(r"\b(?:until|while|that|which|who|where|because|so|if|when|before|after|as)\b")


def main_clause(sentence: str) -> str:
    """The sentence without an opening clause and without subordinate clauses after until, that, while etc."""
    start = 0
    if opens_with_clause(sentence):
        start = _order_start(sentence) or len(sentence)
    return _TAIL.split(sentence[start:])[0]


_JOINT = re.compile(r"(?P<word>(?:,\s*|;\s*|\s)(?:and then|and|then|or)\s+|;\s+)|,\s+")


def further_orders(sentence: str) -> Iterator[str]:
    """Imperative verbs after the first, joined by 'and', 'then', a semicolon, or a comma alone."""
    start = _order_start(sentence)
    if start is None:
        return
    tail = sentence[start:]
    for joint in _JOINT.finditer(tail):
        rest = tail[joint.end() : joint.end() + _HEAD]
        verb = verb_at(rest)
        if verb is None or joint.group().strip(" ,;") == "or":
            continue
        if verb == "do not" and not joint["word"]:
            continue  # "Put out triangles, never fusees" is one instruction
        if verb not in ALSO_NOUNS or (joint["word"] and _goes_on_like_an_order(rest)):
            yield verb


def _goes_on_like_an_order(rest: str) -> bool:
    """Distinguish 'and brake gently' from 'and brake lights'."""
    return any(word in AFTER_A_VERB for word in _first_words(rest, 2)[1:])
