"""Render one face as HTML, in parts: head and content, foot with its QR text, and tab.

The same HTML is measured and printed; whether it fits is decided in :mod:`.card_set`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.drawing.typeface import Typeface, load_typeface
from forty_paces.messages.cards import WORDS
from forty_paces.messages.terms import capital
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.binding import VERSION_SIGNS
from forty_paces.outputs.cards.card_style import Card, Composition
from forty_paces.outputs.cards.faces import FaceContent, not_reviewed
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.qr import qr_svg
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces, short_date
from forty_paces.outputs.paper.flow import PT_MM, SLACK_MM

WALLET_SIZE = "id-1"

TWO_DIGITS, THREE_DIGITS = 88, 888
"""Face number and face count assumed while a face is measured: wide digits, and as many as there may be.

The real count is known only once it is known which cards take two faces.
"""


@dataclass(frozen=True, slots=True)
class Tab:
    """A mark at the edge of the card, level with its row in the index."""

    slot: int
    "Row from the top, from 1."
    group: str
    "Decides its fill."
    code: str
    "Drawn on it."


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
    "Tabs and place of the ring."
    foot: str
    bare_foot: str
    "Without the QR code."
    code: str
    "The text of the QR code."

    def whole(self, gap: int) -> str:
        """The complete face; ``gap`` is the space above its foot, in tenths of a millimeter."""
        return self.shell(f"{self.edge}{self.body}{gap_html(gap)}{self.foot}", self.draft)

    def body_piece(self, gap: int) -> str:
        """Head and content alone. The gap fills the face, so that content that runs over is noticed."""
        return self.shell(f"{self.body}{gap_html(gap)}", self.draft)

    def margin_piece(self, gap: int) -> str:
        """Tab, ring and foot alone, without the QR code, which is drawn by itself."""
        return self.shell(f"{self.edge}{gap_html(gap)}{self.bare_foot}", False)


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


def said_on(setting: FaceLayout, draft: FaceContent) -> str:
    """What the face says, drawings and dates included, without marks of change: its leaf's version follows.

    The day from which a compiled face is in force is that of the edition, and is left out.
    """
    body = body_html(replace(setting, changed=()), draft)
    drawings = "".join(_DRAWING.findall(body))
    text = " ".join(_TAG.sub(" ", body).split())
    dates = f"{draft.effective if draft.version else ''} {draft.next_review}"
    return "\n".join((draft.code, draft.version, dates, draft.reviewed, text, drawings))


_TAG = re.compile(r"<[^>]*>")
_DRAWING = re.compile(r"<svg.*?</svg>")


def foot_html(setting: FaceLayout, draft: FaceContent, number: int, leaf: str, qr: str = "") -> str:
    """The foot of the face. The code ``qr`` does not affect what is measured."""
    words = foot_words(setting, draft, number, leaf)
    return _tidy(_macros(setting).foot({"foot": words, "qr": qr}, setting.card))


def face_parts(
    setting: FaceLayout,
    draft: FaceContent,
    number: int,
    composition: Composition,
    tabs: Sequence[Tab],
    leaf: str,
) -> FaceParts:
    """The parts of a face that fits, with the tabs of both cards on its leaf, and that leaf's version."""
    code = qr_words(setting, draft, number, leaf)
    qr = qr_svg(code, prefix=f"{draft.id}-{number}")
    macros = _macros(setting)
    shown = {
        "id": draft.id,
        "kind": draft.kind,
        "side": "front" if number % 2 else "back",
        "composition": composition.class_name,
        "tabs": tabs,
    }
    return FaceParts(
        shell=lambda inside, draft: _tidy(macros.shell(shown, inside, draft)),
        draft=is_draft(setting.context, draft),
        body=body_html(setting, draft),
        edge=_tidy(macros.edge(shown)),
        foot=foot_html(setting, draft, number, leaf, qr),
        bare_foot=foot_html(setting, draft, number, leaf),
        code=code,
    )


