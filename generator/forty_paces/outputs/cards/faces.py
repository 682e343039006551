"""What stands on the faces of a set of cards, before it is numbered and set.

In: a library's records, by way of a press. Out: drafts of faces, in the order in
which they are bound: index, phones, what is done when stopped, where the devices
go, what is known by heart. Refuses to know sizes, paper and whether it fits.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Group, Procedure
from forty_paces.drawing.formats import Size
from forty_paces.geometry.records import RuleSet
from forty_paces.outputs.cards.placement_faces import PlacementFace, placement_faces
from forty_paces.outputs.press import Press
from forty_paces.outputs.procedure_view import ProcedureView, view_of

INDEX_CODE = "ALL1"
PHONES_CODE = "ALL2"
WALLET_CODE = "ALL3"
COVER_PHONES = 2
"How many numbers the first wallet card shows; all of them stand on the card of numbers."
NOT_REVIEWED = "Not yet reviewed by your safety lead."


@dataclass(frozen=True, slots=True)
class Draft:
    """One face, unnumbered."""

    id: str
    "Stable within a set; starts element ids."
    code: str
    kind: str
    "Which macro of faces.html.j2 draws it."
    title: str
    tile: str
    "The few words by which the index calls it."
    title_key: str
    "The key of the title's string; empty where the title is ours."
    version: str
    effective: dt.date
    next_review: dt.date
    reviewed: str
    "One sentence: who signed it, or that nobody has."
    path: str
    "The content file it is made from."
    names: Mapping[str, object] = field(default_factory=dict)
    "What its macro is given."
    more: str = ""
    "What follows the title on the back of a leaf; empty on the face that the index names."


def drafts(press: Press, vehicle: Vehicle | None, size: Size) -> tuple[Draft, ...]:
    """Every face of the set for one vehicle, or for all of them, but the index, which needs the numbers.

    ``size`` is the kind of drawing that the card has room for.
    """
    procedures = press.library.procedures
    stopped = [_procedure(press, p, vehicle) for p in procedures if p.group is Group.STOPPED]
    rolling = [_procedure(press, p, vehicle) for p in procedures if p.group is Group.ROLLING]
    placing = [_placement(press, face) for face in placement_faces(_rules(press), size)]
    return (_phones(press, vehicle), *stopped, *placing, *rolling)


def index_draft(press: Press, entries: tuple[tuple[object, ...], ...]) -> Draft:
    """The index of a numbered set. ``entries`` are its rows, as the macro takes them."""
    return _of_edition(
        press, "index", INDEX_CODE, "index", "Find the card", "Index", "content/fleet.yml", {"rows": entries}
    )


def wallet_drafts(press: Press, vehicle: Vehicle | None = None) -> tuple[Draft, ...]:
    """What is known by heart while the vehicle rolls, a procedure a face, behind a cover."""
    rolling = [p for p in press.library.procedures if p.group is Group.ROLLING]
    views = [(p, view_of(p, vehicle)) for p in rolling]
    shown = [_wallet(press, p, view) for p, view in views if view.by_heart]
    return (_wallet_cover(press, shown), *shown)


def _rules(press: Press) -> RuleSet:
    return press.library.rules[press.library.fleet.rules].rule_set


def _procedure(press: Press, procedure: Procedure, vehicle: Vehicle | None) -> Draft:
    view = view_of(procedure, vehicle)
    codes = {p.id: p.code for p in press.library.procedures}
    return Draft(
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
    )


def leaves(draft: Draft) -> Iterator[tuple[Draft, Draft]]:
    """Every way to put a procedure on both faces of one leaf, the fullest front first.

    Blocks stay whole. The back holds at least the decision, the finish and what must never be done.
    """
    view = draft.names.get("view")
    if draft.kind != "procedure" or not isinstance(view, ProcedureView):
        return
    for blocks in range(len(view.blocks), 0, -1):
        front = replace(draft, names={**draft.names, "front": blocks, "back": None})
        names = {**draft.names, "front": None, "back": blocks}
        yield front, replace(draft, id=f"{draft.id}-back", more=", continued", names=names)


def notes_draft(draft: Draft) -> Draft:
    """The back of a leaf whose front says everything, where the next card needs a leaf of its own."""
    return replace(draft, id=f"{draft.id}-notes", kind="notes", more=", notes", names={})


def _wallet(press: Press, procedure: Procedure, view: ProcedureView) -> Draft:
    base = _procedure(press, procedure, view.vehicle)
    return replace(
        base,
        id=f"w-{base.id}",
        kind="wallet",
        title=base.tile,
        title_key=f"{procedure.id}/tile",
        names={"view": view},
    )


def _wallet_cover(press: Press, shown: Sequence[Draft]) -> Draft:
    """Whose cards these are, the first numbers to call, and whether anybody has signed them."""
    phones = [phone for phone in press.library.fleet.phones if any(sign.isdigit() for sign in phone.number)]
    cover = _of_edition(
        press,
        "wallet",
        WALLET_CODE,
        "wallet_cover",
        "Know these by heart",
        "Wallet",
        "content/fleet.yml",
        {"phones": tuple(phones[:COVER_PHONES])},
    )
    reviewed = {draft.reviewed for draft in shown}
    return replace(cover, reviewed=reviewed.pop() if len(reviewed) == 1 else NOT_REVIEWED)


def reviewed_words(procedure: Procedure) -> str:
    """Who signed it for the carrier, in one sentence."""
    signed = procedure.review.safety_lead
    return f"Signed by {signed.name}, {signed.day.isoformat()}." if signed else NOT_REVIEWED


def _phones(press: Press, vehicle: Vehicle | None) -> Draft:
    return _of_edition(
        press,
        "phones",
        PHONES_CODE,
        "phones",
        "Numbers to call",
        "Numbers to call",
        "content/fleet.yml",
        {"phones": press.library.fleet.phones, "vehicle": vehicle},
    )


def _placement(press: Press, face: PlacementFace) -> Draft:
    rules = press.library.fleet.rules
    return _of_edition(
        press,
        face.id,
        face.code,
        face.kind,
        face.title,
        face.tile,
        f"content/rules/{rules}.yml",
        {"placing": face},
    )


def _of_edition(
    press: Press,
    id: str,
    code: str,
    kind: str,
    title: str,
    tile: str,
    path: str,
    names: Mapping[str, object],
) -> Draft:
    """A face put together from several files: its version is the edition."""
    library = press.library
    return Draft(
        id=id,
        code=code,
        kind=kind,
        title=title,
        tile=tile,
        title_key="",
        version=library.edition.id,
        effective=library.edition.date,
        next_review=min(p.next_review for p in library.procedures),
        reviewed=NOT_REVIEWED,
        path=path,
        names=names,
    )
