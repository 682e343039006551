"""The filters that every template shares."""

from __future__ import annotations

import pytest
from forty_paces.outputs.common.typesetting import keep_figures_with_units


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("Walk 100 ft (30 m) back.", ["100 ft", "30 m"]),
        ("Within 10 min of stopping, 1 h at most", ["10 min", "1 h"]),
        ("2/32 in of tread, 2½ mi on", ["2/32 in", "2½ mi"]),
        ("80 km/h or 50 mph", ["80 km/h", "50 mph"]),
        ("49 CFR 392.22(b), Division 1.1 cargo, STO1 and 911", []),
    ],
)
def test_a_figure_is_held_to_its_unit(text: str, held: list[str]) -> None:
    marked = str(keep_figures_with_units(text))
    for figure in held:
        assert f'<span class="together">{figure}</span>' in marked
    assert marked.count("<span") == len(held)


def test_the_words_themselves_stay_and_markup_in_them_stays_text() -> None:
    marked = str(keep_figures_with_units("<b>5 psi</b> & more"))
    assert marked == '&lt;b&gt;<span class="together">5 psi</span>&lt;/b&gt; &amp; more'
