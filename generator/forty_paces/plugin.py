"""The MkDocs plugin: adds the generated pages to a build and publishes the finished site.

The only module that imports MkDocs. All content findings are collected before anything is written. A build
runs in a staging folder beside the site; the swap happens only after the last plugin has finished, without
findings and (in strict mode) without a logged warning.
"""

from __future__ import annotations

import gc
import logging
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Literal

from click import echo
from jinja2 import Environment, TemplateError, TemplateNotFound
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.base import Config
from mkdocs.config.config_options import Type
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError, PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils import CountHandler
from mkdocs.utils.templates import TemplateContext

from forty_paces.authoring.clock import BadClock
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.layers import Layers
from forty_paces.authoring.library import Library, load_library
from forty_paces.drawing.symbols import NAMES as SYMBOLS
from forty_paces.messages.languages import npgettext, pgettext
from forty_paces.messages.pages import translation_note
from forty_paces.outputs import host, site
from forty_paces.outputs.common import raw_html as raw_blocks
from forty_paces.outputs.common.context import EDITION_ID, BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.progress import NO_PROGRESS, SELDOM, ProgressListener, rare_collection
from forty_paces.outputs.common.self_contained import allow_own_scripts, allow_own_styles
from forty_paces.outputs.common.templates import ShownFiles, cache_compiled_templates
from forty_paces.outputs.common.translations import Translated, context_of, translations
from forty_paces.outputs.common.typesetting import long_date
from forty_paces.outputs.edition import offline, publication
from forty_paces.outputs.edition.edition_file import CannotSeal, refuse_used_number
from forty_paces.outputs.edition.offline import signed_library
from forty_paces.outputs.edition.signing import SigningKey
from forty_paces.outputs.paper import layout_cache
from forty_paces.outputs.preview import KeptPages
from forty_paces.package import library_overrides
from forty_paces.page_speech import PageSpeech

OWN_NAME = "forty-paces"
"""The plugin's name in the entry point and in mkdocs.yml."""

FIRST, LAST = 200, -200
"""Event priorities: before plugins that read the theme's templates; after the theme's own offline support
(-100), so that every file is final."""


def _overrides(config: MkDocsConfig) -> Path:
    """The project's ``custom_dir``, or the library's folder."""
    return Path(config.theme.custom_dir) if config.theme.custom_dir else library_overrides()


class BuildFailed(Exception):
    """The site was not built; the message says why. The last good site is unchanged."""


class PluginSettings(Config):  # type: ignore[no-untyped-call]
    """Settings of the plugin in mkdocs.yml."""

    cards = Type(bool, default=True)
    "Whether to build the card set and the PDF files (the slowest outputs) with the site."

    cards_in_preview = Type(bool, default=False)
    "Whether ``mkdocs serve`` builds them too, at every change."


