"""The guided walk of the cab file: its questions, placement data, and drawings that the script relabels.

The script computes every distance from the placement data, by the model of the placement engine. Vehicles
are drawn to their length.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.drawing.finder import draw_finder
from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic_renderer import VehicleShape
from forty_paces.drawing.svg import number
from forty_paces.drawing.symbols import SIGN_SIDE, Cause, sign
from forty_paces.geometry.records import RoadKind, RuleSet, Surface, Toward
from forty_paces.messages import quantities
from forty_paces.messages.cab import SCREENS
from forty_paces.messages.drawings import DRAWING
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.quantities import length
from forty_paces.outputs.cab.placement_data import placement_data, speeds

SIZES = (Size.WIDE, Size.TALL)
"""Wide for tablets, tall for phones."""

USUAL_SPEED_MPH = 55.0
"""The speed selected at first; any other is one tap away."""


@dataclass(frozen=True, slots=True)
class StandingPlace:
    """Where the vehicle stands, as a button, and the kinds of road that it may be on."""

    id: str
    roads: tuple[RoadKind, ...]
    noted: bool = False
    "Whether the rule leaves something open there."

    @property
    def words(self) -> str:
        """The text of the button."""
        return SCREENS[f"stands-{self.id}"]

    @property
    def note(self) -> str:
        """What the rule does not say of it, and what is taken instead; empty where nothing is left open."""
        return SCREENS[f"note-{self.id}"] if self.noted else ""


PLACES = (
    StandingPlace("two-lane", (RoadKind.TWO_LANE,)),
    StandingPlace("divided", (RoadKind.DIVIDED,)),
    StandingPlace("one-way", (RoadKind.ONE_WAY,), noted=True),
    StandingPlace("shoulder", (RoadKind.DIVIDED, RoadKind.ONE_WAY), noted=True),
    StandingPlace("intersection", tuple(RoadKind), noted=True),
)


@dataclass(frozen=True, slots=True)
class Choice:
    """One button: its position in its list, its label and, for a distance, the same in other counts."""

    place: int
    words: str
    counts: tuple[tuple[str, str], ...] = ()
    "Pairs such as ('paces', '40 paces')."
    chosen: bool = False
    title: str = ""
    "The whole label for a screen reader, where the words are short."


@dataclass(frozen=True, slots=True)
class CauseChoice:
    """What may hide the vehicle, as a button with a picture."""

    id: str
    words: str
    picture: Markup


@dataclass(frozen=True, slots=True)
class FinderDrawing:
    """The SVG template for one kind of road, one layout and one size."""

    road: str
    layout: int
    size: str
    prefix: str
    svg: Markup


@dataclass(frozen=True, slots=True)
class FinderView:
    """Everything that the screens of the walk need."""

    places: tuple[StandingPlace, ...]
    kinds: tuple[tuple[str, str], ...]
    "Ids and labels of the kinds of road."
    speeds: tuple[Choice, ...]
    posted_in: str
    visibilities: tuple[Choice, ...]
    grades: tuple[Choice, ...]
    surfaces: tuple[Choice, ...]
    sight: tuple[Choice, ...]
    near: tuple[Choice, ...]
    far: tuple[Choice, ...]
    causes: tuple[CauseChoice, ...]
    sides: tuple[tuple[str, str], ...]
    counts: tuple[tuple[str, str], ...]
    "Ways to count a distance: ids and labels."
    drawings: tuple[FinderDrawing, ...]
    values: dict[str, Any]
    "For the script: what is chosen at first, the places, words for what hides the vehicle, trailers, shapes."
    placement: dict[str, Any]
    "The placement data, for the script."


def finder_view(rule_file: RuleFile, vehicles: Iterable[Vehicle]) -> FinderView:
    """The walk for a rule set, with trailer lengths for vehicles whose trailer is measured."""
    rules = rule_file.rule_set
    data = _placement_data(rule_file)
    vehicles = tuple(vehicles)
    drawn = drawn_vehicles(vehicles)
    trailers = {vehicle.id: vehicle.trailer_ft for vehicle in vehicles if vehicle.trailer_ft}
    usual = min(range(len(data["speeds"])), key=lambda at: abs(data["speeds"][at]["mph"] - USUAL_SPEED_MPH))
    chosen = {
        "speed": usual,
        "visibility": data["default_visibility"],
        "grade": [grade["pct"] for grade in data["grades"]].index(0),
        "surface": [surface["id"] for surface in data["surfaces"]].index(Surface.NORMAL),
    }
    counts = [("paces", SCREENS["count-paces"])]
    if rules.lane_line_ft:
        counts.append(("lines", SCREENS["count-lines"]))
    if trailers:
        counts.append(("trailers", SCREENS["count-trailers"]))
    surfaces = [SCREENS[f"surface-{surface}"] for surface in Surface]
    grades = tuple(grade_words(grade["pct"]) for grade in data["grades"])
    return FinderView(
        places=PLACES,
        kinds=tuple((str(road), SCREENS[f"stands-{road}"]) for road in RoadKind),
        speeds=tuple(
            Choice(at, str(speed["posted"]), chosen=at == usual, title=speed["text"])
            for at, speed in enumerate(data["speeds"])
        ),
        posted_in=rules.posted_in,
        visibilities=_choices((entry["title"] for entry in data["visibility"]), chosen["visibility"]),
        grades=_choices(grades, chosen["grade"]),
        surfaces=_choices(surfaces, chosen["surface"]),
        sight=tuple(_lengths(rules, data["lengths"]["sight"])),
        near=tuple(_lengths(rules, data["lengths"]["near"])),
        far=tuple(_lengths(rules, data["lengths"]["far"])),
        causes=tuple(CauseChoice(cause.value, SCREENS[f"cause-{cause}"], _picture(cause)) for cause in Cause),
        sides=tuple((str(toward), SCREENS[f"side-{toward}"]) for toward in Toward),
        counts=tuple(counts),
        drawings=_drawings(rules, tuple(vehicle.shape for vehicle in drawn.values())),
        values={
            "chosen": chosen,
            "places": [
                {"roads": [str(road) for road in place.roads], "note": place.note} for place in PLACES
            ],
            "causes": {cause.value: DRAWING[f"cause-{cause}"] for cause in Cause},
            "grades": grades,
            "surfaces": surfaces,
            "trailers": trailers,
            "shapes": {
                id_: {
                    "slot": one.shape.slot,
                    "length": length(rules, one.shape.length_ft),
                    "usual": one.usual,
                }
                for id_, one in drawn.items()
            },
        },
        placement=data,
    )


@cached_by_language(maxsize=4)
def _placement_data(rule_file: RuleFile) -> dict[str, Any]:
    """The placement data of a rule file, computed once for all the files of an edition."""
    return placement_data(rule_file)


def grade_words(pct: float) -> str:
    """A grade as drivers meet it: 'Level', 'Down a slight grade, 3 percent'."""
    if not pct:
        return SCREENS["level"]
    form = f"{'up' if pct > 0 else 'down'}-{'steep' if abs(pct) > 4 else 'slight'}"
    return SCREENS[form].format(pct=f"{abs(pct):g}")


def _picture(cause: Cause) -> Markup:
    """The sign of a cause as a small picture of its own."""
    side = number(SIGN_SIDE)
    drawn = sign(cause, 0, 0).write()
    return Markup(f'<svg viewBox="0 0 {side} {side}" aria-hidden="true" focusable="false">{drawn}</svg>')


def _choices(words: Iterable[str], chosen: int) -> tuple[Choice, ...]:
    return tuple(Choice(at, each, chosen=at == chosen) for at, each in enumerate(words))


def _lengths(rules: RuleSet, lengths_ft: Iterable[float]) -> Iterable[Choice]:
    """Distances to choose from, counted from 1."""
    for at, length_ft in enumerate(lengths_ft, 1):
        counts = [("paces", quantities.in_paces(length_ft, rules.pace_ft))]
        if rules.lane_line_ft:
            counts.append(("lines", quantities.in_cycles(length_ft, rules.lane_line_ft)))
        yield Choice(at, length(rules, length_ft), tuple(counts))


@cached_by_language(maxsize=16)  # a preview draws again after every edit, and few edits change a vehicle
def _drawings(rules: RuleSet, shapes: tuple[VehicleShape, ...]) -> tuple[FinderDrawing, ...]:
    return tuple(_drawn(rules, shapes))


def _drawn(rules: RuleSet, shapes: tuple[VehicleShape, ...]) -> Iterable[FinderDrawing]:
    """One template for each road, layout used on it, and size; none where devices are forbidden."""
    for road in RoadKind:
        drawn = set()
        for speed_mph in speeds(rules):
            layout = rules.layouts.index(rules.layout(road, speed_mph))
            if layout in drawn or not rules.layouts[layout].devices:
                continue
            drawn.add(layout)
            for size in SIZES:
                prefix = f"finder-{road}-{layout}-{size.value}"
                svg = draw_finder(rules, road, speed_mph=speed_mph, prefix=prefix, size=size, vehicles=shapes)
                yield FinderDrawing(road, layout, size.value, prefix, Markup(svg))


TRACTOR_TRAILER_FT = 73.5
SINGLE_UNIT_FT = 30.0
BUS_FT = 45.0
"""Overall lengths of the design vehicles WB-67, SU-30 and BUS-45 in AASHTO, A Policy on Geometric Design of
Highways and Streets, table of design vehicle dimensions: WB-67 and SU-30 met in a reproduced table of 2018,
BUS-45 in a reproduced older one that says 13.7 m. Taken where the fleet gives no length."""

TRAILER_FT = 53.0
"""Length of the trailer of the design vehicle WB-67, same table."""


@dataclass(frozen=True, slots=True)
class DrawnVehicle:
    """How a vehicle is drawn."""

    shape: VehicleShape
    usual: str
    "The kind of vehicle whose usual length is taken; empty where the fleet gives the length."


def drawn_vehicle(vehicle: Vehicle) -> DrawnVehicle | None:
    """The shape of a vehicle; None where neither its length nor its kind is known."""
    if vehicle.length_ft is not None:
        return DrawnVehicle(_shape(vehicle.length_ft, vehicle.trailer_ft), "")
    if vehicle.trailer:
        trailer_ft = vehicle.trailer_ft or TRAILER_FT
        return DrawnVehicle(_shape(TRACTOR_TRAILER_FT - TRAILER_FT + trailer_ft, trailer_ft), "trailer")
    if vehicle.passengers:
        return DrawnVehicle(_shape(BUS_FT, None), "bus")
    if vehicle.trailer is False:
        return DrawnVehicle(_shape(SINGLE_UNIT_FT, None), "single")
    return None


def drawn_vehicles(vehicles: Iterable[Vehicle]) -> Mapping[str, DrawnVehicle]:
    """The shapes of those vehicles that have one, by their id."""
    found = {vehicle.id: drawn_vehicle(vehicle) for vehicle in vehicles}
    return {id_: drawn for id_, drawn in found.items() if drawn is not None}


def _shape(length_ft: float, trailer_ft: float | None) -> VehicleShape:
    trailer = min(trailer_ft, length_ft) if trailer_ft else 0.0
    return VehicleShape(length_ft=round(length_ft, 1), trailer_ft=round(trailer, 1))
