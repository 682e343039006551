"""The filters that every template shares."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.outputs.common.templates import ShownFiles
from forty_paces.outputs.common.typesetting import keep_figures_with_units
from jinja2 import Environment


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


def test_hidden_folders_at_the_top_are_not_listed_and_their_files_are_found_by_name(tmp_path: Path) -> None:
    for name in (".icons/truck.svg", "assets/.kept/logo.svg", "main.html"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("text", encoding="utf-8")
    env = Environment(loader=ShownFiles(tmp_path))
    assert env.list_templates() == ["assets/.kept/logo.svg", "main.html"]
    assert env.get_template(".icons/truck.svg").render() == "text"
