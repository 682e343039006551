"""Whose work is in a built site: all of it is named, under its true license, with the license beside it.

The truth is read where it stands: the licenses that came with what is installed, the list
of sources inside the theme's source maps, the copyright lines inside scripts and fonts.
"""

from __future__ import annotations

import base64
import io
import json
import re
from fnmatch import fnmatchcase
from functools import cache
from importlib import metadata
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from fontTools.ttLib import TTFont
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition import vehicles
from forty_paces.outputs.pages.about import SHIPPED, ShippedWork

ROOT = Path(__file__).resolve().parents[3]
ASSETS = ROOT / "site_overrides/assets"
THEME = Path(str(metadata.distribution("mkdocs-material").locate_file("material/templates")))
ICON_SETS = {
    "material": "Material Design Icons",
    "octicons": "Octicons",
    "fontawesome": "Font Awesome Free",
}
"""Folders of icons that the theme draws from."""

OURS = ("assets/pictures/*.png", "assets/css/*.css", "assets/js/*.js", "assets/icons/*")
INSTALLED = {
    "Material for MkDocs": metadata.distribution("mkdocs-material").locate_file(
        f"mkdocs_material-{metadata.version('mkdocs-material')}.dist-info/licenses/LICENSE"
    ),
    "Material Design Icons": THEME / ".icons/material/LICENSE",
    "Octicons": THEME / ".icons/octicons/LICENSE",
    "Font Awesome Free": THEME / ".icons/fontawesome/LICENSE.txt",
}
"""Works that are installed with their licenses."""

WORDS = {
    "MIT": "Permission is hereby granted, free of charge",
    "Apache 2.0": "Version 2.0, January 2004",
    "SIL Open Font License 1.1": "SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007",
    "W3C Software and Document License": "The full text of this NOTICE in a location viewable",
    "0BSD": "Permission to use, copy, modify, and/or distribute this software",
    "CC BY 4.0": "https://creativecommons.org/licenses/by/4.0/",
}
"""By which words each license is known: the opening of its terms, from the license itself."""


def named(name: str) -> ShippedWork:
    return next(work for work in SHIPPED if work.name == name)


def is_in(work: ShippedWork, path: str) -> bool:
    """Whether a file of the site contains the work."""
    return any(fnmatchcase(path, pattern) for pattern in work.files)


def words_of(text: str) -> str:
    return " ".join(text.split())


def license_text(work: ShippedWork) -> str:
    return words_of("\n".join((ROOT / "site_overrides" / path).read_text("utf-8") for path in work.texts))


def below(site: Path) -> list[str]:
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file())


@cache
def theme_sources(kind: str) -> set[str]:
    """The libraries built into the theme's files, by the list that its builder left in the source maps."""
    found = set()
    for file in sorted((THEME / "assets").rglob(f"*.{kind}.map")):
        if "lunr" in file.relative_to(THEME / "assets").parts:
            continue  # stemmers of other languages, which the site leaves out
        for source in json.loads(file.read_text(encoding="utf-8"))["sources"]:
            inside = re.search(r"node_modules/((?:@[^/]+/)?[^/]+)/", source)
            found |= {inside[1]} if inside else set()
    return found


@cache
def theme_texts() -> tuple[tuple[str, str], ...]:
    """The libraries' sources, as far as the source maps of the scripts hold them."""
    maps = [json.loads(file.read_text("utf-8")) for file in (THEME / "assets").rglob("*.min.js.map")]
    return tuple(
        pair for one in maps for pair in zip(one["sources"], one.get("sourcesContent") or (), strict=False)
    )


@cache
def icons() -> dict[str, str]:
    """The shape of every icon that the theme has, and the set it is from."""
    return {
        plain(shape): file.relative_to(THEME / ".icons").parts[0]
        for file in (THEME / ".icons").rglob("*.svg")
        for shape in re.findall(r' d="([^"]+)"', file.read_text(encoding="utf-8"))
    }


