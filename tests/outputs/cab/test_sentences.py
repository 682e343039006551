"""The patterns that find broken sentences, on texts that are broken and on plain ones."""

from __future__ import annotations

import pytest

from tests.outputs.cab.sentences import BROKEN


@pytest.mark.parametrize(
    "text",
    [
        "They get undefined of warning.",
        "NaN ft behind",
        "Moved out from {base}.",
        "Device 1: 10 ft  behind.",
        "1 feet",
        "1 paces behind",
        "0 m (0 paces) behind the vehicle",
        "Set it there..",
        "It is -5 min late",
        "null",
    ],
)
def test_the_sweep_finds_what_it_looks_for(text: str) -> None:
    assert BROKEN.search(text)


@pytest.mark.parametrize(
    "text",
    [
        "100 ft (40 paces) behind the vehicle, center of lane or shoulder.",
        "No device stands here (49 CFR 392.22(b)(2)(iv)).",
        "The rule allows 50 m to 150 m.",
        "2½ lane lines",
        "1 pace",
        "It takes 10 min 0 s.",
    ],
)
def test_and_leaves_plain_words_alone(text: str) -> None:
    assert not BROKEN.search(text)
