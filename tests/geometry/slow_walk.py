"""The foot-by-foot walk that the closed form replaced, kept to compare it with.

Every whole foot is tried with the engine's own exact test of one line of sight, and the edges of what is
hidden are bisected. Nothing is skipped and nothing is solved.
"""

import math

from forty_paces.geometry.records import Toward
from forty_paces.geometry.scene import station_ft
from forty_paces.geometry.sight import hidden_by
from forty_paces.geometry.stopping import CannotStop, metric_stopping_sight, stopping_sight
from forty_paces.geometry.units import m_to_ft, mph_to_kmh


def walked_intervals(watch, target, limit_ft):
    """The stretches from which a target is hidden; those shorter than a foot may be missing."""
    found, low = [], None
    for at in range(1, math.ceil(limit_ft) + 1):
        hidden = hidden_by(watch, target, float(at)) is not None
        if hidden and low is None:
            low = _edge(watch, target, at - 1.0, float(at))
        elif not hidden and low is not None:
            found.append((low, min(limit_ft, _edge(watch, target, float(at), at - 1.0))))
            low = None
    if low is not None:
        found.append((low, limit_ft))
    return [(begin, end) for begin, end in found if begin < end]


def _edge(watch, target, seen, hidden):
    while abs(hidden - seen) > 0.001:
        middle = (seen + hidden) / 2
        if hidden_by(watch, target, middle) is None:
            seen = middle
        else:
            hidden = middle
    return (seen + hidden) / 2


def walked_braking_grade_pct(scene, toward, metric):
    """The mean grade of the first whole foot on which a car can stop, refined; None where there is none."""
    profile = scene.road.profile
    end_ft = station_ft(scene, toward, 0.0)
    step = -1.0 if toward is Toward.BEHIND else 1.0

    def grade(length_ft):
        return profile.mean_grade_pct(end_ft + step * length_ft, end_ft)

    def suffices(length_ft):
        try:
            if metric:
                sight = metric_stopping_sight(mph_to_kmh(scene.speed_mph), grade(length_ft), scene.surface)
                return m_to_ft(sight.braking) <= length_ft
            return stopping_sight(scene.speed_mph, grade(length_ft), scene.surface).braking <= length_ft
        except CannotStop:
            return False

    enough = next((float(length) for length in range(1, 20_000) if suffices(length)), None)
    if enough is None:
        return None
    short = enough - 1
    while enough - short > 1e-6:
        middle = (short + enough) / 2
        short, enough = (short, middle) if suffices(middle) else (middle, enough)
    return grade(enough)
