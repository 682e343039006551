"""Build the set of cards for one vehicle and one finished size.

Each face is measured in the compositions of :mod:`forty_paces.outputs.cards.card_style`, largest type first,
and set in the first one that fits. Type is never scaled below the smallest composition: a face that does not
fit even then becomes a :class:`Misfit`, which says how many lines it is over and what to shorten.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from forty_paces.authoring.findings import ContentFault, Finding, Place
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.drawing.formats import Size
from forty_paces.drawing.typeface import Typeface, load_typeface
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_style import Card, Composition
from forty_paces.outputs.cards.face_layout import (
    WALLET_SIZE,
    FaceLayout,
    body_html,
    face_parts,
    foot_html,
    qr_words,
)
from forty_paces.outputs.cards.faces import (
    INDEX_CODE,
    FaceContent,
    face_contents,
    index_face_content,
    leaves,
    notes_draft,
    wallet_face_contents,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.qr import qr_svg
from forty_paces.outputs.paper.flow import PT_MM, Measured, TooNarrow, measure

MOST_FACES = 88
"""Face number and face count assumed while a face is measured.

The real count is known only once it is known which cards take two faces. Wallet cards always take one.
"""

_HAIR_MM = 0.05
"Left free at the foot of a full face, so that rounding in a layout engine does not start a second page."


@dataclass(frozen=True, slots=True)
class Face:
    """A face that fits, ready to print."""

    id: str
    code: str
    kind: str
    title: str
    tile: str
    version: str
    effective: dt.date
    next_review: dt.date
    reviewed: str
    number: int
    of: int
    more: str
    "Text after the title on the back of a leaf; empty on the face that the index lists."
    composition: str
    "Id of the composition (set of type sizes) that it is set in."
    needed_mm: float
    "Height of its content; ``Card.room_mm`` is available."
    gap: int
    "Space between the content and the foot, in tenths of a millimeter."
    html: str
    body_html: str
    "Head and content alone: the same for every vehicle whose steps are the same, so laid out once."
    margin_html: str
    "Tab, place of the ring and foot alone, printed over the body."
    strings: dict[str, str]
    "Every string on it by its string id."


def leaf_of(number: int) -> int:
    """The leaf of a face by its number; both from 1."""
    return (number + 1) // 2


@dataclass(frozen=True, slots=True)
class CardSet:
    """All faces for one vehicle, or for all vehicles, at one size."""

    size: str
    vehicle: Vehicle | None
    faces: tuple[Face, ...]
    since: str = ""
    "The edition that its change bars compare with; empty where no face has any."

    @property
    def sides(self) -> tuple[Face | None, ...]:
        """The faces as they are printed: front and back of each leaf, None where a side is blank."""
        by_number = {face.number: face for face in self.faces}
        leaves = sorted({leaf_of(face.number) for face in self.faces})
        both = [by_number.get(number) for leaf in leaves for number in (2 * leaf - 1, 2 * leaf)]
        return tuple(both[:-1] if both and both[-1] is None else both)

    def leaves_with(self, wanted: Callable[[Face], bool]) -> CardSet:
        """The leaves with a wanted face, complete and numbered as here, to take the place of others."""
        leaves = {leaf_of(face.number) for face in self.faces if wanted(face)}
        return replace(self, faces=tuple(face for face in self.faces if leaf_of(face.number) in leaves))

    @property
    def card(self) -> Card:
        """The dimensions of the finished card."""
        return card_style.CARDS[self.size]

    @property
    def owner(self) -> str:
        """The vehicle's id, or 'all'."""
        return self.vehicle.id if self.vehicle else "all"


@dataclass(frozen=True, slots=True)
class Misfit:
    """A face that does not fit even in the smallest composition."""

    draft: FaceContent
    size: str
    lines_over: int
    savings: tuple[str, ...]
    "Strings to shorten, the smallest change first."
    word: str = ""
    "The word that is wider than its column, if that is the reason."


def card_set(
    context: BuildContext,
    size: str,
    vehicle: Vehicle | None = None,
    *,
    only: Collection[str] = (),
    changed: Collection[str] = (),
    since: str = "",
) -> CardSet:
    """Return the set with every face fitted.

    ``only`` holds the codes of the faces wanted; empty means all. ``changed`` holds the string ids whose
    lines get a change bar, compared with the edition ``since``. Raises :class:`ContentFault` with a finding
    for each face that does not fit.
    """
    cards, misfits = try_set(context, size, vehicle, only=only, changed=changed, since=since)
    if misfits:
        raise ContentFault(finding(misfit) for misfit in misfits)
    return cards


