"""The drawing sizes of a placement, with their measures in page units.

Every type size here is 15 units or more, so that a drawing shown at its natural
width, or on a phone 390 px wide in its upright or card form, keeps text above 12 px.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from forty_paces.geometry.records import RoadKind
from forty_paces.geometry.road import Carriageway, Lane, one_way, two_lane


class Size(StrEnum):
    """Direction of the road on the page and available space."""

    TALL = "tall"
    "360 units wide, road running up the page: phones, sheets, the wall."
    WIDE = "wide"
    "760 units wide or more, road running to the right: tablets, projectors."
    CARD = "card"
    "About 400 units wide, road running to the right, compact: glovebox cards and phones."


@dataclass(frozen=True, slots=True)
class Format:
    """Measures of one size."""

    upright: bool
    "True where the road runs up the page."
    length: float
    "Minimum extent along the road."
    width: float
    "Extent across the road, where the page fixes it; 0 where the labels decide."
    lane: float
    shoulder: float
    far_shoulder: float
    median: float
    vehicle: tuple[float, float]
    "Length and width."
    sizes: tuple[float, float, float]
    "Type: distance, paces, small."
    label: float
    "Maximum label width before its words wrap; 0 where the page width decides."
    gap: float
    "Minimum space between labels along the road."
    end: float
    "Length of road drawn beyond the outermost label."
    arrow: float
    "Length of a traffic arrow."
    pad: float
    "Clear space around the arrow and words of approaching traffic."
    says_speed: bool
    "Whether the posted speed is written at the traffic arrows."


FORMATS = {
    Size.TALL: Format(
        upright=True,
        length=520,
        width=360,
        lane=40,
        shoulder=46,
        far_shoulder=9,
        median=22,
        vehicle=(104, 30),
        sizes=(25, 20, 15.5),
        label=0,
        gap=14,
        end=40,
        arrow=44,
        pad=8,
        says_speed=True,
    ),
    Size.WIDE: Format(
        upright=False,
        length=760,
        width=0,
        lane=42,
        shoulder=48,
        far_shoulder=10,
        median=22,
        vehicle=(128, 32),
        sizes=(28, 22, 17),
        label=140,
        gap=16,
        end=16,
        arrow=44,
        pad=8,
        says_speed=True,
    ),
    Size.CARD: Format(
        upright=False,
        length=400,
        width=0,
        lane=30,
        shoulder=38,
        far_shoulder=6,
        median=12,
        vehicle=(78, 26),
        sizes=(20, 16.5, 15),
        label=114,
        gap=9,
        end=4,
        arrow=24,
        pad=4,
        says_speed=False,
    ),
}

MARGIN = 8.0
RULER = 13.0
"From the pavement edge to the ruler."
LABEL = 9.0
"From the ruler to the labels."


def cross_section(kind: RoadKind, form: Format) -> tuple[Carriageway, ...]:
    """Lanes and shoulders in page units, traffic keeping right.

    Of a divided road's opposite carriageway only one lane is shown.
    """
    if kind is RoadKind.TWO_LANE:
        return two_lane(form.lane, form.shoulder, form.far_shoulder)
    (own,) = one_way(2, form.lane, form.shoulder, form.far_shoulder)
    if kind is RoadKind.ONE_WAY:
        return (own,)
    narrow = form.lane * 0.8
    center = own.left_ft - form.median - form.far_shoulder - narrow / 2
    return (own, Carriageway((Lane(center, narrow, forward=False),), 0, form.far_shoulder))


def label_width(form: Format, kind: RoadKind) -> float:
    """Maximum width of a label before its words wrap."""
    if form.label:
        return form.label
    ways = cross_section(kind, form)
    paved = max(way.right_ft for way in ways) - min(way.left_ft for way in ways)
    return form.width - paved - 2 * MARGIN - RULER - LABEL
