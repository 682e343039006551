"""Checks across records and files, such as references, uniqueness and dates.

Each check takes the :class:`ParsedContent` and yields findings. Their order does not matter:
findings are sorted by position afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from forty_paces.authoring.checks import (
    agreement,
    checklists,
    fleet,
    identity,
    lessons,
    reviews,
    routes,
    scenarios,
    sources,
)
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.looks import check_colors
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.wording.registry import check_other_words, check_wording

Check = Callable[[ParsedContent], Iterable[Finding]]

ALL_CHECKS: tuple[Check, ...] = (
    identity.check_file_names,
    identity.check_cards_and_positions,
    identity.check_places_in_lists,
    identity.check_ids_within,
    identity.check_glossary,
    sources.check_citations,
    sources.check_sources,
    sources.check_watched_sources,
    sources.check_countries,
    routes.check_branches,
    routes.check_ways_out,
    fleet.check_calls,
    lessons.check_lessons,
    scenarios.check_scenarios,
    checklists.check_checklists,
    reviews.check_reviews,
    agreement.check_worked_examples,
    agreement.check_measures,
    agreement.check_carrier_rules,
    agreement.check_scenes,
    agreement.check_traffic_side,
    agreement.check_conditions,
    agreement.check_symbols,
    fleet.check_own_conditions,
    fleet.check_numbers,
    check_colors,
    check_wording,
    check_other_words,
)
"""Every check, in an order natural to an author."""


@dataclass(frozen=True, slots=True)
class NamedCheck:
    """A named check outside the wording rules; it cannot be waived."""

    name: str
    says: str
    write: str


NAMED_CHECKS = (
    NamedCheck(
        "review-date", "Reviews are due within 24 months, and none is overdue.", "A later next_review."
    ),
    NamedCheck("signature-date", "No signature is dated in the future.", "The day it was really done."),
    NamedCheck("change-log", "The change log begins with this version.", "A first line for this version."),
    NamedCheck(
        "distinct-title",
        "No two titles share their first two words.",
        "What tells this emergency apart, first.",
    ),
    NamedCheck("recall-question", "A question does not hold its own answer.", "Other words in the question."),
    NamedCheck(
        "line-known", "A lesson points at a line that is there.", "PROCEDURE/by_heart/LINE/do and the like."
    ),
    NamedCheck("fading", "Examples go from solved to unsolved.", "solved: highest first, down to 0."),
    NamedCheck(
        "return-asked", "Later recall repeats what the lesson asked.", "The id of one of its questions."
    ),
    NamedCheck(
        "distinct-emergency",
        "A mixed cue does not name the emergency, nor is the right one called a mistake.",
        "What the driver sees, hears or feels.",
    ),
    NamedCheck(
        "path-ends",
        "Every path of a scenario ends: no dead end, no loop, nothing that is never reached.",
        "to: a later moment, or an end.",
    ),
    NamedCheck(
        "best-path",
        "Each moment has one best choice, and they lead to a safe end.",
        "best: yes, on one choice.",
    ),
    NamedCheck(
        "computed-figure",
        "A scenario's lengths, seconds and speeds are computed, and its story agrees with them.",
        "A figure, and its name in braces.",
    ),
    NamedCheck("distinct-choice", "No choice is offered twice.", "Another mistake that a driver could make."),
    NamedCheck(
        "traffic-side",
        "Traffic in a scene keeps to the side of the rule set in force.",
        "keeps: right or left as the country does, with every turn and offset mirrored.",
    ),
    NamedCheck(
        "country-law",
        "No text rests on another country's law than the rule set in force.",
        "What holds there, with its source, in content/editions; or the text left out.",
    ),
    NamedCheck(
        "card-fits",
        "A card holds its procedure in the smallest type allowed.",
        "Fewer words, or a larger card.",
    ),
)
"""Other names shown in square brackets after a finding, in the order of the manual."""
