"""The preview (``mkdocs serve``): an edit renders what it changes, and the whole is as a new preview."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from forty_paces.outputs.common.context import EDITION_ID
from forty_paces.outputs.preview import KeptPages
from forty_paces.plugin import FortyPacesPlugin, build_site
from jinja2 import Environment
from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.projects import small_project


def previewed(project: Path, site: Path, *, anew: bool = False) -> FortyPacesPlugin:
    """Build a preview as ``mkdocs serve`` does; ``anew``, as its first build."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    config = load_config(str(project / "mkdocs.yml"), site_dir=str(site))
    plugin = next(one for one in config.plugins.values() if isinstance(one, FortyPacesPlugin))
    if anew:
        config.plugins.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/")
    return plugin


def files_of(site: Path) -> dict[str, bytes]:
    files = (file for file in site.rglob("*") if file.is_file())
    return {file.relative_to(site).as_posix(): file.read_bytes() for file in files}


def differences(ones: dict[str, bytes], others: dict[str, bytes]) -> dict[str, tuple[bytes, bytes]]:
    """Of each file that differs, the first bytes that do, with what stands before them."""
    found = {}
    for path in sorted(ones.keys() | others.keys()):
        one, other = ones.get(path, b""), others.get(path, b"")
        if one != other or (path in ones) != (path in others):
            at = next((i for i, pair in enumerate(zip(one, other, strict=False)) if len({*pair}) > 1), 0)
            found[path] = one[max(0, at - 80) : at + 80], other[max(0, at - 80) : at + 80]
    return found


def replaced(path: str, old: str, new: str) -> Callable[[Path], None]:
    """An edit of one file."""

    def edit(project: Path) -> None:
        text = (project / path).read_text(encoding="utf-8")
        assert old in text, path
        (project / path).write_text(text.replace(old, new, 1), encoding="utf-8")

    return edit


EDITS: dict[str, tuple[tuple[Callable[[Path], None], ...], set[str] | None]] = {
    "a text of a procedure, and an anchor that other pages link to": (
        (
            replaced("content/procedures/flood.yml", "deeper in a minute", "deeper within a minute"),
            replaced("content/tablets.md", "{: #install }", "{: #setup }"),
        ),
        {"procedures/flood.md", "tablets.md", "about.md"},  # about shows the edition's id
    ),
    "a title in the navigation": (
        (replaced("content/procedures/flood.yml", "title: Flood water over", "title: Flood water across"),),
        None,
    ),
    "a template of every page": (
        (replaced("site_overrides/main.html", "<strong>Stop", '<strong class="first">Stop'),),
        None,
    ),
}
"""Edits, and the pages that are made anew where the frame of all pages stays as it was."""


