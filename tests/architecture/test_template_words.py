"""Every text of a template has an id: it stands after it in a trans block or in a call of pgettext."""

import re
from pathlib import Path

TOP = Path(__file__).resolve().parents[2] / "site_overrides"

WITH_IDS = (
    *("main.html", "404.html", "templates/*.j2"),
    *("templates/cab/*.j2", "templates/pages/*.j2", "templates/pages/reference/*.j2"),
    *("templates/cards/*.j2", "templates/classroom/*.j2"),
)

STATEMENT = r"\{%(?:(?!%\}).)*%\}"
EXPRESSION = r"\{\{(?:(?!\}\}).)*\}\}"
COMMENT = r"\{#(?:(?!#\}).)*#\}"
TRANS = re.compile(r'\{%\+? trans "([^"]*)"(?:(?!%\}).)*%\}(.*?)\{% endtrans \+?%\}', re.DOTALL)
CALL = re.compile(r'pgettext\("([^"]*)", "([^"]*)"')
ATTRIBUTES = r'\{% block body_class %\}[a-z ]+|data-\{\{ [\w.]+ \}\}="\{\{ \w+ \}\}"'
"""What a template writes into a tag that stands elsewhere."""
CODE = re.compile(rf"{COMMENT}|{STATEMENT}|\{{:[^}}]*\}}|<(style|script|pre)\b.*?</\1>", re.DOTALL)
TAG = re.compile(r"<!?/?[a-zA-Z0][^>]*>", re.DOTALL)
READ_ALOUD = re.compile(r'\b(?:aria-label|alt|title|placeholder|data-label|data-call-words)="([^"]*)"')
FRONT_MATTER = re.compile(r"\A\s*---\n.*?\n---\n", re.DOTALL)
LETTERS = re.compile(r"[^\W\d_]{2,}")
QUOTED = re.compile(r'"([^"]*)"')
SENTENCE = re.compile(r"[A-Za-z]{2,},? [a-z]+|[A-Z][a-z]+ ?[a-z]*$")
CLASSES = re.compile(r"^ ?[a-z]+(?:__\w+|--\w+)?(?: [a-z]+(?:__\w+|--[\w-]+)?)*$")


def templates():
    return [file for pattern in WITH_IDS for file in sorted(TOP.glob(pattern))]


def ids(source):
    """(id, text) of every text in a template."""
    return [*TRANS.findall(source), *CALL.findall(source)]


def without_id(source):
    """What a reader would see of a template although it has no id."""
    rest = CALL.sub("", TRANS.sub("", re.sub(ATTRIBUTES, "", source)))
    literals = [
        text for code in re.findall(rf"{EXPRESSION}|{STATEMENT}", rest) for text in QUOTED.findall(code)
    ]
    spoken = [text for text in literals if SENTENCE.search(text) and not CLASSES.match(text)]
    rest = FRONT_MATTER.sub("", CODE.sub("\n", re.sub(EXPRESSION, "0", rest)).replace("\n\n", "\n"))
    read = [text for text in READ_ALOUD.findall(rest) if LETTERS.search(text)]
    shown = [
        line.strip()
        for line in TAG.sub("\n", rest).splitlines()
        if LETTERS.search(re.sub(r"&\w+;", "", line))
    ]
    return spoken + read + shown


def test_every_text_of_a_template_has_an_id():
    files = templates()
    assert len(files) > 30
    found = {file.name: kept for file in files if (kept := without_id(file.read_text(encoding="utf-8")))}
    assert found == {}


def test_an_id_stands_for_one_text():
    texts = {}
    for file in templates():
        for text_id, text in ids(file.read_text(encoding="utf-8")):
            assert texts.setdefault(text_id, text) == text, f"{file.name}: {text_id}"
    assert len(texts) > 500


def test_an_id_begins_with_the_folder_and_the_name_of_its_template():
    """So that nobody has to look far for it; pages that share a text share its template of parts."""
    for file in templates():
        where = file.relative_to(TOP).as_posix().removeprefix("templates/").partition(".")[0].split("/")
        for text_id, _ in ids(file.read_text(encoding="utf-8")):
            first = text_id.split(".")[0]
            assert first in (where[0], "site"), f"{file.name}: {text_id}"


def test_a_text_keeps_the_tags_that_it_opens():
    for file in templates():
        for text_id, text in ids(file.read_text(encoding="utf-8")):
            opened, closed = re.findall(r"<(\w+)", text), re.findall(r"</(\w+)", text)
            assert sorted(tag for tag in opened if tag != "br") == sorted(closed), text_id


def test_a_text_without_an_id_would_be_seen():
    assert without_id("<p>Stop here</p>") == ["Stop here"]
    assert without_id('<nav aria-label="Way back"></nav>') == ["Way back"]
    assert without_id('{{ field("road", "Direction of travel") }}') == ["Direction of travel"]
    assert without_id('{{ "one" if loop.first else "Back" }}') == ["Back"]
    known = '<p class="why">{% trans "cab.a" n=1 %}Stop {{ n }}{% endtrans %}</p>{{ pgettext("b", "Go on") }}'
    assert without_id(known) == []


STYLE_CONTENT = re.compile(r"\bcontent: *([^;}]*)")
CHARACTER = re.compile(r"\\[0-9a-fA-F]{1,6} ?")


def test_no_style_sheet_writes_a_word():
    """What it puts before or after an element is no text that could be looked up: it takes an attribute."""
    files = sorted(TOP.glob("assets/css/*.css"))
    assert len(files) > 10
    written = [
        (file.name, quoted)
        for file in files
        for value in STYLE_CONTENT.findall(file.read_text(encoding="utf-8"))
        for quoted in QUOTED.findall(value)
        if LETTERS.search(CHARACTER.sub("", quoted))
    ]
    assert written == []
