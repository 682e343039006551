"""Wording rules on the structure of a procedure: by-heart lines, block length, headings, finished line."""

from __future__ import annotations

import re
from collections.abc import Iterator

from forty_paces.authoring.findings import clip
from forty_paces.authoring.models.procedure import Block, Group
from forty_paces.authoring.texts import Role
from forty_paces.authoring.wording.language import spoken_words, verb_at, words
from forty_paces.authoring.wording.rule import ProcedureTexts, TextGroup, Violation, violation
from forty_paces.authoring.wording.verbs import ALSO_NOUNS

MOST_BY_HEART = 4
WANTED_BY_HEART = 3
MOST_STEPS = 9
BLOCK_SECONDS = 90
SPOKEN_WORDS_A_MINUTE = 150
"""Our own constant for calm reading aloud; no source."""
TILE_WORDS = 3
ANSWER_WORDS = 5


def rolling_is_by_heart(sheet: ProcedureTexts) -> Iterator[Violation]:
    """A procedure for a rolling vehicle has by-heart lines."""
    if sheet.procedure.group is Group.ROLLING and not sheet.procedure.by_heart:
        wrong = "this emergency happens while the vehicle rolls, but nothing in it is known by heart"
        fix = 'add "by_heart" with one to three actions, or move it into the group "stopped"'
        yield Violation("by_heart", ("group",), wrong, fix)


def stopped_line(sheet: ProcedureTexts) -> Iterator[Violation]:
    """The stopped line says that the vehicle has stopped."""
    for driver_text in sheet.of(Role.STOPPED):
        if not re.search(r"\byou have stopped\b|\bvehicle has stopped\b", driver_text.text, re.IGNORECASE):
            wrong = "the stopped line does not say that the vehicle has stopped"
            yield violation(driver_text, wrong, "begin it with 'After you have stopped'")


