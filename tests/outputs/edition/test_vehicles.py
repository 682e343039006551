"""What a site holds of single vehicles: all of a small fleet, nothing of a large one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab import assistant as cab
from forty_paces.outputs.cards import print_run as cards
from forty_paces.outputs.common.context import FEW_VEHICLES, BuildContext

from tests.projects import ALONE, PROJECT


def press_with(library: Library, count: int) -> BuildContext:
    """The library with two short procedures and a fleet of that many vehicles."""
    model = library.fleet.vehicles[0]
    vehicles = tuple(model.model_copy(update={"id": f"truck-{number}"}) for number in range(count))
    fleet = library.fleet.model_copy(update={"vehicles": vehicles})
    alone = tuple(one for one in library.procedures if one.id in ALONE)
    return BuildContext(
        replace(library, procedures=alone, fleet=fleet, ways_out=()), PROJECT / "site_overrides"
    )


@pytest.mark.parametrize("count", [1, FEW_VEHICLES - 1, FEW_VEHICLES])
def test_a_small_fleet_is_all_there(library: Library, count: int) -> None:
    assert count == len(press_with(library, count).vehicles_in_site)


@pytest.mark.parametrize("count", [FEW_VEHICLES + 1, 500])
def test_of_a_large_fleet_the_site_holds_what_serves_all(library: Library, count: int) -> None:
    context = press_with(library, count)
    assert () == context.vehicles_in_site
    assert ["cab.html"] == [artifact.path for artifact in cab.artifacts(context)]
    assert {"all"} == {one.owner for one in cards.card_sets(context)}


def test_the_page_of_cards_says_where_the_others_are(library: Library) -> None:
    context = press_with(library, FEW_VEHICLES + 1)
    sets = cards.card_sets(context)
    assert "<code>fortypaces editions</code>" in cards.index_page(context, sets, ())
    context = press_with(library, 1)
    assert "fortypaces editions" not in cards.index_page(context, cards.card_sets(context), ())