def try_set(
    context: BuildContext,
    size: str,
    vehicle: Vehicle | None = None,
    *,
    only: Collection[str] = (),
    changed: Collection[str] = (),
    since: str = "",
) -> tuple[CardSet, tuple[Misfit, ...]]:
    """Return the faces that fit, numbered as in the complete set, and those that do not fit."""
    if size == WALLET_SIZE:
        wanted = list(wallet_face_contents(context, vehicle))
    else:
        wanted = list(face_contents(context, vehicle, drawing_size(card_style.CARDS[size])))
    if only:
        wanted = [draft for draft in wanted if draft.code in only]
    if size != WALLET_SIZE:
        wanted.insert(0, index_face_content(context, _index_rows(wanted, card_style.CARDS[size])))
    typeface = load_typeface(context.fonts)
    wallet = size == WALLET_SIZE
    setting = FaceLayout(context, size, vehicle, changed, since, len(wanted) if wallet else MOST_FACES)
    fits = [
        _fit(setting, draft, number if wallet else MOST_FACES, typeface)
        for number, draft in enumerate(wanted, 1)
    ]
    bound = _bound(fits)
    setting = replace(setting, of=len(bound))
    faces = tuple(
        _face(setting, place, number)
        for number, place in enumerate(bound, 1)
        if place.composition is not None
    )
    return CardSet(size, vehicle, faces, since if changed else ""), tuple(
        miss for miss in fits if isinstance(miss, Misfit)
    )


def known_codes(context: BuildContext) -> frozenset[str]:
    """The codes of all faces in a complete set."""
    return frozenset([INDEX_CODE, *(draft.code for draft in face_contents(context, None, Size.CARD))])


def drawing_size(card: Card) -> Size:
    """The drawing size whose smallest text stays above the minimum type size in this card's column."""
    return Size.CARD if card.column_mm >= 106 else Size.TALL


def finding(misfit: Misfit) -> Finding:
    """The finding for the author: which card, how many lines too long, and what to shorten."""
    draft, title = misfit.draft, card_style.CARDS[misfit.size].paper.title
    floor = compositions(misfit.size)[-1].body_pt
    if misfit.word:
        wrong = f'the word "{misfit.word}" is wider than the card of {title} at {floor:g} pt'
        fix = "use a shorter word, or take a larger size in card_sizes"
    else:
        lines = f"{misfit.lines_over} line{'s' * (misfit.lines_over != 1)}"
        held = f"both faces of a card of {title}" if draft.kind == "procedure" else f"a face of {title}"
        wrong = f'"{draft.title}" runs {lines} over {held}, in {floor:g} pt, the smallest type allowed'
        fix = "shorten " + "; ".join(misfit.savings) + "; or take a larger size in card_sizes"
    trail = (f'card "{draft.code}"', f'size "{misfit.size}"')
    return Finding(Place(draft.path, 1, 1), wrong, trail, fix, "card-fits")


def compositions(size: str) -> tuple[Composition, ...]:
    """The compositions tried for faces of a size, largest type first."""
    return card_style.WALLET_COMPOSITIONS if size == WALLET_SIZE else card_style.COMPOSITIONS


@dataclass(frozen=True, slots=True)
class _Fit:
    """A card that fits, on one face or on both faces of one leaf."""

    parts: tuple[FaceContent, ...]
    composition: Composition


@dataclass(frozen=True, slots=True)
class _Place:
    """A face in its position in the set. Without a composition it does not fit, but keeps its number."""

    draft: FaceContent
    composition: Composition | None
    entry: int
    "Row in the index, from 1; 0 on the index itself."


def _fit(setting: FaceLayout, draft: FaceContent, number: int, typeface: Typeface) -> _Fit | Misfit:
    """Fit a card on one face in the largest type possible, else on both faces of a leaf."""
    sizes = compositions(setting.size)
    foot = _foot_to_measure(setting, draft, number, typeface)
    misfits = []
    for composition, parts in _ways(setting, draft):
        try:
            foot_mm = _part_measured(foot, composition, setting.size, setting.context.fonts).height_mm
            over_mm = [
                (measured, measured.height_mm + foot_mm + _HAIR_MM - setting.card.room_mm)
                for _, body in parts
                for measured in [_part_measured(body, composition, setting.size, setting.context.fonts)]
            ]
        except TooNarrow as narrow:
            if composition is sizes[-1]:
                return Misfit(draft, setting.size, 0, (), narrow.word)
            continue
        if all(over <= 0 for _, over in over_mm):
            return _Fit(tuple(part for part, _ in parts), composition)
        if composition is sizes[-1]:
            misfits.append(_misfit(setting, draft, [(body, over) for body, over in over_mm if over > 0]))
    return min(misfits, key=lambda miss: miss.lines_over)


def _ways(
    setting: FaceLayout, draft: FaceContent
) -> Iterator[tuple[Composition, tuple[tuple[FaceContent, str], ...]]]:
    """The ways to set a card, best first: the faces it takes, and the HTML of each without its foot."""
    sizes = compositions(setting.size)
    whole = ((draft, body_html(setting, draft)),)
    yield from ((composition, whole) for composition in sizes)
    halves = [tuple((part, body_html(setting, part)) for part in leaf) for leaf in leaves(draft)]
    yield from ((composition, leaf) for composition in sizes for leaf in halves)


