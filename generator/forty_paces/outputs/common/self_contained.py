"""Files that stand alone: styles, scripts and typeface inside, nothing asked of anyone.

In: the text of styles and scripts, and plain values that scripts read. Out: a content
security policy that admits exactly these by their hashes, JSON that may stand in a
page, and @font-face rules with the typeface embedded.
Refuses to know what the file shows.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
from collections.abc import Iterable, Mapping
from functools import lru_cache

from markupsafe import Markup

TYPEFACE = "Atkinson Hyperlegible"
WEIGHTS = (400, 700)
CHARACTERS = frozenset([*map(chr, range(0x20, 0x7F)), *"\u00a0°±²½×·§’‘“”–—…′″←→↑↓≤≥≈−✓é"])
"""What is always kept, so that texts filled in by a script find their letters."""
LICENSE_NAMES = (13, 14)
"""Entries of a font's name table that state its license (OpenType specification): they go where it goes."""


def csp_hash(text: str) -> str:
    """The policy's name for an inline style or script."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def content_security_policy(
    *, styles: Iterable[str] = (), scripts: Iterable[str] = (), installs: bool = False
) -> str:
    """Nothing from anywhere but these styles and scripts, and fonts and pictures inside the file.

    Forms may not be sent, frames and base addresses not set. ``installs`` lets
    the file's own site put it on the home screen, where it is served by one.
    """
    parts = ["default-src 'none'", "base-uri 'none'", "form-action 'none'"]
    parts += ["font-src data:", "img-src data: 'self'" if installs else "img-src data:"]
    parts += ["manifest-src 'self'", "worker-src 'self'"] if installs else []
    for name, texts in (("style-src", styles), ("script-src", scripts)):
        hashes = " ".join(csp_hash(text) for text in texts)
        parts.append(f"{name} {hashes or chr(39) + 'none' + chr(39)}")
    return "; ".join(parts)


def inline_source(text: str) -> Markup:
    """A style or script as it may stand inside its element, unescaped.

    ``ValueError`` where it would end that element early.
    """
    lowered = text.lower()
    if "</style" in lowered or "</script" in lowered or "<!--" in lowered:
        raise ValueError("a style or script holds the end of its own element")
    return Markup(text)


def inline_json(data: object) -> Markup:
    """JSON that may stand inside a script element: no character in it can end that element."""
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    for char in "<>&\u2028\u2029":
        text = text.replace(char, f"\\u{ord(char):04x}")
    return Markup(text)


def font_faces(fonts: Mapping[int, bytes], text: str) -> str:
    """@font-face rules with each weight cut down to ``text`` and embedded; the same bytes for the same text.

    ``fonts`` maps a weight to the whole font file.
    """
    wanted = CHARACTERS | frozenset(text)
    return "\n".join(_face(weight, _cut(data, wanted)) for weight, data in sorted(fonts.items()))


def _face(weight: int, data: bytes) -> str:
    url = "data:font/woff2;base64," + base64.b64encode(data).decode()
    return (
        f'@font-face{{font-family:"{TYPEFACE}";font-style:normal;font-weight:{weight};'
        f'font-display:swap;src:url({url}) format("woff2")}}'
    )


@lru_cache(maxsize=64)
def _cut(data: bytes, wanted: frozenset[str]) -> bytes:
    from fontTools import subset  # here, because it takes a quarter of a second, and not every build cuts
    from fontTools.ttLib import TTFont

    options = subset.Options()
    options.flavor = "woff2"
    options.layout_features = ["kern", "liga", "mark", "mkmk"]
    options.drop_tables += ["DSIG"]
    options.name_IDs = [*options.name_IDs, *LICENSE_NAMES]
    options.recalc_timestamp = False
    font = TTFont(io.BytesIO(data), recalcTimestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[ord(char) for char in wanted])
    cutter.subset(font)
    font.flavor = "woff2"
    written = io.BytesIO()
    font.save(written, reorderTables=True)
    return written.getvalue()
