"""The texts that the classroom's scripts fill in, by the names that the scripts use.

``{name}`` marks what a script puts in. The pages carry these mappings in their data, as ``words``.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

EXERCISE: Mapping[str, str] = MappingProxyType(
    {
        "place": "Number {number}, situation {situation}",
        "title": "{title}.",
        "task": "{road}, posted {speed}. {light}. Place {devices} devices.",
        "device": "Device {number}",
        "behind": "Behind",
        "ahead": "Ahead",
        "which_side": "Which side",
        "which_across": "Across the road",
        "nearer": "Device {number}: {length} nearer",
        "farther": "Device {number}: {length} farther",
        "distance": "Device {number}: distance in {unit}",
        "drivers_get": "Drivers from {side} get {warning}; to stop takes {needed}.",
        "missing": "{length} missing",
        "where": "{distance} {side}, {across}",
        "no_across": "no place across said",
        "where_paced": "{where}, {paces} paces",
        "score": "{right} of {of} right",
        "marked": "{device}: ",
        "verdict": "{verdict}.",
        "no_device": "No device",
        "asked_for": "Asked for: {asked}.",
        "because": "{why} {source}.",
        "no_name": "no name",
        "of": "{right} of {of}",
    }
)
"""Texts of the placing exercise."""

VERDICTS: Mapping[str, str] = MappingProxyType(
    {
        "right": "Right",
        "ample": "Right: within the rule's range, with a longer walk than needed",
        "long-walk": "Half right: a walk of {seconds} s, {more} s more than needed",
        "too-near": "Too near the vehicle",
        "too-far": "Too far from the vehicle",
        "missing": "Missing on this side",
        "extra": "One too many on this side",
    }
)
"""What is said of a device that was set, by the verdict on its distance."""

WRONG_ACROSS: Mapping[str, str] = MappingProxyType(
    {
        "right": "Right distance. Wrong place across the road",
        "ample": (
            "Right distance: within the rule's range, with a longer walk than needed. Wrong place across the "
            "road"
        ),
        "long-walk": "A walk of {seconds} s, {more} s more than needed. Wrong place across the road",
        "too-near": "Too near the vehicle. Wrong place across the road",
        "too-far": "Too far from the vehicle. Wrong place across the road",
    }
)
"""The same where the device also stands wrong across the road."""

SIGHT: Mapping[str, str] = MappingProxyType(
    {
        "truck_seen": "Truck first seen from {length}",
        "triangle_at": "Triangle at {length}, {paces} paces",
        "level": "Level two-lane road, traffic from behind. From above, to scale.",
        "crest_to_scale": "Two-lane road, traffic from behind. To scale.",
        "crest_enlarged": "Two-lane road, traffic from behind. Heights enlarged {times} times.",
        "stays": "It stays at {length}",
        "moved": "Moved out to {length}",
        "with_base": "With the triangle at {length}",
        "title_bend": "The road from above",
        "title_crest": "The road from the side",
        "described_seen": (
            "The truck is first seen from {alone}. The far triangle stands {distance} behind it. It is first "
            "seen from {seen} before the truck."
        ),
        "described_unseen": (
            "The truck is first seen from {alone}. The far triangle stands {distance} behind it. It is not "
            "in view for long enough to count."
        ),
    }
)
"""Texts of the sight explorer."""
