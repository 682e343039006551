"""Wording rules on instructions: one action, verb first, short, condition first, wanted state named."""

from __future__ import annotations

import re
from collections.abc import Iterator

from forty_paces.authoring.findings import clip
from forty_paces.authoring.texts import ORDERS, Role
from forty_paces.authoring.wording.language import (
    further_orders,
    length,
    main_clause,
    order_in,
    sentences,
    verb_at,
)
from forty_paces.authoring.wording.rule import ProcedureTexts, Violation, violation
from forty_paces.authoring.wording.verbs import IRREGULAR_PARTICIPLES, STATES

ORDER_WORDS = 20
EXPLANATION_WORDS = 25
BY_HEART_WORDS = 10

_EXPLANATIONS = (
    *(Role.CUE, Role.STOPPED, Role.HAZARD, Role.CONSEQUENCE, Role.AVOID, Role.HOW, Role.OTHERWISE, Role.SEE),
    *(Role.FINISHED, Role.VALUE, Role.WHY, Role.LOCAL_RULE),
)


def sentence_length(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most 20 words per sentence in instructions, 25 in explanations."""
    for driver_text in sheet.texts:
        most = _most_words(driver_text.role)
        if most is None:
            continue
        for sentence in sentences(driver_text.text):
            count = length(sentence)
            if count > most:
                wrong = f'the sentence "{clip(sentence, 40)}" has {count} words; {most} is the most'
                yield violation(driver_text, wrong, "cut it, or make two sentences of it")


def _most_words(role: Role) -> int | None:
    if role in _EXPLANATIONS:
        return EXPLANATION_WORDS
    return ORDER_WORDS if role in (*ORDERS - {Role.BY_HEART}, Role.NEVER) else None


def by_heart_length(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most ten words in a by-heart line."""
    for driver_text in sheet.of(Role.BY_HEART):
        count = length(driver_text.text)
        if count > BY_HEART_WORDS:
            wrong = f"this by-heart line has {count} words; {BY_HEART_WORDS} is the most"
            yield violation(driver_text, wrong, "keep the action alone; its reason goes into 'why'")


_ANOTHER_WAY = re.compile(r"(?:or|alternatively|otherwise|instead)\b", re.IGNORECASE)


def imperative(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Instructions begin with their verb, or with a clause that ends with a comma."""
    for driver_text in sheet.texts:
        if driver_text.role is Role.NEVER:
            if verb_at(driver_text.text) != "do not":
                wrong = f'"{clip(driver_text.text, 40)}" does not begin with Never or Do not'
                yield violation(driver_text, wrong, "begin it with 'Never' or 'Do not' and the verb")
            continue
        if driver_text.role not in ORDERS:
            continue
        if _ANOTHER_WAY.match(driver_text.text):
            continue  # reported by alternatives-together
        first = next(iter(sentences(driver_text.text)), "")
        if order_in(first) is None:
            wrong = f'"{clip(driver_text.text, 40)}" does not begin with an action'
            fix = (
                "begin with the verb, such as 'Turn off' or 'Walk'; a condition may stand before it, "
                "closed by a comma"
            )
            yield violation(driver_text, wrong, fix)


_PASSIVE = re.compile(
    rf"\b(?:is|are|was|were|be|been|being|gets?|got)\s+(?:not\s+|\w+ly\s+)?"
    rf"(?P<participle>\w+ed|{'|'.join(sorted(IRREGULAR_PARTICIPLES))})\b(?P<by>\s+by\b)?",
    re.IGNORECASE,
)


def active_voice(sheet: ProcedureTexts) -> Iterator[Violation]:
    """No passive in instructions; elsewhere advice if the agent is named after 'by'."""
    for driver_text in sheet.texts:
        for sentence in sentences(driver_text.text):
            clause = main_clause(sentence) if driver_text.role in ORDERS else sentence
            for match in _PASSIVE.finditer(clause):
                if match["participle"].lower() in STATES and not match["by"]:
                    continue
                if driver_text.role in ORDERS:
                    fix = "say who does it: 'you' is left out, so begin with the verb"
                    yield violation(driver_text, f'"{match.group().strip()}" is passive', fix)
                elif match["by"]:
                    fix = "put the doer first: 'Heat weakens the tire'"
                    yield violation(driver_text, f'"{match.group().strip()}" is passive', fix, advice=True)


_LATE_CONDITION = re.compile(
    r"(?<![\w’'])(?P<before>[\w’']+),?\s+"
    r"(?P<word>if|unless|in case|when|provided|once(?= (?:the|it|you|your|they|all)\b))\s",
    re.IGNORECASE,
)
_NO_CONDITION = frozenset(
    {"as", "even", "only", "and", "or", "say", "note", "down", "tell", "know", "record"}
)
_WHETHER = frozenset({"see", "look", "ask", "feel", "out", "tell", "listen", "watch"})


def condition_first(sheet: ProcedureTexts) -> Iterator[Violation]:
    """The condition comes before the action."""
    for driver_text in sheet.texts:
        if driver_text.role not in ORDERS:
            continue
        for sentence in sentences(driver_text.text):
            for match in _LATE_CONDITION.finditer(sentence):
                before, word = match["before"].lower(), match["word"].lower()
                if before in _WHETHER and word == "if":
                    wrong = f'"{match.group().strip()}" reads like a condition'
                    yield violation(driver_text, wrong, "write 'whether' instead of 'if'")
                elif before not in _NO_CONDITION:
                    tail = clip(sentence[match.start("word") :], 40)
                    wrong = f'the condition "{tail}" stands after the action'
                    yield violation(driver_text, wrong, "put it first, with a comma after it")
                break


_TOGETHER = re.compile(r"\b(?:while|at the same time|together|one of)\b", re.IGNORECASE)


def one_action(sheet: ProcedureTexts) -> Iterator[Violation]:
    """One action per step, unless two really happen together."""
    for driver_text in sheet.of(Role.STEP, Role.OTHER_WAY, Role.BY_HEART):
        first, *others = sentences(driver_text.text) or [""]
        if _TOGETHER.search(driver_text.text):
            continue
        for verb in further_orders(first):
            wrong = f'a second action follows: "{verb}"'
            yield violation(driver_text, wrong, "make it a step of its own")
            break
        for sentence in others:
            if order_in(sentence) is not None:
                wrong = f'the sentence "{clip(sentence, 40)}" is a second action'
                fix = "make it a step of its own, or a never line where it forbids something"
                yield violation(driver_text, wrong, fix)
                break


def alternatives_together(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Equivalent alternatives are in one step."""
    for driver_text in sheet.of(Role.STEP, Role.BY_HEART):
        if _ANOTHER_WAY.match(driver_text.text):
            wrong = "this step is another way of doing the step before it"
            yield violation(driver_text, wrong, "put both into one step that begins with 'Do one of these:'")


_VAGUE = re.compile(
    r"\b(?:if|as|when|where)(?: it is)? "
    r"(?:necessary|required|needed|appropriate|applicable|practicable|possible)\b",
    re.IGNORECASE,
)


def no_vague_condition(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Conditions are ones that the driver can see."""
    for driver_text in sheet.texts:
        if driver_text.role not in ORDERS and driver_text.role not in (
            Role.SEE,
            Role.AVOID,
            Role.OTHERWISE,
            Role.NEVER,
        ):
            continue
        for match in _VAGUE.finditer(driver_text.text):
            wrong = f'"{match.group()}" leaves the decision to somebody who cannot see what you mean'
            yield violation(
                driver_text, wrong, "name what the driver can see, such as 'if smoke still rises'"
            )
    for driver_text in sheet.of(Role.SEE):
        if re.match(r"(?:if|when)\b", driver_text.text, re.IGNORECASE):
            yield violation(
                driver_text, "the page prints 'If' before this text already", "leave the first word out"
            )
    for driver_text in sheet.of(Role.CHOICE):
        if re.match(r"then\b", driver_text.text, re.IGNORECASE):
            yield violation(
                driver_text, "the page prints 'then' before this text already", "leave the first word out"
            )


_CHECKED = re.compile(
    r"\b(?:check|verify|ensure|confirm|inspect|monitor|make sure|see to it)\b", re.IGNORECASE
)
_STATE_FOLLOWS = re.compile(r"\b(?:that|whether)\b|\d")
_SET = re.compile(r"\bset\b(?! (?:out|up|off|down|aside)\b)(?P<rest>.*)", re.IGNORECASE)


def wanted_state(sheet: ProcedureTexts) -> Iterator[Violation]:
    """An instruction names the wanted state instead of only 'check' or 'set'."""
    for driver_text in sheet.texts:
        if driver_text.role not in ORDERS:
            continue
        for sentence in sentences(driver_text.text):
            match = _CHECKED.search(sentence)
            if match is not None and not _STATE_FOLLOWS.search(sentence[match.end() :]):
                fix = (
                    "say what must be seen: 'Look for fuel on the ground', 'The gauge reads 100 psi or more'"
                )
                yield violation(driver_text, f'"{match.group()}" does not say what must be found', fix)
            set_found = _SET.search(sentence)
            if set_found is not None and not re.search(r"\d|brake|\bto\b|\bon\b|\bin\b", set_found["rest"]):
                yield violation(
                    driver_text, '"set" does not say to what', "name the position or value it is set to"
                )


_TIME_OR_DISTANCE = re.compile(
    r"\d\s?(?:ft|feet|foot|m|metres?|meters?|miles?|mi|km|in|inch(?:es)?|paces?|"
    r"s|sec|seconds?|min|minutes?|h|hours?)\b"
)


def measured_steps(sheet: ProcedureTexts) -> Iterator[Violation]:
    """A step with a time or distance has a measure: how to measure it, and what to do if it cannot be met."""
    for i, block in enumerate(sheet.procedure.blocks):
        for j, step in enumerate(block.steps):
            if step.measure is None and _TIME_OR_DISTANCE.search(step.do):
                yield Violation(
                    f"blocks/{block.id}/steps/{step.id}/do",
                    ("blocks", i, "steps", j, "do"),
                    "this step works to a time or distance, but does not say how to measure it",
                    'add "measure" to the step: value, unit, how, otherwise, source',
                )
