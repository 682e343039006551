"""Wording rules on vocabulary: consistent terms, plain duties, abbreviations, slashes, reading grade."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from forty_paces.authoring.findings import clip
from forty_paces.authoring.texts import Role
from forty_paces.authoring.wording.language import UNIT_WORDS
from forty_paces.authoring.wording.reading_grade import (
    PAGE_GRADE,
    STEP_GRADE,
    hardest_words,
    page_texts,
    reading_grade,
    step_texts,
)
from forty_paces.authoring.wording.rule import ProcedureTexts, TextGroup, Violation, violation
from forty_paces.authoring.wording.structure import SHOUTED
from forty_paces.authoring.wording.verbs import LINKING, QUALITIES

_DUTY = re.compile(
    r"\b(?:shall(?: not)?|(?:is|are) (?:required|obliged) to|(?:is|are) to be)\b", re.IGNORECASE
)


def plain_duty(page: TextGroup) -> Iterator[Violation]:
    """'must' for a duty, 'must not' for a ban; never 'shall'."""
    for driver_text in page.texts:
        for match in _DUTY.finditer(driver_text.text):
            fix = "write 'must' for a duty, 'must not' for a ban, 'should' for advice"
            yield violation(driver_text, f'"{match.group()}" is not how a duty is said here', fix)


def one_term(page: TextGroup) -> Iterator[Violation]:
    """No words that the glossary replaces by a term."""
    replaced = {word.lower(): term.term for term in page.glossary.terms for word in term.instead_of}
    if not replaced:
        return
    right = _any_of(term.term for term in page.glossary.terms)
    wrong_word = _any_of(replaced)
    for driver_text in page.texts:
        if wrong_word.search(driver_text.text) is None:
            continue
        masked = right.sub(lambda match: "·" * len(match.group()), driver_text.text)
        for match in wrong_word.finditer(masked):
            term = replaced.get(match["word"].lower(), "")
            yield violation(
                driver_text, f'"{match.group()}" is called "{term}" everywhere else', f'write "{term}"'
            )


def _any_of(phrases: Iterable[str]) -> re.Pattern[str]:
    """A pattern for any of the phrases, longest first, including plurals, case-insensitive."""
    listed = "|".join(re.escape(phrase) for phrase in sorted(phrases, key=len, reverse=True))
    return re.compile(rf"(?<![\w-])(?P<word>{listed})(?:s|es)?(?![\w-])", re.IGNORECASE)


_CLAUSE = re.compile(r"[^.;]+")
_TWISTED_PAIRS = tuple(
    (re.compile(rf"\b(?:{first})\b", re.IGNORECASE), re.compile(rf"\b(?:{second})\b", re.IGNORECASE))
    for first, second in (("not|never|no", "unless"), ("never", "not"), ("except", "except|unless"))
)
"""Words that must not follow one another within a clause. Searched one after the other: time stays linear."""
_TWISTED_WORDS = re.compile(
    r"\bnot un(?:safe|likely|able|common|clear|known|usual|even|stable)\w*\b"
    r"|\bnot (?:impossible|improper|incorrect|infrequent)\w*\b"
    r"|\b(?:no|not) (?:fewer|less|more) than\b",
    re.IGNORECASE,
)


def positive(sheet: ProcedureTexts) -> Iterator[Violation]:
    """No double negatives, no exceptions from exceptions."""
    for driver_text in sheet.texts:
        end = 0
        for first, last in sorted(_twisted(driver_text.text)):
            if first < end:
                continue  # inside a reported span
            end = last
            wrong = f'"{clip(driver_text.text[first:last], 40)}" has to be untangled'
            fix = "say it positively: 'at least', 'at most', 'only when'"
            yield violation(driver_text, wrong, fix)


def _twisted(text: str) -> Iterator[tuple[int, int]]:
    for match in _TWISTED_WORDS.finditer(text):
        yield match.span()
    for clause in _CLAUSE.finditer(text):
        for first, second in _TWISTED_PAIRS:
            opened = first.search(text, clause.start(), clause.end())
            if opened is not None:
                for closed in second.finditer(text, opened.end(), clause.end()):
                    yield opened.start(), closed.end()
                    break


LONGEST_SHOWN = 40
"""Characters examined on either side of a slash; bounds the work on long texts."""

_UNIT_SLASH = re.compile(rf"\b(?:{UNIT_WORDS}|B:C)/\w+|\d\s?/\s?\d+")


def _around(before: str, after: str) -> str:
    """The slash with the word on either side, cut if very long."""
    ahead, behind = before[-LONGEST_SHOWN:], after[:LONGEST_SHOWN]
    left = re.search(r"(?<![\w.])[\w.]*\s?$", ahead) or re.search(r"[\w.]*$", ahead)
    right = re.match(r"\s?[\w.]*", behind)
    return f"{left.group() if left else ''}/{right.group() if right else ''}".strip()


def no_slash(page: TextGroup) -> Iterator[Violation]:
    """No slash outside units, fractions and dates."""
    for driver_text in page.texts:
        before, slash, after = _UNIT_SLASH.sub(" ", driver_text.text).partition("/")
        if slash:
            wrong = f'"{_around(before, after)}" leaves open which of the two is meant'
            yield violation(driver_text, wrong, "write 'and' or 'or', or name the one that is meant")


_SHORT = re.compile(r"(?<![\w&])[A-Z][A-Z&]*[A-Z](?:s\b|\b)")
_QUOTED = re.compile(r"[\"“][^\"“”]*[\"”]")
_NO_SHORT_FORM = frozenset({"OK", "DANGER", "WARNING", "CAUTION", "NOTICE"})


def short_forms(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Every abbreviation is in the glossary and written in full at first use."""
    known = {entry.short: entry.long for entry in sheet.glossary.abbreviations}
    read = ""
    explained: set[str] = set()
    for driver_text in sheet.texts:
        read += " " + driver_text.text.lower()
        for match in _SHORT.finditer(_QUOTED.sub(" ", SHOUTED.sub(" ", driver_text.text))):
            short = match.group().removesuffix("s")
            if short in _NO_SHORT_FORM or short in explained:
                continue
            explained.add(short)
            if short not in known:
                fix = (
                    "write the words, or add it to the abbreviations in content/glossary.yml; "
                    "put what is printed on a label in double quotes"
                )
                yield violation(driver_text, f'the short form "{short}" is explained nowhere', fix)
            elif known[short].lower() not in read and driver_text.role not in (Role.TITLE, Role.TILE):
                wrong = f'"{short}" is not said in full at its first use on this page'
                yield violation(driver_text, wrong, f'write "{known[short]} ({short})" here')


