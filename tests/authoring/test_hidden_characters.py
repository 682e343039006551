"""Invisible characters reach no text, no telephone link and no terminal.

A reviewer must be able to see everything on a page. Sources: Unicode Standard Annex 9
(direction marks) and the general categories of UnicodeData.txt.
"""

import unicodedata

import pytest
from forty_paces.authoring.findings import Finding, Place, is_unseen, printable
from forty_paces.authoring.models.fleet import MOST_DIGITS, Phone
from forty_paces.authoring.yaml_tree import LONGEST_TEXT, parse_tree
from pydantic import ValidationError

from tests.faults.projects import inspected, messages

ESCAPES = {
    0x0000: r"\0",
    0x0007: r"\a",
    0x0008: r"\b",
    0x001B: r"\e",
    0x0009: r"\t",
    0x000D: r"\r",
    0x0085: r"\N",
    0x00AD: r"\xad",
    0x034F: r"\u034f",
    0x200B: r"\u200b",
    0x200E: r"\u200e",
    0x2028: r"\L",
    0x2029: r"\P",
    0x202E: r"\u202e",
    0x2060: r"\u2060",
    0x2066: r"\u2066",
    0x2800: r"\u2800",
    0x3164: r"\u3164",
    0xFE0F: r"\ufe0f",
    0xFEFF: r"\ufeff",
    0xFFFF: r"\uffff",
    0xE0001: r"\U000e0001",
    0xE0100: r"\U000e0100",
}
"""Escapes in double quotes, after YAML 1.2.2 section 5.7."""

WHERE = [
    'title: "Tire{} smoke"',
    'steps: [{{do: "Stop{}."}}]',
    'number: "555-{}0110"',
    '"ti{}tle": Tire smoke',
]


@pytest.mark.parametrize("where", WHERE)
@pytest.mark.parametrize("code", ESCAPES, ids=lambda code: f"U+{code:04X}")
def test_an_escape_brings_in_no_character_that_cannot_be_seen(code, where):
    tree, (found, *_) = parse_tree(where.format(ESCAPES[code]), "content/fleet.yml")
    assert tree is None
    assert f"U+{code:04X}" in found.wrong


@pytest.mark.parametrize("code", sorted(ESCAPES), ids=lambda code: f"U+{code:04X}")
def test_a_finding_shows_such_a_character_as_a_number(code):
    character = chr(code)
    found = Finding(
        Place("a.yml", 1, 1), f"a{character}b", (f"c{character}d",), f"e{character}f", "", False, character
    )
    assert character not in str(found)
    assert f"{code:04x}" in str(found)


@pytest.mark.parametrize("text", ["café", "naïve", "10\u00a0ft", "日本", "№ 5", "½", "a\u0301"])
def test_what_can_be_seen_stays_as_it_is(text):
    assert text == printable(text)
    tree, found = parse_tree(f"title: {text} x", "a.yml")
    assert (f"{text} x", ()) == (tree.text("title"), found)


def test_every_control_and_format_character_of_unicode_is_unseen():
    """Reference: the categories of ``unicodedata`` without a visible glyph."""
    for code in range(0x110000):
        if unicodedata.category(chr(code)) in ("Cc", "Cf", "Zl", "Zp"):
            assert is_unseen(chr(code)), f"U+{code:04X}"


def test_no_finding_of_a_hostile_file_holds_a_control_or_direction_byte(tmp_path):
    hostile = 'carrier: "x"\nno such \u202ekey: 1\nrules: "\\e[2J"\nphones: "\\u202e"\n'
    reported = messages(inspected(tmp_path, "content/fleet.yml", hostile))
    assert reported
    assert [] == [one for one in reported if one != "\n" and is_unseen(one)]


@pytest.mark.parametrize(
    ("length", "fits"), [(LONGEST_TEXT - 1, True), (LONGEST_TEXT, True), (LONGEST_TEXT + 1, False)]
)
@pytest.mark.parametrize("filler", ["a", "/", "w.", "never no ", "“", ". ", "A"])
def test_a_text_has_a_longest_length(length, fits, filler):
    tree, found = parse_tree(f'a: "{(filler * length)[: length - 1]}x"', "a.yml")
    assert fits == (tree is not None)
    assert [] == ([] if fits else [one for one in found if "characters; 2,000 is the most" not in one.wrong])


def phone(number):
    return Phone(id="a", who="Dispatch", number=number, call_when="Always.")


@pytest.mark.parametrize(
    ("shown", "dialed"),
    [
        ("911", "911"),
        ("555-0110", "5550110"),
        ("(555) 555-0110", "5555550110"),
        ("1-555-555-0110", "15555550110"),
        ("+49 30 555 0110", "+49305550110"),
        ("020 7946 0000", "02079460000"),
        ("555.555.0110", "5555550110"),
        ("555-0110 ext. 12", "5550110;ext=12"),
        ("555-0110, ext 12", "5550110;ext=12"),
        ("555-0110 extension 4", "5550110;ext=4"),
        ("printed on the blue sign at the crossing", ""),
    ],
)
def test_a_telephone_link_dials_what_is_shown(shown, dialed):
    """RFC 3966: separators are left out, an extension is a parameter. Text without digits is not a link."""
    assert dialed == phone(shown).dial
    digits = "".join(one for one in shown if one.isdigit())
    assert digits == "".join(one for one in dialed if one.isdigit()) or not dialed


@pytest.mark.parametrize(
    "number",
    [
        "1-800-FLOWERS",
        "555-0110 or 555-0111",
        "555-0110 x12",
        "555-0110 (day)",
        "5555–0110",
        "٥٥٥٠١١٠",
        "５５５-0110",
        "#77",
        "*123",
        "555/0110",
        "+44 (0)20 7946 0000",
        "(555 0110",
        "1" * (MOST_DIGITS + 1),
        "printed on form 12",
        "555;0110",
    ],
)
def test_a_number_that_a_link_could_not_dial_as_shown_is_refused(number):
    with pytest.raises(ValidationError):
        phone(number)


@pytest.mark.parametrize("digits", [MOST_DIGITS - 1, MOST_DIGITS])
def test_the_longest_numbers_are_dialed(digits):
    """ITU-T E.164: at most 15 digits."""
    assert "1" * digits == phone("1" * digits).dial