def plain(shape: str) -> str:
    return re.sub(r"[\s,]+", "", shape)


def test_every_file_of_a_site_is_ours_or_named(built_site: Path) -> None:
    """Outside assets/ everything is generated; what the theme adds lies there."""
    texts = {text for work in SHIPPED for text in work.texts}
    unnamed = [
        path
        for path in below(built_site)
        if path.startswith("assets/")
        and path not in texts
        and not any(is_in(work, path) for work in SHIPPED)
        and not any(Path(path).match(pattern) for pattern in OURS)
    ]
    assert [] == unnamed


def test_outside_assets_no_file_of_the_theme_is_copied(built_site: Path) -> None:
    theirs = {path.read_bytes() for path in THEME.rglob("*") if path.is_file() and path.suffix != ".html"}
    copied = {path for path in below(built_site) if (built_site / path).read_bytes() in theirs}
    copied -= {text for work in SHIPPED for text in work.texts}
    assert copied
    assert [] == [path for path in copied if not is_in(named("Material for MkDocs"), path)]


def test_every_named_work_is_really_there(built_site: Path) -> None:
    paths = below(built_site)
    for work in SHIPPED:
        for pattern in work.files:
            alone = ShippedWork(work.name, work.use, work.license, work.holder, work.texts, (pattern,))
            assert any(is_in(alone, path) for path in paths), f"{work.name}: no {pattern}"


def test_every_license_lies_in_the_site_and_the_page_leads_to_it(built_site: Path) -> None:
    page = BeautifulSoup((built_site / "about.html").read_bytes(), "html.parser")
    links = {link["href"] for link in page.find_all("a")}
    shown_text = page.get_text()
    for work in SHIPPED:
        assert {*work.texts} <= links, work.name
        assert all((built_site / text).is_file() for text in work.texts)
        assert work.name in shown_text
        assert work.holder in shown_text
    lying = {path for path in below(built_site) if "licen" in path.lower()}
    assert lying == {text for work in SHIPPED for text in work.texts}


@pytest.mark.parametrize("work", SHIPPED, ids=lambda work: work.name)
def test_each_license_is_what_the_page_calls_it(work: ShippedWork) -> None:
    assert WORDS[work.license] in license_text(work)
    assert all(holder in license_text(work) for holder in work.holder.split(" and ")[0].split(", "))


@pytest.mark.parametrize("name", INSTALLED)
def test_each_license_of_what_is_installed_is_word_for_word_its_own(name: str) -> None:
    own = Path(str(INSTALLED[name])).read_text(encoding="utf-8")
    shipped = (ROOT / "site_overrides" / named(name).texts[0]).read_text(encoding="utf-8")
    assert words_of(own) == words_of(shipped)


def test_every_library_inside_the_themes_scripts_and_styles_is_named() -> None:
    spelled = {work.name.lower().removesuffix(".js") for work in SHIPPED}
    scripts, styles = theme_sources("js"), theme_sources("css")
    assert {"rxjs", "lunr", "clipboard"} <= scripts
    assert set() == (scripts | styles) - spelled


@pytest.mark.parametrize(
    ("library", "said"),
    [
        ("lunr", "@license MIT"),
        ("clipboard", "Licensed MIT © Zeno Rocha"),
        ("escape-html", "MIT Licensed"),
        ("tslib", WORDS["0BSD"]),
    ],
)
def test_libraries_that_state_their_license_in_their_source_state_the_one_named(
    library: str, said: str
) -> None:
    sources = [text for name, text in theme_texts() if f"node_modules/{library}/" in name]
    assert any(said in words_of(text) for text in sources)
    work = next(work for work in SHIPPED if work.name.lower().removesuffix(".js") == library)
    assert WORDS[work.license] in license_text(work)


