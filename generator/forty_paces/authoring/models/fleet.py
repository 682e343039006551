"""Models of content/fleet.yml: the carrier's phones, vehicles, policies and printing choices.

Only the carrier's name is required. Where equipment is unknown, a step is shown with its condition.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Annotated, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from forty_paces.authoring.findings import close_name
from forty_paces.authoring.models.kept_days import RecordDays, ScoreDays
from forty_paces.authoring.models.record import (
    Condition,
    Day,
    Id,
    MeasuredRecord,
    OwnCondition,
    Record,
    Service,
    SourceIds,
    Text,
    YesNo,
)


class Brakes(StrEnum):
    """The service-brake system."""

    AIR = "air"
    HYDRAULIC = "hydraulic"


class Gearbox(StrEnum):
    """Whether there is a clutch pedal."""

    MANUAL = "manual"
    AUTOMATIC = "automatic"


class VehicleKind(StrEnum):
    """A body, a load or a way to run for which practice differs; each is a condition of the same name."""

    DOUBLES = "doubles"
    BOBTAIL = "bobtail"
    LIVESTOCK = "livestock"
    REFRIGERATED = "refrigerated"
    CAR_CARRIER = "car-carrier"
    DUMP_BODY = "dump-body"


class CardSize(StrEnum):
    """Finished card sizes offered."""

    A6 = "a6"
    INDEX_3X5 = "3x5"
    HALF_LETTER = "half-letter"
    A5 = "a5"


class SheetPaper(StrEnum):
    """Paper sizes of desktop printers."""

    LETTER = "letter"
    A4 = "a4"


class Detail(Record):
    """A fact about a vehicle that no step depends on, shown as it is written."""

    what: Text = Field(description="What it is: Height.")
    value: Text = Field(description="As a driver says it: 13 ft 6 in.")


_TRAILERS = re.compile(r"(?:number_of_|num_|n_)?trailers(?:_count)?|trailer_(?:count|number)|doubles|triples")


class Vehicle(MeasuredRecord):
    """One vehicle of the fleet. A field left out is unknown."""

    id: Id = Field(description="Stable name, used in file names.")
    title: Text = Field(description="What drivers call it.")
    unit: Text | None = Field(default=None, description="Unit number on the door.")
    plate: Text | None = Field(default=None, description="Plate.")
    length_ft: float | None = Field(default=None, gt=0, lt=200, description="Overall length in feet.")
    trailer_ft: float | None = Field(default=None, gt=0, lt=100, description="Trailer length in feet.")
    brakes: Brakes | None = Field(default=None, description="air or hydraulic.")
    anti_lock: YesNo | None = Field(default=None, description="yes if it has anti-lock brakes.")
    gearbox: Gearbox | None = Field(default=None, description="manual or automatic.")
    trailer: YesNo | None = Field(default=None, description="yes if it pulls a trailer.")
    retarder: YesNo | None = Field(default=None, description="yes if it has a retarder or engine brake.")
    hazardous_cargo: YesNo | None = Field(
        default=None,
        description="yes if it carries cargo that the shipping papers name as hazardous, placarded or not.",
    )
    placarded: YesNo | None = Field(
        default=None, description="yes if its hazardous cargo is of a kind or amount that needs placards."
    )
    gas_fueled: YesNo | None = Field(
        default=None, description="yes if it runs on compressed or liquefied gas, such as natural gas."
    )
    passengers: YesNo | None = Field(default=None, description="yes if it carries passengers.")
    kinds: tuple[VehicleKind, ...] | None = Field(
        default=None,
        description="What it is or carries, always or on some trips: doubles (two trailers or more), bobtail "
        "(a tractor without its trailer), livestock, refrigerated, car-carrier, dump-body. "
        "An empty list for none of these; left out, it is unknown.",
    )
    has: tuple[Id, ...] = Field(default=(), description="Conditions of your own that hold on it, by id.")
    has_not: tuple[Id, ...] = Field(default=(), description="Conditions of your own that do not hold on it.")

    details: tuple[Detail, ...] = Field(
        default=(), description="Facts to show beside its name, on which no step depends: height, axles."
    )

    @classmethod
    def fix_for(cls, key: str) -> str | None:
        """A number of trailers, a body, a kind of vehicle: conditions of the carrier's own, or details."""
        if _TRAILERS.fullmatch(key):
            return 'write "trailer: yes" for one trailer or more; for two or more, write kinds: [doubles] too'
        if close_name(key, [*cls.model_fields, *cls.metric_twins().values()], cutoff=0.75) is not None:
            return None
        return (
            "for a dump body and the like, see kinds; where steps depend on something else, declare it "
            "below conditions, such as {id: tail-lift, words: a tail lift}, and write has: [tail-lift] here; "
            "to show it only, add {what: Height, value: 13 ft 6 in} below details"
        )

    @model_validator(mode="after")
    def _agrees_with_itself(self) -> Self:
        if self.placarded and self.hazardous_cargo is False:
            raise ValueError(
                "a placarded vehicle carries hazardous cargo; write hazardous_cargo: yes, or placarded: no"
            )
        if self.trailer is False and VehicleKind.DOUBLES in (self.kinds or ()):
            raise ValueError("doubles pull trailers; write trailer: yes, or take doubles out of kinds")
        return self

    def meets(self, when: tuple[Condition | OwnCondition, ...]) -> bool | None:
        """Whether every condition holds; None if that depends on unknown equipment."""
        answers = [self._has(condition) for condition in when]
        if False in answers:
            return False
        return None if None in answers else True

    def _has(self, condition: Condition | OwnCondition) -> bool | None:
        if isinstance(condition, OwnCondition):
            known = condition.of in self.has or condition.of in self.has_not
            return (condition.of in self.has) is condition.holds if known else None
        # Placards are only on hazardous cargo, so one answer can determine the other.
        hazardous = True if self.placarded else self.hazardous_cargo
        placarded = False if self.hazardous_cargo is False else self.placarded
        pairs: dict[Condition, bool | None] = {
            Condition.AIR_BRAKES: None if self.brakes is None else self.brakes is Brakes.AIR,
            Condition.ANTI_LOCK: self.anti_lock,
            Condition.MANUAL_CLUTCH: None if self.gearbox is None else self.gearbox is Gearbox.MANUAL,
            Condition.TRAILER: self.trailer,
            Condition.RETARDER: self.retarder,
            Condition.HAZARDOUS_CARGO: hazardous,
            Condition.PLACARDED: placarded,
            Condition.HAZARDOUS_CARGO_OR_GAS: _either(hazardous, self.gas_fueled),
            Condition.PASSENGERS: self.passengers,
            **{Condition(kind): None if self.kinds is None else kind in self.kinds for kind in VehicleKind},
        }
        if condition in pairs:
            return pairs[condition]
        opposite = pairs[_OPPOSITE[condition]]
        return None if opposite is None else not opposite


