"""Which selectors the browser's own engine answers, and that it may."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.selectors import native

PROJECT = Path(__file__).resolve().parents[1]


@pytest.mark.parametrize(
    "selector",
    [
        "#tire-fire",
        ".is-open .step",
        "a[href='#start']",
        "li:not(.is-now):nth-child(2)",
        "main > p",
        ":has(> b)",
    ],
)
def test_plain_css_goes_to_the_browser(selector: str) -> None:
    assert native(selector) == f"native={selector}"


def test_the_first_part_of_a_chain_goes_to_the_browser_and_the_rest_is_left() -> None:
    assert native(".trip .row >> visible=true >> nth=0") == "native=.trip .row >> visible=true >> nth=0"


@pytest.mark.parametrize(
    "selector",
    [
        "text=Go on",
        "role=button",
        "xpath=//b",
        "//b",
        "'Go on'",
        "a:visible",
        ".choice:has-text('Walk') >> nth=0",
        "native=#tire-fire",
    ],
)
def test_what_only_playwright_understands_stays_as_it_is(selector: str) -> None:
    assert native(selector) == selector


def test_no_product_has_a_shadow_tree_that_a_browser_would_not_look_into() -> None:
    scripts = [*PROJECT.glob("site_overrides/**/*.js"), *PROJECT.glob("site_overrides/**/*.j2")]
    assert len(scripts) > 50
    assert [s.name for s in scripts if "attachShadow" in s.read_text() or "shadowroot" in s.read_text()] == []