@pytest.mark.long
def test_after_every_edit_the_preview_is_what_a_new_one_would_be(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    project, site = small_project(tmp_path / "small", linked=False), tmp_path / "site"
    previewed(project, site, anew=True)
    ours = files_of(site)
    for name, (edits, expected) in EDITS.items():
        before = ours
        for edit in edits:
            edit(project)
        caplog.clear()
        with caplog.at_level(logging.WARNING, logger="mkdocs"):
            plugin = previewed(project, site)
        warned = sorted(caplog.messages)
        kept, ours = plugin.kept, files_of(site)
        assert expected in (None, kept.now.keys() - kept.known.keys()), name
        assert ours["index.html"] != before["index.html"], name
        assert EDITION_ID.encode() not in b"".join(ours.values())
        if expected is not None:
            assert [message for message in warned if "#install" in message]
        caplog.clear()
        with caplog.at_level(logging.WARNING, logger="mkdocs"):
            previewed(project, tmp_path / "new", anew=True)
        theirs, plugin.kept = files_of(tmp_path / "new"), kept
        assert {} == differences(ours, theirs), name
        assert sorted(caplog.messages) == warned, name
    built = files_of(build_site(project, site_dir=tmp_path / "built", cards=False))
    pages = [path for path in built if path.endswith(".html")]
    assert len(pages) > 20
    compared = [*pages, "search/search_index.json"]
    assert {} == differences(
        {path: built[path] for path in compared}, {path: ours[path] for path in compared}
    )


@pytest.mark.parametrize(
    ("plugins", "settings", "kept"),
    [
        (("material/search", "offline", "forty-paces"), "site_name: X", True),
        (("material/search", "macros", "forty-paces"), "site_name: X", False),
        (("offline", "forty-paces"), "site_name: X", False),
        (("material/search", "offline", "forty-paces"), "INHERIT: ../base.yml", False),
    ],
)
def test_pages_are_kept_only_where_no_other_plugin_and_no_other_settings_take_part(
    plugins: tuple[str, ...], settings: str, kept: bool, tmp_path: Path
) -> None:
    pages = KeptPages()
    pages.begin(configuration(tmp_path, plugins, settings), [])
    assert kept is (pages.entries is not None)


@pytest.mark.parametrize("changed", ["", "carrier", "nav", "settings", "files", "template"])
def test_a_rendered_page_is_used_again_only_in_the_same_frame(changed: str, tmp_path: Path) -> None:
    pages, files = KeptPages(folders={tmp_path}), [SimpleNamespace(src_uri="fog.md", url="fog.html")]
    template = tmp_path / "main.html"
    template.write_text("one", encoding="utf-8")

    def built(change: str) -> str | None:
        """The template that a build takes for the page."""
        if change == "template":
            template.write_text("another", encoding="utf-8")
        config = configuration(tmp_path, settings=f"site_name: {change if change == 'settings' else 'X'}")
        config.extra = {"carrier": change if change == "carrier" else "X"}
        others = [SimpleNamespace(src_uri="ice.md", url="ice.html")] if change == "files" else []
        page = SimpleNamespace(file=files[0], url="fog.html", meta={}, title="Fog", toc=[])
        page.present_anchor_ids, page.links_to_anchors = set[str](), {}
        pages.begin(config, [*files, *others])
        if not pages.has_source(page, "Text."):
            pages.keep_text(page, "Text.", "<p>Text.</p>", ())
        pages.enter_frame(Environment(), config, "Other" if change == "nav" else "Fog", [page])
        pages.keep_rendered(page, "<html>")
        return page.meta.get("template")

    assert built("") is None
    assert (built(changed) is None) == bool(changed)


def test_a_page_that_a_failed_build_never_rendered_is_made_anew(tmp_path: Path) -> None:
    """Its search entries were not read, or it stands in the frame of the build before."""
    pages, config = KeptPages(), configuration(tmp_path)

    def page() -> SimpleNamespace:
        one = SimpleNamespace(file=SimpleNamespace(src_uri="fog.md"), url="fog.html", meta={}, title="Fog")
        one.toc, one.present_anchor_ids, one.links_to_anchors = [], set[str](), {}
        return one

    pages.begin(config, [])
    pages.keep_text(page(), "Text.", "<p>Text.</p>", ())  # and then it fails
    pages.begin(config, [])
    assert not pages.has_source(page(), "Text.")
    pages.keep_text(page(), "Text.", "<p>Text.</p>", ())
    pages.enter_frame(Environment(), config, "Fog", [page()])
    pages.keep_rendered(page(), "<html>")

    for nav, kept in (("Fog and ice", False), ("Fog and ice", False), ("Fog", True)):
        pages.begin(config, [])
        assert pages.has_source(page(), "Text.")
        again = page()
        pages.enter_frame(Environment(), config, nav, [again])  # fails before it is rendered
        assert kept is ("template" in again.meta)


def configuration(
    folder: Path, plugins: tuple[str, ...] = ("search",), settings: str = ""
) -> SimpleNamespace:
    """What is read of a configuration of MkDocs."""
    file = folder / "mkdocs.yml"
    file.write_text(settings, encoding="utf-8")
    index = SimpleNamespace(search_index=SimpleNamespace(entries=[]))
    return SimpleNamespace(
        config_file_path=str(file), plugins=dict.fromkeys(plugins, index), extra={}, extra_css=[]
    )
