"""The MkDocs plugin: what a preview makes, and what is on the frame of every page."""

from __future__ import annotations

import datetime as dt
import json
import os
from pathlib import Path
from typing import Literal

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.edition import Edition
from forty_paces.outputs import site as site_parts
from forty_paces.outputs.common.typesetting import long_date
from forty_paces.outputs.edition.signing import new_key, read_signing_key
from forty_paces.plugin import BuildFailed, FortyPacesPlugin, build_site
from jinja2 import Environment
from material.plugins.search.plugin import Parser
from mkdocs.config import load_config
from mkdocs.structure.files import get_files

from tests.projects import small_project


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_project(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="module")
def site(project: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_site(project, site_dir=tmp_path_factory.mktemp("built") / "site", cards=False)


def made(project: Path, command: Literal["build", "serve"], **settings: bool) -> list[str]:
    """The files that a build or a preview of the project adds."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    config = load_config(str(project / "mkdocs.yml"))
    plugin = next(p for p in config.plugins.values() if isinstance(p, FortyPacesPlugin))
    for name, value in settings.items():
        plugin.config[name] = value
    config.plugins.on_startup(command=command, dirty=False)
    config = config.plugins.on_config(config)
    files = config.plugins.on_files(get_files(config), config=config)
    if command == "build":
        config.plugins.on_build_error(error=Exception("enough is known"))  # removes the staging folder
    return [file.src_uri for file in files if file.generated_by]


def previewed_edition(project: Path) -> Edition:
    """The edition that the pages of a preview name."""
    config = load_config(str(project / "mkdocs.yml"))
    config.plugins.on_startup(command="serve", dirty=False)
    edition = config.plugins.on_config(config).extra["edition"]
    assert isinstance(edition, Edition)
    return edition


def test_a_preview_prints_no_cards_and_no_pdf(project: Path) -> None:
    files = made(project, "serve")
    assert "procedures/hydroplaning.md" in files
    assert "cab.html" in files
    assert [] == [path for path in files if path.endswith(".pdf")]
    assert ["cards/index.md"] == [path for path in files if path.startswith("cards/")]


def test_a_preview_prints_cards_where_the_settings_ask_for_them(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    monkeypatch.setattr(site_parts, "output_builders", lambda *, with_cards: asked.append(with_cards) or ())
    made(project, "serve", cards_in_preview=True)
    made(project, "serve", cards_in_preview=True, cards=False)
    made(project, "build")
    assert [True, False, True] == asked


def test_the_foot_of_every_page_says_the_day_of_the_edition_in_words(site: Path) -> None:
    foot = BeautifulSoup((site / "index.html").read_text("utf-8"), "html.parser").select_one(".edition-foot")
    assert foot is not None
    day = dt.date.fromisoformat(json.loads((site / "edition.json").read_text("utf-8"))["date"])
    assert long_date(day) in foot.get_text(" ", strip=True)


def test_the_page_for_a_wrong_address_needs_no_other_file(site: Path) -> None:
    page = BeautifulSoup((site / "404.html").read_text("utf-8"), "html.parser")
    assert [] == page.select("script, link, img, svg")
    assert ["No such page"] == [one.get_text() for one in page.select("h1")]
    assert len(page.select("a")) == 1


def test_the_search_reads_no_drawing_and_the_page_shows_it(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    feed = Parser.feed
    monkeypatch.setattr(Parser, "feed", lambda self, data: (read.append(data), feed(self, data)))
    site = build_site(project, site_dir=tmp_path / "site", cards=False)
    assert read
    assert not [text for text in read if "data-search-exclude>" in text and "<figure" in text]
    shown = [page.read_text(encoding="utf-8") for page in site.rglob("*.html")]
    assert [text for text in shown if '<figure class="drawing" data-search-exclude>' in text]
    assert not [text for text in shown if "<div data-block=" in text]


def test_a_preview_after_a_signed_build_is_unsigned(tmp_path: Path) -> None:
    """Whether that build succeeded or failed: MkDocs uses one instance of a plugin for all of a process."""
    project = small_project(tmp_path / "small")
    with (project / "content/fleet.yml").open("a", encoding="utf-8") as fleet:
        fleet.write("\nedition_number: 1\nedition_expires: 2027-05-31\n")
    new_key(tmp_path / "yard.key")
    key = read_signing_key(tmp_path / "yard.key")
    build_site(project, site_dir=tmp_path / "site", cards=False, key=key)
    page = (tmp_path / "site/about.html").read_text(encoding="utf-8")
    assert f"signed, key {key.public.name}" in page
    assert "unsigned" == previewed_edition(project).signature
    (project / "content/extra.yml").write_text("nothing: known\n", encoding="utf-8")
    with pytest.raises(BuildFailed):
        build_site(project, site_dir=tmp_path / "site", cards=False, key=key)
    (project / "content/extra.yml").unlink()
    assert "unsigned" == previewed_edition(project).signature


def test_a_build_after_one_in_two_languages_knows_none_of_them(project: Path) -> None:
    """MkDocs uses one instance of a plugin for all builds of a process."""
    plugin = FortyPacesPlugin()
    plugin.speech.folders = frozenset({"es"})
    config = load_config(str(project / "mkdocs.yml"))
    plugin.on_env(Environment(), config=config, files=get_files(config))
    assert frozenset() == plugin.speech.folders
