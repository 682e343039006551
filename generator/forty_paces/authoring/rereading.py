"""What need not be computed again when everything is read again, as in a preview after every edit.

Documents and records are frozen, so an equal document gives the same record.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import TypeVar

from pydantic import BaseModel

from forty_paces.authoring.binding import bind
from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.jurisdiction import Jurisdiction
from forty_paces.authoring.models.record import AnyConditions, OwnCondition

Bound = TypeVar("Bound", bound=BaseModel)

AT_HAND = 512
"""Number of documents; the library has about a hundred."""


@lru_cache(maxsize=AT_HAND)
def fitted(jurisdiction: Jurisdiction, document: Document) -> tuple[Document, tuple[Finding, ...]]:
    """The document as :meth:`Jurisdiction.fitted` gives it."""
    return jurisdiction.fitted(document)


def bound(
    document: Document,
    model: type[Bound],
    passed_over: frozenset[Loc],
    conditions: Mapping[str, OwnCondition],
) -> tuple[Bound | None, tuple[Finding, ...]]:
    """The record as :func:`.binding.bind` gives it."""
    if isinstance(conditions, AnyConditions):
        return bind(document, model, passed_over, conditions)
    # With all that they hold: two conditions of the same id are equal, whatever their words.
    own = tuple((one.of, one.words, one.holds) for one in conditions.values())
    return _bound(document, model, passed_over, own)


@lru_cache(maxsize=AT_HAND)
def _bound(
    document: Document,
    model: type[Bound],
    passed_over: frozenset[Loc],
    own: tuple[tuple[str, str, bool], ...],
) -> tuple[Bound | None, tuple[Finding, ...]]:
    conditions = [OwnCondition(of, words, holds=holds) for of, words, holds in own]
    return bind(document, model, passed_over, {str(one): one for one in conditions})
