"""The tablet's icons: PNG files of several sizes, painted from one SVG by resvg.

The SVG is the theme's logo, so a carrier that puts its own there gets its own icons.
System fonts are not loaded: a logo draws its letters as outlines, and the same SVG
then gives the same bytes on every machine with the same version of resvg.
"""

from __future__ import annotations

import resvg_py

SIZES_PX = (180, 192, 512)
"""180 for the home screen of an iPad, 192 and 512 for the rest."""


def icon_png(svg: str, size_px: int) -> bytes:
    """The SVG as an opaque square PNG on white. ``ValueError`` where it is not a drawable SVG."""
    painted: bytes = resvg_py.svg_to_bytes(
        svg_string=svg, width=size_px, height=size_px, background="#ffffff", skip_system_fonts=True
    )
    return painted