def is_draft(context: BuildContext, draft: FaceContent) -> bool:
    """Whether DRAFT is printed across a face, for a carrier that wants it.

    A procedure's face is a draft until that procedure is signed, a face compiled from several files until
    every procedure is.
    """
    library = context.library
    if not library.fleet.draft_mark:
        return False
    if not draft.version:
        return any(procedure.review.safety_lead is None for procedure in library.procedures)
    return draft.reviewed == not_reviewed()


def _macros(setting: FaceLayout) -> Any:
    return setting.context.templates.get_template("cards/faces.html.j2").module


def _tidy(html: object) -> str:
    return html_with_no_break_spaces(" ".join(str(html).split()))


def foot_words(setting: FaceLayout, draft: FaceContent, number: int, leaf: str) -> str:
    """The text of the foot: owner, code, version, dates, face number, version of the leaf, and review.

    It names no edition, so that a leaf on which nothing changed stays as it is from edition to edition.
    """
    wallet = setting.size == WALLET_SIZE
    version = WORDS["wallet-version" if wallet else "version"].format(version=draft.version)
    words = WORDS["foot-wallet" if wallet else "foot"].format(
        owner=_owner(setting),
        line=capital(_wallet_line(_wallet_owner(setting), number, setting.of, leaf)) if wallet else "",
        code=draft.code,
        version=version if draft.version else "",
        effective=short_date(draft.effective),
        review=short_date(draft.next_review),
        number=number,
        of=setting.of,
        leaf=leaf,
        reviewed=draft.reviewed,
    )
    return capital(words)


def _owner(setting: FaceLayout) -> str:
    """The carrier and, on cards for one vehicle, that vehicle."""
    return ", ".join(filter(None, (setting.context.library.fleet.carrier, _vehicle(setting))))


def _vehicle(setting: FaceLayout) -> str:
    """The vehicle by its unit, or by its title where it has none; empty on cards for all."""
    vehicle = setting.vehicle
    if vehicle is None:
        return ""
    words = WORDS["wallet-unit" if setting.size == WALLET_SIZE else "unit"]
    return words.format(unit=vehicle.unit) if vehicle.unit else vehicle.title


def _wallet_line(owner: str, number: int, of: int, leaf: str) -> str:
    """The second line of a wallet card's foot."""
    return ", ".join(filter(None, (owner, WORDS["wallet-leaf"].format(leaf=leaf, number=number, of=of))))


def _wallet_owner(setting: FaceLayout) -> str:
    """The vehicle, if one line holds it with leaf and number; else the code alone names it.

    A line more would take the place of a by-heart line.
    """
    typeface = load_typeface(setting.context.fonts)
    owner = _vehicle(setting).replace(" ", "\u00a0")
    line = capital(_wallet_line(owner, TWO_DIGITS, TWO_DIGITS, widest_version(typeface)))
    line_mm = typeface.regular.width(line) * card_style.FOOT_PT * PT_MM / 1000
    return owner if line_mm <= card_style.WALLET_FOOT_MM - SLACK_MM else ""


def widest_version(typeface: Typeface) -> str:
    """The version of a leaf that takes the most room.

    So a face neither changes its composition nor stops fitting because of the digits of a version.
    """
    return max("0123456789abcdef", key=typeface.regular.width) * VERSION_SIGNS


def qr_words(setting: FaceLayout, draft: FaceContent, number: int, leaf: str) -> str:
    """Set, card, leaf, dates and what to check, for a telephone's camera.

    In the characters of the QR alphanumeric mode, as far as the unit number is.
    """
    vehicle = setting.vehicle
    owner = "ALL" if vehicle is None else (vehicle.unit and f"UNIT {vehicle.unit}") or vehicle.id
    words = WORDS["code-wallet" if setting.size == WALLET_SIZE else "code"].format(
        set=owner,
        code=draft.code,
        version=WORDS["version"].format(version=draft.version) if draft.version else "",
        number=number,
        of=setting.of,
        review=draft.next_review,
        leaf=leaf,
    )
    return words.upper()


def tab_of(entry: int, draft: FaceContent, card: Card) -> Tab:
    """The tab of an index entry: entries from 1 run down the rows of each column."""
    return Tab((entry - 1) % card.slots + 1, draft.group, draft.code)