def _either(first: bool | None, other: bool | None) -> bool | None:
    """Three-valued or: None if neither is True and one is unknown."""
    if first or other:
        return True
    return None if first is None or other is None else False


_OPPOSITE = {
    Condition.HYDRAULIC_BRAKES: Condition.AIR_BRAKES,
    Condition.NO_ANTI_LOCK: Condition.ANTI_LOCK,
    Condition.AUTOMATIC: Condition.MANUAL_CLUTCH,
    Condition.NO_TRAILER: Condition.TRAILER,
    Condition.NO_RETARDER: Condition.RETARDER,
    Condition.NO_HAZARDOUS_CARGO: Condition.HAZARDOUS_CARGO,
    Condition.NOT_PLACARDED: Condition.PLACARDED,
    Condition.NO_HAZARDOUS_CARGO_OR_GAS: Condition.HAZARDOUS_CARGO_OR_GAS,
    Condition.NO_PASSENGERS: Condition.PASSENGERS,
}


_DIALED = re.compile(
    r"(?P<main>\+?[0-9(][0-9 ().-]*[0-9])(?:,? (?:ext\.?|extension) (?P<extension>[0-9]{1,7}))?", re.ASCII
)
"""Digits with visual separators, and an extension, after RFC 3966."""

MOST_DIGITS = 15
"""Longest international number, by ITU-T E.164."""


