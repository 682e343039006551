"""What a content folder publishes: nothing that runs, frames or leads away.

What browsers take for an address: WHATWG URL Standard, basic URL parser. What runs: HTML Living Standard,
event handler attributes and the elements script, iframe, object, embed.
"""

import pytest
from forty_paces.authoring.published import PLAIN_KINDS, is_foreign, prose_findings

from tests.faults.projects import inspected, messages

LIVE = [
    "<script>alert(1)</script>",
    "text <ScRiPt src=x.js></sCrIpT>",
    '<iframe src="about.html"></iframe>',
    "<object data=a.pdf></object>",
    "<embed src=a.svg>",
    '<img src=x.png onerror="alert(1)">',
    "# Title {: onclick=alert(1) }",
    "[a](b.html){: onmouseover=alert(1) }",
    '<p style="position:fixed">over everything</p>',
    "<style>p { display: none }</style>",
    "<link rel=stylesheet href=a.css>",
    '<meta http-equiv=refresh content="0;url=a.html">',
    "<base href=a>",
    "<form action=a.html><input></form>",
    "<svg><use href=a></use></svg>",
    "<math><mi>x</mi></math>",
    "<template><p>x</p></template>",
    "<video src=a.mp4></video>",
    "<!DOCTYPE html>",
]
FOREIGN = [
    "https://example.org/",
    "HTTP://example.org/",
    "//example.org/a.png",
    "\\\\example.org\\a",
    "/\\example.org",
    "/etc/passwd",
    "javascript:alert(1)",
    "JavaScript:alert(1)",
    " javascript:alert(1)",
    "java\tscript:alert(1)",
    "\x01javascript:alert(1)",
    "vbscript:x",
    "data:text/html,x",
    "blob:x",
    "file:///etc/passwd",
    "http://[",
]
OWN = [
    "about.html",
    "cards/a.pdf#page=2",
    "#install",
    "?q=1",
    "../index.html",
    "tel:911",
    "mailto:a@b.example",
    "",
    "a b.html",
]


@pytest.mark.parametrize("text", LIVE)
def test_what_could_run_frame_or_cover_a_page_is_refused_in_prose(text):
    found = list(prose_findings(f"# Page\n\n{text}\n", "content/a.md"))
    assert found
    assert {3} == {one.place.line for one in found}
    assert all(one.fix for one in found)


@pytest.mark.parametrize("address", FOREIGN)
def test_an_address_that_a_browser_would_follow_out_of_the_site_is_foreign(address):
    assert is_foreign(address)
    assert is_foreign(address.swapcase()) == is_foreign(address)


@pytest.mark.parametrize("address", OWN)
def test_an_address_within_the_site_is_not(address):
    assert not is_foreign(address)


@pytest.mark.parametrize(
    "text",
    [
        "[x](https://example.org)",
        "![x](//example.org/a.png)",
        "<a href='&#106;avascript:alert(1)'>x</a>",
        "[x]: https://example.org\n\n[x]",
        "<https://example.org>",
    ],
)
def test_a_link_or_picture_from_elsewhere_is_refused_however_it_is_written(text):
    assert any("leads out of the site" in one.wrong for one in prose_findings(text, "content/a.md"))


@pytest.mark.parametrize(
    "text",
    [
        "`<script>alert(1)</script>` and `https://example.org`",
        "    <script>alert(1)</script>",
        "| a | b |\n|---|---|\n| [c](d.html){: .e } | ![f](g.png) |",
        "## Title {: #install }\n\n<div class='note'>Text &lt;b&gt;</div>",
        "1 < 2, a & b",
    ],
)
def test_code_tables_and_plain_elements_are_allowed(text):
    assert [] == list(prose_findings(text, "content/a.md"))


@pytest.mark.parametrize("code", [0x202E, 0x200B, 0x0007, 0x001B, 0xFEFF])
def test_invisible_characters_are_refused_in_prose_as_in_records(code):
    (found,) = prose_findings(f"one\ntwo {chr(code)}three\n", "content/a.md")
    assert (2, 5) == (found.place.line, found.place.column)
    assert f"U+{code:04X}" in found.wrong


@pytest.mark.parametrize(
    "name", ["a.html", "a.htm", "a.js", "a.xhtml", "a.css", "a.json", "a.exe", "a", "a.HTML", "sub/a.xml"]
)
def test_a_file_of_another_kind_is_a_finding_that_names_the_kinds(tmp_path, name):
    findings = messages(inspected(tmp_path, f"content/{name}", b"x"))
    assert f"content/{name}:1:1" in findings
    assert ".pdf" in findings


@pytest.mark.parametrize("ending", [one for one in PLAIN_KINDS if one not in (".yml", ".md", ".svg")])
def test_a_file_of_a_plain_kind_is_published(tmp_path, ending):
    assert "" == messages(inspected(tmp_path, f"content/a{ending}", b"x"))


@pytest.mark.parametrize(
    ("drawing", "fine"),
    [
        ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0h1"/></svg>', True),
        ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><script>x</script></svg>', False),
        ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1" onload="x"/>', False),
    ],
)
def test_a_drawing_may_hold_nothing_that_runs(tmp_path, drawing, fine):
    assert fine == ("" == messages(inspected(tmp_path, "content/a.svg", drawing)))


def test_a_page_of_other_than_utf_8_text_is_a_finding(tmp_path):
    assert "is not UTF-8" in messages(inspected(tmp_path, "content/a.md", b"\x80"))
