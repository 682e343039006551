"""Blocks of finished HTML go round the Markdown converter, and drawings round the search, unchanged."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import markdown
import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.raw_html import extract_figures, extract_html_blocks, restore_blocks
from forty_paces.outputs.pages import about, placing, procedures, reference, review, scenes, writing
from hypothesis import given
from hypothesis import strategies as st
from material.plugins.search.plugin import Parser

PROJECT = Path(__file__).resolve().parents[2]
WRITTEN = (
    about,
    procedures,
    placing,
    reference,
    review,
    scenes,
    writing,
)
"""Every output that is Markdown for MkDocs."""

BLOCK = '<div class="step">\n<p>Stop <b>at once</b>.</p>\n\n<div>inner</div>\n</div>'


def converted(text: str) -> str:
    return markdown.markdown(text, extensions=["attr_list", "tables", "toc"])


def test_a_block_stands_aside_whole_and_headings_stay() -> None:
    text, blocks = extract_html_blocks(f"# Title\n\n{BLOCK}\n\n## Next\n")
    assert (BLOCK,) == blocks
    assert "# Title" in text
    assert "## Next" in text
    assert "inner" not in text


def test_blocks_that_touch_stand_aside_one_by_one() -> None:
    assert 2 == len(extract_html_blocks(f"{BLOCK}\n{BLOCK}\n")[1])


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("words\n<div>not after an empty line</div>", id="no empty line before"),
        pytest.param("<div>and words</div> behind it", id="words behind it"),
        pytest.param("<div>\n<div>\n</div>\n", id="never closed"),
        pytest.param("<div>one</div>\nwords right under it", id="no empty line after"),
        pytest.param("    <div>a code block</div>", id="not at the margin"),
        pytest.param("<span>inline</span>", id="an inline element"),
        pytest.param('<div data-block="0"></div>\n\n<div>other</div>', id="a text that holds the mark"),
    ],
)
def test_what_is_no_block_of_its_own_is_left_to_the_converter(text: str) -> None:
    assert (text, ()) == extract_html_blocks(text)


PIECES = st.lists(
    st.sampled_from(
        [
            "<div>",
            "</div>",
            "<p>",
            "</p>",
            "\n",
            "\n\n",
            "# h",
            "words",
            '<div data-block="0"></div>',
            "&lt;div>",
            "<figure data-search-exclude>",
            "<figure>",
            "</figure>",
        ]
    )
).map("".join)


@given(st.text() | PIECES)
def test_nothing_is_lost_on_the_way(text: str) -> None:
    assert text == restore_blocks(*extract_html_blocks(text))
    assert text == restore_blocks(*extract_figures(text))


def pages(library: Library) -> Iterator[tuple[str, str]]:
    """Path and Markdown of every page, its front matter apart."""
    context = BuildContext(library, PROJECT / "site_overrides")
    for part in WRITTEN:
        for artifact in part.artifacts(context):
            if artifact.path.endswith(".md"):
                yield artifact.path, str(artifact.content).split("\n---\n", 1)[-1]


def test_every_page_comes_out_as_the_converter_alone_would_leave_it(library: Library) -> None:
    aside = 0
    for path, body in pages(library):
        text, blocks = extract_html_blocks(body)
        aside += len(blocks)
        assert converted(body) == restore_blocks(converted(text), blocks), path
    assert 300 < aside


def found(html: str) -> list[tuple[str | None, str, str]]:
    """Anchor, title and text of each section, as the theme's search reads them."""
    parser = Parser()
    parser.feed(html)
    parser.close()
    return [(part.id, "".join(part.title), "".join(part.text)) for part in parser.data]


def test_the_search_finds_the_same_without_the_figures_it_leaves_out(library: Library) -> None:
    figures = 0
    for path, body in pages(library):
        whole = converted(body)
        text, held = extract_figures(whole)
        figures += len(held)
        assert found(whole) == found(text), path
    assert 50 < figures


def test_a_figure_that_is_to_be_found_is_not_held_back() -> None:
    assert ("<figure><p>Words</figure>", ()) == extract_figures("<figure><p>Words</figure>")
