"""Renders each page of a site in its language, while MkDocs renders page after page.

A page below ``es/`` takes its texts from that language's catalog, the theme's own words from the theme, and
its navigation from its own part of the site's. Every page names the same page in the other languages.
"""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation, Section
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from forty_paces.messages.languages import speaking
from forty_paces.messages.pages import SITE
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, Language
from forty_paces.outputs.common.other_languages import divide_index, with_own_search
from forty_paces.outputs.common.translations import Translated
from forty_paces.outputs.common.typesetting import long_date


@dataclass(frozen=True, slots=True)
class Alternate:
    """A page in another language."""

    language: Language
    url: str
    "From the root of the site."


class PageSpeech:
    """The language of the page that is being rendered."""

    def __init__(self, files: Files | None = None) -> None:
        self.files = files
        self.stack = ExitStack()
        self.theme_language = ""
        self.theme_palette: Any = None
        self.folders: frozenset[str] = frozenset()

    def open(
        self,
        context: TemplateContext,
        page: Page,
        config: MkDocsConfig,
        nav: Navigation,
        translated: tuple[Translated, ...],
    ) -> TemplateContext:
        """Begin a page: its language, its part of the navigation, and the links to the other languages."""
        self.theme_language = self.theme_language or config.theme["language"]
        self.theme_palette = self.theme_palette or config.theme.get("palette")
        if not translated:
            return context
        folder = page.file.src_uri.partition("/")[0]
        self.folders = frozenset(one.language.short for one in translated)
        own = next((one for one in translated if one.language.short == folder), None)
        if own is not None:
            self.stack.enter_context(speaking(own.catalog))
            config.theme["language"] = own.language.tag.partition("-")[0]
            config.theme["palette"] = _palette_in_force(self.theme_palette)
            page.meta.setdefault("description", SITE["description"])
            context["edition_day"] = long_date(own.library.edition.date)  # type: ignore[typeddict-unknown-key]
        context["alternates"] = self._alternates(page, own, translated)  # type: ignore[typeddict-unknown-key]
        context["page_language"] = (own.language if own else ENGLISH_LANGUAGE).tag  # type: ignore[typeddict-unknown-key]
        context["nav"] = _part_of(nav, own, translated)
        _stay_within(page, own, translated)
        return context

    def searching(self, output: str, page: Page) -> str:
        """A page that searches the pages of its own language, see :mod:`.other_languages`."""
        return with_own_search(output) if page.file.src_uri.partition("/")[0] in self.folders else output

    def divide_search(self, site: Path) -> None:
        """Give each other language of a built site a search index of its own."""
        divide_index(site, sorted(self.folders))

    def close(self, config: MkDocsConfig) -> None:
        """End the page."""
        self.stack.close()
        if self.theme_language:
            config.theme["language"] = self.theme_language
            config.theme["palette"] = self.theme_palette

    def _alternates(
        self, page: Page, own: Translated | None, translated: tuple[Translated, ...]
    ) -> tuple[Alternate, ...]:
        """The same page in every language that has it, its own among them; none where it stands alone."""
        plain = page.file.src_uri.removeprefix(f"{own.language.short}/" if own else "")
        listed = []
        for language in (ENGLISH_LANGUAGE, *(one.language for one in translated)):
            path = f"{language.short}/{plain}" if language.short else plain
            file = self.files.get_file_from_path(path) if self.files is not None else None
            if file is not None:
                listed.append(Alternate(language, file.url))
        return tuple(listed) if len(listed) > 1 else ()


def _palette_in_force(palette: Any) -> Any:
    """The theme's palettes, their switches named in the language in force."""
    if not isinstance(palette, list):
        return palette
    named = []
    for one in palette:
        words = SITE["day-view" if one.get("scheme") == "slate" else "night-view"]
        named.append({**one, "toggle": {**one["toggle"], "name": words}} if one.get("toggle") else one)
    return named


def _part_of(nav: Navigation, own: Translated | None, translated: tuple[Translated, ...]) -> Navigation:
    """The navigation of one language: its own entries at the top, and no other language's."""
    names = {one.language.name for one in translated}
    parts = {
        item.title: item
        for item in nav.items
        if isinstance(item, Section) and item.title in names and item.parent is None
    }
    if own is not None and (part := parts.get(own.language.name)) is not None:
        items = part.children
    else:
        items = [item for item in nav.items if item not in parts.values()]
    shown = Navigation(items, nav.pages)
    shown.homepage = nav.homepage
    return shown


def _stay_within(page: Page, own: Translated | None, translated: tuple[Translated, ...]) -> None:
    """Do not lead from the last page of one language to the first of the next."""
    folders = tuple(f"{one.language.short}/" for one in translated)
    mine = f"{own.language.short}/" if own else ""
    for name in ("previous_page", "next_page"):
        other = getattr(page, name)
        if other is None:
            continue
        uri = other.file.src_uri
        inside = uri.startswith(mine) if mine else not uri.startswith(folders)
        if not inside:
            setattr(page, name, None)