def _number(value: str) -> str:
    """Accept a number of which a ``tel:`` link dials exactly what is shown, or text without digits."""
    match = _DIALED.fullmatch(value)
    if match is None:
        if any(character.isdigit() or character in "*#+" for character in value):
            raise ValueError(
                f'"{value}" is not a number that can be dialed as it is shown; write digits with spaces or '
                "hyphens between them and an extension as 'ext. 12', or words without digits"
            )
        return value
    if "+" in value and re.search(r"\(\s*0\s*\)", value):
        raise ValueError(f'"{value}" holds a (0) that is not dialed after +; leave the (0) out')
    if value.count("(") != value.count(")"):
        raise ValueError(f'"{value}" has a bracket too many; close each bracket')
    if len(re.sub(r"[^0-9]", "", match["main"])) > MOST_DIGITS:
        raise ValueError(f'"{value}" has more than {MOST_DIGITS} digits; no telephone number has')
    return value


class Phone(Record):
    """One telephone number, in calling order."""

    id: Id = Field(description="Stable name.")
    who: Text = Field(description="Who answers.")
    number: Annotated[Text, AfterValidator(_number)] = Field(
        description="The number as dialed: digits with spaces, hyphens, periods or brackets between them, "
        "+ in front, an extension as 'ext. 12' behind. Or words alone that say where it is printed."
    )
    call_when: Text = Field(description="When to call it.")
    serves: Service | None = Field(
        default=None,
        description="emergency or dispatch: the cab assistant then has a button for this number on every "
        "screen, and in each step that calls it.",
    )

    @property
    def dial(self) -> str:
        """The number for a ``tel:`` link, with exactly the digits shown; empty for text without digits.

        RFC 3966: visual separators are left out, an extension follows as a parameter.
        """
        match = _DIALED.fullmatch(self.number)
        if match is None:
            return ""
        main = re.sub(r"[^0-9+]", "", match["main"])
        return f"{main};ext={match['extension']}" if match["extension"] else main


class Policy(Record):
    """A rule of the carrier's own."""

    id: Id = Field(description="Stable name.")
    text: Text = Field(description="One sentence.")
    source: SourceIds | None = Field(default=None, description="Where it is from, if from outside.")


class FleetCondition(Record):
    """A kind or property of vehicles that the tool does not know, for use in ``when``."""

    id: Id = Field(description="Stable name, such as tail-lift; no-tail-lift is its absence.")
    words: Text = Field(description="What drivers call it, after 'With': a tail lift.")
    without: Text | None = Field(
        default=None,
        description="What they call its absence, after 'With': no tail lift. Without it, "
        "no step can depend on the absence.",
    )


def _color(value: object) -> object:
    if isinstance(value, str) and re.fullmatch(r"#[0-9a-fA-F]{6}", value) is None:
        raise ValueError(
            f'"{value}" is not a color; write six hexadecimal digits in quotes, such as "#003f6b"'
        )
    return value.lower() if isinstance(value, str) else value


Color = Annotated[str, BeforeValidator(_color)]


class Looks(Record):
    """The carrier's logo and colors."""

    logo: Text | None = Field(
        default=None, description="An SVG file below content, drawn in outlines: logo.svg."
    )
    color: Color | None = Field(
        default=None, description='Links and main buttons by day, in quotes: "#003f6b". 7 to 1 on white.'
    )
    night_color: Color | None = Field(
        default=None, description='The same by night: "#ffb74d". 7 to 1 on near-black.'
    )


