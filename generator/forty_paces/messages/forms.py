"""The texts of matched tests: titles, places and teaching points of roads that are drawn from a seed."""

from __future__ import annotations

from forty_paces.messages.languages import Texts

FORM = Texts(
    "form",
    {
        "title": "{road}, {light}",
        "straight": "Straight road",
        "bend-behind": "Bend behind the vehicle",
        "bend-ahead": "Bend ahead of the vehicle",
        "crest": "Crest behind the vehicle",
        "two-bends": "Between two bends",
        "slope": "the cut slope",
        "trees": "the trees",
        "place-plain": "An invented road (plain)",
        "place-medium": "An invented road (medium)",
        "place-hard": "An invented road (hard)",
        "point-straight": "Nothing hides the vehicle, so every device stays at the rule's distance.",
        "point-bend": "One side is hidden: its far device moves out, and no farther than drivers need.",
        "point-crest": "The crest hides what stands behind it: the far device stands nearer to its top.",
        "point-trap": "Two sides look alike, and only one device moves. Each side is judged by itself.",
        "none": "under this rule set no device moves, so no matched test can be made",
        "class": "Test {number} for a class of {count}: place the devices",
        "class-keys": "Answer keys of test {number} for a class of {count}",
    },
)
