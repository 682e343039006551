"""What a preview keeps from one build to the next, so that an edit renders only what it changes.

``mkdocs serve`` builds the whole site after every edit. A page whose source is the same gets its converted
text, anchors and search entries back, and, where the frame around it is the same too, its rendered HTML.
The id of the edition follows from every file, so a placeholder stands for it until the page is written.

Pages are kept only where no plugin of somebody else takes part: it might read anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from jinja2 import BaseLoader, ChoiceLoader, DictLoader, Environment

from forty_paces.outputs.common.context import BuildContext, KeptParts

OWN_PLUGINS = frozenset({"search", "offline", "forty-paces"})
"""The plugins that make a page from nothing but its source, its frame and the list of files."""

_ELSEWHERE = (b"INHERIT", b"!ENV")
"""With these, settings come from more than the one file."""

_KEPT_TEMPLATE = "kept-page"


@dataclass(slots=True)
class KeptPage:
    """One page as a build made it."""

    source: object
    "Text and settings that it was made from."
    text: str
    "Converted, its drawings replaced by placeholders."
    drawings: tuple[str, ...]
    title: str | None
    "What the navigation shows where it names none itself."
    toc: Any
    anchors: set[str] | None
    links: Mapping[str, Mapping[str, str]]
    "Links to anchors of other pages, by the path of the page's source."
    entries: tuple[Any, ...] = ()
    "What the search plugin read from it."
    rendered: str = ""
    "The page before any plugin changed it, without the edition's id; empty where the build failed before."
    frame: object = None
    "What it depends on besides its text."


@dataclass(slots=True)
class KeptPages:
    """The pages of the last build, and those of the build that runs."""

    last: dict[str, KeptPage] = field(default_factory=dict)
    now: dict[str, KeptPage] = field(default_factory=dict)
    known: dict[str, KeptPage] = field(default_factory=dict)
    "Pages of the running build that have the source of the last."
    entries: list[Any] | None = None
    "The search plugin's, growing; None where nothing is kept."
    counted: int = 0
    "Number of search entries before the page at hand."
    parts: KeptParts = field(default_factory=KeptParts)
    folders: set[Path] = field(default_factory=set)
    "They hold templates and assets."
    _around: object = None
    "What texts depend on besides their source."
    _frame: object = None
    "What the rendered pages of the running build depend on besides their text."

    def with_parts(self, context: BuildContext, library_overrides: Path) -> BuildContext:
        """The context of the build that starts, in which outputs keep their parts."""
        self.folders = {context.overrides, library_overrides}
        frame = (context.frame.library, context.languages, tuple(_state_of(self.folders)))
        self.parts.begin(frame, context.library.edition.id)
        return replace(context, parts=self.parts)

    def begin(self, config: Any, files: Iterable[Any]) -> None:
        """Begin with the pages: all are forgotten where settings, files or templates changed."""
        settings = Path(config.config_file_path).read_bytes()
        around = (
            config.config_file_path,
            settings,
            tuple(sorted((file.src_uri, file.url) for file in files)),
            tuple(_state_of(self.folders, (".html", ".j2"))),
        )
        plugins = {name.rpartition("/")[2]: plugin for name, plugin in config.plugins.items()}
        index = getattr(plugins.get("search"), "search_index", None)
        alone = plugins.keys() <= OWN_PLUGINS and not any(word in settings for word in _ELSEWHERE)
        self.entries = getattr(index, "entries", None) if alone else None
        self.last = self.now if self.entries is not None and around == self._around else {}
        self.now, self.known, self.counted, self._around = {}, {}, 0, around

    def has_source(self, page: Any, markdown: str) -> bool:
        """Whether the page is made from the same source as in the last build, and was rendered there."""
        kept = self.last.get(page.file.src_uri)
        if kept is None or not kept.rendered or kept.source != _source(page, markdown):
            return False
        self.known[page.file.src_uri] = self.now[page.file.src_uri] = kept
        return True

    def restore_text(self, page: Any, files: Any) -> bool:
        """Give a page of known source its anchors and title back; whether it is such a page."""
        kept = self.known.get(page.file.src_uri)
        if kept is None:
            return False
        page.toc, page.present_anchor_ids = kept.toc, kept.anchors
        linked = {files.get_file_from_path(path): links for path, links in kept.links.items()}
        page.links_to_anchors = {file: links for file, links in linked.items() if file is not None}
        if "title" not in vars(page):
            page.title = kept.title
        return True

    def keep_text(self, page: Any, markdown: str, text: str, drawings: tuple[str, ...]) -> None:
        """Keep what a page was converted to."""
        if self.entries is None:
            return
        links = {file.src_uri: links for file, links in (page.links_to_anchors or {}).items()}
        title = None if "title" in vars(page) else page.title
        self.now[page.file.src_uri] = KeptPage(
            _source(page, markdown), text, drawings, title, page.toc, page.present_anchor_ids, links
        )

    def enter_frame(self, env: Environment, config: Any, nav: Any, pages: Iterable[Any]) -> None:
        """Let rendered pages stand for known ones, if the frame around them is the same.

        Called when every page has its title.
        """
        self._frame = (repr(config.extra), str(nav), [str(name) for name in config.extra_css])
        for page in pages:
            kept = self.known.get(page.file.src_uri)
            if kept is not None and kept.frame == self._frame:
                page.meta["template"] = _KEPT_TEMPLATE
        template = DictLoader({_KEPT_TEMPLATE: "{{ kept_page }}"})
        loaders: list[BaseLoader] = [template] if env.loader is None else [env.loader, template]
        env.loader = ChoiceLoader(loaders)

    def enter_context(self, context: Any, page: Any) -> KeptPage | None:
        """Put search entries and the rendered page back; what was kept of the page, None if it is new."""
        path = page.file.src_uri
        kept = self.known.get(path)
        if self.entries is not None:
            if kept is not None:
                self.entries.extend(kept.entries)
                context["kept_page"] = kept.rendered
            elif path in self.now:
                self.now[path].entries = tuple(self.entries[self.counted :])
                self.now[path].text = page.content  # without the attributes that only search reads
            self.counted = len(self.entries)
        return kept

    def keep_rendered(self, page: Any, output: str) -> None:
        """Keep a page as its template gave it."""
        if page.file.src_uri in self.now:
            kept = self.now[page.file.src_uri]
            kept.rendered, kept.frame = output, self._frame


def _source(page: Any, markdown: str) -> object:
    return markdown, repr(sorted(page.meta.items(), key=str)), page.url, "title" in vars(page)


def _state_of(folders: Iterable[Path], endings: tuple[str, ...] = ("",)) -> Iterator[tuple[str, int, int]]:
    """Name, time and size of every file whose name has one of these endings."""
    for folder in sorted(set(folders)):
        for file in sorted(file for file in folder.rglob("*") if file.name.endswith(endings)):
            if file.is_file():
                state = file.stat()
                yield str(file), state.st_mtime_ns, state.st_size
