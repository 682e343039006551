"""Measure text widths from the advance widths and kerning in the embedded font files.

Widths are in thousandths of the type size, added up as HarfBuzz does, which both WeasyPrint and browsers
shape with. Following the OpenType specification, advances come from ``hmtx``, and kerning from the first
subtable of each pair adjustment lookup (GPOS type 2) that covers the pair.
"""

from __future__ import annotations

import io
import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from forty_paces.outputs.common.context import BuildContext

_UNKNOWN = 1000
"Width of a character that the typeface lacks. Another font will supply it; a full em is a safe estimate."


@dataclass(frozen=True)
class FontWeight:
    """The metrics of one weight of the typeface."""

    advances: Mapping[str, int]
    "Advance width by character, in thousandths of the type size."
    kerning: Mapping[tuple[str, str], int]
    "Change of the first character's advance by pair of adjacent characters, in the same unit."
    x_height: int
    "x-height in thousandths of the type size."
    _measured: dict[str, int] = field(default_factory=dict, compare=False, repr=False)
    "Cache of measured texts: the same ones occur on many cards."

    def width(self, text: str) -> int:
        """Width of the text on one line, in thousandths of the type size."""
        known = self._measured.get(text)
        if known is None:
            advances = sum(self.advances.get(one, _UNKNOWN) for one in text)
            known = advances + sum(self.kerning.get(pair, 0) for pair in itertools.pairwise(text))
            self._measured[text] = known
        return known

    def knows(self, text: str) -> bool:
        """Whether the typeface has every character of the text, so that its width is exact."""
        return all(one in self.advances for one in text if not one.isspace())


@dataclass(frozen=True)
class Typeface:
    """The two weights used in print."""

    regular: FontWeight
    bold: FontWeight

    def weight(self, bold: bool) -> FontWeight:
        """The bold or the regular weight."""
        return self.bold if bold else self.regular


def typeface_of(context: BuildContext) -> Typeface:
    """The typeface that documents of this context are set in."""
    files = font_files(context)
    return Typeface(_weight(files[400]), _weight(files[700]))


def font_files(context: BuildContext) -> dict[int, bytes]:
    """The font files by weight."""
    return {
        weight: context.asset_bytes(f"fonts/atkinson-hyperlegible-latin-{weight}-normal.woff2")
        for weight in (400, 700)
    }


@lru_cache(maxsize=8)
def _weight(data: bytes) -> FontWeight:
    from fontTools.ttLib import TTFont  # imported here, because not every build sets type

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
        for (one, other), change in _kerned_glyphs(font, letters).items()
        for first in letters[one]
        for second in letters[other]
    }
    return FontWeight(advances, kerning, round(font["OS/2"].sxHeight * 1000 / em))


def _kerned_glyphs(font: Any, known: Mapping[str, object]) -> dict[tuple[str, str], int]:
    """Kerning by pair of known glyphs, pairs with zero kerning omitted."""
    found: dict[tuple[str, str], int] = {}
    table = font["GPOS"].table if "GPOS" in font else None
    for lookup in _kerning_lookups(table) if table is not None else ():
        settled: dict[tuple[str, str], int] = {}
        for subtable in lookup.SubTable:
            for pair, change in _pairs(subtable, known):
                settled.setdefault(pair, change)
        for pair, change in settled.items():
            if change:
                found[pair] = found.get(pair, 0) + change
    return found


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
