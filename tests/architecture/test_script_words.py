"""Scripts hold no sentence: they fill texts of `messages`."""

import re
from pathlib import Path

SCRIPTS = Path(__file__).resolve().parents[2] / "site_overrides/assets/js"
COMMENT = re.compile(r"/\*.*?\*/|(?<![:\"'])//[^\n]*", re.DOTALL)
STRING = re.compile(r"\"(?:[^\"\\\n]|\\.)*\"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`")
SENTENCE = re.compile(r"[A-Z][a-z]+ [a-z]+")
FOR_PROGRAMMERS = re.compile(r"console\.\w+\([^;]*;|throw new [^;]*;")

WITHOUT_WORDS = (
    "cab/*.js",
    "classroom/placing.js",
    "classroom/sight.js",
    "classroom/measure.js",
    "classroom/marking.js",
    "classroom/score_rows.js",
    "classroom/class_store.js",
    "classroom/learner.js",
    "classroom/lesson*.js",
    "classroom/due_state.js",
    "classroom/trainer.js",
    "classroom/drill*.js",
    "classroom/hundred.js",
    "classroom/seat*.js",
    "classroom/unpack.js",
)
"""Still with words of their own: `edition.js`, and the lessons' `deck.js` and `notes.js`."""


def sentences(script):
    code = FOR_PROGRAMMERS.sub("", COMMENT.sub("", script))
    return [text for text in STRING.findall(code) if SENTENCE.search(text)]


def test_scripts_hold_no_sentence():
    files = [file for pattern in WITHOUT_WORDS for file in sorted(SCRIPTS.glob(pattern))]
    assert len(files) > 30
    assert {} == {file.name: kept for file in files if (kept := sentences(file.read_text(encoding="utf-8")))}


def test_a_sentence_in_a_script_would_be_seen():
    assert sentences('note("Truck first seen from " + length);') == ['"Truck first seen from "']
    assert sentences("/* Truck first seen */ // Truck first seen\nf('two-lane', `a b`);") == []
