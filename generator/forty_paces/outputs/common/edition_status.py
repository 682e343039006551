"""The script that shows the state of the edition on every page and in the cab file, and its review date."""

from __future__ import annotations

import datetime as dt

from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.library import Library
from forty_paces.messages.languages import speaking
from forty_paces.messages.pages import STATUS
from forty_paces.outputs.common.context import BuildContext, Language
from forty_paces.outputs.common.self_contained import inline_json
from forty_paces.outputs.common.typesetting import long_date


def status_script(context: BuildContext, *, others: bool = False) -> str:
    """The status script with the data of its edition, for pages and for the cab file.

    ``others`` adds the words of the build's other languages, for a script that their pages share.
    """
    library = context.library
    review_by = review_day(library)
    edition: dict[str, object] = {
        "id": library.edition.id,
        "date": library.edition.date.isoformat(),
        "day": long_date(library.edition.date),
        "reviewBy": review_by.isoformat(),
        "reviewDay": long_date(review_by),
        "expires": library.edition.expires.isoformat() if library.edition.expires else "",
        "expiresDay": long_date(library.edition.expires) if library.edition.expires else "",
        "key": library.edition.key,
        "words": dict(STATUS),
    }
    if others and context.other_languages:
        edition["inLanguages"] = {
            one.tag.partition("-")[0]: _words_in(one, library) for one in context.other_languages
        }
    return f"window.fortyPacesEdition = {inline_json(edition)};\n" + context.asset_text("js/edition.js")


def _words_in(language: Language, library: Library) -> dict[str, str]:
    """The script's words in another language, and the days as it writes them."""
    expires = library.edition.expires
    with speaking(language.catalog):
        return {
            **STATUS,
            "edition_day": long_date(library.edition.date),
            "review_day": long_date(review_day(library)),
            "expires_day": long_date(expires) if expires else "",
        }


def review_day(library: Library) -> dt.date:
    """The earliest day on which a procedure or a watched source is due; the edition's date where none is."""
    watches = (due for due in map(watch_due, library.sources.values()) if due is not None)
    return min((*(p.next_review for p in library.procedures), *watches), default=library.edition.date)