class FortyPacesPlugin(BasePlugin[PluginSettings]):  # type: ignore[no-untyped-call]
    """Builds pages, the cab file, cards and the classroom from content/."""

    def __init__(self) -> None:
        self.command: str = "build"
        self.library: Library | None = None
        self.layers: Layers | None = None
        self.stage: Path | None = None
        self.final: Path | None = None
        self.watch: ProgressListener = NO_PROGRESS
        self.key: SigningKey | None = None
        self.fault: Exception | None = None
        self.blocks: dict[str, tuple[str, ...]] = {}
        self.sources: dict[str, str] = {}
        self.kept = KeptPages()
        self.nav: Navigation | None = None
        self.translated: tuple[Translated, ...] = ()
        self.speech = PageSpeech()
        self.warnings = CountHandler()
        self.warnings.setLevel(logging.WARNING)

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Record whether this is a build, which is staged, or a preview, which is not."""
        self.command = command
        self.kept = KeptPages()
        if command == "serve":
            gc.set_threshold(SELDOM, *gc.get_threshold()[1:])  # what a preview keeps is never garbage

    @event_priority(FIRST)
    def _cache_templates(self, config: MkDocsConfig) -> MkDocsConfig:
        """Cache the theme's compiled templates: every build makes environments of its own."""
        get_env = config.theme.get_env

        def with_cache() -> Environment:
            env = get_env()
            cache_compiled_templates(env)
            env.loader = ShownFiles(config.theme.dirs)
            return env

        config.theme.get_env = with_cache  # type: ignore[method-assign]
        return config

    def _read_content(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read and check all content, and open the staging folder. ``PluginError`` has all findings."""
        project = Path(config.config_file_path or "mkdocs.yml").resolve().parent
        if refused := list(host.refusals(config)):
            raise PluginError("\n".join(refused))
        try:
            self.library = signed_library(load_library(project, symbols=SYMBOLS), self.key)
        except (BadClock, ContentFault) as fault:
            raise PluginError(str(fault)) from None
        self.layers = Layers.of(project)[0]
        host.complete(config, library_overrides())
        edition = self.library.edition
        config.extra["edition"] = replace(edition, id=EDITION_ID) if self._is_preview else edition
        config.extra.update(edition_day=long_date(edition.date), carrier=self.library.fleet.carrier)
        if self.command == "build":
            self._open_stage(config)
        return config

    on_config = CombinedEvent(_cache_templates, _read_content)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the generated files and remove those that only the build needs."""
        library = self._checked_library()
        for file in list(files):
            if site.is_build_only(file.src_uri) or self._is_content(file):
                files.remove(file)
        for page in self.layers.pages() if self.layers is not None else ():
            folders = (str(page.file.parent), config.site_dir)
            files.append(File(page.file.name, *folders, use_directory_urls=config.use_directory_urls))
        project = Path(config.config_file_path or "mkdocs.yml").resolve().parent
        try:
            self.translated = translations(library, project, _overrides(config))
        except ContentFault as fault:
            raise PluginError(str(fault)) from None
        context = context_of(library, _overrides(config), self.translated, self.watch)
        if self._is_preview:
            context = self.kept.with_parts(context, library_overrides())
        with_cards = self.config.cards and (self.command != "serve" or self.config.cards_in_preview)
        parts: list[site.Part] = [*site.output_builders(with_cards=with_cards)]
        parts += [partial(site.artifacts_in, one, with_cards=with_cards) for one in self.translated]
        pages = len(files.documentation_pages())
        self.watch.expect(len(parts) + pages)
        for part in parts:
            for artifact in self._made(part, context):
                if (existing := files.get_file_from_path(artifact.path)) is not None:
                    files.remove(existing)
                files.append(File.generated(config, artifact.path, content=artifact.content))
            known, pages = pages, len(files.documentation_pages())
            self.watch.expect(pages - known)  # rendered after all outputs are built
            self.watch.step()
        if config.nav is None:
            made = {file.src_uri for file in files}
            others = (site.navigation_in(one, made) for one in self.translated)
            config.nav = [*site.navigation(library, made), *others]
        if self._is_preview:
            self.kept.begin(config, files)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        """Remember the navigation: in a preview it decides which rendered pages still hold."""
        self.nav = nav
        return nav

    def on_serve(
        self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable[..., None]
    ) -> LiveReloadServer:
        """Watch content, templates, styles and scripts too, wherever they are."""
        assert self.layers is not None, "on_config runs first"
        folders = {self.layers.project / "content", _overrides(config), library_overrides()}
        if self.layers.library is not None:
            folders.add(self.layers.library / "content")
        for folder in sorted(folders):
            server.watch(str(folder))
        return server

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Take texts by their ids in the theme's templates; in a preview, put kept pages in their place."""
        env.globals.update(pgettext=pgettext, npgettext=npgettext, translation_note=translation_note)
        self.speech = PageSpeech(files)  # one instance of a plugin serves all builds of a process
        if self._is_preview:
            self.kept.enter_frame(env, config, self.nav, (file.page for file in files.documentation_pages()))
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Fit prose to the rule set in force, and put placeholders for the HTML of generated pages."""
        is_prose = page.file.generated_by != OWN_NAME
        markdown = site.prose(self._checked_library(), markdown) if is_prose else markdown
        if self._is_preview:
            if self.kept.has_source(page, markdown):
                return ""  # kept whole, so it needs no text
            self.sources[page.file.src_uri] = markdown
        if is_prose:
            return markdown
        text, self.blocks[page.file.src_uri] = raw_blocks.extract_html_blocks(markdown)
        return text

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Restore it, except for drawings, which the search plugin would parse and then drop."""
        if self.kept.restore_text(page, files):
            return ""  # the search plugin has read it already
        whole = raw_blocks.restore_blocks(html, self.blocks.pop(page.file.src_uri, ()))
        text, self.blocks[page.file.src_uri] = raw_blocks.extract_figures(whole)
        if self._is_preview:
            source = self.sources.pop(page.file.src_uri)
            self.kept.keep_text(page, source, text, self.blocks[page.file.src_uri])
        return text

    def on_pre_page(self, page: Page, *, config: MkDocsConfig, files: Files) -> Page:
        """Date the page by its edition, so that the site map does not depend on the day of the build."""
        page.update_date = self._checked_library().edition.date.isoformat()
        return page

    @event_priority(LAST)
    def on_page_context(
        self, context: TemplateContext, *, page: Page, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Restore the drawings, now that the search plugin has read the page."""
        kept = self.kept.enter_context(context, page)
        text, drawings = page.content or "", self.blocks.pop(page.file.src_uri, ())
        if kept is not None:
            text, drawings = kept.text, kept.drawings
        page.content = raw_blocks.restore_blocks(text, drawings)
        return self.speech.open(context, page, config, nav, self.translated)

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Allow the theme's own inline scripts, and report the page as one step of progress."""
        self.watch.step()
        self.speech.close(config)
        self.kept.keep_rendered(page, output)
        output = output if self._is_preview else self.speech.searching(output, page)
        return self._numbered(allow_own_scripts(output, page.content or ""))

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:
        """Allow the style sheet of the page for unknown addresses."""
        return allow_own_styles(self._numbered(output))

    @event_priority(LAST)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Remove unused files, seal the site and publish it."""
        if self.command != "build" or self.stage is None or self.final is None:
            return
        site.remove_unused_theme_files(self.stage)
        self.speech.divide_search(self.stage)
        try:
            offline.seal_site(self.stage, self._checked_library(), self.key)
            if self.key is not None:
                refuse_used_number(self.stage, self.final)
        except CannotSeal as fault:
            raise PluginError(f"{fault}; the last good site was left as it was") from None
        if config.strict and self.warnings.get_counts():
            raise PluginError("warnings stand in strict mode; the last good site was left as it was")
        publication.publish(self.stage, self.final)
        config.site_dir = str(self.final)
        self._forget_stage()

    def on_build_error(self, *, error: Exception) -> None:
        """Keep the error for the message and remove the staging folder."""
        self.fault = error
        if self.stage is not None:
            publication.discard(self.stage)
            self._forget_stage()

    @property
    def _is_preview(self) -> bool:
        return self.command == "serve"

    def _numbered(self, output: str) -> str:
        """The output with the edition's id, for which a preview writes a placeholder."""
        return output.replace(EDITION_ID, self._checked_library().edition.id) if self._is_preview else output

    @staticmethod
    def _made(part: site.Part, context: BuildContext) -> Iterator[Artifact]:
        """The files of one output. A card that its text overflows is a finding like any other."""
        try:
            yield from part(context)
        except ContentFault as fault:
            raise PluginError(str(fault)) from None
        except TemplateNotFound as fault:
            raise PluginError(f"site_overrides/templates/{fault}: the template is missing") from None
        except TemplateError as fault:
            where = f"{getattr(fault, 'name', None) or 'a template'}:{getattr(fault, 'lineno', 1)}"
            raise PluginError(f"site_overrides/templates/{where}: {fault}") from None

    def _is_content(self, file: File) -> bool:
        """Whether a file of the documentation folder is content that is read, and so no part of the site."""
        top = self.layers.project / "content" if self.layers is not None else None
        read = file.src_uri.endswith(".yml") or file.src_uri.startswith("languages/")
        return read and Path(file.src_dir or "") == top

    def _open_stage(self, config: MkDocsConfig) -> None:
        logging.getLogger("mkdocs").addHandler(self.warnings)
        self.final = Path(config.site_dir)
        try:
            publication.clear_leftovers(self.final)
            self.stage = publication.open_stage(self.final)
        except FileExistsError as error:
            raise PluginError(f"{self.final}: {error.strerror}") from None
        except OSError as error:
            raise PluginError(f"cannot write beside {self.final.name}/: {error.strerror}") from None
        config.site_dir = str(self.stage)

    def _forget_stage(self) -> None:
        self.stage = None
        logging.getLogger("mkdocs").removeHandler(self.warnings)

    def _checked_library(self) -> Library:
        assert self.library is not None, "on_config runs first"
        return self.library


def build_site(
    project: Path,
    *,
    site_dir: Path | None = None,
    cards: bool = True,
    watch: ProgressListener = NO_PROGRESS,
    key: SigningKey | None = None,
) -> Path:
    """Build the project's site as ``mkdocs build`` does and return its folder.

    ``watch`` receives the progress; ``key`` signs the edition. Raises :class:`BuildFailed` with every
    finding in its message, and ``OSError`` where a file cannot be written.
    """
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    plugin: FortyPacesPlugin | None = None
    with _collected_warnings() as warnings, rare_collection(), layout_cache.left_alone(key is not None):
        try:
            folder = str(site_dir.resolve()) if site_dir else None
            config = load_config(str(project / "mkdocs.yml"), site_dir=folder)
            plugin = next(p for p in config.plugins.values() if isinstance(p, FortyPacesPlugin))
            plugin.config.cards, plugin.watch, plugin.key = cards, watch, key
            config.plugins.on_startup(command="build", dirty=False)
            build(config)
            config.plugins.on_shutdown()
        except (Abort, ConfigurationError, PluginError) as error:
            fault = plugin.fault if plugin is not None and plugin.fault is not None else error
            others = [warning for warning in warnings if warning != str(fault)]
            raise BuildFailed("\n".join([*others, str(fault)])) from None
        except OSError as error:
            if error.filename is None and isinstance(error.errno, int):
                error.filename = str((site_dir or project / "site").resolve())
            raise
        except StopIteration:
            raise BuildFailed("mkdocs.yml does not list the plugin: add forty-paces below plugins") from None
        finally:
            if plugin is not None:  # MkDocs uses one instance of a plugin for all builds of a process
                plugin.key, plugin.watch = None, NO_PROGRESS
    for warning in warnings:
        echo(warning, err=True)
    return Path(config.site_dir)


@contextmanager
def _collected_warnings() -> Iterator[list[str]]:
    """Collect MkDocs' warnings for the message, instead of printing them over the progress bar."""
    messages: list[str] = []

    class Collector(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            messages.append(record.getMessage())

    logger, collector = logging.getLogger("mkdocs"), Collector(logging.WARNING)
    before = logger.propagate
    logger.addHandler(collector)
    logger.propagate = False
    try:
        yield messages
    finally:
        logger.removeHandler(collector)
        logger.propagate = before
