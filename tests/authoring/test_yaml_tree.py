"""The YAML reader: every scalar stays a string, every key and value has a position."""

import pytest
import yaml
from forty_paces.authoring.findings import Place
from forty_paces.authoring.yaml_tree import MappingNode, ScalarNode, SequenceNode, parse_tree

TEXT = """\
# a comment
id: tire-fire   # another
cues:
  - Smoke shows.
  - "Yes: flames."
steps:
  - id: off
    do: >-
      Turn off
      the engine.
    when: [trailer, 'no-retarder']
"""


def tree(text=TEXT):
    read, findings = parse_tree(text, "f.yml")
    assert findings == ()
    return read


def test_keys_and_values_know_their_line_and_column():
    entry = tree().entry("id")
    assert Place("f.yml", 2, 1) == entry.key_place
    assert ScalarNode("tire-fire", Place("f.yml", 2, 5)) == entry.value


def test_items_know_their_line_and_column():
    cues = tree().child("cues")
    assert isinstance(cues, SequenceNode)
    assert [Place("f.yml", 4, 5), Place("f.yml", 5, 5)] == [item.place for item in cues.items]
    assert ["Smoke shows.", "Yes: flames."] == [item.text for item in cues.items]


def test_a_table_in_a_list_stands_where_its_first_key_stands():
    (step,) = tree().child("steps").items
    assert isinstance(step, MappingNode)
    assert Place("f.yml", 7, 5) == step.place
    assert "Turn off the engine." == step.text("do")


@pytest.mark.parametrize(
    "written",
    ["no", "yes", "on", "10:30", "0x1F", "012", "1_000", "1e3", ".inf", "2024-01-05", "1.0", "=", "08"],
)
def test_scalars_stay_the_text_they_were_written_as(written):
    """PyYAML's own loader converts some of these to False, 630, 31, 10 and a date."""
    assert tree(f"a: {written}\n").text("a") == written


def test_a_bare_null_is_refused_and_a_quoted_one_is_a_word():
    assert parse_tree("a: null\n", "f.yml")[0] is None
    assert tree('a: "null"\n').text("a") == "null"


def test_columns_count_characters_not_bytes():
    assert Place("f.yml", 1, 11) == tree("é: [ü, ß, end]\n").child("é").items[2].place


@pytest.mark.parametrize("parser", [yaml.CSafeLoader, yaml.SafeLoader], ids=["compiled", "pure"])
def test_both_parsers_give_the_same_tree(parser):
    assert parse_tree(TEXT, "f.yml", parser) == (tree(), ())


def test_at_most_five_invisible_characters_are_reported():
    findings = parse_tree("a: \u200b\n" * 9, "f.yml")[1]
    assert [1, 2, 3, 4, 5] == [finding.place.line for finding in findings]
