"""Scripts hold no sentence: they fill texts of `messages`."""

import re
from pathlib import Path

SCRIPTS = Path(__file__).resolve().parents[2] / "site_overrides/assets/js"
COMMENT = re.compile(r"/\*.*?\*/|(?<![:\"'])//[^\n]*", re.DOTALL)
STRING = re.compile(r"\"(?:[^\"\\\n]|\\.)*\"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`")
SENTENCE = re.compile(r"[A-Z][a-z]+ [a-z]+")
WORKER = SCRIPTS / "sw.js"
"""Has one page of its own, in English, for the case that no other can be read any more."""

FOR_PROGRAMMERS = re.compile(r"console\.\w+\([^;]*;|throw new [^;]*;")


def sentences(script):
    code = FOR_PROGRAMMERS.sub("", COMMENT.sub("", script))
    return [text for text in STRING.findall(code) if SENTENCE.search(text)]


def test_scripts_hold_no_sentence():
    files = sorted(set(SCRIPTS.rglob("*.js")) - {WORKER})
    assert len(files) > 30
    assert {} == {file.name: kept for file in files if (kept := sentences(file.read_text(encoding="utf-8")))}


def test_a_sentence_in_a_script_would_be_seen():
    assert sentences('note("Truck first seen from " + length);') == ['"Truck first seen from "']
    assert sentences("/* Truck first seen */ // Truck first seen\nf('two-lane', `a b`);") == []
