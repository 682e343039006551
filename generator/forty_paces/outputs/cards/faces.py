"""Content of the faces of a card set, before numbering and layout.

Faces are in binding order: phone numbers, procedures by family as the start screens have them, then device
placement. The index goes in front of them once the others are known.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from forty_paces.authoring.models.fleet import Phone, Vehicle
from forty_paces.authoring.models.procedure import Group, Procedure
from forty_paces.drawing.formats import Size
from forty_paces.geometry.records import RuleSet
from forty_paces.messages.cards import WORDS
from forty_paces.messages.pages import SITE, translation_note
from forty_paces.outputs.cards.placement_faces import PlacementFace, placement_faces
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.procedure_view import ProcedureView, view_procedure

INDEX_CODE = "ALL1"
PHONES_CODE = "ALL2"
WALLET_CODE = "ALL3"
LIST_CODE = "ALL4"
COVER_PHONES = 2
"Phone numbers on the first wallet card; the card of numbers lists all of them."
MOST_LISTED_BELOW = 24
"Lines in one column of the list of the leaves in force."

HELP, STOPPED, PLACING, ROLLING = "help", "stopped", "placing", "rolling"
"""The kinds of cards in a set, whose tabs have a fill each."""


@dataclass(frozen=True, slots=True)
class FaceContent:
    """Content of one face, without its number."""

    id: str
    "Unique within a set; used as a prefix of element ids."
    code: str
    kind: str
    "Name of the macro in faces.html.j2 that renders it."
    title: str
    tile: str
    "Short title used in the index."
    title_key: str
    "String id of the title; empty if the title does not come from a content file."
    version: str
    "Of the procedure; empty on a face compiled from several files, which has that of its leaf."
    effective: dt.date
    next_review: dt.date
    reviewed: str
    "One sentence: who signed the review, or that it is not yet reviewed."
    path: str
    "The content file it is made from."
    names: Mapping[str, object] = field(default_factory=dict)
    "Arguments of its macro."
    more: str = ""
    "Text after the title on the back of a leaf; empty on the face that the index lists."
    group: str = ""
    "Its kind, which decides the fill of its tab; empty on the cover."
    family: str = ""
    "Title of its family of emergencies, or of the placing cards; empty on the cover and the card of numbers."

    @property
    def lists_leaves(self) -> bool:
        """Whether it lists the leaves in force, and so changes with each of them."""
        return self.code == LIST_CODE


def face_contents(context: BuildContext, vehicle: Vehicle | None, size: Size) -> tuple[FaceContent, ...]:
    """All faces of the set for one vehicle, or for all, except its cover.

    ``size`` is the size of drawing that fits the card. A procedure that cannot concern the vehicle has none.
    """
    by_family = [
        replace(_procedure(context, procedure, vehicle), family=family.title)
        for family in families(procedures_for(context, vehicle))
        for procedure in family.procedures
    ]
    placing = [_placement(context, face) for face in placement_faces(_rules(context), size)]
    return (_phones(context, vehicle), *by_family, *placing)


def procedures_for(context: BuildContext, vehicle: Vehicle | None) -> tuple[Procedure, ...]:
    """The procedures that may concern the vehicle, or all."""
    return tuple(
        procedure
        for procedure in context.library.procedures
        if vehicle is None or vehicle.meets(procedure.when) is not False
    )


@dataclass(frozen=True, slots=True)
class ListedCard:
    """A line of the list of the leaves in force."""

    number: int
    "Of the face that the card begins on."
    code: str
    leaf: str
    "Version of its leaf."
    family: str


@dataclass(frozen=True, slots=True)
class IndexEntry:
    """A card in the index."""

    draft: FaceContent
    begins_family: bool
    "Whether the card before it is of another family: a rule stands above."


def index_face_content(
    context: BuildContext, wanted: Sequence[FaceContent], entries: Mapping[str, int], slots: int
) -> FaceContent:
    """The index of a set: the cards run down its columns of ``slots`` rows, each level with a tab."""
    cells: dict[int, IndexEntry] = {}
    before = None
    for draft in sorted(wanted, key=lambda draft: entries[draft.code]):
        cells[entries[draft.code] - 1] = IndexEntry(draft, before is not None and draft.family != before)
        before = draft.family
    columns = max(1, -(-max(entries.values(), default=0) // slots))
    rows = tuple(tuple(cells.get(row + column * slots) for column in range(columns)) for row in range(slots))
    return _compiled(
        context,
        "index",
        INDEX_CODE,
        "index",
        WORDS["index-title"],
        WORDS["index-tile"],
        "content/fleet.yml",
        {"rows": rows},
    )


def list_face_content(
    context: BuildContext, vehicle: Vehicle | None, listed: tuple[ListedCard, ...]
) -> FaceContent:
    """The list of the leaves in force by family, with number, code and leaf version of each card."""
    columns = _columns(listed)
    down = max(map(len, columns), default=0)
    rows = tuple(
        tuple(column[row] if row < len(column) else None for column in columns) for row in range(down)
    )
    return _compiled(
        context,
        "list",
        LIST_CODE,
        "list",
        WORDS["list-title"],
        WORDS["list-tile"],
        "content/fleet.yml",
        {"rows": rows, "vehicle": vehicle, "words": WORDS},
    )


def _columns(listed: Sequence[ListedCard]) -> list[list[ListedCard | str]]:
    """The cards in columns of the same length, with the title above each family: never last in a column.

    In a set that keeps the numbers of an earlier one, a family's new cards follow its old ones here too.
    """
    by_family: dict[str, list[ListedCard]] = {}
    for card in listed:
        by_family.setdefault(card.family, []).append(card)
    kept_together: list[list[ListedCard | str]] = [
        [family, card] if family and not at else [card]
        for family, cards in by_family.items()
        for at, card in enumerate(cards)
    ]
    lines = sum(map(len, kept_together))
    count = max(1, -(-lines // MOST_LISTED_BELOW))
    down = -(-lines // count)
    while len(columns := _filled(kept_together, down)) > count:
        down += 1
    return columns


def _filled(kept_together: Sequence[Sequence[ListedCard | str]], down: int) -> list[list[ListedCard | str]]:
    """Columns of at most ``down`` lines, or of one title with its first card."""
    columns: list[list[ListedCard | str]] = [[]]
    for lines in kept_together:
        if columns[-1] and len(columns[-1]) + len(lines) > down:
            columns.append([])
        columns[-1] += lines
    return columns


def wallet_face_contents(context: BuildContext, vehicle: Vehicle | None = None) -> tuple[FaceContent, ...]:
    """A cover, then one face for each rolling procedure that has by-heart lines."""
    by_family = families(procedures_for(context, vehicle))
    rolling = [p for one in by_family for p in one.procedures if p.group is Group.ROLLING]
    views = [(p, view_procedure(p, vehicle)) for p in rolling]
    shown = [_wallet(context, p, view) for p, view in views if view.by_heart]
    return (_wallet_cover(context, shown), *shown)


def _rules(context: BuildContext) -> RuleSet:
    return context.library.rules[context.library.fleet.rules].rule_set


def _procedure(context: BuildContext, procedure: Procedure, vehicle: Vehicle | None) -> FaceContent:
    view = view_procedure(procedure, vehicle)
    codes = {p.id: p.code for p in procedures_for(context, vehicle)}
    return FaceContent(
        id=procedure.code.lower(),
        code=procedure.code,
        kind="procedure",
        title=procedure.title,
        tile=procedure.tile,
        title_key=f"{procedure.id}/title",
        version=procedure.version,
        effective=procedure.effective,
        next_review=procedure.next_review,
        reviewed=reviewed_words(procedure),
        path=f"content/procedures/{procedure.id}.yml",
        names={"view": view, "codes": codes, "front": len(view.blocks), "back": 0},
        group=ROLLING if procedure.group is Group.ROLLING else STOPPED,
    )


def leaves(draft: FaceContent) -> Iterator[tuple[FaceContent, FaceContent]]:
    """Every way to split a card over both faces of one leaf, the fullest front first.

    Blocks are never split. The back holds at least the decision, the finish and the list of what never to do.
    A wallet card is split between two of its lines, a card of numbers between two numbers.
    """
    if draft.kind == "phones":
        phones: Sequence[Phone] = draft.names["phones"]  # type: ignore[assignment]  # names are of any kind
        for count in range(len(phones) - 1, 0, -1):
            front = replace(draft, names={**draft.names, "phones": phones[:count], "goes_on": True})
            names = {**draft.names, "phones": phones[count:]}
            yield front, replace(draft, id=f"{draft.id}-back", more=WORDS["continued"], names=names)
        return
    if draft.kind == "wallet_cover":
        listed: Sequence[Phone] = draft.names["phones"]  # type: ignore[assignment]
        for count in range(len(listed) - 1, -1, -1):
            names = {"phones": listed[:count], "part": WORDS["wallet-front"], "says": True}
            back = {"phones": listed[count:], "part": "", "says": False}
            yield (
                replace(draft, names=names),
                replace(draft, id=f"{draft.id}-back", more=WORDS["wallet-back"], names=back),
            )
        return
    view = draft.names.get("view")
    if not isinstance(view, ProcedureView):
        return
    if draft.kind == "wallet":
        for lines in range(len(view.by_heart) - 1, 0, -1):
            front = replace(draft, names={**draft.names, "last": lines, "part": WORDS["wallet-front"]})
            names = {**draft.names, "first": lines}
            yield front, replace(draft, id=f"{draft.id}-back", more=WORDS["wallet-back"], names=names)
        return
    for blocks in range(len(view.blocks), 0, -1):
        front = replace(draft, names={**draft.names, "front": blocks, "back": None})
        names = {**draft.names, "front": None, "back": blocks}
        yield front, replace(draft, id=f"{draft.id}-back", more=WORDS["continued"], names=names)


def notes_draft(draft: FaceContent) -> FaceContent:
    """A back for notes, on a leaf whose front is complete and whose next card needs a leaf of its own."""
    return replace(draft, id=f"{draft.id}-notes", kind="notes", more=WORDS["notes-back"], names={})


def _wallet(context: BuildContext, procedure: Procedure, view: ProcedureView) -> FaceContent:
    base = _procedure(context, procedure, view.vehicle)
    return replace(
        base,
        id=f"w-{base.id}",
        kind="wallet",
        title=base.tile,
        title_key=f"{procedure.id}/tile",
        names={"view": view, "first": 0, "last": len(view.by_heart), "part": ""},
    )


def _wallet_cover(context: BuildContext, shown: Sequence[FaceContent]) -> FaceContent:
    """The cover of the wallet cards: the first numbers to call, and who has reviewed them."""
    phones = [phone for phone in context.library.fleet.phones if any(sign.isdigit() for sign in phone.number)]
    cover = _compiled(
        context,
        "wallet",
        WALLET_CODE,
        "wallet_cover",
        WORDS["wallet-title"],
        WORDS["wallet-tile"],
        "content/fleet.yml",
        {"phones": tuple(phones[:COVER_PHONES]), "part": "", "says": True},
    )
    reviewed = {draft.reviewed for draft in shown}
    return replace(cover, reviewed=reviewed.pop() if len(reviewed) == 1 else not_reviewed())


def not_reviewed() -> str:
    """The sentence on a face that nobody has signed; in a translation also who has read that."""
    return " ".join(filter(None, (WORDS["not-reviewed"], translation_note(short=True))))


def reviewed_words(procedure: Procedure) -> str:
    """One sentence saying who signed the review for the carrier."""
    signed = procedure.review.safety_lead
    if signed is None:
        return not_reviewed()
    said = WORDS["signed"].format(name=signed.name, day=signed.day.isoformat())
    return " ".join(filter(None, (said, translation_note(short=True))))


def _phones(context: BuildContext, vehicle: Vehicle | None) -> FaceContent:
    return _compiled(
        context,
        "phones",
        PHONES_CODE,
        "phones",
        WORDS["phones-title"],
        WORDS["phones-title"],
        "content/fleet.yml",
        {"phones": context.library.fleet.phones, "vehicle": vehicle, "goes_on": False},
        HELP,
    )


def _placement(context: BuildContext, face: PlacementFace) -> FaceContent:
    rules = context.library.fleet.rules
    return _compiled(
        context,
        face.id,
        face.code,
        face.kind,
        face.title,
        face.tile,
        f"content/rules/{rules}.yml",
        {"placing": face},
        PLACING,
        SITE["placing"],
    )


def _compiled(
    context: BuildContext,
    id: str,
    code: str,
    kind: str,
    title: str,
    tile: str,
    path: str,
    names: Mapping[str, object],
    group: str = "",
    family: str = "",
) -> FaceContent:
    """A face compiled from several files, which has no version but that of its leaf."""
    library = context.library
    return FaceContent(
        id=id,
        code=code,
        kind=kind,
        title=title,
        tile=tile,
        title_key="",
        version="",
        effective=library.edition.date,
        next_review=min(p.next_review for p in library.procedures),
        reviewed=not_reviewed(),
        path=path,
        names=names,
        group=group,
        family=family,
    )