def few_by_heart(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most four by-heart actions; advice above three."""
    count = len(sheet.procedure.by_heart)
    if count > MOST_BY_HEART:
        wrong = f"there are {count} by-heart lines; {MOST_BY_HEART} is the most that is remembered"
        fix = "move what can wait until the vehicle has stopped into the blocks"
        yield Violation("by_heart", ("by_heart",), wrong, fix)
    elif count > WANTED_BY_HEART:
        wrong = f"there are {count} by-heart lines; {WANTED_BY_HEART} are remembered better"
        fix = "ask of each line whether it could wait until the vehicle has stopped"
        yield Violation("by_heart", ("by_heart",), wrong, fix, advice=True)


def critical_first(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Critical steps come first in a block, or give a reason why they cannot."""
    for i, block in enumerate(sheet.procedure.blocks):
        lesser = None
        for j, step in enumerate(block.steps):
            if not step.critical:
                lesser = lesser or step.id
            elif lesser is not None and step.order_reason is None:
                yield Violation(
                    f"blocks/{block.id}/steps/{step.id}",
                    ("blocks", i, "steps", j),
                    f'the critical step "{step.id}" stands after "{lesser}", which is not critical',
                    'move it up, or add "order_reason" to say why it cannot come first',
                )


def block_size(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most nine steps in a block."""
    for i, block in enumerate(sheet.procedure.blocks):
        if len(block.steps) > MOST_STEPS:
            wrong = f'the block "{block.id}" has {len(block.steps)} steps; {MOST_STEPS} is the most'
            fix = "split it where the driver would pause, and give each part a title"
            yield Violation(f"blocks/{block.id}", ("blocks", i), wrong, fix)


def block_seconds(sheet: ProcedureTexts) -> Iterator[Violation]:
    """A block is read aloud in at most 90 s, without reasons: they are read in class and before a trip."""
    for i, block in enumerate(sheet.procedure.blocks):
        seconds = _spoken(block) * 60 / SPOKEN_WORDS_A_MINUTE
        if seconds > BLOCK_SECONDS:
            wrong = (
                f'the block "{block.id}" takes {seconds:.0f} s to read aloud; {BLOCK_SECONDS} s is the most'
            )
            yield Violation(
                f"blocks/{block.id}", ("blocks", i), wrong, "split it, or shorten its steps and notices"
            )


def _spoken(block: Block) -> int:
    spoken = []
    for step in block.steps:
        spoken.append(step.do)
        if step.notice is not None:
            spoken += [step.notice.hazard, step.notice.consequence, step.notice.avoid]
        if step.measure is not None:
            spoken.append(step.measure.how)
        if step.if_not is not None:
            spoken += [step.if_not.title, *(line.do for line in step.if_not.lines)]
    return sum(spoken_words(text) for text in spoken)


def notes_inform(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Reasons and hazards give no instructions."""
    for driver_text in sheet.of(Role.WHY, Role.HAZARD, Role.CONSEQUENCE):
        verb = verb_at(driver_text.text)
        if (
            verb is not None
            and verb not in ALSO_NOUNS
            and words(driver_text.text)[0].lower() not in ("see", "let")
        ):
            wrong = f'this {driver_text.role.value} gives an order: "{clip(driver_text.text, 40)}"'
            yield violation(
                driver_text, wrong, "say what is so or what would happen; an action is a step of its own"
            )


_SEEN = re.compile(
    r"\b(?:is|are|has|have|stands?|shows?|reads?|burns?|blinks?|flash(?:es)?|hangs?|stays?|sits?|lies|holds?"
    r"|rolls?|rises?|drips?|feels?|knows?|turns?|runs?|points?|waits?)\b",
    re.IGNORECASE,
)
_ALL_OF_IT = re.compile(r"\b(?:situation|everything|all|it)\b", re.IGNORECASE)
_UNSEEN = re.compile(r"\b(?:safe|ok|okay|done|complete|completed|fine|secure|under control)\b", re.IGNORECASE)


def finished_is_seen(sheet: ProcedureTexts) -> Iterator[Violation]:
    """The finished line names a state that the driver can see."""
    for driver_text in sheet.of(Role.FINISHED):
        verb = verb_at(driver_text.text)
        fix = "state what can be seen, such as 'No smoke rises and the triangles stand'"
        if verb is not None and verb not in ALSO_NOUNS:
            yield violation(driver_text, "the finished line gives an order instead of a state", fix)
        elif (whole := _ALL_OF_IT.search(driver_text.text)) and _UNSEEN.search(driver_text.text, whole.end()):
            yield violation(driver_text, "nobody can see the state that the finished line names", fix)
        elif not _SEEN.search(driver_text.text):
            yield violation(driver_text, "the finished line names no state that can be seen", fix)


_HEADINGS = (Role.TITLE, Role.BLOCK_TITLE, Role.DECISION_TITLE, Role.CLUSTER_TITLE)


def headings(sheet: ProcedureTexts) -> Iterator[Violation]:
    """Headings name the event or the action: no 'How to', no period."""
    for driver_text in sheet.of(*_HEADINGS):
        if re.match(r"how to\b", driver_text.text, re.IGNORECASE):
            yield violation(
                driver_text, "the heading begins with 'How to'", "name the act: 'Put out the triangles'"
            )
        elif driver_text.text.endswith("."):
            yield violation(driver_text, "the heading ends with a period", "leave the period out")
        elif driver_text.role is Role.BLOCK_TITLE and verb_at(driver_text.text) is None:
            wrong = f'the block title "{clip(driver_text.text, 40)}" does not begin with a verb'
            yield violation(
                driver_text, wrong, "say what the block achieves: 'Get everyone clear'", advice=True
            )


def tile_words(sheet: ProcedureTexts) -> Iterator[Violation]:
    """At most three words on a tile."""
    for driver_text in sheet.of(Role.TILE):
        count = len(driver_text.text.split())
        if count > TILE_WORDS:
            wrong = f"the tile has {count} words; {TILE_WORDS} is the most"
            yield violation(driver_text, wrong, "keep the words that tell this emergency from the others")


def answer_words(sheet: ProcedureTexts) -> Iterator[Violation]:
    """An answer has at most five words and no period, because it is the text of a button."""
    for driver_text in sheet.of(Role.ANSWER):
        count = len(driver_text.text.split())
        if count > ANSWER_WORDS:
            wrong = f"this answer has {count} words; {ANSWER_WORDS} is the most"
            yield violation(driver_text, wrong, "say it as the driver would, such as 'No way off'")
        elif driver_text.text.endswith("."):
            yield violation(driver_text, "the answer ends with a period", "leave the period out")


SHOUTED = re.compile(r"(?:\b[A-Z]{2,}\b[^\w.]+){3,}[A-Z]{2,}\b")
"""More than three words in capitals, which are not abbreviations."""


def sentence_case(page: TextGroup) -> Iterator[Violation]:
    """Capitals only for labels and abbreviations."""
    for driver_text in page.texts:
        if SHOUTED.search(driver_text.text):
            wrong = "more than three words in a row are in capitals"
            yield violation(driver_text, wrong, "write it in small letters; capitals are harder to read")
        elif driver_text.role in (*_HEADINGS, Role.TILE):
            long_words = [word for word in words(driver_text.text)[1:] if len(word) > 3]
            if len(long_words) > 1 and all(word[0].isupper() and word[1:].islower() for word in long_words):
                wrong = "every word of the heading begins with a capital"
                yield violation(driver_text, wrong, "capitalize the first word only")