ENGLISH = "en"
"""The language in which content is written."""


class Untranslated(StrEnum):
    """What a build does with a text that has no translation."""

    REFUSE = "refuse"
    ENGLISH = "english"


def _languages(value: tuple[str, ...]) -> tuple[str, ...]:
    if value[:1] != (ENGLISH,):
        raise ValueError('the first language is "en", that of the content; write languages: [en, es_US]')
    if len(set(value)) < len(value):
        raise ValueError("a language is named twice; name each once")
    return value


LanguageCode = Annotated[str, Field(pattern=r"^[a-z]{2,3}(_[A-Z]{2})?$")]
"""A language, and the country whose way of writing it is meant: es_US."""


NOT_ENTERED = "not yet entered"
"""Stands in place of a telephone number in a new project; check names each."""


class Fleet(Record):
    """The contents of fleet.yml."""

    carrier: Text = Field(description="The carrier's name, printed on every card and page.")
    rules: Id = Field(default="us", description="Placement rule set in force: a file in content/rules.")
    safety_lead: Text | None = Field(default=None, description="Name of the safety lead.")
    languages: Annotated[tuple[LanguageCode, ...], AfterValidator(_languages)] = Field(
        default=(ENGLISH,),
        description="en, then the other languages to build: es_US. Each has a catalog in content/languages.",
    )
    untranslated: Untranslated = Field(
        default=Untranslated.REFUSE,
        description="refuse or english: what to do with a text that has no translation. english shows it "
        "marked [EN].",
    )
    phones: tuple[Phone, ...] = Field(default=(), description="Numbers in calling order.")
    conditions: tuple[FleetCondition, ...] = Field(
        default=(), description="Kinds and properties of vehicles of your own, for use in when."
    )
    looks: Looks = Field(default=Looks(), description="Your logo and colors.")
    vehicles: tuple[Vehicle, ...] = Field(default=(), description="The vehicles.")
    policies: tuple[Policy, ...] = Field(default=(), description="The carrier's own rules.")
    card_sizes: tuple[CardSize, ...] = Field(
        default=(CardSize.HALF_LETTER,),
        description="Card sizes to print. A long procedure needs half-letter or a5.",
    )
    paper: SheetPaper = Field(
        default=SheetPaper.LETTER, description="The paper in the printer: letter or a4."
    )
    draft_mark: YesNo = Field(
        default=False,
        description="yes prints DRAFT across every card until your safety lead has signed its procedure.",
    )
    edition_date: Day | None = Field(
        default=None, description="Printed on every copy; the newest effective date if left out."
    )
    edition_number: int = Field(
        default=0,
        ge=0,
        lt=10**9,
        description="A number that rises with every edition you give out: 1, 2, 3. "
        "Tablets refuse a lower one.",
    )
    edition_expires: Day | None = Field(
        default=None, description="The last day this edition is meant for. After it tablets say so."
    )
    records_kept_days: RecordDays = None
    scores_kept_days: ScoreDays = None
    carrier_id: Id | None = Field(
        default=None,
        description="Stable name of the carrier, by which tablets know its editions; made from its name if "
        "left out. Enter the old one when the name changes.",
    )

    @property
    def other_languages(self) -> tuple[str, ...]:
        """The codes of the languages to build besides English."""
        return self.languages[1:]

    @property
    def stable_id(self) -> str:
        """``carrier_id``, or the carrier's name in lower case with hyphens."""
        return self.carrier_id or re.sub(r"[^a-z0-9]+", "-", self.carrier.lower()).strip("-") or "carrier"

    def own_conditions(self) -> dict[str, OwnCondition]:
        """The carrier's own conditions, and their absence where it has words, by the id in ``when``."""
        held = [OwnCondition(one.id, one.words) for one in self.conditions]
        missing = [OwnCondition(one.id, one.without, holds=False) for one in self.conditions if one.without]
        return {str(condition): condition for condition in (*held, *missing)}
