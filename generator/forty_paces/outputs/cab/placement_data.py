"""The data from which the cab file's script computes a placement, as plain values for JSON.

``js/cab/placement.js`` follows :mod:`forty_paces.geometry.placement` and
:mod:`forty_paces.geometry.simple_view` step by step; everything that it reads is here, and every
sentence is a template of :mod:`forty_paces.messages.placement` whose slots it fills. Lengths are in
feet, unrounded, and times in seconds. ``null`` stands for what is not given, and for no limit.

``version``
    Of this format. A script that does not know it computes nothing.
``rules``
    ``id``, ``title``, ``metric``, ``unit_ft`` (one whole unit of length), ``pace_ft``, ``lane_line_ft``,
    ``limit_s`` and ``limit_source``, ``hidden`` (``within_ft``, ``from_ft``, ``to_ft``, ``step_ft``,
    ``source``; null where nothing moves) and ``cautions`` (printed with every placement).
``layouts``
    For each ``road`` and range of posted speeds (``from`` up to, but not including, ``below``) the
    ``devices`` in the order of the rule, ``forbidden``, ``note`` and ``leave_out_first``.
``roads``
    For each kind of road the sides that traffic comes from.
``speeds``, ``grades``, ``surfaces``, ``visibility``
    What can be chosen. A speed has ``mph``, ``posted`` (a whole number in the posted unit) and ``text``.
    A grade has ``pct`` as traffic from behind meets it; the list mirrors itself, for traffic from ahead.
    A surface has ``id`` and ``friction`` (text; empty for a normal one). A visibility class has ``id``,
    ``title``, ``detection_ft`` and ``reflecting_ft``.
``needed_ft``
    Stopping sight distance: for each surface a list over speeds of lists over grades.
``lengths``
    The distances to choose from, in the rule set's own unit: ``sight`` (to the end of the view),
    ``near`` and ``far`` (to the ends of what hides the vehicle).
``constants``, ``messages``
    Figures of the model, and templates of sentences by kind and key; ``directions`` and ``across`` have
    words for where a device stands, by the words of the rule.
``examples``
    Worked by hand: ``id``, ``situation`` as the script takes it, ``devices`` and ``sides`` with lengths
    in the rule set's own unit to a tenth; null where an example gives no figure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from forty_paces.authoring.models.rules import RuleFile, WorkedExample
from forty_paces.geometry import simple_view, units
from forty_paces.geometry.placement import HILL_GLOW_S, streams
from forty_paces.geometry.records import DeviceLayout, RoadKind, RuleSet, Surface, Toward
from forty_paces.geometry.stopping import ASSUMED_FRICTION, needed_sight_ft
from forty_paces.geometry.walk import WALKING_SPEED_FPS
from forty_paces.messages import quantities
from forty_paces.messages.placement import DIRECTIONS, GROUPS
from forty_paces.messages.quantities import PHRASES, posted_speed
from forty_paces.messages.terms import TERMS, across_words, sides_by_name

VERSION = 3

GRADES_PCT = (-6.0, -3.0, 0.0, 3.0, 6.0)
"""Grades to choose from, each with its opposite."""

SPEEDS_MPH = tuple(float(speed) for speed in range(15, 81, 5))
SPEEDS_KMH = tuple(float(speed) for speed in range(20, 131, 10))
SIGHT_FT = (20, *range(50, 501, 50), *range(600, 1001, 100))
SIGHT_M = (5, *range(15, 151, 15), *range(180, 301, 30))
ENDS_FT = (50, 100, 150, 200, 300, 400, 500)
ENDS_M = (15, 30, 45, 60, 90, 120, 150)


def placement_data(rule_file: RuleFile) -> dict[str, Any]:
    """All values for one rule file, in the order of the format description above."""
    rules = rule_file.rule_set
    speeds_mph = speeds(rules)
    positions = dict.fromkeys(rule.across for layout in rules.layouts for rule in layout.devices)
    return {
        "version": VERSION,
        "rules": _rules(rules),
        "layouts": [_layout(rules, layout) for layout in rules.layouts],
        "roads": {str(road): [str(toward) for toward in streams(road)] for road in RoadKind},
        "speeds": [
            {"mph": mph, "posted": int(rules.posted(mph)), "text": posted_speed(rules, mph)}
            for mph in speeds_mph
        ],
        "grades": [{"pct": grade} for grade in GRADES_PCT],
        "surfaces": [
            {
                "id": str(surface),
                "friction": quantities.number(ASSUMED_FRICTION[surface], 2)
                if surface in ASSUMED_FRICTION
                else "",
            }
            for surface in Surface
        ],
        "visibility": [
            {
                "id": entry.id,
                "title": entry.title,
                "detection_ft": entry.detection_ft,
                "reflecting_ft": entry.reflecting_ft,
            }
            for entry in rules.visibility
        ],
        "default_visibility": [entry.id for entry in rules.visibility].index(rules.default_visibility),
        "needed_ft": {
            str(surface): [
                [needed_sight_ft(mph, grade, surface, metric=rules.metric) for grade in GRADES_PCT]
                for mph in speeds_mph
            ]
            for surface in Surface
        },
        "lengths": {
            "sight": _lengths(rules, SIGHT_FT, SIGHT_M),
            "near": _lengths(rules, ENDS_FT, ENDS_M),
            "far": _lengths(rules, ENDS_FT, ENDS_M),
        },
        "constants": {
            "fuzz": units.FUZZ,
            "meters_per_foot": units.METERS_PER_FOOT,
            "feet_per_mile": units.FEET_PER_MILE,
            "seconds_per_hour": units.SECONDS_PER_HOUR,
            "quarters": quantities.QUARTERS,
            "hill_factor": simple_view.HILL_FACTOR,
            "hill_span": simple_view.HILL_SPAN,
            "least_view_s": simple_view.LEAST_VIEW_S,
            "beyond_ft": simple_view.BEYOND_FT,
            "slack_ft": simple_view.SLACK_FT,
            "near_traffic": simple_view.NEAR_TRAFFIC,
            "hill_glow_s": HILL_GLOW_S,
            "walking_speed_fps": WALKING_SPEED_FPS,
        },
        "messages": {
            **{group: dict(messages) for group, messages in GROUPS.items()},
            "directions": {str(toward): words for toward, words in DIRECTIONS.items()},
            "across": {position: across_words(position) for position in positions},
            "sides": sides_by_name(),
            "roads": {str(road): TERMS[f"road-{road}"] for road in RoadKind},
            "surfaces": {str(surface): TERMS[f"surface-{surface}"] for surface in Surface},
            "phrases": dict(PHRASES),
            "quantities": dict(quantities.QUANTITIES),
        },
        "examples": list(_examples(rule_file)),
    }


def speeds(rules: RuleSet) -> tuple[float, ...]:
    """The posted speeds to choose from, in mph."""
    return SPEEDS_MPH if rules.posted_in == "mph" else tuple(map(units.kmh_to_mph, SPEEDS_KMH))


def _rules(rules: RuleSet) -> dict[str, Any]:
    hidden = rules.hidden
    return {
        "id": rules.id,
        "title": rules.title,
        "metric": rules.metric,
        "unit_ft": rules.unit_ft,
        "pace_ft": rules.pace_ft,
        "lane_line_ft": rules.lane_line_ft,
        "limit_s": rules.time_limit_s,
        "limit_source": rules.time_limit_source,
        "hidden": hidden
        and {
            "within_ft": hidden.within_ft,
            "from_ft": hidden.from_ft,
            "to_ft": hidden.to_ft,
            "step_ft": hidden.step_ft,
            "source": hidden.source,
        },
        "cautions": list(rules.cautions),
    }


def _layout(rules: RuleSet, layout: DeviceLayout) -> dict[str, Any]:
    below = rules.posted(layout.speed_below_mph)
    return {
        "road": str(layout.road),
        "from": int(rules.posted(layout.speed_from_mph)),
        "below": None if math.isinf(below) else int(below),
        "forbidden": layout.forbidden,
        "note": layout.note,
        "leave_out_first": layout.leave_out_first,
        "devices": [
            {
                "toward": str(rule.toward),
                "distance_ft": rule.distance_ft,
                "across": rule.across,
                "source": rule.source,
                "at_most_ft": rule.at_most_ft,
                "step_ft": rule.step_ft,
                "remark": rule.remark,
            }
            for rule in layout.devices
        ],
    }


def _lengths(rules: RuleSet, feet: Sequence[int], meters: Sequence[int]) -> list[float]:
    return [units.m_to_ft(float(m)) for m in meters] if rules.metric else [float(ft) for ft in feet]


def _examples(rule_file: RuleFile) -> Iterator[dict[str, Any]]:
    """Every worked example whose speed and grade can be chosen."""
    rules = rule_file.rule_set
    visibility = [entry.id for entry in rules.visibility]
    for example in rule_file.examples:
        situation = rule_file.situation(example)
        speed = _position(speeds(rules), situation.speed_mph)
        grade = _position(GRADES_PCT, situation.grade_pct)
        if speed is None or grade is None:
            continue
        sights = {
            Toward.BEHIND: situation.hidden_behind_ft,
            Toward.AHEAD: situation.hidden_ahead_ft,
        }
        yield {
            "id": example.id,
            "situation": {
                "road": str(situation.road),
                "speed": speed,
                "grade": grade,
                "surface": str(situation.surface),
                "visibility": visibility.index(example.situation.visibility or rules.default_visibility),
                "hidden": {
                    str(toward): None
                    if math.isinf(sight_ft)
                    else {
                        "by": [str(cause) for cause in situation.hidden_by],
                        "sight_ft": sight_ft,
                        "near_ft": situation.hidden_from_ft,
                        "far_ft": situation.hidden_to_ft,
                    }
                    for toward, sight_ft in sights.items()
                },
            },
            **_expected(rules, example),
        }


def _expected(rules: RuleSet, example: WorkedExample) -> dict[str, Any]:
    ordered = sorted(example.devices, key=lambda one: (one.toward is Toward.AHEAD, one.distance))
    return {
        "devices": [
            {"toward": str(one.toward), "distance": _own(rules, one.distance), "moved": one.moved}
            for one in ordered
        ],
        "sides": {
            str(side.toward): {
                "needed": _own(rules, side.needed),
                "warning": _own(rules, side.warning),
                "reflecting": _own(rules, side.reflecting),
                "look": _own(rules, side.look),
                "ample": side.ample,
            }
            for side in example.approach
        },
    }


def _own(rules: RuleSet, length_ft: float | None) -> float | None:
    """A length in the rule set's own unit, to a tenth."""
    if length_ft is None:
        return None
    return round(units.ft_to_m(length_ft) if rules.metric else length_ft, 1)


def _position(choices: Sequence[float], wanted: float) -> int | None:
    """The index of a value, ignoring float noise."""
    return next(
        (at for at, choice in enumerate(choices) if abs(choice - wanted) < units.FUZZ),
        None,
    )
