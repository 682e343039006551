"""Computes the reading grade of a text: US school grades by two published formulas.

The higher of the two counts. Syllables are counted by rule, without a word list; the tests
compare the rule with a pronouncing dictionary.

Both formulas are linear in words per sentence, so they remain meaningful for texts of
short instructions. SMOG, designed for thirty sentences and more, and Coleman-Liau, which
rates every list of short instructions above grade 7, are not used.

* Flesch-Kincaid grade: 0.39 words/sentence + 11.8 syllables/word - 15.59
  (Kincaid, Fishburne, Rogers, Chissom 1975; formula from memory).
* Automated readability index: 4.71 letters/word + 0.5 words/sentence - 21.43
  (Smith, Senter 1967; formula from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from forty_paces.authoring.texts import Role
from forty_paces.authoring.wording.language import NUMBER, sentences, words
from forty_paces.authoring.wording.rule import ProcedureTexts

_SHORT_FORM = re.compile(r"\b[A-Z]{2,}s?\b")
_NAME = re.compile(r"(?<=[a-z,;:] )[A-Z][a-z]+\b")
"""A capital within a sentence: a name, which an author cannot make easier."""

_SILENT_E = re.compile(r"(?<![aeiouy])(?:e|es|ed)$")
"""The e of 'brake', 'brakes', 'braked'."""

_SOUNDED_E = re.compile(
    r"""
    [^aeiouyl]l(?:e|es|ed)$     # han-dle, set-tled
    | [td]ed$                   # loa-ded, hea-ted
    | (?:[sxzcg]|ch|sh)es$      # gau-ges, touch-es
    """,
    re.VERBOSE,
)

_SAID_APART = re.compile(
    r"""
    i(?:a|um|us)                # mate-ri-al, me-di-um, ra-di-us
    | (?<![tscgxn])io           # ra-di-o, but mo-tion, o-pi-nion
    | [^qg]ua(?!r)              # ac-tu-al, but quar-ter, guard
    | e(?:o(?!u)|um)            # vi-de-o
    | yi | eing                 # car-ry-ing, be-ing
    | (?<=[^tsc])ien(?!d)       # cli-ent, but friend, patient
    | i(?:er|est|et)$           # hea-vi-er, qui-et
    | creat | react | area
    """,
    re.VERBOSE,
)

_SAID_AS_ONE = re.compile(r"(?<=[tsc])ia(?=l|n)|[gt]ious")
"""The ia of 'special'."""

_HIDDEN_E = re.compile(r"(?<=[^aeiouylrm])e(?=(?:ly|ful|less|ment|ness|one|thing|side|ways?)s?$)")
"""The silent e before an ending: 'safely', 'someone', 'roadside'."""

_Y_BEFORE_VOWEL = re.compile(r"(?<=[aeiou])y(?=[aeiou])")
"""The y of 'beyond' and 'layout' sounds as a consonant."""

_ODD: dict[str, int] = {
    **dict.fromkeys(("air", "fire", "hour", "hours", "tire", "tires", "wheel", "whole", "tier"), 1),
    **dict.fromkeys(
        ("being", "business", "diesel", "every", "hundred", "idle", "people", "quiet", "ragged"), 2
    ),
    **dict.fromkeys(("rely", "safety", "placard", "unique", "likely", "therefore", "wheelbase", "beside"), 2),
    **dict.fromkeys(("someone", "something", "somewhere", "elsewhere", "carriage", "doing"), 2),
    **dict.fromkeys(
        ("somebody", "anyone", "area", "everyone", "everything", "everywhere", "vehicle", "vehicles"), 3
    ),
    **dict.fromkeys(("previous", "serious", "various", "obvious", "desired", "element"), 3),
    **dict.fromkeys(("evacuate", "radiator", "seriously", "situation"), 4),
    "evacuation": 5,
}
"""Syllables of common words that the rule miscounts, counted by ear."""

STEP_GRADE = 6.0

PAGE_GRADE = 8.0

_NO_SENTENCES = (
    *(Role.TITLE, Role.TILE, Role.NEED, Role.BLOCK_TITLE, Role.DECISION_TITLE, Role.CLUSTER_TITLE),
    *(Role.LABEL, Role.VALUE, Role.ANSWER),
)


@dataclass(frozen=True, slots=True)
class ReadingGrade:
    """The grades of a text by the two formulas."""

    flesch_kincaid: float
    automated: float

    @property
    def worse(self) -> float:
        """The higher grade, which counts."""
        return max(self.flesch_kincaid, self.automated)


def reading_grade(texts: Iterable[str]) -> ReadingGrade:
    """The grade of several texts taken together, without numbers and names; 0 if no words are left."""
    sentence_count, word_count, letter_count, spoken = (
        sum(counts) for counts in zip((0, 0, 0, 0), *(_counts(text) for text in texts), strict=True)
    )
    if not word_count:
        return ReadingGrade(0.0, 0.0)
    per_sentence = word_count / sentence_count
    letters = letter_count / word_count
    syllables = spoken / word_count
    return ReadingGrade(
        0.39 * per_sentence + 11.8 * syllables - 15.59,
        4.71 * letters + 0.5 * per_sentence - 21.43,
    )


@lru_cache(maxsize=20_000)  # instructions are measured by themselves and with the page
def _counts(text: str) -> tuple[int, int, int, int]:
    """Numbers of sentences, words, letters and syllables in a text."""
    kept = [
        sentence_words
        for sentence_words in (words(without_figures(sentence)) for sentence in sentences(text))
        if sentence_words
    ]
    all_words = [word for sentence in kept for word in sentence]
    letters = sum(character.isalpha() for word in all_words for character in word)
    return len(kept), len(all_words), letters, sum(syllable_count(word) for word in all_words)


def without_figures(sentence: str) -> str:
    """The sentence without numbers and their units, abbreviations and names."""
    return _NAME.sub("", _SHORT_FORM.sub("", NUMBER.sub("", sentence)))


def hardest_words(texts: Iterable[str], most: int = 5) -> list[str]:
    """Words of three or more syllables, longest first, ``most`` at most, as a hint where to simplify."""
    vocabulary = {word.lower() for text in texts for word in words(without_figures(text))}
    hard = [word for word in vocabulary if syllable_count(word) >= 3]
    return sorted(hard, key=lambda word: (-syllable_count(word), -len(word), word))[:most]


@lru_cache(maxsize=20_000)  # a library consists of the same few thousand words
def syllable_count(word: str) -> int:
    """Syllables of an English word by rule: vowel groups, less silent endings, plus vowels in hiatus."""
    parts = (re.sub(r"[^a-z]", "", part) for part in word.lower().split("-"))
    return max(sum(_count(part) for part in parts if part), 1)


def _count(word: str) -> int:
    if word in _ODD:
        return _ODD[word]
    stem = _Y_BEFORE_VOWEL.sub("w", _HIDDEN_E.sub("", word))
    count = len(re.findall(r"[aeiouy]+", stem))
    if len(stem) > 2 and _SILENT_E.search(stem) and not _SOUNDED_E.search(stem):
        count -= 1
    count += len(_SAID_APART.findall(stem)) - len(_SAID_AS_ONE.findall(stem))
    return max(count, 1)


def step_texts(sheet: ProcedureTexts) -> list[str]:
    """By-heart lines, steps and the lines of alternatives."""
    return [driver_text.text for driver_text in sheet.of(Role.BY_HEART, Role.STEP, Role.OTHER_WAY)]


def page_texts(sheet: ProcedureTexts) -> list[str]:
    """Every text that consists of sentences."""
    return [driver_text.text for driver_text in sheet.texts if driver_text.role not in _NO_SENTENCES]
