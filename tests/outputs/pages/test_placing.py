"""The placing pages: figures that a driver finds at a glance, and none said twice."""

from __future__ import annotations

import copy
import re

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.messages.quantities import MILE_STEPS
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import placing

from tests.rule_files import under_rules


@pytest.fixture(scope="module")
def pages(context: BuildContext) -> dict[str, BeautifulSoup]:
    return {
        artifact.path: BeautifulSoup(artifact.content, "html.parser")
        for artifact in placing.artifacts(context)
    }


@pytest.mark.parametrize(
    ("road", "figures"),
    [
        # 49 CFR 392.22(b)(1): 10 ft and 100 ft toward traffic in the lane, 100 ft the other way.
        ("two-lane", ["10, 100 ft behind", "100 ft ahead"]),
        # 49 CFR 392.22(b)(2)(v): 10, 100 and 200 ft toward the approaching traffic.
        ("divided", ["10, 100, 200 ft behind"]),
        ("one-way", ["10, 100, 200 ft behind"]),
        # 49 CFR 392.22(b)(2)(iv): 100 to 500 ft toward what hides the vehicle.
        ("crest", ["10, 100 to 500 ft behind", "100 ft ahead"]),
    ],
)
def test_each_road_shows_its_distances_on_its_tile(
    pages: dict[str, BeautifulSoup], road: str, figures: list[str]
) -> None:
    tile = pages["placing/index.md"].select_one(f'a.tile[href="{road}.html"]')
    assert tile is not None
    assert figures == [line.get_text() for line in tile.select(".tile__line")]


def test_metric_rules_show_their_distances_in_meters(library: Library) -> None:
    two_lane = next(page for page in placing.ROAD_PAGES if page.path == "two-lane")
    # Ontario's Official Truck Handbook: about 30 m behind and ahead.
    assert ("30 m behind", "30 m ahead") == placing.road_figures(library.rules["ontario"].rule_set, two_lane)


def test_a_figure_stays_on_the_line_of_its_unit_in_cautions_reasons_and_the_walk(
    pages: dict[str, BeautifulSoup],
) -> None:
    soup = copy.copy(pages["placing/crest.md"])
    cautions = soup.select("ul")[-1]
    assert "Local rules" in cautions.get_text()
    listed = [*cautions.select("li"), *soup.select("ol.walk li, table.devices td")]
    figures = [one for item in listed for one in re.findall(r"\d (?:ft|s|paces)\b", item.get_text())]
    assert len(figures) > 5
    for item in listed:
        for held in item.select(".together"):
            held.decompose()
        assert not re.search(r"\d (?:ft|m|s|min|paces)\b", item.get_text()), item


def test_rows_that_would_say_the_same_of_both_sides_are_one(pages: dict[str, BeautifulSoup]) -> None:
    rows = pages["placing/two-lane.md"].select("table.warning tbody tr")
    assert len(rows) == len(MILE_STEPS)
    assert {"behind and ahead"} == {row.select("td")[0].get_text() for row in rows}


def test_rows_that_differ_by_side_stay_apart_under_one_speed(pages: dict[str, BeautifulSoup]) -> None:
    rows = pages["placing/crest.md"].select("table.warning tbody tr")
    assert len(rows) == 2 * len(MILE_STEPS)
    assert ["behind", "ahead"] * len(MILE_STEPS) == [row.select("td")[0].get_text() for row in rows]
    assert len(MILE_STEPS) == len(pages["placing/crest.md"].select('th[scope="row"][rowspan="2"]'))


def test_a_device_beside_the_vehicle_is_not_said_to_be_0_m_behind(context: BuildContext) -> None:
    australian = BuildContext(under_rules("australia-sa", context.library), context.overrides)
    made = {one.path: str(one.content) for one in placing.artifacts(australian)}
    assert "beside the vehicle" in made["placing/rule-sets.md"]
    assert "0 m (0 ft)" not in made["placing/rule-sets.md"]


def test_the_rule_set_in_force_is_named_in_words(pages: dict[str, BeautifulSoup], library: Library) -> None:
    link = pages["placing/rule-sets.md"].select_one('p a[href="#us"]')
    assert link is not None
    assert library.rules["us"].title == link.get_text()


def test_tables_that_scroll_have_names_of_their_own(pages: dict[str, BeautifulSoup]) -> None:
    for path, page in pages.items():
        names = [region["aria-label"] for region in page.select('[role="region"]')]
        assert len(names) == len(set(names)), path
        assert "Table" not in names, path
