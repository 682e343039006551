"""Drawings in a real browser: text widths as measured, night colors, templates driven by attributes."""

import pytest
from forty_paces.drawing.finder import draw_finder
from forty_paces.drawing.formats import Size
from forty_paces.drawing.scene_plan import draw_scene
from forty_paces.drawing.schematic import draw_placement
from forty_paces.drawing.symbols import Cause
from forty_paces.geometry.records import RoadKind, Toward

from tests.drawing.samples import ASSETS, US, placed, solved
from tests.drawing.text_boxes import text_boxes

pytestmark = pytest.mark.browser

CSS = ASSETS / "css"


@pytest.fixture
def show(chromium, tmp_path):
    """Open drawings in a page with the project's stylesheets and typeface."""
    context = chromium.new_context(viewport={"width": 800, "height": 900})

    def shown(*drawings, look="day"):
        sheets = "".join(
            f'<link rel="stylesheet" href="{(CSS / name).as_uri()}">'
            for name in ("fonts.css", "tokens.css", "drawing.css")
        )
        file = tmp_path / "page.html"
        file.write_text(
            f'<!doctype html><html data-look="{look}"><meta charset="utf-8">{sheets}'
            f"<body>{''.join(drawings)}",
            encoding="utf-8",
        )
        page = context.new_page()
        page.goto(file.as_uri())
        page.evaluate("document.fonts.ready")
        assert page.evaluate("document.fonts.check('16px \"Atkinson Hyperlegible\"')")
        return page

    yield shown
    context.close()


def drawings():
    hidden = {Toward.BEHIND: Cause.BEND_RIGHT, Toward.AHEAD: Cause.HILL}
    for size in Size:
        for road in RoadKind:
            placement, rules, given = placed("us", road, 300.0, 430.0)
            yield draw_placement(
                placement,
                rules,
                given,
                prefix=f"p-{size}-{road}",
                size=size,
                causes=hidden,
                shaped=True,
            )
    for name in ("quarry-bend", "mercer-street"):
        yield draw_scene(solved(name), US, prefix=f"s-{name}")


def test_words_are_no_wider_than_they_were_measured(show):
    found = list(drawings())
    page = show(*found)
    real = page.eval_on_selector_all(
        "svg text", "all => all.map(one => [one.textContent, one.getComputedTextLength()])"
    )
    measured = [(one.text, one.box.width) for svg in found for one in text_boxes(svg)]
    assert [text for text, _ in real] == [text for text, _ in measured]
    assert len(measured) > 100
    for (text, width), (_, expected) in zip(real, measured, strict=True):
        # Kerning may tighten a line; it must never widen it by more than a unit.
        assert expected * 0.95 - 1 <= width <= expected + 1, text


def test_night_repaints_every_drawing_and_leaves_no_white(show):
    page = show(*drawings(), look="night")
    fills = page.eval_on_selector_all(
        "svg *", "all => all.flatMap(one => [getComputedStyle(one).fill, getComputedStyle(one).stroke])"
    )
    assert "rgb(255, 255, 255)" not in fills
    assert "rgb(255, 183, 77)" in fills


def test_print_shows_the_day_even_when_night_is_on(show):
    page = show(*drawings(), look="night")
    page.emulate_media(media="print")
    grounds = page.eval_on_selector_all(
        "svg .fp-plate", "all => [...new Set(all.map(one => getComputedStyle(one).fill))]"
    )
    assert grounds == ["rgb(255, 255, 255)"]


def test_a_drawing_without_any_style_sheet_shows_the_same_day(chromium, show, tmp_path):
    svg = next(drawings())
    bare = tmp_path / "bare.html"
    bare.write_text(f"<!doctype html><meta charset='utf-8'><body>{svg}", encoding="utf-8")
    look = "all => all.map(one => [getComputedStyle(one).fill, getComputedStyle(one).stroke])"
    page = chromium.new_page()
    page.goto(bare.as_uri())
    plain = page.eval_on_selector_all("svg *", look)
    page.close()
    assert show(svg).eval_on_selector_all("svg *", look) == plain


@pytest.mark.parametrize("case", ["clear", "near", "far"])
def test_one_attribute_brings_up_one_hidden_stretch_of_the_template(show, case):
    page = show(draw_finder(US, RoadKind.TWO_LANE, speed_mph=55.0, prefix="f"))
    page.evaluate(
        "([value]) => { const svg = document.querySelector('svg');"
        " svg.setAttribute('data-behind', value); svg.setAttribute('data-behind-cause', 'hill');"
        " document.getElementById('f-d2').setAttribute('data-moved', 'yes'); }",
        [case],
    )
    seen = page.eval_on_selector_all(
        "svg g[class*='fp-hidden-']",
        "all => all.filter(one => getComputedStyle(one).display !== 'none')"
        ".map(one => one.getAttribute('class'))",
    )
    assert seen == ([] if case == "clear" else [f"fp-hidden-behind fp-behind-{case}"])
    signs = page.eval_on_selector_all(
        "svg g.fp-cause",
        "all => all.filter(one => one.getClientRects().length && one.checkVisibility()).length",
    )
    assert signs == (0 if case == "clear" else 1)
    notes = page.eval_on_selector_all(
        ".fp-moved-note", "all => all.filter(one => getComputedStyle(one).display !== 'none').length"
    )
    assert notes == 1