def noun_chains(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most three nouns in a row; a heuristic, so advice only."""
    for driver_text in sheet.texts:
        for clause in re.split(r"[^\w’'\- ]+", driver_text.text):
            run: list[str] = []
            for word in [*clause.split(), "the"]:
                lowered = word.lower().strip("’'")
                plain = lowered.isalpha() or "-" in lowered
                ends = lowered in LINKING or lowered in QUALITIES or not plain
                if ends or re.search(r"(?:ly|ed|ing)$", lowered):
                    if len(run) > 3:
                        chain = " ".join(run)
                        fix = "take it apart with 'of', 'for' or 'on'"
                        yield violation(
                            driver_text, f'"{chain}" is a chain of {len(run)} nouns', fix, advice=True
                        )
                    run = []
                else:
                    run.append(word)


def plain_reading(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Instructions at grade 6 or below, the page at grade 8, by the higher of two formulas."""
    for name, loc, text, limit in (
        ("the by-heart lines and steps", ("blocks",), step_texts(sheet), STEP_GRADE),
        ("the page", (), page_texts(sheet), PAGE_GRADE),
    ):
        grade = reading_grade(text).worse
        if grade > limit + 0.05:
            hard = ", ".join(hardest_words(text))
            wrong = f"{name} read at grade {grade:.1f}; {limit:g} is the most"
            fix = f"make long sentences two, and replace long words where you can: {hard}"
            yield Violation("steps" if loc else "page", loc, wrong, fix)
