"""The shapes of the pictograms, on a square of 64 units.

A stroke is a path drawn with a 4-unit line, or filled where its command string begins
with '#'. All in the color of the text beside it. Drawn for this project.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_TRAILER = "M4 14H38V40H4Z"
_CAB = "M42 22H52L60 31V40H42Z"
_WHEELS = "M9 46a5 5 0 1 0 10 0a5 5 0 1 0 -10 0M46 46a5 5 0 1 0 10 0a5 5 0 1 0 -10 0"


def _burst(x: float, y: float, size: float) -> str:
    """A ragged star, filled."""
    spokes = ((0, -1), (0.32, -0.38), (0.9, -0.62), (0.46, 0), (0.95, 0.42), (0.34, 0.36), (0.2, 0.98))
    left = [(-x, y) for x, y in reversed(spokes[1:-1])]
    ring = (*spokes, (-0.2, 0.6), *left)
    return "#M" + "L".join(f"{x + dx * size:.1f} {y + dy * size:.1f}" for dx, dy in ring) + "Z"


def _flame(x: float, foot: float, size: float) -> str:
    """A filled flame with its base at ``foot``, its center left open."""
    s = size / 28

    def at(dx: float, dy: float) -> str:
        return f"{x + dx * s:.1f} {foot + dy * s:.1f}"

    outer = f"M{at(0, 0)}C{at(-14, 0)} {at(-13, -12)} {at(-6, -18)}C{at(-5, -14)} {at(-3, -13)} {at(-2, -13)}"
    outer += f"C{at(-3, -20)} {at(1, -25)} {at(5, -28)}C{at(4, -21)} {at(12, -18)} {at(12, -9)}"
    outer += f"C{at(12, -3)} {at(7, 0)} {at(0, 0)}Z"
    heart = f"M{at(0, -2.5)}C{at(5, -2.5)} {at(6, -7)} {at(2, -12)}C{at(1, -8)} {at(-5, -8)} {at(-4.5, -4.5)}"
    return f"#{outer}{heart}C{at(-4, -3)} {at(-2, -2.5)} {at(0, -2.5)}Z"


def _wave(x: float, y: float, crests: int) -> str:
    """Water: alternating crests and troughs of 7 units."""
    curves = (
        f"Q{x + 14 * n + 7} {y - 7 if n % 2 == 0 else y + 7} {x + 14 * n + 14} {y}" for n in range(crests)
    )
    return f"M{x} {y}" + "".join(curves)


def _triangle(x: float, foot: float, side: float) -> str:
    return f"M{x} {foot - side * 0.866:.1f}L{x + side / 2} {foot}H{x - side / 2}Z"


PICTOGRAMS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        # rolling
        "tire-front": (_TRAILER, _CAB, "M9 46a5 5 0 1 0 10 0a5 5 0 1 0 -10 0", _burst(51, 49, 13)),
        "tire-rear": (_TRAILER, _CAB, "M46 46a5 5 0 1 0 10 0a5 5 0 1 0 -10 0", _burst(15, 49, 13)),
        "skid-drive": (
            "M24 30H40V61H24Z",
            "M27.5 26.5L43.4 5.4L54.6 13.8L38.7 34.9",
            "M8 40C8 26 12 18 22 10",
            "#M27 5L25 17L15.5 9Z",
        ),
        "skid-front": (
            "M20 14H44V61H20Z",
            "#M6 20L12 17.5L19 33L13 35.5Z",
            "#M45 20L51 17.5L58 33L52 35.5Z",
            "M32 34V52",
            "#M32 21L40 35H24Z",
        ),
        "skid-trailer": (
            "M24 4H40V22H24Z",
            "M29 27L43 24.5L52.5 57L38.5 61Z",
            "M8 30C9 42 15 50 26 55",
            "#M31.5 57.5L19.5 58.5L25 48Z",
        ),
        "water": (
            "M14 21a18 18 0 1 0 36 0a18 18 0 1 0 -36 0M26 21a6 6 0 1 0 12 0a6 6 0 1 0 -12 0",
            _wave(4, 48, 4),
            _wave(11, 57, 3),
        ),
        "brakes": (
            "M14 26a18 18 0 1 0 36 0a18 18 0 1 0 -36 0",
            "M27 26a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
            "M8 12A26 26 0 0 0 8 40",
            "M56 12A26 26 0 0 1 56 40",
            "M4 50L60 60",
        ),
        "brakes-lost": (
            "M5 23a16 16 0 1 0 32 0a16 16 0 1 0 -32 0",
            "M17 23a4 4 0 1 0 8 0a4 4 0 1 0 -8 0",
            "M4 44L60 62",
            "M42 30L49 32.5",
            "#M61 38L46.5 40L51 26Z",
        ),
        "shoulder-drop": (
            "M3 40H33V56H61",
            "M36 42a11 11 0 1 0 22 0a11 11 0 1 0 -22 0",
            "#M45 42a2 2 0 1 0 4 0a2 2 0 1 0 -4 0",
            "M8 12H34C40 12 44 15 46 20",
            "#M48.5 27L39.5 20L50 16Z",
        ),
        "fog": (
            "M17 32A10 10 0 0 1 18 14A15 15 0 0 1 46 15A9 9 0 0 1 49 32Z",
            "M6 42H40M48 42H58M10 51H20M28 51H56M6 60H44",
        ),
        "ice": (
            "M32 4V60M7.8 18L56.2 46M7.8 46L56.2 18",
            "M25 9L32 16L39 9M25 55L32 48L39 55",
            "M10 27L19.5 24.5L17 15M54 37L44.5 39.5L47 49",
            "M10 37L19.5 39.5L17 49M54 27L44.5 24.5L47 15",
        ),
        "wind": (
            "M4 24H38A8 8 0 1 0 30 16",
            "M4 35H50A8 8 0 1 1 42 43",
            "M4 46H27A7 7 0 1 1 20 53",
        ),
        "dust": (
            "M3 60H61",
            "M13 52A9 9 0 0 1 11 35A11 11 0 0 1 20 20A13 13 0 0 1 43 17A10 10 0 0 1 52 33A9 9 0 0 1 50 52Z",
            ":M20 33H44M16 42H48M27 25H39",
        ),
        "flood": (
            "M9 14H33V34H9Z",
            "M37 20H46L53 28V34H37Z",
            "M14 38a4 4 0 0 0 8 0M40 38a4 4 0 0 0 8 0",
            _wave(4, 46, 4),
            _wave(4, 57, 4),
        ),
        "wheel-lost": (
            "M4 40a15 15 0 1 0 30 0a15 15 0 1 0 -30 0M14 40a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
            "M48 26H60V54H48Z",
            "M40 40H48",
            "M12 18C8 13 16 10 12 4M26 18C22 13 30 10 26 4",
            "M4 60H60",
        ),
        "trailer-breakaway": (
            "M2 16H24V40H2Z",
            "M44 23H53L61 31V40H44Z",
            "M8 46a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0M48 46a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0",
            "M36 10L31 23L37 30L32 43",
            "M3 58H61",
        ),
        "steering-lost": (
            "M4 27a22 22 0 1 0 44 0a22 22 0 1 0 -44 0M21 27a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
            "M4 27H21M31 27H48M26 32V49",
            "M55 30L49 41L59 47L52 60",
        ),
        "pedal-stuck": (
            "M4 58H60",
            "M14 52L34 14L44 19L24 57Z",
            "M20 41L30 46M25 31L35 36M30 21L40 26",
            "M46 46H60M46 36H60M52 26H60",
        ),
        "lamps-out": (
            "M8 16H22C34 16 38 24 38 32C38 40 34 48 22 48H8Z",
            "M46 20H58M46 32H58M46 44H58",
            "M6 60L60 4",
        ),
        "road-ahead": (
            "M12 60L24 12M52 60L40 12",
            "M32 60V52M32 44V38",
            "#M24 16H40V32H24Z",
            "M50 6L56 2M54 14H61M14 6L8 2M10 14H3",
        ),
        "driver-ill": (
            "M18 18a10 10 0 1 0 20 0a10 10 0 1 0 -20 0",
            "M8 60V50A14 14 0 0 1 22 36H34A14 14 0 0 1 48 50V60",
            "M44 8H56L44 22H56M50 30H60L50 42H60",
        ),
        # stopped
        "engine-fire": (
            "M4 30H18L26 38H54V54H4Z",
            "M10 56a5 5 0 1 0 10 0M38 56a5 5 0 1 0 10 0",
            _flame(42, 34, 29),
        ),
        "tire-fire": (
            "M14 45a16 16 0 1 0 32 0a16 16 0 1 0 -32 0",
            "M25 45a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
            _flame(30, 26, 24),
            "M50 60H60M4 60H10",
        ),
        "cargo-fire": (
            "M3 32H38V50H3Z",
            "M42 36H52L60 43V50H42Z",
            "M9 55a5 5 0 1 0 10 0M46 55a5 5 0 1 0 10 0",
            _flame(20, 30, 27),
        ),
        "extinguisher": (
            "M21 60V30A9 9 0 0 1 30 21H34A9 9 0 0 1 43 30V60Z",
            "M32 20V12M24 6L42 12H24",
            "M32 14C18 14 12 20 12 34V40",
            "#M8 38H16L18 48H6Z",
            "M21 38H43M21 48H43",
        ),
        "battery-fire": (
            "M6 40H58V60H6Z",
            "M12 40V34H20V40M44 40V34H52V40",
            "M14 50H24M40 50H50M45 45V55",
            _flame(32, 36, 31),
        ),
        "cab-fumes": (
            "M8 58V30L22 12H56V58Z",
            "M15 32L25 19H48V32Z",
            "M20 52C16 47 24 45 20 40M32 52C28 47 36 45 32 40M44 52C40 47 48 45 44 40",
        ),
        "rollover": (
            "M4 56H60",
            "M14 12H34V34H14Z",
            "M14 38H28L34 44V52H14Z",
            "M40 14a5 5 0 1 0 10 0a5 5 0 1 0 -10 0M40 44a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
        ),
        "tunnel": (
            "M4 58V32A28 28 0 0 1 60 32V58",
            "M4 58H60",
            "M24 58V40A8 8 0 0 1 40 40V58",
            "M20 26H44M32 14V20",
        ),
        "bridge-strike": (
            "M3 8H61V18H3Z",
            "M8 18V58M56 18V58",
            "M18 26H38V48H18Z",
            "M22 54a4 4 0 1 0 8 0M40 54a4 4 0 1 0 8 0",
            _burst(42, 26, 10),
        ),
        "person-struck": (
            "M3 14H26V46H3Z",
            "M8 52a5 5 0 1 0 10 0",
            "M46 14a5.5 5.5 0 1 0 11 0a5.5 5.5 0 1 0 -11 0",
            "M48 24L40 40L54 44L50 58M40 40L34 56M46 28L60 30",
            _burst(31, 30, 8),
        ),
        "coach-out": (
            "M3 12H44V48H3Z",
            "M9 20H18V30H9ZM24 20H33V30H24Z",
            "M9 54a4.5 4.5 0 1 0 9 0M30 54a4.5 4.5 0 1 0 9 0",
            "M48 34H58",
            "#M63 34L53 27V41Z",
        ),
        "snow-stranded": (
            "M18 26H40V44H18Z",
            "M44 32H51L58 39V44H44Z",
            "M2 58C10 46 20 52 32 50S52 46 62 56",
            "M12 6V18M6.8 9L17.2 15M6.8 15L17.2 9M44 6V18M38.8 9L49.2 15M38.8 15L49.2 9",
        ),
        "threat": (
            "M14 30H50V58H14Z",
            "M22 30V20A10 10 0 0 1 42 20V30",
            "M32 40V48",
        ),
        "breakdown": (
            "M10 22H38V44H10Z",
            "M42 28H50L56 35V44H42Z",
            "M13 50a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0M44 50a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0",
            "M8 15L5 10M16 13V6M5 24H3",
            "M57 25L60 20M49 20V13M61 31H61.5",
        ),
        "live-lane": (
            "M25 22H39V46H25Z",
            "M10 4V60M54 4V60",
            "#M32 4L39 14H25Z",
            "M32 52V60",
            "M17 12V20M17 34V42M47 12V20M47 34V42",
        ),
        "power-line": (
            "M9 30H33V48H9Z",
            "M37 35H46L53 42V48H37Z",
            "M12 54a4.5 4.5 0 1 0 9 0M40 54a4.5 4.5 0 1 0 9 0",
            "M3 6C14 26 30 28 38 22C48 15 54 11 61 10",
            "#M28 2L20 14H26L22 25L35 11H28L32 2Z",
        ),
        "triangles": (_triangle(16, 53, 25), _triangle(40, 44, 16), _triangle(57, 37, 9), "M3 62L62 41"),
        "rail-crossing": (
            "M9 6L55 40M55 6L9 40",
            "M32 40V61",
            "M6 52H24M40 52H58M6 60H24M40 60H58",
        ),
        "crash": (
            "M3 30H17V46H3Z",
            "M47 30H61V46H47Z",
            "M3 52H61",
            _burst(32, 33, 17),
        ),
        "overheat": (
            "M22 38V12A6 6 0 0 1 34 12V38A11 11 0 1 1 22 38Z",
            "#M23 48a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
            "M28 46V22",
            "M44 40C40 34 48 30 44 24C40 18 48 14 44 8M56 40C52 34 60 30 56 24C52 18 60 14 56 8",
        ),
        "load": (
            "M3 46H61",
            "M9 54a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0M46 54a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0",
            "M17 40L24 17L47 24L40 47",
            "M4 24C5 14 12 8 21 8",
            "#M28 8L18 14V2Z",
        ),
        "spill": (
            "M9 20L34 11L42 33L17 42Z",
            "M17.5 17L25.5 39M26 14L34 36",
            "#M48 30C52 36 54 38 54 41A6 6 0 0 1 42 41C42 38 44 36 48 30Z",
            "M6 56C14 50 24 54 32 54S50 50 58 56C52 62 12 62 6 56Z",
        ),
        # tools
        "clock": ("M5 33a27 27 0 1 0 54 0a27 27 0 1 0 -54 0", "M32 16V33L44 41", "M32 2V6"),
        "record": ("M12 10H52V60H12Z", "#M23 4H41V15H23Z", "M21 26H43M21 37H43M21 48H35"),
        "phone": (
            "M14 5L22 5L27 19L19 24C22 32 30 41 39 45L44 37L59 42V51"
            "C59 56 55 60 50 60C26 58 6 38 5 14C5 9 9 5 14 5Z",
        ),
        "finder": (
            _triangle(12, 34, 20),
            "M34 18H60V34H34Z",
            "M8 52H56",
            "#M2 52L13 46V58Z",
            "#M62 52L51 46V58Z",
        ),
        "day": (
            "M20 32a12 12 0 1 0 24 0a12 12 0 1 0 -24 0",
            "M32 4V12M32 52V60M4 32H12M52 32H60M12.2 12.2L17.9 17.9M46.1 46.1L51.8 51.8M12.2 51.8L17.9 46.1"
            "M46.1 17.9L51.8 12.2",
        ),
        "night": ("M42 6A27 27 0 1 0 59 43A22 22 0 0 1 42 6Z",),
        "speaker": (
            "M5 23H17L32 10V54L17 41H5Z",
            "M41 22A14 14 0 0 1 41 42",
            "M48 13A26 26 0 0 1 48 51",
        ),
        "list": ("M22 14H60M22 32H60M22 50H60", "#M4 10H12V18H4ZM4 28H12V36H4ZM4 46H12V54H4Z"),
        "tablet": ("M11 4H53V60H11Z", "M28 53H36", _triangle(32, 41, 24)),
        "card": ("M5 12H59V52H5Z", "M14 24H40M14 33H50M14 42H34", "#M5 12H59V18H5Z"),
        "lesson": ("M4 6H60V42H4Z", "M32 42V50M18 60L32 48L46 60", "M14 18H38M14 28H50"),
        "print": ("M16 24V5H48V24", "M16 48H5V24H59V48H48", "M16 38H48V60H16Z", "M24 47H40M24 54H40"),
        # signal words: the alert triangle on the three that mean injury, never on a notice
        "signal-danger": (
            "~2.5M2 2H62V62H2ZM8 8H56V56H8Z",
            "M32 15L49 46H15Z",
            "#M29.6 25H34.4L33.6 36H30.4ZM29.7 38.5H34.3V43H29.7Z",
        ),
        "signal-warning": (
            "~7M4 4H60V60H4Z",
            "M32 14L50 47H14Z",
            "#M29.6 25H34.4L33.6 36.5H30.4ZM29.7 39H34.3V43.5H29.7Z",
        ),
        "signal-caution": (
            "~2M2 2H62V62H2Z",
            "M32 12L53 50H11Z",
            "#M29.2 25H34.8L34 38H30ZM29.4 41H34.6V46H29.4Z",
        ),
        "signal-notice": (
            ":M3 3H61V61H3Z",
            "#M28 26H36V50H28ZM27.5 12.5H36.5V20.5H27.5Z",
        ),
    }
)
"""Strokes by name.

A leading '#' fills the path, '~N' sets its line width, ':' draws it as a row of dots.
"""
