"""Positions across the road: drivers read them in their own language, whatever shows a device."""

import pytest
from forty_paces.authoring.models.device_layout import Across
from forty_paces.drawing.labels import device_lines
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import RoadKind, Situation
from forty_paces.geometry.walk import walk
from forty_paces.messages.drawings import device_sentences
from forty_paces.messages.languages import Catalog, speaking
from forty_paces.messages.placement import texts
from forty_paces.messages.terms import ACROSS, across_words, capital
from forty_paces.outputs.cab.placement_data import placement_data
from forty_paces.outputs.cab.screens import base_tables
from forty_paces.outputs.common.templates import template_environment
from forty_paces.package import library_overrides

from tests.rule_files import rule_file

MARKED = Catalog("es-US", {f"across.{key}": (f"¡{key}",) for key in ACROSS.english})


def test_each_position_that_a_rule_can_name_has_words_and_english_keeps_those_of_the_rule():
    assert [across_words(str(position)) for position in Across] == [str(position) for position in Across]
    with speaking(MARKED):
        assert all(across_words(str(position)).startswith("¡") for position in Across)


def test_a_position_that_no_rule_can_name_stands_as_it_is():
    with speaking(MARKED):
        assert across_words("on the roof") == "on the roof"


@pytest.mark.parametrize(("words", "begun"), [("beside", "Beside"), ("¡x", "¡x"), ("", "")])
def test_a_capital_begins_words_that_have_letters(words, begun):
    assert capital(words) == begun


def shown(rules, file):
    """What drawings, walks, the cab file and its tables say of the devices on a two-lane road."""
    placement = place(rules, Situation(RoadKind.TWO_LANE, 55, 250))
    sizes = {"sizes": (20.0, 15.0, 12.0), "width": 900.0}
    labels = [line.text for device in placement.devices for line in device_lines(device, rules, **sizes)]
    words = placement_data(file)["messages"]["across"]
    return {
        "label": " ".join(labels),
        "sentence": " ".join(device_sentences(placement.devices, rules)),
        "walk": " ".join(texts(rules, walk(rules, placement.devices).order)),
        "cab file": " ".join(words[device.across] for device in placement.devices),
        "tables": " ".join(row.across for table in base_tables(rules) for row in table.rows),
    }


def test_drawings_walks_cab_file_and_tables_show_the_words_of_the_language():
    file = rule_file("us")
    rules = file.rule_set
    english = shown(rules, file)
    with speaking(MARKED):
        marked = shown(rules, file)
    assert {where for where, text in english.items() if "traffic side" in text} == set(english)
    assert {where for where, text in marked.items() if "¡traffic-side" in text} == set(english)
    assert not any("center of lane" in text or "traffic side" in text for text in marked.values())


def test_templates_show_the_words_of_the_language():
    source = template_environment(library_overrides()).from_string("{{ position | across }}")
    assert source.render(position="traffic side") == "traffic side"
    with speaking(MARKED):
        assert source.render(position="traffic side") == "¡traffic-side"