def test_every_icon_is_of_a_set_that_is_named(built_site: Path) -> None:
    style = "".join(file.read_text("utf-8") for file in (built_site / "assets/stylesheets").glob("*.css"))
    in_style = {icons()[plain(shape)] for shape in re.findall(r" d='([^']+)'", style)}
    in_pages = {
        icons()[plain(shape)]
        for path in below(built_site)
        if path.endswith(".html")
        for shape in re.findall(r' d="([^"]+)"', (built_site / path).read_text("utf-8"))
        if plain(shape) in icons()
    }
    assert {"material", "octicons", "fontawesome"} == in_style
    assert {"material"} == in_pages
    assert all(is_in(named(ICON_SETS[kind]), "assets/stylesheets/main.x.min.css") for kind in in_style)
    assert is_in(named(ICON_SETS["material"]), "index.html")


@pytest.mark.parametrize(
    "file", [*ASSETS.glob("css/*.css"), *ASSETS.glob("js/**/*.js")], ids=lambda file: file.name
)
def test_no_script_or_style_of_ours_bears_the_mark_of_somebody_else(file: Path) -> None:
    marks = re.compile(r"copyright|\(c\)\s|©|@license|licensed under", re.IGNORECASE)
    assert not marks.search(file.read_text("utf-8"))


class TestTypeface:
    """SIL Open Font License 1.1, condition 2: each copy carries the copyright notice and the license."""

    def says_whose_it_is(self, font: TTFont) -> None:
        assert named("Atkinson Hyperlegible").holder in font["name"].getDebugName(0)
        assert "https://scripts.sil.org/OFL" == font["name"].getDebugName(14)

    @pytest.mark.parametrize("file", sorted(ASSETS.glob("fonts/*.woff2")), ids=lambda file: file.name)
    def test_each_font_file_says_whose_it_is_and_has_its_license_beside_it(self, file: Path) -> None:
        font = TTFont(file)
        self.says_whose_it_is(font)
        assert "Atkinson Hyperlegible" == font["name"].getDebugName(1)
        (text,) = file.parent.glob("LICENSE-*.txt")
        assert font["name"].getDebugName(0) in words_of(text.read_text("utf-8"))
        assert "Reserved Font Name" not in text.read_text("utf-8").split("PREAMBLE")[0], (
            "subsets need a new name"
        )

    @pytest.mark.parametrize(
        "page",
        ["cab.html", "cards/half-letter-all.html", "classroom/placing.html", "vehicles/coach/cab.html"],
    )
    def test_fonts_cut_down_and_put_into_a_page_still_say_it(self, built_site: Path, page: str) -> None:
        text = (built_site / page).read_text("utf-8")
        shared = re.findall(r'<link[^>]* href="([^"]+\.css)"', text)  # beside the page, in the classroom
        texts = [text, *((built_site / page).parent.joinpath(file).read_text("utf-8") for file in shared)]
        embedded = [
            font for one in texts for font in re.findall(r"data:font/woff2;base64,([A-Za-z0-9+/=]+)", one)
        ]
        assert embedded
        for one in embedded:
            self.says_whose_it_is(TTFont(io.BytesIO(base64.b64decode(one))))

    def test_the_lone_cab_file_names_typeface_holder_and_license(self, built_site: Path) -> None:
        shown_text = BeautifulSoup((built_site / "cab.html").read_bytes(), "html.parser").get_text()
        for words in (
            "Atkinson Hyperlegible",
            "Copyright 2020 Braille Institute",
            "SIL Open Font License 1.1",
        ):
            assert words in shown_text

    def test_the_folder_of_one_vehicle_holds_the_license(self, library: Library) -> None:
        context = BuildContext(library, ROOT / "site_overrides")
        vehicle = library.fleet.vehicles[0]
        made = {one.path: one.data for one in vehicles.artifacts(context, vehicle, with_pdf=False)}
        beside = ASSETS / "fonts/LICENSE-atkinson-hyperlegible.txt"
        assert beside.read_bytes() == made[beside.name]
        assert f'href="{beside.name}"' in made["index.html"].decode()
