"""Cards in gray and under a red lamp: nothing depends on color."""

from __future__ import annotations

import io
import itertools
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.common.context import BuildContext
from numpy.typing import NDArray
from pdfplumber import open as open_pdf

from tests.outputs.cards.card_content import notice, procedure, step
from tests.outputs.cards.printing import faces_as_pdf
from tests.printed import Printed

SIGNALS = ("danger", "warning", "caution", "notice")
MM = 25.4 / 72
DOTS = 300 / 25.4
"""Pixels for each millimeter."""


@pytest.fixture(scope="module")
def card(context: BuildContext) -> CardSet:
    """A face with all four signal words."""
    steps = [step(signal, "Look at the tire.", notice=notice(signal)) for signal in SIGNALS]
    never = [
        {"id": "n", "text": "Never stand beside it.", "why": "It bursts.", "source": ["common-practice"]}
    ]
    made = replace(context.library, procedures=(procedure(steps=steps, never=never, group="rolling"),))
    return card_set(BuildContext(made, context.overrides), "half-letter", only=["FLM1"])


@pytest.fixture(scope="module")
def data(context: BuildContext, card: CardSet) -> bytes:
    return faces_as_pdf(context, card)


@pytest.fixture(scope="module")
def picture(data: bytes) -> NDArray[np.float64]:
    """The face at 300 dpi; red, green and blue from 0 to 255."""
    return np.asarray(pypdfium2.PdfDocument(data)[2].render(scale=300 / 72).to_pil(), dtype=float)


@pytest.fixture(scope="module")
def tops(data: bytes) -> dict[str, float]:
    """Distance of each signal word from the top in millimeters; and its left edge."""
    with open_pdf(io.BytesIO(data)) as read:
        words = read.pages[2].extract_words(x_tolerance=1.5)
    return {
        signal: next(word["top"] for word in words if word["text"] == signal.upper()) * MM
        for signal in SIGNALS
    }


def grey(picture: NDArray[np.float64]) -> NDArray[np.float64]:
    """Luma as weighted by ITU-R BT.601, for a gray laser printer."""
    return picture @ np.array([0.299, 0.587, 0.114])


def symbol(picture: NDArray[np.float64], top_mm: float) -> NDArray[np.float64]:
    """The signal symbol beside a word: 5.2 by 5.2 mm in the number column (this face is a front)."""
    top, left = round((top_mm - 0.9) * DOTS), round(14.7 * DOTS)
    side = round(5.9 * DOTS)
    return picture[top : top + side, left : left + side]


def test_the_four_signal_symbols_stay_apart_in_grey(
    picture: NDArray[np.float64], tops: dict[str, float]
) -> None:
    shown = {signal: symbol(grey(picture), tops[signal]) for signal in SIGNALS}
    for one, other in itertools.combinations(SIGNALS, 2):
        best = min(
            np.abs(np.roll(shown[one], (dy, dx), (0, 1)) - shown[other]).mean()
            for dy in range(-6, 7, 2)
            for dx in range(-6, 7, 2)
        )
        assert best > 12, (one, other, best)


def test_borders_of_the_symbols_differ_in_kind(picture: NDArray[np.float64], tops: dict[str, float]) -> None:
    """Double, thick, thin, dotted: counted along a line from the symbol's left edge to its middle."""
    strokes = {}
    for signal in SIGNALS:
        rows = symbol(grey(picture), tops[signal]) < 128
        left = rows[round(2.4 * DOTS) : round(3.2 * DOTS), : round(1.5 * DOTS)]
        row = left.mean(axis=0) > 0.9
        runs = [dots for dark, run in itertools.groupby(row) if dark and (dots := len(list(run))) > 1]
        strokes[signal] = (runs, left.any(axis=0).mean())
    assert 2 == len(strokes["danger"][0])
    assert 1 == len(strokes["warning"][0])
    assert 1 == len(strokes["caution"][0])
    assert max(strokes["warning"][0]) >= 2 * max(strokes["caution"][0])
    assert 0 == len(strokes["notice"][0])
    assert strokes["notice"][1] > 0


def test_signal_words_are_legible_on_their_ground_in_grey(picture: NDArray[np.float64], data: bytes) -> None:
    with open_pdf(io.BytesIO(data)) as read:
        words = read.pages[2].extract_words(x_tolerance=1.5)
    for signal in SIGNALS:
        word = next(word for word in words if word["text"] == signal.upper())
        left, right = (round(float(word[edge]) / 72 * 300) for edge in ("x0", "x1"))
        top, bottom = (round(float(word[edge]) / 72 * 300) for edge in ("top", "bottom"))
        patch = grey(picture)[top:bottom, left:right]
        assert patch.max() - patch.min() > 80, signal


def test_nothing_vanishes_under_a_red_lamp(picture: NDArray[np.float64]) -> None:
    """A red lamp shows only the red channel, where every mark must still be visible."""
    red = picture[:, :, 0]
    marked = grey(picture) < 128
    assert marked.mean() > 0.02
    assert (red[marked] < 200).mean() > 0.99


def test_the_tab_shows_in_grey_and_under_a_red_lamp(picture: NDArray[np.float64]) -> None:
    """This face is a front: its tab is at the right edge, level with the first row of the index."""
    patch = picture[round(16 * DOTS) : round(24 * DOTS), round(136.2 * DOTS) : round(139.2 * DOTS)]
    assert (grey(patch) < 128).mean() > 0.5
    assert (patch[:, :, 0] < 180).mean() > 0.5
    assert (grey(patch) > 220).mean() > 0.05, "its code stands on it, light"


def test_at_most_three_colors_stand_on_a_card_besides_black(half_letter: CardSet, faces_pdf: Printed) -> None:
    """Red for the edge and DANGER, yellow for by-heart, one for a second signal word; except drawings."""
    rendered = pypdfium2.PdfDocument(faces_pdf.data)
    for face, page in zip(half_letter.faces, rendered, strict=True):
        if face.kind != "procedure":
            continue
        shown = np.asarray(page.render(scale=1).to_pil(), dtype=float)
        saturated = (shown.max(axis=2) - shown.min(axis=2)) > 90
        pixels = shown[saturated]
        assert _counted(pixels) <= 3, face.code


def _counted(pixels: NDArray[np.float64]) -> int:
    """How many of red, orange, yellow and blue cover more than a trace."""
    if not len(pixels):
        return 0
    red, green, blue = pixels.T
    kinds = (
        (red > 100) & (green < 90) & (blue < 90),
        (red > 200) & (green > 90) & (green < 145) & (blue < 90),
        (red > 200) & (green >= 145) & (blue < 120),
        (blue > 100) & (red < 90),
    )
    return sum(int(kind.mean() > 0.02) for kind in kinds)