def _foot_to_measure(setting: FaceLayout, draft: FaceContent, number: int, typeface: Typeface) -> str:
    """The foot with every character of the edition's id replaced by the widest hexadecimal digit.

    So a face neither changes its composition nor stops fitting because of the digits of an edition's id.
    """
    edition = setting.context.library.edition.id
    widest = max("0123456789abcdef", key=typeface.weight(False).width) * len(edition)
    return foot_html(setting, draft, number).replace(edition, widest)


@lru_cache(maxsize=4096)  # most bodies are the same for several vehicles
def _part_measured(html: str, composition: Composition, size: str, fonts: Path) -> Measured:
    """Measure a part of a face. The parts stand below one another, so their heights add up."""
    card = card_style.CARDS[size]
    return measure(
        f'<section class="face">{html}</section>',
        card_style.styles(composition),
        card.column_mm,
        load_typeface(fonts),
    )


def _bound(fits: Sequence[_Fit | Misfit]) -> list[_Place]:
    """The faces in binding order.

    A card of two faces begins on a front; if the next face is a back, the card before it gets a back for
    notes.
    """
    bound: list[_Place] = []
    for row, fit in enumerate(fits):
        entry = row  # the index comes first, in row 0
        if isinstance(fit, Misfit):
            bound.append(_Place(fit.draft, None, entry))
            continue
        if len(fit.parts) == 2 and len(bound) % 2:
            before = bound[-1]
            bound.append(replace(before, draft=notes_draft(before.draft)))
        bound += [_Place(draft, fit.composition, entry) for draft in fit.parts]
    return bound


def _face(setting: FaceLayout, place: _Place, number: int) -> Face:
    """Set a face that fits, with the remaining space between its content and its foot."""
    card, draft, composition = setting.card, place.draft, place.composition
    assert composition is not None, "only a face that fits is set"
    qr = qr_svg(qr_words(setting, draft, number), prefix=f"{draft.id}-{number}")
    parts = face_parts(setting, draft, number, composition, place.entry, qr)
    body, foot = (
        _part_measured(part, composition, setting.size, setting.context.fonts)
        for part in (parts.body, foot_html(setting, draft, number))
    )

    def gap(used_mm: float) -> int:
        return max(0, math.floor((card.room_mm - used_mm - _HAIR_MM) * 10))

    whole_mm = body.height_mm + foot.height_mm
    return Face(
        id=draft.id,
        code=draft.code,
        kind=draft.kind,
        title=draft.title,
        tile=draft.tile,
        version=draft.version,
        effective=draft.effective,
        next_review=draft.next_review,
        reviewed=draft.reviewed,
        number=number,
        of=setting.of,
        more=draft.more,
        composition=composition.id,
        needed_mm=whole_mm,
        gap=gap(whole_mm),
        html=parts.whole(gap(whole_mm)),
        body_html=parts.body_piece(gap(body.height_mm)),
        margin_html=parts.margin_piece(gap(foot.height_mm)),
        strings=body.strings,
    )


def _misfit(setting: FaceLayout, draft: FaceContent, over: Sequence[tuple[Measured, float]]) -> Misfit:
    """Describe what is too long in the smallest type, on one face or on two together."""
    lead_mm = compositions(setting.size)[-1].lead_pt * PT_MM
    lines = [max(1, math.ceil(over_mm / lead_mm - 1e-6)) for _, over_mm in over]
    savings = [
        saving
        for (measured, _), count in zip(over, lines, strict=True)
        for saving in _savings(measured, count)
    ]
    return Misfit(draft, setting.size, sum(lines), tuple(savings))


def _savings(measured: Measured, lines_over: int) -> Iterator[str]:
    """The strings with the shortest last lines: as many as there are lines to save, and two more."""
    candidates = sorted(
        (paragraph for paragraph in measured.paragraphs if len(paragraph.lines) > 1 and paragraph.keys),
        key=lambda paragraph: paragraph.last_letters,
    )
    for paragraph in candidates[: lines_over + 2]:
        yield f"{paragraph.keys[-1]} by {paragraph.last_letters} characters (saves a line)"
    if len(candidates) < lines_over:
        yield "the steps themselves: every step left out saves a line or more"


def _index_rows(wanted: Sequence[FaceContent], card: Card) -> tuple[tuple[object, ...], ...]:
    """The rows of the index; the faces run down its columns."""
    slots = card.slots
    columns = max(1, math.ceil(len(wanted) / slots))
    cells: list[FaceContent | None] = [*wanted, *[None] * (slots * columns - len(wanted))]
    return tuple(tuple(cells[row + column * slots] for column in range(columns)) for row in range(slots))
