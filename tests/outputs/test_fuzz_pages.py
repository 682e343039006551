"""Any text in any field stays text: random scraps of markup through every output that shows words.

Each library makes a whole edition in memory: two in an ordinary run, 500 in `make soak`.
Read back by two parsers: the standard library's and one that follows the HTML standard as browsers do.
"""

from __future__ import annotations

import dataclasses
import json
from collections import Counter
from types import MappingProxyType

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition import offline
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.outputs.hostile import poisoned
from tests.outputs.live_markup import live, outputs
from tests.projects import ALONE, PROJECT
from tests.soaking import cases

pytestmark = pytest.mark.soak

CASES = cases(2, soak=500)

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
@pytest.mark.long
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
