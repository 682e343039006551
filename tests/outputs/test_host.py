"""The plugin in a MkDocs project of somebody else: what it adds, what it refuses and in which words."""

import base64
import hashlib
import os
import shutil

import pytest
from forty_paces.outputs.common.self_contained import allow_own_scripts, allow_own_styles
from forty_paces.outputs.host import (
    EXTENSIONS,
    ICON,
    POLYFILLS,
    SCRIPTS,
    STYLES,
)
from forty_paces.package import library_overrides
from forty_paces.plugin import BuildFailed, FortyPacesPlugin, build_site
from mkdocs.config import load_config
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import get_files

from tests.faults.projects import BASE
from tests.rule_files import PROJECT

PLAIN = """site_name: Theirs
use_directory_urls: false
theme:
  name: material
  font: false
plugins:
  - offline
  - forty-paces
"""


@pytest.fixture
def project(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772323200")  # 2026-03-01, when the base project is in force
    shutil.copytree(BASE, tmp_path / "theirs")
    (tmp_path / "theirs/docs").mkdir()
    (tmp_path / "theirs/docs/index.md").write_text("# Theirs\n", encoding="utf-8")
    return tmp_path / "theirs"


def configured(project, text):
    """The configuration after the plugin has seen it, as for a preview."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    (project / "mkdocs.yml").write_text(text, encoding="utf-8")
    config = load_config(str(project / "mkdocs.yml"))
    config.plugins.on_startup(command="serve", dirty=False)
    return config.plugins.on_config(config)


def refused(project, text):
    with pytest.raises(PluginError) as error:
        configured(project, text)
    return str(error.value)


def test_styles_scripts_extensions_and_templates_are_added_where_they_are_missing(project):
    config = configured(project, PLAIN)
    assert list(STYLES) == config.extra_css
    assert list(SCRIPTS) == list(map(str, config.extra_javascript))
    assert list(POLYFILLS) == config.extra["polyfills"]
    assert set(EXTENSIONS) <= set(config.markdown_extensions)
    assert (ICON, ICON) == (config.theme["logo"], config.theme["favicon"])
    assert str(library_overrides()) == config.theme.dirs[0]


def test_their_own_styles_come_after_ours_and_their_templates_before(project):
    (project / "theme").mkdir()
    text = PLAIN.replace("  font: false\n", "  font: false\n  custom_dir: theme\n")
    config = configured(project, f"{text}extra_css: [own.css]\n")
    assert [*STYLES, "own.css"] == config.extra_css
    assert [str(project / "theme"), str(library_overrides())] == config.theme.dirs[:2]


def test_the_demo_names_everything_itself_and_nothing_is_added(monkeypatch):
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    before = load_config(str(PROJECT / "mkdocs.yml"))
    after = load_config(str(PROJECT / "mkdocs.yml"))
    after.plugins.on_startup(command="serve", dirty=False)
    after = after.plugins.on_config(after)
    for name in ("extra_css", "markdown_extensions"):
        assert before[name] == after[name]
    assert list(map(str, before.extra_javascript)) == list(map(str, after.extra_javascript))
    assert before.theme.dirs == after.theme.dirs


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("name: material", "name: mkdocs", 'the theme is "mkdocs", and the pages need "material"'),
        ("  font: false\n", "", "write 'font: false' below theme in mkdocs.yml"),
        ("  - offline\n", "", "add 'offline' below plugins in mkdocs.yml, before forty-paces"),
        ("  - offline\n", "  - offline:\n      enabled: false\n", "add 'offline' below plugins"),
        (
            "site_name",
            "extra_css: ['https://example.org/a.css']\nsite_name",
            "extra_css names https://example.org",
        ),
        (
            "site_name",
            "extra_javascript: [//example.org/a.js]\nsite_name",
            "extra_javascript names //example.org",
        ),
        (
            "site_name",
            "extra: {polyfills: ['https://example.org/p.js']}\nsite_name",
            "extra.polyfills names https://example.org",
        ),
        (
            "site_name",
            "extra: {analytics: {provider: google}}\nsite_name",
            "extra.analytics asks an outside host",
        ),
    ],
)
def test_what_would_lose_styles_or_the_offline_promise_is_refused_in_one_sentence(project, old, new, wanted):
    assert old in PLAIN
    text = PLAIN.replace(old, new, 1)
    error = refused(project, text.replace("- offline", "- material/offline") if "mkdocs" in new else text)
    assert wanted in error
    assert 1 == len(error.splitlines())


def test_everything_that_is_wrong_is_reported_in_one_run(project):
    error = refused(project, PLAIN.replace("  font: false\n", "").replace("  - offline\n", ""))
    assert 2 == len(error.splitlines())


def test_a_build_says_it_too_without_a_traceback(project, tmp_path):
    (project / "mkdocs.yml").write_text(PLAIN.replace("  font: false\n", ""), encoding="utf-8")
    with pytest.raises(BuildFailed, match="write 'font: false' below theme"):
        build_site(project, site_dir=tmp_path / "site", cards=False)
    assert not (tmp_path / "site").exists()


def test_a_broken_template_is_reported_with_its_line(project, tmp_path):
    (project / "theme/templates/pages").mkdir(parents=True)
    (project / "theme/templates/pages/start.md.j2").write_text("one\n{% if %}\n", encoding="utf-8")
    text = PLAIN.replace("  font: false\n", "  font: false\n  custom_dir: theme\n")
    (project / "mkdocs.yml").write_text(text, encoding="utf-8")
    with pytest.raises(BuildFailed, match=r"site_overrides/templates/pages/start\.md\.j2:2: "):
        build_site(project, site_dir=tmp_path / "site", cards=False)


def test_content_files_in_their_documentation_folder_are_not_published(project):
    config = configured(project, PLAIN + "docs_dir: content\n")
    files = config.plugins.on_files(get_files(config), config=config)
    assert [] == [file.src_uri for file in files if file.src_uri.endswith(".yml")]


POLICY = "<meta content=\"script-src 'self' 'sha256-of-own-scripts'\">"


def allowed(text):
    """The source expression of Content Security Policy Level 3, 2.3.1: SHA-256 in base64."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_a_page_allows_the_scripts_of_its_frame_by_hash_and_none_of_its_prose():
    prose = "<p>Text</p><script>bad()</script>"
    page = allow_own_scripts(f"{POLICY}<script>good()</script>{prose}<script src='a.js'></script>", prose)
    assert f"script-src 'self' {allowed('good()')}\"" in page
    assert allowed("bad()") not in page


def test_a_script_of_the_frame_that_stands_in_prose_too_is_allowed_once_and_data_is_no_script():
    data = '<script id="c" type="application/json">{}</script>'
    page = allow_own_scripts(f"{POLICY}<script>a()</script><script>a()</script>{data}", "")
    assert f"script-src 'self' {allowed('a()')}\"" in page


def test_a_page_without_inline_scripts_allows_none():
    assert "<meta content=\"script-src 'self'\">" == allow_own_scripts(POLICY, "")


def test_the_page_for_unknown_addresses_allows_its_own_style_sheet_by_hash():
    page = allow_own_styles("<meta content=\"style-src 'sha256-of-own-styles'\"><style>p{}</style>")
    assert f'style-src {allowed("p{}")}"' in page


class Server:
    """Takes what is to be watched."""

    def __init__(self):
        self.watched = []

    def watch(self, path):
        self.watched.append(path)


def test_a_preview_watches_content_templates_and_styles(project):
    (project / "theme").mkdir()
    config = configured(project, PLAIN.replace("  font: false\n", "  font: false\n  custom_dir: theme\n"))
    plugin = next(one for one in config.plugins.values() if isinstance(one, FortyPacesPlugin))
    server = Server()
    plugin.on_serve(server, config=config, builder=lambda: None)
    assert {str(project / "content"), str(project / "theme"), str(library_overrides())} == set(server.watched)
