"""The texts of the driver's seat; scripts fill those with slots."""

from __future__ import annotations

from forty_paces.messages.languages import Texts

SEAT = Texts(
    "seat",
    {
        "title": "The driver's seat",
        "from-behind": "From behind",
        "from-ahead": "From ahead",
        "scene": "Road",
        "side": "Driver",
        "light": "Light",
        "speed": "Speed",
        "in-light": "{light}, {reach}",
        "light-day": "Day",
        "light-night": "Night",
        "light-fog": "Fog",
        "device": "Far device at",
        "nearer": "Nearer by {length}",
        "farther": "Farther by {length}",
        "as-set": "Rule: {length}",
        "as-moved": "Moved: {length}",
        "no-device": "Nobody can walk to a place for a device on this side: no device stands here.",
        "back": "Back",
        "step": "Step",
        "play": "Play",
        "pause": "Pause",
        "brake": "Brake",
        "again": "From the start",
        "beside": "Side by side",
        "tell": "Tell what is in view",
        "how": "How it is computed",
        "how-drawn": (
            "The picture is a perspective of the scene: eye height, lanes, lines, walls, vehicle and devices "
            "have their true size. It shows 40 degrees: from 1.4 times its width away, everything looks as "
            "large as on the road. Over a crest the top of the vehicle may show before its lamps do; only "
            "lamps and devices count."
        ),
        "how-seen": (
            "Devices and lamps are drawn where the sight engine finds them in view within the reach of the "
            "light. Brake means: I see it now. The time until the brakes act and the braking itself are "
            "added by the design formula. A real driver may look away, and may not know what a triangle "
            "means."
        ),
        "in-words": "Every run in words",
        "show-words": "Show all",
        "clock": "{seconds} s at {speed}",
        "still": "Your device asks for no movement: use Step.",
        "device-seen": "the far device",
        "inner-seen": "a nearer device",
        "vehicle-seen": "the lamps of the vehicle",
        "nothing-seen": "No device and no lamps are in view.",
        "in-view": "In view: {things}.",
        "and": " and ",
        "picture": "What the driver sees.",
        "picture-at": "Far device at {length}.",
        "braked": "Brake at {distance} before the vehicle.",
        "too-soon": "No device and no lamps were in view there.",
        "stops": "To stop takes {needed}: the car stops {left} short of the vehicle.",
        "stops-just": "To stop takes {needed}: the car just stops.",
        "hits": "To stop takes {needed}: the car hits the vehicle at {impact}.",
        "hits-unbraked": "The brakes do not act in time: the car hits the vehicle at {impact}.",
        "never": "No brake: the car hits the vehicle at {impact}.",
        "run-device": "Far device at {device}: something in view from {seen}.",
        "run-none": "Something is in view from {seen}.",
        "run-beyond": "Far device at {device}: in view from the start, {seen}.",
        "engine": "Device at {device}: drivers are warned from {warning}. {result}",
        "engine-title": "A driver who brakes at first sight",
        "unmoved": "On this side the far device stays where the rule sets it.",
        "same-lane": (
            "The eye is in the lane from which the vehicle is seen last, {height} above the road. {needed_by}"
        ),
        "needed-car": "To stop: 2.5 s until the brakes act, then the braking of the design formula.",
        "needed-truck": "To stop: a heavy vehicle's stopping distance by parts.",
        "left-out": "Not drawn from the seat: {title}. {why}",
        "cannot-stop": "No vehicle could stop on that grade and surface.",
        "no-rule": "The rule set has no devices for this road or light.",
    },
)
"""Texts of the driver's seat."""
