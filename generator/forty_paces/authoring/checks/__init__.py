"""Rules that lie between records: what one file says of another, and of itself as a whole.

Each check takes the draft and yields findings. Order here does not matter:
findings are sorted by place afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from forty_paces.authoring.checks import agreement, checklists, citations, identity, lessons, reviews, routes
from forty_paces.authoring.draft import Draft
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.wording.elsewhere import check_other_words
from forty_paces.authoring.wording.registry import check_wording

Check = Callable[[Draft], Iterable[Finding]]

ALL_CHECKS: tuple[Check, ...] = (
    identity.check_file_names,
    identity.check_cards_and_positions,
    identity.check_places_in_lists,
    identity.check_ids_within,
    identity.check_glossary,
    citations.check_citations,
    routes.check_branches,
    lessons.check_lessons,
    checklists.check_checklists,
    reviews.check_reviews,
    agreement.check_worked_examples,
    agreement.check_measures,
    agreement.check_carrier_rules,
    agreement.check_scenes,
    agreement.check_conditions,
    agreement.check_symbols,
    check_wording,
    check_other_words,
)
"""Every check, in the order in which an author would meet them."""
