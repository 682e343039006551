"""Measures text with the advance widths and kerning of the typeface that every output embeds.

Drawings, cards and worksheets all measure with it. Widths are in thousandths of the type size, added up as
HarfBuzz does, which both WeasyPrint and browsers shape with. Following the OpenType specification, advances
come from ``hmtx``, and kerning from the first subtable of each pair adjustment lookup (GPOS type 2) that
covers the pair.
"""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from forty_paces.package import library_overrides

FONTS = library_overrides() / "assets/fonts"
"""The font files that are embedded where a project has none of its own."""

_UNKNOWN = 1000
"Width of a character that the typeface lacks. Another font will supply it; a full em is a safe estimate."


@dataclass(frozen=True)
class FontWeight:
    """The metrics of one weight of the typeface, in thousandths of the type size."""

    advances: Mapping[str, int]
    "Advance width by character."
    kerning: Mapping[tuple[str, str], int]
    "Change of the first character's advance by pair of adjacent characters."
    x_height: int
    ascent: int
    "Height of the text box above the baseline (hhea table)."
    descent: int
    "Depth of the text box below the baseline (hhea table)."
    _measured: dict[tuple[str, bool], int] = field(default_factory=dict, compare=False, repr=False)
    "Cache of measured texts: the same ones occur on many cards and drawings."

    def width(self, text: str, *, kerned: bool = True) -> int:
        """Width of the text on one line; without kerning, which engines may leave out, a little wider."""
        key = (text, kerned)
        if key not in self._measured:
            pairs = itertools.pairwise(text) if kerned else ()
            widths = [self.advances.get(character, _UNKNOWN) for character in text]
            self._measured[key] = int(math.fsum([*widths, *(self.kerning.get(pair, 0) for pair in pairs)]))
        return self._measured[key]


@dataclass(frozen=True, eq=False)  # compared by identity, so that it can be a key of a cache
class Typeface:
    """The two weights in use."""

    regular: FontWeight
    bold: FontWeight

    def weight(self, bold: bool) -> FontWeight:
        """The bold or the regular weight."""
        return self.bold if bold else self.regular


@cache
def load_typeface(folder: Path = FONTS) -> Typeface:
    """The typeface whose files are in ``folder``."""
    files = font_files(folder)
    return Typeface(_weight(files[400]), _weight(files[700]))


def font_files(folder: Path = FONTS) -> dict[int, bytes]:
    """The font files by weight."""
    return {
        weight: (folder / f"atkinson-hyperlegible-latin-{weight}-normal.woff2").read_bytes()
        for weight in (400, 700)
    }


@lru_cache(maxsize=8)
def _weight(data: bytes) -> FontWeight:
    from fontTools.ttLib import TTFont  # imported here: a third of a second that few commands need

    font = TTFont(io.BytesIO(data), lazy=True)
    em = font["head"].unitsPerEm
    letters: dict[str, list[str]] = {}
    for code, glyph in font.getBestCmap().items():
        letters.setdefault(glyph, []).append(chr(code))
    advances = {
        letter: round(font["hmtx"][glyph][0] * 1000 / em)
        for glyph, many in letters.items()
        for letter in many
    }
    kerning = {
        (first, second): round(change * 1000 / em)
        for (left, right), change in _kerned_glyphs(font, letters).items()
        for first in letters[left]
        for second in letters[right]
    }
    return FontWeight(
        advances,
        kerning,
        x_height=round(font["OS/2"].sxHeight * 1000 / em),
        ascent=round(font["hhea"].ascent * 1000 / em),
        descent=round(-font["hhea"].descent * 1000 / em),
    )


def _kerned_glyphs(font: Any, known: Mapping[str, object]) -> dict[tuple[str, str], int]:
    """Kerning by pair of known glyphs, pairs with zero kerning omitted."""
    kerning: dict[tuple[str, str], int] = {}
    table = font["GPOS"].table if "GPOS" in font else None
    for lookup in _kerning_lookups(table) if table is not None else ():
        covered: dict[tuple[str, str], int] = {}
        for subtable in lookup.SubTable:
            for pair, change in _pairs(subtable, known):
                covered.setdefault(pair, change)
        for pair, change in covered.items():
            if change:
                kerning[pair] = kerning.get(pair, 0) + change
    return kerning


def _kerning_lookups(table: Any) -> list[Any]:
    wanted: set[int] = set()
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == "kern":
            wanted.update(record.Feature.LookupListIndex)
    lookups = table.LookupList.Lookup
    return [lookups[index] for index in sorted(wanted) if lookups[index].LookupType == 2]


def _pairs(subtable: Any, known: Mapping[str, object]) -> list[tuple[tuple[str, str], int]]:
    """The pairs that a subtable covers. A class pair counts as covered even if its kerning is zero."""
    covered = [glyph for glyph in subtable.Coverage.glyphs if glyph in known]
    if subtable.Format == 1:
        sets = dict(zip(subtable.Coverage.glyphs, subtable.PairSet, strict=True))
        return [
            ((glyph, pair.SecondGlyph), _advance(pair.Value1))
            for glyph in covered
            for pair in sets[glyph].PairValueRecord
            if pair.SecondGlyph in known
        ]
    first_class = subtable.ClassDef1.classDefs
    second_class = subtable.ClassDef2.classDefs
    return [
        (
            (glyph, other),
            _advance(
                subtable.Class1Record[first_class.get(glyph, 0)]
                .Class2Record[second_class.get(other, 0)]
                .Value1
            ),
        )
        for glyph in covered
        for other in known
    ]


def _advance(value: object) -> int:
    return int(getattr(value, "XAdvance", 0) or 0) if value is not None else 0
