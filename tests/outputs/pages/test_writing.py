"""The authors' manual: what a file may say is listed where authors look for it."""

from __future__ import annotations

from pathlib import Path

from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import writing

OVERRIDES = Path(__file__).resolve().parents[3] / "site_overrides"


def test_every_pictogram_that_a_tile_may_have_is_drawn_beside_its_name(library: Library) -> None:
    (page,) = writing.artifacts(BuildContext(library, OVERRIDES))
    items = BeautifulSoup(str(page.content), "html.parser").select(".pictograms li")
    assert [(name, True) for name in NAMES] == [
        (item.get_text(strip=True), item.find("svg") is not None) for item in items
    ]
