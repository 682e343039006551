"""Any text in any field stays text: random scraps of markup through every output that shows words.

Each library makes a whole edition in memory: a few in an ordinary run, 500 in `make soak`.
Read back by two parsers: the standard library's and one that follows the HTML standard as browsers do.
"""

from __future__ import annotations

import dataclasses
import json
from collections import Counter
from collections.abc import Iterator
from types import MappingProxyType

import markdown
import pytest
import tinyhtml5
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import try_set
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.raw_html import extract_html_blocks, restore_blocks
from forty_paces.outputs.edition import offline
from forty_paces.outputs.pages import about, placing, review
from forty_paces.outputs.pages import procedures as pages
from forty_paces.outputs.pages import scenes as scene_pages
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.outputs.hostile import poisoned
from tests.projects import ALONE, PROJECT
from tests.soaking import cases

pytestmark = pytest.mark.soak

CASES = cases(6, soak=500)

PIECES = (
    *(
        "<script>x()</script>",
        "</script>",
        "<img src=x onerror=x()>",
        "<svg/onload=x()>",
        "<iframe srcdoc=x>",
    ),
    *("</style>", "<style>*{}</style>", "<base href=//x>", "<form action=//x>", "<a href=javascript:x()>"),
    *(
        "[a](javascript:x())",
        "![a](//x)",
        "<javascript:x()>",
        "<//x>",
        "[a]: javascript:x()",
        "{: onclick=x() }",
    ),
    *("<!--", "-->", "]]>", "<![CDATA[", "<?", "&lt;script&gt;", "&#60;b&#62;", "\\u003cb", "&", ";"),
    *(
        "{{7*7}}",
        "{%",
        "%}",
        "{#",
        "${7*7}",
        "#}",
        "`",
        "```",
        "~~~",
        "***",
        "# ",
        "> ",
        "- ",
        "1. ",
        "|",
        "---",
    ),
    *('"', "'", "<", ">", "</", "/>", "=", "\\", "</div>", "</section>", "<div>", "<p>", "</p>", "</title>"),
    *("\u202e", "\u2066", "\u200b", "\ufeff", "\u2028", "\x7f", "é", "語", "🜂", " ", " ", "word", "7"),
)
TEXTS = (
    st.lists(st.one_of(st.sampled_from(PIECES), st.text(max_size=6)), min_size=1, max_size=12)
    .map("".join)
    .map(lambda text: " ".join(text.split()))  # as every text is when it is read
    .filter(bool)
)

WATCHED = frozenset(
    {
        *("script", "style", "img", "image", "iframe", "object", "embed"),
        *("base", "form", "meta", "link", "template", "math", "foreignobject"),
    }
)


@pytest.fixture(scope="module")
def small(library: Library) -> Library:
    """One of everything that shows words."""
    return dataclasses.replace(
        library,
        procedures=tuple(one for one in library.procedures if one.id == ALONE[0]),
        scenes=MappingProxyType(dict(list(library.scenes.items())[:2])),
        rules=MappingProxyType({"us": library.rules["us"]}),
        sources=MappingProxyType(dict(list(library.sources.items()))),
        lessons=MappingProxyType({}),
        ways_out=tuple(way.model_copy(update={"opens": (), "shows": ()}) for way in library.ways_out),
    )


def outputs(library: Library) -> Iterator[tuple[str, str]]:
    """Every page as MkDocs would set it, the cab file, the faces that fit, by name."""
    context = BuildContext(library, PROJECT / "site_overrides")
    for part in (pages, placing, scene_pages, about, review):
        for artifact in part.artifacts(context):
            body = str(artifact.content)
            if body.startswith("---\n"):
                body = body.split("\n---\n", 1)[1]
            text, blocks = extract_html_blocks(body)
            html = markdown.markdown(text, extensions=["attr_list", "tables", "toc"])
            yield artifact.path, restore_blocks(html, blocks)
    yield "cab.html", cab_html(context)
    found, _ = try_set(context, "half-letter")
    if found.faces:
        yield "cards.html", faces_document(context, found, "cards").html


def live(html: str) -> Counter[str]:
    """What could run or fetch, by either parser: watched elements, handlers, odd addresses."""
    found: Counter[str] = Counter()
    for tag in BeautifulSoup(html, "html.parser").find_all(True):
        _count(found, f"one {tag.name}", tag.attrs)
    for element in tinyhtml5.parse(html, namespace_html_elements=False).iter():
        if isinstance(element.tag, str):
            _count(found, f"two {element.tag.rpartition('}')[2]}", element.attrib)
    return found


def _count(found: Counter[str], name: str, attributes: object) -> None:
    if name.split()[1].lower() in WATCHED:
        found[name] += 1
    for attribute, value in dict(attributes).items():
        if str(attribute).lower().startswith("on") or str(attribute).lower() in ("style", "srcdoc"):
            found[f"{name} {attribute}"] += 1
        address = "".join(str(value).split()).lower()
        plain = address.startswith(("#", "tel:", "data:,")) or ":" not in address.split("/")[0]
        if str(attribute).lower() in ("href", "src", "action", "data", "formaction") and not plain:
            found[f"{name} {attribute} {address[:20]}"] += 1


@pytest.fixture(scope="module")
def harmless(small: Library) -> dict[str, Counter[str]]:
    """What is live where every text ends in a plain word."""
    return {name: live(html) for name, html in outputs(poisoned(small, " word"))}


@given(text=TEXTS)
@settings(
    max_examples=CASES,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_fuzz_no_text_becomes_live_in_any_output(
    small: Library, harmless: dict[str, Counter[str]], text: str
) -> None:
    for name, html in outputs(poisoned(small, f" {text} ")):
        if name == "cards.html":  # other faces fit, so what there is of each kind may differ
            assert set() == set(live(html)) - set(harmless[name])
        else:
            assert harmless[name] == live(html), name


@given(text=TEXTS)
@settings(max_examples=CASES, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_fuzz_data_that_scripts_read_comes_back_to_the_letter(small: Library, text: str) -> None:
    attacked = poisoned(small, f" {text} ")
    context = BuildContext(attacked, PROJECT / "site_overrides")
    made = {artifact.path: artifact for artifact in offline.artifacts(context)}
    manifest = json.loads(made["manifest.webmanifest"].data)
    assert attacked.fleet.carrier in manifest["name"]
    status = made["assets/js/edition.js"].data.decode()
    assert "</script" not in status.split("\n", 1)[0].lower()
    assert "<" not in status.split("\n", 1)[0]


def test_the_comparison_notices_what_it_is_for(harmless: dict[str, Counter[str]]) -> None:
    page = "<p>word</p>"
    for attack in ("<script>x()</script>", "<b onclick=x()>", "<a href='java\nscript:x()'>", "<img src=//x>"):
        assert live(page) != live(page + attack)
    assert 20 < len(harmless)
    assert all(
        "onclick" not in key and "javascript" not in key for found in harmless.values() for key in found
    )
