"""Render one face as HTML, in parts: head and content, foot with its QR text, and tab.

The same HTML is measured and printed; whether it fits is decided in :mod:`.card_set`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Any

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_style import Card, Composition
from forty_paces.outputs.cards.faces import NOT_REVIEWED, FaceContent
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


@dataclass(frozen=True, slots=True)
class FaceParts:
    """A face in parts, of which only the body is the same in every set.

    The same parts make the whole face, for its HTML page, and the two pieces that are laid out once each and
    joined in the PDF.
    """

    shell: Callable[[str, bool], str]
    "Puts HTML into the element of the face, with DRAFT across it or without."
    draft: bool
    body: str
    "Head and content."
    edge: str
    "Tab and place of the ring."
    foot: str

    def whole(self, gap: int) -> str:
        """The complete face; ``gap`` is the space above its foot, in tenths of a millimeter."""
        return self.shell(f"{self.edge}{self.body}{gap_html(gap)}{self.foot}", self.draft)

    def body_piece(self, gap: int) -> str:
        """Head and content alone. The gap fills the face, so that content that runs over is noticed."""
        return self.shell(f"{self.body}{gap_html(gap)}", self.draft)

    def margin_piece(self, gap: int) -> str:
        """Tab, ring and foot alone."""
        return self.shell(f"{self.edge}{gap_html(gap)}{self.foot}", False)


def gap_html(tenths_mm: int) -> str:
    """An empty box of this height; :func:`.card_style.gap_css` has its rule."""
    return f'<div class="aside gap gap-{tenths_mm}"></div>'


def body_html(setting: FaceLayout, draft: FaceContent) -> str:
    """Head and content of the face, which do not depend on its number or its type sizes."""
    shown = {
        "id": draft.id,
        "code": draft.code,
        "kind": draft.kind,
        "title": draft.title,
        "title_key": draft.title_key,
        "more": draft.more,
        "reviewed": draft.reviewed,
    }
    macro = getattr(_macros(setting), draft.kind)
    return _tidy(macro(shown, setting.changed, card=setting.card, **draft.names))


def foot_html(setting: FaceLayout, draft: FaceContent, number: int, qr: str = "") -> str:
    """The foot of the face. The code ``qr`` does not affect what is measured."""
    return _tidy(_macros(setting).foot({"foot": foot_words(setting, draft, number), "qr": qr}, setting.card))


def face_parts(
    setting: FaceLayout, draft: FaceContent, number: int, composition: Composition, entry: int, qr: str
) -> FaceParts:
    """The parts of a face that fits. ``entry`` is its row in the index, from 1."""
    macros = _macros(setting)
    shown = {
        "id": draft.id,
        "kind": draft.kind,
        "side": "front" if number % 2 else "back",
        "composition": composition.class_name,
        "tab": tab_of(entry, setting.card),
    }
    return FaceParts(
        shell=lambda inside, draft: _tidy(macros.shell(shown, inside, draft)),
        draft=is_draft(setting.context, draft),
        body=body_html(setting, draft),
        edge=_tidy(macros.edge(shown)),
        foot=foot_html(setting, draft, number, qr),
    )


def is_draft(context: BuildContext, draft: FaceContent) -> bool:
    """Whether DRAFT is printed across a face, for a carrier that wants it.

    A procedure's face is a draft until that procedure is signed, a face compiled from several files until
    every procedure is.
    """
    library = context.library
    if not library.fleet.draft_mark:
        return False
    if draft.version == library.edition.id:
        return any(procedure.review.safety_lead is None for procedure in library.procedures)
    return draft.reviewed == NOT_REVIEWED


def _macros(setting: FaceLayout) -> Any:
    return setting.context.templates.get_template("cards/faces.html.j2").module


def _tidy(html: object) -> str:
    return html_with_no_break_spaces(" ".join(str(html).split()))


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
