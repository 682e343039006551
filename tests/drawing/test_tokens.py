"""Colors: contrast computed by the WCAG formula, by day, by night, in print and in grayscale."""

import re

import pytest
from forty_paces.drawing.presentation import DAY, PAINT

from tests.drawing.samples import ASSETS

TOKENS = (ASSETS / "css" / "tokens.css").read_text(encoding="utf-8")
LOOKS = (ASSETS / "css" / "drawing.css").read_text(encoding="utf-8")


def without_comments(css):
    return re.sub(r"/\*.*?\*/", "", css, flags=re.S)


def declared(selector):
    """Custom properties of the block whose selector list contains ``selector``."""
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", without_comments(TOKENS)):
        if selector in [one.strip() for one in selectors.split(",")]:
            return dict(re.findall(r"--fp-([a-z-]+):\s*([^;]+);", body))
    raise AssertionError(f"no block for {selector}")


BY_DAY = declared(":root")
BY_NIGHT = {**BY_DAY, **declared('[data-look="night"]')}
BOTH = [pytest.param(BY_DAY, id="day"), pytest.param(BY_NIGHT, id="night")]


def luminance(color):
    """Relative luminance, WCAG 2.2."""
    assert re.fullmatch(r"#[0-9a-f]{6}", color), color
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """Contrast ratio, WCAG 2.2; not rounded."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


SEVEN = [
    ("ink", "paper"),
    ("ink", "byheart-ground"),
    ("secondary", "paper"),
    ("secondary", "byheart-ground"),
    ("ink", "land"),
    ("ink", "device-ground"),
    ("tile-ink", "tile-ground"),
    ("action-ink", "action-ground"),
]
"Steps, their reasons, by-heart lines and text in drawings (C5)."

FOUR_AND_A_HALF = [
    ("link", "paper"),
    ("danger-ink", "danger-ground"),
    ("warning-ink", "warning-ground"),
    ("caution-ink", "caution-ground"),
    ("notice-ink", "notice-ground"),
]
"All other text (C5)."

THREE = [
    ("hairline", "paper"),
    ("byheart-border", "byheart-ground"),
    ("edge", "paper"),
    ("focus", "paper"),
    ("mark-white", "road"),
    ("mark-yellow", "road"),
    ("traffic", "road"),
    ("traffic", "hidden-ground"),
    ("hidden-stripe", "hidden-ground"),
    ("ruler", "paper"),
    ("ruler", "land"),
    ("ruler", "shoulder"),
    ("ruler", "road"),
    ("vehicle-line", "vehicle"),
    ("vehicle-line", "shoulder"),
    ("vehicle-glass", "vehicle"),
    ("device", "device-ground"),
    ("device", "shoulder"),
    ("ruler", "device-ground"),
    ("sight", "paper"),
    ("obstacle", "land"),
]
"Icons, diagram lines, borders (C6)."


@pytest.mark.parametrize("look", BOTH)
@pytest.mark.parametrize(("ink", "ground"), SEVEN)
def test_words_that_are_acted_on_reach_seven_to_one(look, ink, ground):
    assert contrast(look[ink], look[ground]) >= 7


@pytest.mark.parametrize("look", BOTH)
@pytest.mark.parametrize(("ink", "ground"), FOUR_AND_A_HALF)
def test_other_words_reach_four_and_a_half_to_one(look, ink, ground):
    assert contrast(look[ink], look[ground]) >= 4.5


@pytest.mark.parametrize("look", BOTH)
@pytest.mark.parametrize(("line", "ground"), THREE)
def test_lines_and_signs_reach_three_to_one(look, line, ground):
    assert contrast(look[line], look[ground]) >= 3


def test_the_contrast_formula_gives_the_values_the_standard_gives():
    # WCAG 2.2, definition of contrast ratio: from 1 (none) to 21 (black on white).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == 1
    # #767676 is the lightest grey that passes 4.5 on white (common practice, no source).
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("ground", ["paper", "land", "road", "shoulder", "byheart-ground", "tile-ground"])
def test_no_ground_is_bright_at_night(ground):
    # Our own limit: at most a tenth of white's luminance.
    assert luminance(BY_NIGHT[ground]) <= 0.1


def test_road_and_shoulder_stay_apart_in_grey():
    # Grayscale keeps only luminance; 1.5 is distinguishable side by side (our own choice).
    for look in (BY_DAY, BY_NIGHT):
        assert contrast(look["road"], look["shoulder"]) >= 1.5


def test_every_token_has_a_day_value_and_night_invents_none():
    assert set(declared('[data-look="night"]')) <= set(BY_DAY)


def test_night_never_reaches_the_printer():
    outside = re.sub(r"@media screen \{.*\}\s*$", "", without_comments(TOKENS), flags=re.S)
    assert "night" not in outside


def rules_of_looks():
    """Class -> color declarations of drawing.css, variables unresolved."""
    found = {}
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", without_comments(LOOKS)):
        for selector in (one.strip() for one in selectors.split(",")):
            if re.fullmatch(r"\.fp-[a-z-]+", selector):
                found.setdefault(selector[1:], {}).update(re.findall(r"([a-z-]+):\s*([^;]+);", body))
    return found


def test_the_style_sheet_and_the_attributes_beside_each_class_show_the_same_day():
    looks = {name: rule for name, rule in rules_of_looks().items() if "fill" in rule or "stroke" in rule}
    resolved = {
        name: {
            prop: BY_DAY[value.removeprefix("var(--fp-").removesuffix(")")]
            if value.startswith("var")
            else value
            for prop, value in rule.items()
        }
        for name, rule in looks.items()
    }
    painted = {
        name: {prop: value for prop, value in paint.items() if prop in ("fill", "stroke")}
        for name, paint in PAINT.items()
    }
    assert resolved == painted


def test_the_day_values_in_code_are_those_of_the_tokens():
    assert {name: BY_DAY[name] for name in DAY} == dict(DAY)


def test_the_style_sheet_of_drawings_sets_colors_only():
    props = {prop for rule in rules_of_looks().values() for prop in rule}
    assert props <= {"fill", "stroke", "display", "max-width", "height"}
