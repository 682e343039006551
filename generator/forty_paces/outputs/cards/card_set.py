"""Build the set of cards for one vehicle and one finished size.

Each face is measured in the compositions of :mod:`forty_paces.outputs.cards.card_style`, largest type first,
and set in the first one that fits. Type is never scaled below the smallest composition: a face that does not
fit even then becomes a :class:`Misfit`, which says how many lines it is over and what to shorten.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from forty_paces.authoring.findings import ContentFault, Finding, Place
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.drawing.formats import Size
from forty_paces.drawing.typeface import load_typeface
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.binding import (
    Fit,
    Gone,
    Kept,
    Position,
    bind,
    entries_of,
    gone_from,
    leaf_of,
    leaf_versions,
    listed,
    with_list,
)
from forty_paces.outputs.cards.card_style import Card, Composition
from forty_paces.outputs.cards.face_layout import (
    THREE_DIGITS,
    TWO_DIGITS,
    WALLET_SIZE,
    FaceLayout,
    body_html,
    face_parts,
    foot_html,
    said_on,
    tab_of,
    widest_version,
)
from forty_paces.outputs.cards.faces import (
    INDEX_CODE,
    LIST_CODE,
    PHONES_CODE,
    WALLET_CODE,
    FaceContent,
    ListedCard,
    face_contents,
    index_face_content,
    leaves,
    list_face_content,
    wallet_face_contents,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.flow import PT_MM, Measured, TooNarrow, measure

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
    family: str
    "Title of its family; empty on the cover and the card of numbers."
    version: str
    "Of the procedure; that of the leaf on a face compiled from several files."
    leaf: str
    "Version of its leaf, which decides whether it is out of date."
    effective: dt.date
    next_review: dt.date
    reviewed: str
    number: int
    of: int
    entry: int
    "Row in the index, from 1; 0 on the cover."
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
    "Tab, place of the ring and foot alone, printed over the body; without the QR code."
    qr_text: str
    "What a telephone reads from the QR code."
    strings: dict[str, str]
    "Every string on it by its string id."


@dataclass(frozen=True, slots=True)
class CardSet:
    """All faces for one vehicle, or for all vehicles, at one size."""

    size: str
    vehicle: Vehicle | None
    faces: tuple[Face, ...]
    since: str = ""
    "The edition that its change bars compare with; empty where no face has any."
    kept: tuple[Kept, ...] = field(default=(), repr=False)
    "Where each face was in that edition."
    gone: tuple[Gone, ...] = ()
    "Leaves of that edition that have no place any more."

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
    kept: Sequence[Kept] = (),
) -> CardSet:
    """Return the set with every face fitted.

    ``only`` holds the codes of the cards of a set that has no others. ``changed`` holds the string ids whose
    lines get a change bar, compared with the edition ``since``, in whose set every face has the place that
    ``kept`` gives. Raises :class:`ContentFault` with a finding for each face that does not fit.
    """
    cards, misfits = try_set(context, size, vehicle, only=only, changed=changed, since=since, kept=kept)
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
    kept: Sequence[Kept] = (),
) -> tuple[CardSet, tuple[Misfit, ...]]:
    """Return the faces that fit, numbered as in the complete set, and those that do not fit."""
    wallet = size == WALLET_SIZE
    drafts = (
        wallet_face_contents(context, vehicle)
        if wallet
        else face_contents(context, vehicle, drawing_size(card_style.CARDS[size]))
    )
    wanted = [draft for draft in drafts if not only or draft.code in only]
    entries = entries_of([draft.code for draft in wanted], kept)
    most = TWO_DIGITS if 2 * (len(wanted) + 2) < 100 else THREE_DIGITS
    setting = FaceLayout(context, size, vehicle, changed, since, most)
    if not wallet:
        index = index_face_content(context, wanted, entries, card_style.CARDS[size].slots)
        wide = widest_version(load_typeface(context.fonts))
        rows = tuple(ListedCard(most, draft.code, wide, draft.family) for draft in wanted)
        wanted = [index, list_face_content(context, vehicle, rows), *wanted]
    found = [_fit(setting, draft) for draft in wanted]
    misfits = tuple(one for one in found if isinstance(one, Misfit))
    fits = [one if isinstance(one, Fit) else Fit((one.draft,), None) for one in found]
    if wallet:  # behind the cover the cards of one face together, so that none has an empty back
        fits.sort(key=lambda fit: 0 if fit.code == WALLET_CODE else len(fit.parts))
    places = bind(fits, entries, kept)
    said = {place.draft.id: said_on(setting, place.draft) for place in places}
    versions = leaf_versions(places, said)
    if not wallet:
        current = list_face_content(context, vehicle, listed(places, versions))
        places = with_list(places, current)
        versions = leaf_versions(places, said | {current.id: said_on(setting, current)})
    setting = replace(setting, of=places[-1].number if places else 0)
    faces = tuple(_face(setting, place, places, versions) for place in places if place.composition)
    gone = tuple(gone_from(places, kept))
    return CardSet(size, vehicle, faces, since if changed else "", tuple(kept), gone), misfits


def known_codes(context: BuildContext) -> frozenset[str]:
    """The codes of all faces in a complete set."""
    return frozenset(
        [INDEX_CODE, LIST_CODE, *(draft.code for draft in face_contents(context, None, Size.CARD))]
    )


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
        both = next(leaves(draft), None) is not None
        held = f"both faces of a card of {title}" if both else f"a face of {title}"
        wrong = f'"{draft.title}" runs {lines} over {held}, in {floor:g} pt, the smallest type allowed'
        fix = "shorten " + "; ".join(misfit.savings) + "; or take a larger size in card_sizes"
    trail = (f'card "{draft.code}"', f'size "{misfit.size}"')
    return Finding(Place(draft.path, 1, 1), wrong, trail, fix, "card-fits")


def compositions(size: str) -> tuple[Composition, ...]:
    """The compositions tried for faces of a size, largest type first."""
    return card_style.WALLET_COMPOSITIONS if size == WALLET_SIZE else card_style.COMPOSITIONS


def _fit(setting: FaceLayout, draft: FaceContent) -> Fit | Misfit:
    """Fit a card on one face in the largest type possible, else on both faces of a leaf."""
    sizes = compositions(setting.size)
    foot = foot_html(setting, draft, setting.of, widest_version(load_typeface(setting.context.fonts)))
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
            return Fit(tuple(part for part, _ in parts), composition)
        if composition is sizes[-1]:
            misfits.append(_misfit(setting, draft, [(body, over) for body, over in over_mm if over > 0]))
    return min(misfits, key=lambda miss: miss.lines_over)


def _ways(
    setting: FaceLayout, draft: FaceContent
) -> Iterator[tuple[Composition, tuple[tuple[FaceContent, str], ...]]]:
    """The ways to set a card, best first: the faces it takes, and the HTML of each without its foot.

    Both faces of a leaf in large type come before one face in small type, except for numbers to call: they
    are in sight together wherever one face holds them.
    """
    sizes = compositions(setting.size)
    large = [composition for composition in sizes if composition.is_large]
    small = [composition for composition in sizes if not composition.is_large]
    whole = ((draft, body_html(setting, draft)),)
    yield from ((composition, whole) for composition in large)
    if draft.code in (PHONES_CODE, WALLET_CODE):
        yield from ((composition, whole) for composition in small)
    halves = [tuple((part, body_html(setting, part)) for part in leaf) for leaf in leaves(draft)]
    yield from ((composition, leaf) for composition in large for leaf in halves)
    yield from ((composition, whole) for composition in small)
    yield from ((composition, leaf) for composition in small for leaf in halves)


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


def _face(
    setting: FaceLayout, place: Position, places: Sequence[Position], versions: Mapping[int, str]
) -> Face:
    """Set a face that fits, with the remaining space between its content and its foot."""
    card, draft, composition, number = setting.card, place.draft, place.composition, place.number
    assert composition is not None, "only a face that fits is set"
    leaf = versions[leaf_of(number)]
    on_leaf = {
        one.entry: tab_of(one.entry, one.draft, card)
        for one in places
        if leaf_of(one.number) == leaf_of(number) and one.entry and card.slots
    }
    parts = face_parts(setting, draft, number, composition, tuple(on_leaf.values()), leaf)
    body, foot = (
        _part_measured(part, composition, setting.size, setting.context.fonts)
        for part in (parts.body, parts.bare_foot)
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
        family=draft.family,
        version=draft.version or leaf,
        leaf=leaf,
        effective=draft.effective,
        next_review=draft.next_review,
        reviewed=draft.reviewed,
        number=number,
        of=setting.of,
        entry=place.entry,
        more=draft.more,
        composition=composition.id,
        needed_mm=whole_mm,
        gap=gap(whole_mm),
        html=parts.whole(gap(whole_mm)),
        body_html=parts.body_piece(gap(body.height_mm)),
        margin_html=parts.margin_piece(gap(foot.height_mm)),
        qr_text=parts.code,
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
