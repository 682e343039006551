"""Formats distances, speeds and positions for labels.

Distances are in feet and paces, or in meters first where a rule set is written in meters; text
alternatives give both units.
"""

from __future__ import annotations

from forty_paces.drawing.text import TextLine, balanced
from forty_paces.geometry.explanation import length, posted_speed
from forty_paces.geometry.records import Device, RuleSet, Toward
from forty_paces.geometry.units import METERS_PER_FOOT, feet, meters, number

FEET_PER_METER = 1 / METERS_PER_FOOT


def distance(distance_ft: float, rules: RuleSet) -> str:
    """Format the distance in the rule set's own unit."""
    return length(rules, distance_ft)


def both(distance_ft: float, rules: RuleSet) -> str:
    """Format the distance in feet and meters, the rule set's own unit first."""
    own, other = (meters, feet) if rules.metric else (feet, meters)
    return f"{own(distance_ft)} ({other(distance_ft)})"


def paces(count: int) -> str:
    """Format a count of paces."""
    return f"{number(count)} {'pace' if count == 1 else 'paces'}"


def speed(speed_mph: float, rules: RuleSet) -> str:
    """Format a speed in the unit it is posted in."""
    return posted_speed(rules, speed_mph)


def device_sentence(number: int, device: Device, rules: RuleSet) -> str:
    """Describe one device in a sentence, for the text alternative of a drawing."""
    if not device.distance_ft:
        return f"Device {number}: {device.across}."
    side = "behind the vehicle" if device.toward is Toward.BEHIND else "ahead of the vehicle"
    moved = ", moved out" if device.moved else ""
    steps = paces(device.paces)
    return f"Device {number}: {both(device.distance_ft, rules)}, {steps}, {side}, {device.across}{moved}."


def device_lines(
    device: Device, rules: RuleSet, *, sizes: tuple[float, float, float], width: float
) -> tuple[TextLine, ...]:
    """Return a device's label: distance, paces, position across the road, and whether it moved.

    A device beside the vehicle has no distance; its label gives the position alone.
    """
    big, middle, small = sizes
    if not device.distance_ft:
        return tuple(TextLine(part, middle, bold=True) for part in balanced(device.across, middle, width))
    lines = [
        TextLine(distance(device.distance_ft, rules), big, bold=True),
        TextLine(paces(device.paces), middle, bold=True),
    ]
    if rules.metric:
        lines.append(TextLine(feet(device.distance_ft), small))
    lines += [TextLine(part, small) for part in balanced(device.across, small, width)]
    if device.moved:
        lines.append(TextLine("moved out", small, bold=True))
    return tuple(lines)
