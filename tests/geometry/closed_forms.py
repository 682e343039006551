"""Design-handbook formulas for sight distance on a single bend, crest or sag.

They are the reference values that the sight engine is tested against, and do not
cover roads made of several pieces.

Formulas are those of the AASHTO Green Book in US customary units, with the
heights kept as arguments: horizontal sightline offset, crest curves for sight
shorter and longer than the curve, sag curves by headlight.
"""

from __future__ import annotations

import math


def sightline_offset_ft(radius_ft: float, sight_ft: float) -> float:
    """Return the horizontal sightline offset that gives ``sight_ft`` along a bend: R·(1 - cos(S / 2R)).

    Measured from the center of the lane to the obstruction; valid where the bend is at least as long
    as the sight distance. ``ValueError`` for a sight distance of more than half the circle.
    """
    if sight_ft > math.pi * radius_ft:
        raise ValueError(f"a sight of {sight_ft:g} ft goes more than half round a circle of {radius_ft:g} ft")
    return radius_ft * (1 - math.cos(sight_ft / (2 * radius_ft)))


def arc_sight_ft(radius_ft: float, offset_ft: float) -> float:
    """Return the sight distance along a long bend, obstruction ``offset_ft`` inside it: 2R·acos(1 - M/R).

    ``ValueError`` for an offset below 0 or above the radius.
    """
    if not 0 <= offset_ft <= radius_ft:
        raise ValueError(
            f"an obstruction {offset_ft:g} ft inside does not lie within a {radius_ft:g} ft radius"
        )
    return 2 * radius_ft * math.acos(1 - offset_ft / radius_ft)


def crest_length_ft(sight_ft: float, grade_change_pct: float, eye_ft: float, object_ft: float) -> float:
    """Return the length of crest curve that gives ``sight_ft`` across it; 0 where no curve is needed.

    L = A·S² / (100·(√2h1 + √2h2)²) where the sight distance is shorter than the curve, else
    L = 2S - 200·(√h1 + √h2)² / A.
    """
    shorter = grade_change_pct * sight_ft**2 / _crest_divisor(eye_ft, object_ft)
    if shorter >= sight_ft:
        return shorter
    return max(0.0, 2 * sight_ft - _crest_divisor(eye_ft, object_ft) / grade_change_pct)


def crest_sight_ft(curve_ft: float, grade_change_pct: float, eye_ft: float, object_ft: float) -> float:
    """Return the sight distance across a crest: the two formulas of :func:`crest_length_ft` solved for S."""
    within = math.sqrt(_crest_divisor(eye_ft, object_ft) * curve_ft / grade_change_pct)
    if within <= curve_ft:
        return within
    return (curve_ft + _crest_divisor(eye_ft, object_ft) / grade_change_pct) / 2


def crest_rate(sight_ft: float, eye_ft: float, object_ft: float) -> float:
    """Return K of a crest: feet of curve per percent of grade change, for ``sight_ft`` within the curve."""
    return sight_ft**2 / _crest_divisor(eye_ft, object_ft)


def _crest_divisor(eye_ft: float, object_ft: float) -> float:
    # 100·(√2h1 + √2h2)² and 200·(√h1 + √h2)² are the same number: 2158 for 3.5 and 2.0 ft.
    return 200 * (math.sqrt(eye_ft) + math.sqrt(object_ft)) ** 2


def sag_rate(sight_ft: float) -> float:
    """Return K of a sag lit by headlights 2 ft up with a beam that rises one degree: S² / (400 + 3.5·S)."""
    return sight_ft**2 / (400 + 3.5 * sight_ft)


def sag_headlight_sight_ft(rate: float) -> float:
    """Return the reach of headlights in a long sag of the given K: :func:`sag_rate` solved for S."""
    return (3.5 * rate + math.sqrt((3.5 * rate) ** 2 + 1600 * rate)) / 2
