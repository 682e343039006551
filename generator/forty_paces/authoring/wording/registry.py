"""Every wording rule in one list, and the waivers that set one aside.

In: a draft. Out: findings. The rules are configured here, in code, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.authoring.documents import Document
from forty_paces.authoring.draft import Draft, Filed
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.procedure import Procedure, Waiver
from forty_paces.authoring.texts import texts
from forty_paces.authoring.wording import figures, orders, structure, vocabulary
from forty_paces.authoring.wording.rule import Hit, Rule, Sheet

RULES: tuple[Rule, ...] = (
    Rule(
        "M1", "What happens while rolling is known by heart.", structure.rolling_is_by_heart, waivable=False
    ),
    Rule("M2", "A stopped line divides rolling from reading.", structure.stopped_line, waivable=False),
    Rule("M3", "At most four actions by heart, three wanted.", structure.few_by_heart, waivable=False),
    Rule("M4", "Ten words a by-heart line.", orders.by_heart_length),
    Rule("S1", "Three words or fewer on a tile.", structure.tile_words),
    Rule(
        "S3", "Critical steps come first, or say why they cannot.", structure.critical_first, waivable=False
    ),
    Rule("S4", "One to nine steps a block.", structure.block_size),
    Rule("S5", "A block is read aloud within 90 seconds.", structure.block_seconds),
    Rule("S6", "One action a step.", orders.one_action),
    Rule("S8", "Conditions can be seen by the driver.", orders.no_vague_condition),
    Rule("S9", "Equally good ways stand in one step.", orders.alternatives_together),
    Rule(
        "S10",
        "A time or distance says how to measure it and what if not.",
        orders.measured_steps,
        waivable=False,
    ),
    Rule("S13", "Reasons and hazards give no orders.", structure.notes_inform),
    Rule("S14", "The finished line names a state that can be seen.", structure.finished_is_seen),
    Rule("S15", "An order names the wanted state.", orders.wanted_state),
    Rule("W1", "20 words a sentence in orders, 25 elsewhere.", orders.sentence_length),
    Rule("W2", "Orders begin with the verb.", orders.imperative),
    Rule("W3", "No passive in orders.", orders.active_voice),
    Rule("W4", "Must and must not, never shall.", vocabulary.plain_duty),
    Rule("W5", "The condition stands before the action.", orders.condition_first),
    Rule("W6", "One term for one thing.", vocabulary.one_term),
    Rule("W7", "Orders read at grade 6 or below, the page at 8.", vocabulary.plain_reading),
    Rule("W8", "No double negative.", vocabulary.positive),
    Rule("W9", "No chains of nouns.", vocabulary.noun_chains, advice=True),
    Rule("W10", "No slashes.", vocabulary.no_slash),
    Rule("W11", "Short forms are said in full at first use.", vocabulary.short_forms),
    Rule("W12", "Digits with their unit, feet before meters.", figures.digits_with_unit),
    Rule("W13", "Every figure carries its source.", figures.cited_figures, waivable=False),
    Rule("W16", "Headings name the event or the act.", structure.headings),
    Rule("T7", "Capitals only for labels and short forms.", structure.sentence_case),
)


@dataclass(frozen=True, slots=True)
class Waived:
    """One waiver that was used, for the review report."""

    waiver: Waiver
    wrong: str
    "What would have been reported."


def check_wording(draft: Draft) -> Iterator[Finding]:
    """The findings of every rule on every procedure, less those waived, plus waivers that waive nothing."""
    glossary = draft.glossary.record if draft.glossary is not None else Glossary()
    for filed in draft.procedures:
        hits = hits_on(filed.record, glossary)
        for rule, hit in hits:
            if _waiver(filed.record, rule, hit) is None:
                yield _finding(filed.document, rule, hit)
        yield from _waiver_findings(filed, hits)


def _finding(document: Document, rule: Rule, hit: Hit) -> Finding:
    advice = hit.advice or rule.advice
    address = hit.address if rule.waivable else ""
    return document.finding(hit.loc, hit.wrong, mend=hit.mend, rule=rule.id, advice=advice, address=address)


def hits_on(procedure: Procedure, glossary: Glossary) -> list[tuple[Rule, Hit]]:
    """Everything the rules say of one procedure, waived or not."""
    sheet = Sheet(texts(procedure), glossary, procedure)
    return [(rule, hit) for rule in RULES for hit in rule.check(sheet)]


def used_waivers(procedure: Procedure, glossary: Glossary) -> tuple[Waived, ...]:
    """Every waiver of a procedure with what it sets aside."""
    if not procedure.waive:
        return ()
    found = []
    for rule, hit in hits_on(procedure, glossary):
        waiver = _waiver(procedure, rule, hit)
        if waiver is not None:
            found.append(Waived(waiver, hit.wrong))
    return tuple(found)


def _waiver(procedure: Procedure, rule: Rule, hit: Hit) -> Waiver | None:
    if not rule.waivable:
        return None
    return next((one for one in procedure.waive if one.rule == rule.id and one.at == hit.address), None)


def _waiver_findings(filed: Filed[Procedure], hits: list[tuple[Rule, Hit]]) -> Iterator[Finding]:
    by_id = {rule.id: rule for rule in RULES}
    for i, waiver in enumerate(filed.record.waive):
        loc = ("waive", i)
        rule = by_id.get(waiver.rule)
        if rule is None:
            wrong = f'there is no rule "{waiver.rule}"'
            yield filed.document.finding((*loc, "rule"), wrong, mend=name_one_of(waiver.rule, by_id))
        elif not rule.waivable:
            wrong = f'the rule {rule.id} cannot be waived: "{rule.says}"'
            yield filed.document.finding((*loc, "rule"), wrong, mend="mend the text, and delete this waiver")
        elif not any(one.id == rule.id and hit.address == waiver.at for one, hit in hits):
            places = [hit.address for one, hit in hits if one.id == rule.id]
            wrong = f'nothing at "{waiver.at}" breaks the rule {rule.id}'
            mend = (
                name_one_of(waiver.at, places) if places else "delete this waiver: the rule holds everywhere"
            )
            yield filed.document.finding((*loc, "at"), wrong, mend=mend)
