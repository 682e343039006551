"""The words of the cab file: every text that a script shows comes from Python; no script holds one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Fleet, Phone
from forty_paces.authoring.models.record import Service
from forty_paces.messages.cab import WORDS
from forty_paces.outputs.cab.assistant import SCRIPTS
from forty_paces.outputs.cab.data import emergency_name

PROJECT = Path(__file__).resolve().parents[3]
FOLDER = PROJECT / "site_overrides/assets/js/cab"
TEMPLATES = PROJECT / "site_overrides/templates/cab"
MODULES = {name: (FOLDER / f"{name}.js").read_text(encoding="utf-8") for name in (*SCRIPTS, "first")}

COMMENT = re.compile(r"/\*.*?\*/|(?<![:\"'`\\])//[^\n]*", re.DOTALL)
NOT_SHOWN = re.compile(
    r"""console\.warn\([^\n]*|(?:new Error|\b(?:one|all|querySelector|querySelectorAll|closest)) ?\(\s*"""
    r"""(?:"[^"\n]*"|'[^'\n]*')"""
)
"""Messages for developers, and selectors."""
LITERAL = re.compile(r'"([^"\n]*)"|`([^`]*)`')
PHRASE = re.compile(r"[A-Za-z]{2,}[.,:;]? (?:[A-Za-z]{2,}|\")|^[A-Z][a-z]+[ .:,]?$|^[A-Z][a-z ]*: ?$")
"""Two words in a row, or one with a capital as a label has it."""

MARKUP = {"record_lines": re.compile(r"^const STYLE =.*?;\n|^export const recordHtml =.*?;\n", re.S | re.M)}
"""The style and markup of the record's own file."""
CODE = {"use strict", "Enter", "Escape", "QuotaExceededError"}


def shown_literals(name: str, source: str) -> list[str]:
    """Literals of a script that read like words for a driver."""
    bare = COMMENT.sub("", source)
    if name in MARKUP:
        bare = MARKUP[name].sub("", bare)
    bare = NOT_SHOWN.sub("", bare)
    found = (double or template for double, template in LITERAL.findall(bare))
    return sorted({text for text in found if PHRASE.search(text)})


def unknown_words(source: str) -> list[str]:
    """Names that a script reads from the words and that are not among them."""
    return sorted(set(re.findall(r"\bwords\.([a-z]\w*)", COMMENT.sub("", source))) - WORDS.keys())


@pytest.mark.parametrize("name", MODULES)
def test_no_script_holds_a_text_for_the_driver(name: str) -> None:
    assert [text for text in shown_literals(name, MODULES[name]) if text not in CODE] == []


@pytest.mark.parametrize("name", MODULES)
def test_every_text_that_a_script_asks_for_exists(name: str) -> None:
    assert unknown_words(MODULES[name]) == []


def test_no_text_is_kept_that_no_script_asks_for() -> None:
    scripts = "\n".join(MODULES.values())
    composed = ("help_", "help_part_")  # message.js puts these together from the names of its lines
    idle = [
        name
        for name in WORDS
        if not re.search(rf"\b(?:words|own)\.{name}\b|\"{name}\"", scripts) and not name.startswith(composed)
    ]
    assert idle == []


def test_the_sweep_finds_a_sentence_in_a_script() -> None:
    assert shown_literals("x", 'said.textContent = "Stay clear of the road.";') == ["Stay clear of the road."]
    assert shown_literals("x", 'button.textContent = stood ? "Back" : "";') == ["Back"]
    assert shown_literals("x", 'line = "Device " + number;') == ["Device "]
    assert unknown_words("filled(words.no_such_text, {})") == ["no_such_text"]


def test_no_emergency_number_stands_in_a_script_or_template() -> None:
    sources = [*FOLDER.glob("*.js"), *TEMPLATES.glob("*.j2")]
    assert [file.name for file in sources if re.search(r"\b(?:911|112|999)\b", file.read_text("utf-8"))] == []
    assert [name for name, text in WORDS.items() if re.search(r"\b(?:911|112|999)\b", text)] == []


@pytest.mark.parametrize(
    ("number", "serves", "name"),
    [
        ("112", Service.EMERGENCY, "112"),
        ("555-0110", Service.DISPATCH, "the emergency number"),
        ("printed on the sign", Service.EMERGENCY, "the emergency number"),
    ],
)
def test_the_number_to_tell_is_that_of_the_fleet(number: str, serves: Service, name: str) -> None:
    phone = Phone(id="one", who="Someone", number=number, call_when="Something burns.", serves=serves)
    assert emergency_name(Fleet(carrier="Any", phones=(phone,))) == name


def test_the_words_that_tell_it_have_a_slot_for_it(library: Library) -> None:
    assert "{emergency}" in WORDS["walk_farthest"]
    assert emergency_name(library.fleet) == "911"
