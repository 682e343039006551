"""The list of all wording rules, the waivers that suppress them, and where each rule applies.

The rules are configured in this module only; there is no configuration file. Outside procedures (lessons,
scenes, lists, rule texts, the fleet) vocabulary rules alone apply, and all findings are advice: a lesson may
quote a driver who uses the wrong words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from forty_paces.authoring.documents import Document, Loc, ParsedRecord
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.procedure import Procedure, Waiver
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.texts import DriverText, Role, texts
from forty_paces.authoring.wording import figures, misread, orders, structure, vocabulary
from forty_paces.authoring.wording.misread import no_misread_words
from forty_paces.authoring.wording.rule import ProcedureTexts, Rule, TextGroup, Violation
from forty_paces.authoring.wording.structure import sentence_case
from forty_paces.authoring.wording.vocabulary import no_slash, one_term, plain_duty
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

RULES: tuple[Rule, ...] = (
    Rule(
        "by-heart-needed",
        "What happens while rolling is known by heart.",
        "One to three lines under by_heart, or the group stopped.",
        structure.rolling_is_by_heart,
        waivable=False,
    ),
    Rule(
        "stopped-line",
        "A stopped line divides rolling from reading.",
        "A line that begins with 'After you have stopped'.",
        structure.stopped_line,
        waivable=False,
    ),
    Rule(
        "few-by-heart",
        "At most four actions by heart, three wanted.",
        "Only what cannot wait until the vehicle has stopped; the rest goes into the blocks.",
        structure.few_by_heart,
        waivable=False,
    ),
    Rule(
        "short-by-heart",
        "Ten words a by-heart line.",
        "The action alone; its reason goes into why.",
        orders.by_heart_length,
    ),
    Rule(
        "short-tile",
        "Three words or fewer on a tile.",
        "The words that tell this emergency from the others.",
        structure.tile_words,
    ),
    Rule(
        "critical-first",
        "Critical steps come first, or say why they cannot.",
        "The critical step higher up, or order_reason with the reason.",
        structure.critical_first,
        waivable=False,
    ),
    Rule(
        "block-size",
        "One to nine steps a block.",
        "Two blocks, each with a title, split where the driver would pause.",
        structure.block_size,
    ),
    Rule(
        "block-time",
        "A block is read aloud within 90 seconds.",
        "Shorter steps and notices, or two blocks.",
        structure.block_seconds,
    ),
    Rule(
        "one-action",
        "One action a step.",
        "A step of its own for each action; 'while' only where two truly happen together.",
        orders.one_action,
    ),
    Rule(
        "visible-condition",
        "Conditions can be seen by the driver.",
        "What the driver sees, such as 'if smoke still rises'; never 'if necessary'.",
        orders.no_vague_condition,
    ),
    Rule(
        "alternatives-together",
        "Equally good ways stand in one step.",
        "One step that begins with 'Do one of these:'.",
        orders.alternatives_together,
    ),
    Rule(
        "measured-step",
        "A time or distance says how to measure it and what if not.",
        "measure with value, unit, how, otherwise and source.",
        orders.measured_steps,
        waivable=False,
    ),
    Rule(
        "reasons-inform",
        "Reasons and hazards give no orders.",
        "What is so, or what would happen; an action is a step.",
        structure.notes_inform,
    ),
    Rule(
        "visible-finish",
        "The finished line names a state that can be seen.",
        "Such as 'No smoke rises and the triangles stand'.",
        structure.finished_is_seen,
    ),
    Rule(
        "wanted-state",
        "An order names the wanted state.",
        "'The gauge reads 100 psi or more' in place of 'check the gauge'.",
        orders.wanted_state,
    ),
    Rule(
        "short-answer",
        "Five words or fewer in an answer.",
        "What the driver would say, without a period: 'No way off'.",
        structure.answer_words,
    ),
    Rule(
        "short-sentence",
        "20 words a sentence in orders, 25 elsewhere.",
        "Two sentences, or fewer words.",
        orders.sentence_length,
    ),
    Rule(
        "verb-first",
        "Orders begin with the verb.",
        "'Turn off', 'Walk'; a condition may stand before it, closed by a comma.",
        orders.imperative,
    ),
    Rule(
        "active-voice",
        "No passive in orders.",
        "Who does it; the driver is left out, so the verb comes first.",
        orders.active_voice,
    ),
    Rule(
        "plain-duty",
        "Must and must not, never shall.",
        "'must' for a duty, 'must not' for a ban, 'should' for advice.",
        vocabulary.plain_duty,
    ),
    Rule(
        "condition-first",
        "The condition stands before the action.",
        "The condition and a comma, then the action: 'If smoke rises, get out'.",
        orders.condition_first,
    ),
    Rule("one-term", "One term for one thing.", "The term of the glossary.", vocabulary.one_term),
    Rule(
        "no-misread-words",
        "No words that stressed or foreign drivers are known to misread.",
        "What the list below gives for them.",
        misread.no_misread_words,
    ),
    Rule(
        "plain-reading",
        "Orders read at grade 6 or below, the page at 8.",
        "Short sentences and short words.",
        vocabulary.plain_reading,
    ),
    Rule(
        "no-double-negative",
        "No double negative.",
        "'At least', 'at most', 'only when'.",
        vocabulary.positive,
    ),
    Rule(
        "no-noun-chain",
        "No chains of nouns.",
        "'of', 'for' or 'on' between them.",
        vocabulary.noun_chains,
        advice=True,
    ),
    Rule("no-slash", "No slashes.", "'and' or 'or', or the one that is meant.", vocabulary.no_slash),
    Rule(
        "short-form-explained",
        "Short forms are said in full at first use.",
        "The words, with the short form in brackets; or the words alone.",
        vocabulary.short_forms,
    ),
    Rule(
        "digits-with-unit",
        "Digits with their unit, feet before meters.",
        "'10 ft (3 m)', '5 s'.",
        figures.digits_with_unit,
    ),
    Rule(
        "cited-figure",
        "Every figure carries its source.",
        "The figure in a step or a fact that cites its source.",
        figures.cited_figures,
        waivable=False,
    ),
    Rule(
        "heading-form",
        "Headings name the event or the act.",
        "'Put out the triangles': no 'How to', no period.",
        structure.headings,
    ),
    Rule(
        "sentence-case",
        "Capitals only for labels and short forms.",
        "A capital for the first word only; a printed label in double quotes.",
        structure.sentence_case,
    ),
)


@dataclass(frozen=True, slots=True)
class Waived:
    """A waiver that took effect, for the review report."""

    waiver: Waiver
    wrong: str
    "The message that it suppressed."


def check_wording(draft: ParsedContent) -> Iterator[Finding]:
    """Findings of every rule on every procedure except those waived, and of waivers without effect."""
    glossary = draft.glossary.record if draft.glossary is not None else Glossary()
    for filed in draft.procedures:
        hits = violations_of(filed.record, glossary)
        for rule, hit in hits:
            if _waiver(filed.record, rule, hit) is None:
                yield _finding(filed.document, rule, hit)
        yield from _waiver_findings(filed, hits)


def _finding(document: Document, rule: Rule, hit: Violation) -> Finding:
    advice = hit.advice or rule.advice
    address = hit.address if rule.waivable else ""
    return document.finding(hit.loc, hit.wrong, fix=hit.fix, rule=rule.name, advice=advice, address=address)


@lru_cache(maxsize=256)  # a preview checks again after every edit, and the review report reads them too
def violations_of(procedure: Procedure, glossary: Glossary) -> tuple[tuple[Rule, Violation], ...]:
    """All violations in one procedure, waived or not."""
    sheet = ProcedureTexts(texts(procedure), glossary, procedure)
    return tuple((rule, hit) for rule in RULES for hit in rule.check(sheet))


def used_waivers(procedure: Procedure, glossary: Glossary) -> tuple[Waived, ...]:
    """The waivers of a procedure that suppress a violation."""
    if not procedure.waive:
        return ()
    hits = []
    for rule, hit in violations_of(procedure, glossary):
        waiver = _waiver(procedure, rule, hit)
        if waiver is not None:
            hits.append(Waived(waiver, hit.wrong))
    return tuple(hits)


def _waiver(procedure: Procedure, rule: Rule, hit: Violation) -> Waiver | None:
    if not rule.waivable:
        return None
    return next(
        (waiver for waiver in procedure.waive if waiver.rule == rule.name and waiver.at == hit.address), None
    )


def _waiver_findings(
    filed: ParsedRecord[Procedure], hits: Iterable[tuple[Rule, Violation]]
) -> Iterator[Finding]:
    by_name = {rule.name: rule for rule in RULES}
    for i, waiver in enumerate(filed.record.waive):
        loc = ("waive", i)
        rule = by_name.get(waiver.rule)
        if rule is None:
            wrong = f'there is no rule "{waiver.rule}"'
            yield filed.document.finding((*loc, "rule"), wrong, fix=name_one_of(waiver.rule, by_name))
        elif not rule.waivable:
            wrong = f'the rule {rule.name} cannot be waived: "{rule.says}"'
            yield filed.document.finding(
                (*loc, "rule"), wrong, fix="correct the text, and delete this waiver"
            )
        elif not any(other.name == rule.name and hit.address == waiver.at for other, hit in hits):
            places = [hit.address for other, hit in hits if other.name == rule.name]
            wrong = f'nothing at "{waiver.at}" breaks the rule {rule.name}'
            fix = (
                name_one_of(waiver.at, places) if places else "delete this waiver: the rule holds everywhere"
            )
            yield filed.document.finding((*loc, "at"), wrong, fix=fix)


RULES_EVERYWHERE = (
    ("sentence-case", sentence_case),
    ("plain-duty", plain_duty),
    ("one-term", one_term),
    ("no-slash", no_slash),
    ("no-misread-words", no_misread_words),
)
"""Rules that apply to all content."""

_CHECKED_ELSEWHERE = frozenset({"procedure", "shared passages", "glossary", "bibliography"})
"""Kinds with checks of their own, and the glossary and bibliography, which quote other wordings."""

_NO_WORDS = frozenset({"citation", "author", "carrier", "number", "plate", "publisher", "section"})
"""Keys whose values are names or references, not prose."""


def check_other_words(draft: ParsedContent) -> Iterator[Finding]:
    """Advice on the wording of every file that is not a procedure."""
    glossary = draft.glossary.record if draft.glossary is not None else Glossary()
    for document in draft.documents.values():
        if document.kind in _CHECKED_ELSEWHERE:
            continue
        texts = tuple(DriverText("", loc, Role.VALUE, text) for loc, text in _texts(document.tree, ()))
        for rule, check in RULES_EVERYWHERE:
            for hit in check(TextGroup(texts, glossary)):
                yield document.finding(hit.loc, hit.wrong, fix=hit.fix, rule=rule, advice=True)


def _texts(node: Node, loc: Loc) -> Iterator[tuple[Loc, str]]:
    """Every value that contains a space; names and numbers contain none."""
    if isinstance(node, MappingNode):
        for entry in node.entries:
            if entry.key not in _NO_WORDS:
                yield from _texts(entry.value, (*loc, entry.key))
    elif isinstance(node, SequenceNode):
        for i, item in enumerate(node.items):
            yield from _texts(item, (*loc, i))
    elif isinstance(node, ScalarNode) and " " in node.text:
        yield loc, node.text
