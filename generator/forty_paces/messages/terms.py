"""Words that several outputs share: dates, conditions, sides, groups of procedures, bases of sources."""

from __future__ import annotations

from forty_paces.messages.languages import Texts

CONDITIONS = Texts(
    "conditions",
    {
        "air-brakes": "air brakes",
        "hydraulic-brakes": "hydraulic brakes",
        "anti-lock": "anti-lock brakes",
        "no-anti-lock": "no anti-lock brakes",
        "manual-clutch": "a manual clutch",
        "automatic": "an automatic gearbox",
        "trailer": "a trailer",
        "no-trailer": "no trailer",
        "retarder": "a retarder",
        "no-retarder": "no retarder",
        "hazardous-cargo": "hazardous cargo",
        "no-hazardous-cargo": "no hazardous cargo",
        "placarded": "placards",
        "not-placarded": "no placards",
        "hazardous-cargo-or-gas": "hazardous cargo or gas fuel",
        "no-hazardous-cargo-or-gas": "no hazardous cargo or gas fuel",
        "passengers": "passengers aboard",
        "no-passengers": "no passengers",
        "doubles": "two trailers or more",
        "bobtail": "the tractor alone",
        "livestock": "livestock aboard",
        "refrigerated": "a cooling unit",
        "car-carrier": "vehicles as cargo",
        "dump-body": "a dump body",
    },
)
"""Each condition as drivers read it, after "With" ("With air brakes: ...")."""

ACROSS = Texts(
    "across",
    {
        "traffic-side": "traffic side",
        "center-of-lane-or-shoulder": "center of lane or shoulder",
        "in-line-with-the-vehicle": "in line with the vehicle",
        "beside-the-vehicle": "beside the vehicle",
        "same-side-of-the-road": "same side of the road",
    },
)
"""Positions across the road; the keys are the words of rule files, with hyphens."""


def across_words(position: str) -> str:
    """Return a rule's position across the road in words; one that no rule file can name stands as it is."""
    key = position.replace(" ", "-")
    return ACROSS[key] if key in ACROSS.english else position


ACROSS_SHORT = Texts(
    "across-short",
    {
        "traffic-side": "Traffic side",
        "center-of-lane-or-shoulder": "Center",
        "in-line-with-the-vehicle": "In line with the vehicle",
        "beside-the-vehicle": "Beside the vehicle",
        "same-side-of-the-road": "Same side",
    },
)
"""Positions across the road on a button."""


def across_short(position: str) -> str:
    """Return a rule's position across the road in the few words of a button."""
    return ACROSS_SHORT[position.replace(" ", "-")]


def capital(words: str) -> str:
    """Return words with a capital at the beginning."""
    return f"{words[:1].upper()}{words[1:]}"


MONTHS = Texts(
    "months",
    {
        "1": "January",
        "2": "February",
        "3": "March",
        "4": "April",
        "5": "May",
        "6": "June",
        "7": "July",
        "8": "August",
        "9": "September",
        "10": "October",
        "11": "November",
        "12": "December",
    },
)

SHORT_MONTHS = Texts("short-months", {number: name[:3] for number, name in MONTHS.english.items()})

TERMS = Texts(
    "terms",
    {
        "day": "{day} {month} {year}",
        "day-short": "{day} {month} {year}",
        "with": "With {conditions}",
        "and": " and ",
        "signal-danger": "DANGER",
        "signal-warning": "WARNING",
        "signal-caution": "CAUTION",
        "signal-notice": "NOTICE",
        "group-stopped": "Stopped: read and do",
        "group-rolling": "Rolling: know by heart",
        "basis-read": "read",
        "basis-read-in-a-copy": "read in a copy",
        "basis-read-in-part": "read in part",
        "basis-second-hand": "second-hand",
        "basis-memory": "from memory: verify before you rely on it",
        "basis-computed": "computed here",
        "common-practice": "common practice, no source",
        "source-common-practice": "Common practice of the trade",
        "source-carrier-policy": "The carrier's own rule",
        "met-in": "{basis} ({met_in})",
        "met-from": "{basis} (from {met_in})",
        "checked": "{basis}; checked {day}",
        "side-behind": "behind",
        "side-ahead": "ahead",
        "surface-normal": "a normal surface",
        "surface-snow": "snow",
        "surface-ice": "ice",
        "keeps-left": "left",
        "keeps-right": "right",
        "road-two-lane": "two-lane",
        "road-divided": "divided",
        "road-one-way": "one-way",
        "both-sides": "{one} and {other}",
    },
)


def side_words(toward: str) -> str:
    """The side that traffic comes from, or that a device stands on."""
    return TERMS[f"side-{toward}"]


def sides_by_name() -> dict[str, str]:
    """Both sides, as scripts fill them in."""
    return {toward: side_words(toward) for toward in ("behind", "ahead")}
