"""The language in force, and the one place where a text is looked up by its id.

English stands where it is used: in the tables of this package and in the ``trans`` blocks of templates, each
text with an id that outlives a change of its words. A :class:`Catalog` holds another language under the same
ids; within ``with speaking(catalog):`` every table and every template takes its texts from there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

ENGLISH = "en-US"


def _one_or_many(count: int) -> int:
    return int(count != 1)


@dataclass(frozen=True, slots=True)
class Catalog:
    """The texts of one language."""

    language: str
    "A tag of BCP 47, such as 'es-US'; pages carry it in ``lang``."
    texts: Mapping[str, Sequence[str]] = field(default_factory=dict)
    "The translations of a text by its id: one, or one for each plural form."
    plural_form: Callable[[int], int] = _one_or_many
    "The index of the plural form for a count."
    mark: str = ""
    "Stands before an English text that has no translation, so that nobody takes it for one."
    reviewer: str | None = ""
    "The speaker who has read it; None for a translation that nobody has read. Empty for English."
    group: str = ","
    "The sign between thousands."
    point: str = "."
    "The sign before decimals."

    def text(self, text_id: str, english: str) -> str:
        """Return the text with this id; the English one where none is given."""
        forms = self.texts.get(text_id)
        return forms[0] if forms else self.mark + english

    def plural(self, text_id: str, one: str, many: str, count: int) -> str:
        """Return the text with this id in the form that the count takes."""
        forms = self.texts.get(text_id, (self.mark + one, self.mark + many))
        return forms[min(self.plural_form(count), len(forms) - 1)]


NO_CATALOG = Catalog(ENGLISH)
"""English: every text as it stands in tables and templates."""
_IN_FORCE: ContextVar[Catalog] = ContextVar("catalog", default=NO_CATALOG)


def language() -> str:
    """Return the tag of the language in force."""
    return _IN_FORCE.get().language


def reviewer() -> str | None:
    """Return the speaker who has read the translation in force: None for nobody, empty for English."""
    return _IN_FORCE.get().reviewer


def signs() -> tuple[str, str]:
    """Return the signs between thousands and before decimals of the language in force."""
    return _IN_FORCE.get().group, _IN_FORCE.get().point


def pgettext(text_id: str, english: str) -> str:
    """Return a text in the language in force."""
    return _IN_FORCE.get().text(text_id, english)


def npgettext(text_id: str, one: str, many: str, count: int) -> str:
    """Return a text in the language in force, in the form that the count takes."""
    return _IN_FORCE.get().plural(text_id, one, many, count)


def cached_by_language(maxsize: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """``functools.lru_cache`` for what depends on the language in force besides the arguments."""

    def cached(function: Callable[P, T]) -> Callable[P, T]:
        @lru_cache(maxsize=maxsize)
        def in_language(_language: str, *args: P.args, **kwargs: P.kwargs) -> T:
            return function(*args, **kwargs)

        @wraps(function)
        def looked_up(*args: P.args, **kwargs: P.kwargs) -> T:
            return in_language(language(), *args, **kwargs)  # type: ignore[arg-type]  # all are hashable

        vars(looked_up)["cache_clear"] = in_language.cache_clear
        return looked_up

    return cached


@contextmanager
def speaking(catalog: Catalog) -> Iterator[None]:
    """Take all texts from this catalog until the block ends. What was computed before keeps its language."""
    token = _IN_FORCE.set(catalog)
    try:
        yield
    finally:
        _IN_FORCE.reset(token)


class Texts(Mapping[str, str]):
    """A table of texts. The id of each is the table's name, a point and the key."""

    def __init__(self, name: str, english: Mapping[str, str]) -> None:
        self.name = name
        self.english = dict(english)

    def __getitem__(self, key: str) -> str:
        return pgettext(f"{self.name}.{key}", self.english[key])

    def __iter__(self) -> Iterator[str]:
        return iter(self.english)

    def __len__(self) -> int:
        return len(self.english)
