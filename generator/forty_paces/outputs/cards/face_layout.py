"""Render one face as HTML: template macro, foot, QR text, and tab.

The same HTML is measured and printed; whether it fits is decided in :mod:`.card_set`.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_style import Card, Composition
from forty_paces.outputs.cards.faces import FaceContent
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces, short_date

WALLET_SIZE = "id-1"


@dataclass(frozen=True, slots=True)
class Tab:
    """A mark at the edge of the card, level with its row in the index."""

    slot: int
    "Row from the top, from 1."
    pattern: int
    "Column of the index, from 1: solid, hollow, striped."


@dataclass(frozen=True, slots=True)
class FaceLayout:
    """What all faces of a set are laid out with."""

    context: BuildContext
    size: str
    vehicle: Vehicle | None
    changed: Collection[str]
    since: str
    of: int

    @property
    def card(self) -> Card:
        """The dimensions of the finished card."""
        return card_style.CARDS[self.size]


def face_html(
    setting: FaceLayout,
    draft: FaceContent,
    number: int,
    composition: Composition,
    *,
    entry: int = 0,
    gap: int = 0,
    qr: str = "",
) -> str:
    """The face as HTML. ``entry`` is its row in the index, from 1.

    ``entry``, ``gap`` and ``qr`` do not affect what is measured, and are passed once the face is known to
    fit.
    """
    macros = setting.context.templates.get_template("cards/faces.html.j2").make_module({})
    shown = {
        "id": draft.id,
        "code": draft.code,
        "kind": draft.kind,
        "title": draft.title,
        "title_key": draft.title_key,
        "more": draft.more,
        "side": "front" if number % 2 else "back",
        "composition": composition.class_name,
        "tab": tab_of(entry, setting.card),
        "foot": foot_words(setting, draft, number),
        "gap": gap,
        "reviewed": draft.reviewed,
        "qr": qr,
    }
    macro = getattr(macros, draft.kind)
    html = str(macro(shown, setting.changed, card=setting.card, **draft.names))
    return html_with_no_break_spaces(" ".join(html.split()))


def foot_words(setting: FaceLayout, draft: FaceContent, number: int) -> str:
    """The text of the foot: owner, code, version or edition, dates, face number and review."""
    edition = setting.context.library.edition
    dates = f"of {short_date(draft.effective)}, review by {short_date(draft.next_review)}."
    count = f"{number} of {setting.of}"
    of_edition = draft.version == edition.id
    if setting.size == WALLET_SIZE:
        which = f"Edition {edition.id} {dates} {count}." if of_edition else ""
        words = [which or f"Version {draft.version} {dates} {count}, edition {edition.id}."]
    else:
        which = f"edition {edition.id} {dates} {count}." if of_edition else ""
        which = which or f"version {draft.version} {dates} {count}, edition {edition.id}."
        words = [f"{_owner(setting)}. {draft.code} {which} {draft.reviewed}"]
    if setting.changed:
        words.append(f"A bar marks what changed since {setting.since}.")
    return " ".join(words)


def _owner(setting: FaceLayout) -> str:
    """The carrier and, on cards for one vehicle, that vehicle."""
    vehicle = setting.vehicle
    named = [setting.context.library.fleet.carrier]
    if vehicle:
        named.append(f"unit {vehicle.unit}" if vehicle.unit else vehicle.title)
    return ", ".join(named)


def qr_words(setting: FaceLayout, draft: FaceContent, number: int) -> str:
    """The same facts for a phone camera, in the characters of the QR alphanumeric mode."""
    edition = setting.context.library.edition.id
    if setting.size == WALLET_SIZE:
        dates = f"{draft.effective} {draft.next_review}"
        words = f"{draft.code} {draft.version} {dates} {number}/{setting.of} {edition}"
    else:
        words = (
            f"{draft.code} VERSION {draft.version} OF {draft.effective} REVIEW {draft.next_review} "
            f"FACE {number} OF {setting.of} EDITION {edition}"
        )
    return words.upper()


def tab_of(entry: int, card: Card) -> Tab:
    """The tab of an index entry: entries from 1 run down the rows of each column; the index has none."""
    if entry < 1 or not card.slots:
        return Tab(0, 0)
    column, row = divmod(entry - 1, card.slots)
    return Tab(row + 1, column % 3 + 1)
