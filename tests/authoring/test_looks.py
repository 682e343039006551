"""The carrier's logo and colors: what may be in a logo, which colors can be read, and where they go."""

import dataclasses
import io
import math
import re

import pytest
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.looks import LARGEST_LOGO_BYTES, contrast, gray
from forty_paces.authoring.models.fleet import Looks
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.common.context import BuildContext, svg_address
from forty_paces.outputs.edition import offline
from PIL import Image

from tests.drawing import test_tokens
from tests.faults.projects import TODAY, project_with
from tests.rule_files import PROJECT

LOGO = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path fill="#003f6b" d="M1 1h8v8z"/></svg>\n'
)
HEAD = "carrier: Harbor Lines\nrules: plain\nlooks:\n"


def with_logo(folder, content, name="logo.svg", written="logo.svg"):
    project = project_with(folder, "content/fleet.yml", f"{HEAD}  logo: '{written}'\n")
    if content is not None:
        data = content if isinstance(content, bytes) else content.encode()
        (project / "content" / name).write_bytes(data)
    return project


def findings(project):
    return [str(finding) for finding in inspect_project(project, TODAY).findings]


class TestLogo:
    def test_a_plain_drawing_is_taken(self, tmp_path):
        assert LOGO == load_library(with_logo(tmp_path, LOGO), TODAY).logo

    def test_an_xml_declaration_is_left_out_because_pages_inline_the_logo(self, tmp_path):
        project = with_logo(tmp_path, '<?xml version="1.0" encoding="UTF-8"?>\n' + LOGO)
        assert LOGO == load_library(project, TODAY).logo

    @pytest.mark.parametrize(
        ("inside", "wanted"),
        [
            ("<script>alert(1)</script>", 'it holds "script", which could run code'),
            ("<foreignObject/>", 'it holds "foreignObject", which could run code'),
            ('<g onclick="x()"/>', 'it holds "onclick", which could run code'),
            ('<image href="a.png"/>', "it embeds a bitmap"),
            ("<text>Harbor</text>", "turn text into outlines"),
            ("<style>@import url(x)</style>", 'it holds "style", which is no plain shape'),
            ('<use href="https://example.org/a.svg#b"/>', "outside the drawing"),
            ('<use href="data:image/svg+xml,x"/>', "outside the drawing"),
            ('<path style="fill:url(http://example.org/x)"/>', "loads something from outside"),
            ('<a href="javascript:x()"/>', 'it holds "a", which is no plain shape'),
            ("<?php x ?>", "it holds a processing instruction"),
            ("<path>", "it is not well-formed XML"),
        ],
    )
    def test_what_runs_loads_or_embeds_is_refused_with_its_line(self, tmp_path, inside, wanted):
        (found,) = findings(with_logo(tmp_path, LOGO.replace("</svg>", f"\n{inside}</svg>")))
        assert wanted in found
        assert found.startswith('content/fleet.yml:4:9: the logo "logo.svg", line 2: ')

    @pytest.mark.parametrize(
        "inside",
        ['<use href="#a"/>', '<path fill="url(#a)"/>', "<title>Harbor Lines</title>", "<!-- by us -->"],
    )
    def test_what_stays_inside_the_drawing_is_taken(self, tmp_path, inside):
        assert [] == findings(with_logo(tmp_path, LOGO.replace("</svg>", f"{inside}</svg>")))

    def test_entities_are_refused_before_they_can_grow(self, tmp_path):
        bomb = '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
        (found,) = findings(with_logo(tmp_path, bomb + LOGO.replace("</svg>", "&b;</svg>")))
        assert "it declares a document type" in found

    @pytest.mark.parametrize("start", [b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0", b"GIF89a"])
    def test_a_bitmap_is_refused_whatever_its_name(self, tmp_path, start):
        (found,) = findings(with_logo(tmp_path, start + bytes(20)))
        assert 'the logo "logo.svg" is a bitmap' in found

    @pytest.mark.parametrize(("extra", "refused"), [(-1, False), (0, False), (1, True)])
    def test_the_size_is_limited(self, tmp_path, extra, refused):
        text = LOGO.ljust(LARGEST_LOGO_BYTES + extra)
        assert refused == any("is the most" in found for found in findings(with_logo(tmp_path, text)))

    def test_a_file_of_50_mb_is_refused_without_being_read(self, tmp_path, monkeypatch):
        project = with_logo(tmp_path, LOGO)
        with (project / "content/logo.svg").open("r+b") as file:
            file.truncate(50_000_000)
        (found,) = findings(project)
        assert "holds 50,000,000 bytes" in found

    @pytest.mark.parametrize(
        ("written", "wanted"),
        [
            ("logo2.svg", "put the file at content/logo2.svg"),
            (r"art\logo.svg", "write it with forward slashes: art/logo.svg"),
            ("../logo.svg", "is outside content"),
            ("/etc/hostname", "is outside content"),
        ],
    )
    def test_a_name_that_leads_nowhere_or_outside_is_refused(self, tmp_path, written, wanted):
        (found,) = findings(with_logo(tmp_path, LOGO, written=written))
        assert wanted in found

    @pytest.mark.parametrize(
        ("text", "wanted"),
        [
            (LOGO.replace(' viewBox="0 0 10 10"', ""), "it has no viewBox"),
            ('<html viewBox="0 0 1 1"/>', 'its root is "html"'),
        ],
    )
    def test_a_logo_is_an_svg_of_a_known_size(self, tmp_path, text, wanted):
        (found,) = findings(with_logo(tmp_path, text))
        assert wanted in found

    def test_a_logo_that_leaves_no_mark_on_white_paper_is_refused(self, tmp_path):
        white = LOGO.replace("#003f6b", "#ffffff")
        (found,) = findings(with_logo(tmp_path, white))
        assert "nothing of the logo" in found
        assert "can be seen on white paper" in found
        assert [] == findings(with_logo(tmp_path / "pale", LOGO.replace("#003f6b", "#fefefe")))

    def test_a_logo_without_its_namespace_gets_it_because_browsers_draw_no_image_without(self, tmp_path):
        project = with_logo(tmp_path, LOGO.replace(' xmlns="http://www.w3.org/2000/svg"', ""))
        assert LOGO == load_library(project, TODAY).logo

    def test_without_a_logo_the_librarys_icon_stands(self, library):
        context = BuildContext(library, PROJECT / "site_overrides")
        assert library.logo is None
        assert 'aria-label="Forty Paces"' in context.asset_text("icons/icon.svg")

    def test_it_becomes_the_icon_of_pages_and_tablets(self, library):
        context = BuildContext(dataclasses.replace(library, logo=LOGO), PROJECT / "site_overrides")
        made = {one.path: one for one in offline.artifacts(context)}
        before = {
            one.path: one for one in offline.artifacts(BuildContext(library, PROJECT / "site_overrides"))
        }
        assert LOGO == made["assets/icons/icon.svg"].content
        assert before["assets/icons/icon-192.png"].data != made["assets/icons/icon-192.png"].data

    @pytest.mark.parametrize(("width", "height"), [(10, 10), (30, 10), (10, 30)])
    def test_an_icon_is_square_and_the_logo_lies_in_the_circle_that_no_launcher_cuts(self, width, height):
        """W3C Web Application Manifest, safe zone: a circle of two fifths of the side around the center."""
        logo = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">'
            f'<path d="M0 0h{width}v{height}h-{width}z"/></svg>'
        )
        png = offline.icon_png(offline.icon_of_logo(svg_address(logo)), 200)
        painted = Image.open(io.BytesIO(png)).convert("L")
        assert (200, 200) == painted.size
        left, top, right, bottom = painted.point(lambda level: 255 - level).getbbox()
        assert pytest.approx(width / height, rel=0.05) == (right - left) / (bottom - top)
        corners = [(x, y) for x in (left, right) for y in (top, bottom)]
        assert max(math.dist(corner, (100, 100)) for corner in corners) <= 80

    def test_it_stands_in_the_thumb_margin_of_every_card_clear_of_ring_ticks_and_code(self, library):
        context = BuildContext(dataclasses.replace(library, logo=LOGO), PROJECT / "site_overrides")
        cards = card_set(context, "half-letter", only=(library.procedures[0].code,))
        assert all('class="aside logo"' in face.html for face in cards.faces)
        assert all('class="aside logo"' not in face.body_html for face in cards.faces)
        page = faces_document(context, cards, "cards").html
        assert context.logo_address in page
        plain = BuildContext(library, PROJECT / "site_overrides")
        face, _ = card_set(plain, "half-letter", only=("ALL1",)).faces
        assert "logo" not in face.html
        ring_bottom, tick_left = 10, card_style.CARDS["half-letter"].thumb_mm - 5.6  # cards.css
        assert ring_bottom + 3 <= card_style.LOGO_TOP_MM
        assert card_style.SHEET_EDGE_MM + card_style.LOGO_MM < tick_left
        assert card_style.SHEET_EDGE_MM + card_style.LARGE_LOGO_MM < card_style.CARDS["half-letter"].thumb_mm

    def test_a_wallet_card_has_no_room_for_it(self):
        assert ".logo{display:none}" == card_style.logo_places(card_style.CARDS["id-1"])

    def test_the_cab_file_shows_it_as_an_image_that_can_run_nothing(self, library):
        html = cab_html(BuildContext(dataclasses.replace(library, logo=LOGO), PROJECT / "site_overrides"))
        assert f'<img class="top__logo" src="{svg_address(LOGO)}" alt="">' in html
        assert "img-src data:" in html
        assert 'top__logo" src' not in cab_html(BuildContext(library, PROJECT / "site_overrides"))


def with_colors(folder, lines):
    return project_with(folder, "content/fleet.yml", HEAD + lines)


class TestColors:
    @pytest.mark.parametrize(
        ("key", "color", "wanted"),
        [
            ("color", "#595959", None),  # 7.00 on white, computed by the formula
            ("color", "#5a5a5a", "6.8 by day on white; 7 is the least"),
            ("color", "#ffd23f", "by day on white"),
            ("night_color", "#ffb74d", None),
            ("night_color", "#003f6b", "by night on near-black"),
        ],
    )
    def test_a_color_that_cannot_be_read_is_a_finding(self, tmp_path, key, color, wanted):
        found = findings(with_colors(tmp_path, f'  {key}: "{color}"\n'))
        assert [] == found if wanted is None else wanted in found[0]

    @pytest.mark.parametrize("color", ["blue", "#003", "003f6b", "#003f6g", "rgb(0, 0, 0)"])
    def test_what_is_no_color_is_a_finding(self, tmp_path, color):
        (found,) = findings(with_colors(tmp_path, f'  color: "{color}"\n'))
        assert f'"{color}" is not a color\n' in found
        assert 'write six hexadecimal digits in quotes, such as "#003f6b"' in found

    def test_a_color_without_quotes_is_a_comment_and_told_as_empty(self, tmp_path):
        (found,) = findings(with_colors(tmp_path, "  color: #003f6b\n"))
        assert '"color" is empty' in found

    def test_contrast_is_that_of_the_standard(self):
        assert pytest.approx(21) == contrast("#000000", "#ffffff")
        for pair in (("#003f6b", "#ffffff"), ("#ffb74d", "#0b0b0b"), ("#595959", "#ffffff")):
            assert pytest.approx(test_tokens.contrast(*pair)) == contrast(*pair)

    def test_gray_weighs_the_channels_as_bt_601_does(self):
        """ITU-R BT.601: 0.299 red, 0.587 green, 0.114 blue (from memory)."""
        assert ("#4c4c4c", "#969696", "#1d1d1d") == (gray("#ff0000"), gray("#00ff00"), gray("#0000ff"))
        assert "#808080" == gray("#808080")

    def test_they_stand_in_the_day_block_and_the_night_block_and_nowhere_else(self, library):
        looks = Looks(color="#123456", night_color="#fedcba")
        fleet = library.fleet.model_copy(update={"looks": looks})
        plain = BuildContext(library, PROJECT / "site_overrides").asset_text("css/tokens.css")
        context = BuildContext(dataclasses.replace(library, fleet=fleet), PROJECT / "site_overrides")
        text = context.asset_text("css/tokens.css")
        changed = [
            (before.strip(), after.strip())
            for before, after in zip(plain.splitlines(), text.splitlines(), strict=True)
            if before != after
        ]
        names = [re.match(r"--fp-([a-z-]+):", after)[1] for _, after in changed]
        assert ["link", "focus", "action-ground"] * 2 == names
        assert ["#123456"] * 3 + ["#fedcba"] * 3 == [after.split()[-1].rstrip(";") for _, after in changed]
        made = {one.path: one.content for one in offline.artifacts(context)}
        assert text == made["assets/css/tokens.css"]

    def test_without_colors_the_style_sheet_is_the_librarys(self, library):
        made = offline.artifacts(BuildContext(library, PROJECT / "site_overrides"))
        assert "assets/css/tokens.css" not in [one.path for one in made]
