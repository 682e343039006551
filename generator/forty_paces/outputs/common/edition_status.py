"""The script that shows the state of the edition on every page and in the cab file, and its review date."""

from __future__ import annotations

import datetime as dt

from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.self_contained import inline_json
from forty_paces.outputs.common.typesetting import long_date


def status_script(context: BuildContext) -> str:
    """The status script with the data of its edition, for pages and for the cab file."""
    library = context.library
    review_by = review_day(library)
    edition = {
        "id": library.edition.id,
        "date": library.edition.date.isoformat(),
        "day": long_date(library.edition.date),
        "reviewBy": review_by.isoformat(),
        "reviewDay": long_date(review_by),
        "expires": library.edition.expires.isoformat() if library.edition.expires else "",
        "expiresDay": long_date(library.edition.expires) if library.edition.expires else "",
        "key": library.edition.key,
    }
    return f"window.fortyPacesEdition = {inline_json(edition)};\n" + context.asset_text("js/edition.js")


def review_day(library: Library) -> dt.date:
    """The earliest day on which a procedure or a watched source is due; the edition's date where none is."""
    watches = (due for due in map(watch_due, library.sources.values()) if due is not None)
    return min((*(p.next_review for p in library.procedures), *watches), default=library.edition.date)
