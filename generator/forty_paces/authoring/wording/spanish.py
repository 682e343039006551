"""Wording rules for Spanish texts, and how easily they read.

Readability is the perspicuity of Szigriszt Pazos on the INFLESZ scale:
``206.835 - 62.3 * syllables / words - words / sentences``.
(F. Szigriszt Pazos, doctoral thesis, Madrid 1993; I. M. Barrio Cantalejo and others, Anales del Sistema
Sanitario de Navarra 31(2), 2008, pages 135 to 152, for the scale: 55 to 65 normal, above 65 easy. Both met
second-hand, in a description on the web.)

The bounds of sentences are common practice, no source: those of English.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

ORDER_WORDS = 20
"""Most words of a sentence in an order."""

SENTENCE_WORDS = 25
"""Most words of a sentence elsewhere."""

LEAST_EASE = 55.0
"""Least perspicuity of the orders of a procedure: 'normal' on the INFLESZ scale."""

_WORD = re.compile(r"[a-záéíóúüñ]+", re.IGNORECASE)
_SENTENCE_END = re.compile(r"(?<=[.?!:;])\s+")
_FIGURE = re.compile(r"\d[\d.,:/]*")

_FAMILIAR = re.compile(r"\b(?:tú|tu|tus|ti|contigo|tuyo|tuya|vosotros|vuestr[oa]s?|os)\b", re.IGNORECASE)
"""Words that speak to somebody as tú or vosotros."""

_FAMILIAR_ORDER = re.compile(
    r"^(?:no (?:pongas|salgas|hagas|abras|toques|uses|camines|muevas)|pon|ten|sal|ven|haz|llama|apaga|"
    r"enciende|"
    r"mira|camina|espera|usa|abre|cierra|quita|deja|sigue|mueve|busca|toma|lleva|pide|mantén|pisa|suelta|gira|"
    r"aléjate|quédate|ponte|muévete|detente|asegúrate)\b",
    re.IGNORECASE,
)
"""The beginning of an order in the form of tú. 'Para' and 'baja' begin other sentences too."""

_INFINITIVE = re.compile(r"^(?:no )?[a-záéíóúñ]{2,}(?:ar|er|ir|arse|erse|irse)\b(?! que\b)", re.IGNORECASE)
"""An infinitive in place of an order: 'Apagar el motor'."""

_ENGLISH = re.compile(
    r"\b(?:the|and|with|your|you|from|this|that|then|off|stop|road|traffic|vehicle|before|after|when)\b",
    re.IGNORECASE,
)
"""Common English words that no Spanish text has, names aside."""

_UNIT = r"(?:ft|in(?! [a-z])|mi|km|mph|km/h|m|psi|kPa|lb|kg|s|min|h|°F|°C|%)(?![\w/])"
_MEASURED = re.compile(rf"(\d[\d.,/]*[¼½¾]?)[ \u00a0]?({_UNIT})")
"""A figure with its unit. Vehicles, signs and laws of the country have these units in any language."""


@dataclass(frozen=True, slots=True)
class SpanishTerm:
    """The Spanish word for one thing."""

    english: str
    spanish: str
    avoid: tuple[str, ...] = ()
    "Words that must not be used for it."


def sentences(text: str) -> list[str]:
    """The sentences of a text; a colon and a semicolon end one, as in lists of orders."""
    return [part for part in _SENTENCE_END.split(text) if _WORD.search(part)]


def words(text: str) -> list[str]:
    """The words of a text, without figures."""
    return _WORD.findall(text)


def violations(
    text: str, english: str, *, order: bool, bounded: bool = True, terms: Sequence[SpanishTerm] = ()
) -> Iterator[tuple[str, str]]:
    """(what is wrong, what to write) of one Spanish text.

    ``order`` says that it is one instruction, ``bounded`` that its sentences are short, as in procedures.
    """
    if found := _FAMILIAR.search(text):
        yield f'"{found[0]}" speaks to the driver as tú', "speak to the driver as usted: su, usted"
    for sentence in sentences(text) if order else ():
        if found := _FAMILIAR_ORDER.match(sentence):
            yield f'"{found[0]}" is an order in the form of tú', "write it in the form of usted: ponga, salga"
    if order and (found := _INFINITIVE.match(text)):
        yield f'"{found[0]}" is an infinitive', "write the order in the form of usted: Apague el motor"
    most = ORDER_WORDS if order else SENTENCE_WORDS
    for sentence in sentences(text) if bounded else ():
        if (count := len(words(sentence))) > most:
            yield f"a sentence of {count} words", f"two sentences, or {most} words"
    lost = Counter(_MEASURED.findall(english)) - Counter(_MEASURED.findall(text))
    for figure, unit in lost:
        yield f'"{figure} {unit}" is not there with its unit', "write the unit as the English text has it"
    if text.strip() == english.strip() and len(re.findall(r"\b[a-z]{3,}", _without_names(english))) > 1:
        yield "the text is still English", "translate it"
    elif found := _ENGLISH.search(_without_names(text)):
        yield f'"{found[0]}" is English', "translate it, or set a name in quotes"
    lowered = f" {text.lower()} "
    for term in terms:
        for avoided in term.avoid:
            word = avoided.lower()
            # Most texts hold none of the words: the expression is made only for those that do.
            if word in lowered and re.search(rf"(?<!\w){re.escape(word)}(?!\w)", lowered):
                yield f'"{avoided}" is not the term for {term.english}', f'write "{term.spanish}"'


def _without_names(text: str) -> str:
    """The text without what stands in quotes or as code, and without capitals within a sentence."""
    bare = re.sub(r"«[^»]*»|\"[^\"]*\"|“[^”]*”|<code>.*?</code>|\{[^}]*\}|%\(\w+\)s|<[^>]+>|&\w+;", " ", text)
    return re.sub(r"(?<=[a-záéíóúñ,;] )[A-Z]\w+(?: [A-Z]\w+)*", " ", bare)


_STRONG = "aeoáéó"
_ACCENTED_WEAK = "íú"
_VOWELS = re.compile(r"[aeiouáéíóúü]+", re.IGNORECASE)


def syllables(word: str) -> int:
    """The syllables of a Spanish word: two strong vowels part, and so does a weak one with an accent.

    The u of que, qui, gue and gui is silent; a final y after a vowel sounds as one with it.
    """
    lowered = re.sub(r"(?<=q)u|(?<=g)u(?=[eiéí])", "", word.lower())
    if not _VOWELS.search(lowered):
        return 1
    count = 0
    for run in _VOWELS.findall(lowered):
        count += 1
        for one, other in pairwise(run):
            count += (one in _STRONG and other in _STRONG) or one in _ACCENTED_WEAK or other in _ACCENTED_WEAK
    return count


def ease(texts: Iterable[str]) -> float:
    """The perspicuity of texts together; 100 for texts without words."""
    counted = [(words(text), len(sentences(text))) for text in texts]
    total = sum(len(found) for found, _ in counted)
    if not total:
        return 100.0
    sounds = sum(syllables(word) for found, _ in counted for word in found)
    return 206.835 - 62.3 * sounds / total - total / max(1, sum(ends for _, ends in counted))


def hard_procedures(orders: Mapping[str, Sequence[str]]) -> Iterator[tuple[str, float]]:
    """(procedure, perspicuity) of procedures whose orders read less easily than :data:`LEAST_EASE`."""
    for name, texts in orders.items():
        if (reached := ease(texts)) < LEAST_EASE:
            yield name, reached
