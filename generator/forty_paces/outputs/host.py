"""What the plugin needs of the MkDocs project that it builds in, and what it adds there itself.

Style sheets, scripts and Markdown extensions are added where they are missing. What would lose the styles or
the promise that no page asks an outside host is refused, in one sentence that says what to write.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

THEME = "material"

STYLES = ("assets/css/fonts.css", "assets/css/tokens.css", "assets/css/drawing.css", "assets/css/site.css")
SCRIPTS = ("assets/js/edition.js",)
POLYFILLS = ("assets/javascripts/iframe-worker.js",)
"""A page opened from a folder asks an outside host for a file of this name, unless one is listed."""

_SHIM = "iframe-worker"
"""The theme's offline plugin names an outside host for it; the file of that name here takes its place."""

EXTENSIONS = ("attr_list", "tables")
ICON = "assets/icons/icon.svg"
THEME_ICON = "assets/images/favicon.png"
"""The theme's own, which an edition leaves out."""


def refusals(config: Any) -> Iterator[str]:
    """Sentences about settings of mkdocs.yml with which no edition can be built."""
    if config.theme.name != THEME:
        yield (
            f'the theme is "{config.theme.name}", and the pages need "{THEME}" for their styles: '
            f"write 'name: {THEME}' below theme in mkdocs.yml"
        )
        return
    if config.theme.get("font") is not False:
        yield "the theme fetches its font from an outside host: write 'font: false' below theme in mkdocs.yml"
    offline = next(
        (plugin for name, plugin in config.plugins.items() if name.rpartition("/")[2] == "offline"), None
    )
    if offline is None or not offline.config.get("enabled", True):
        yield (
            "pages opened from a folder would not find one another: "
            "add 'offline' below plugins in mkdocs.yml, before forty-paces"
        )
    listed = {name: config[name] for name in ("extra_css", "extra_javascript")}
    listed["extra.polyfills"] = [one for one in config.extra.get("polyfills", ()) if _SHIM not in str(one)]
    for name, entries in listed.items():
        for entry in map(str, entries):
            if "//" in entry:
                yield (
                    f"{name} names {entry}, which every page would ask an outside host for: "
                    "put the file into the project and name it there"
                )
    if config.extra.get("analytics"):
        yield "extra.analytics asks an outside host from every page: delete it from mkdocs.yml"


def complete(config: Any, overrides: Path) -> None:
    """Add what is missing: the library's templates and assets, styles, scripts, extensions, logo.

    ``overrides`` is the library's folder; a ``custom_dir`` of the project lies over it.
    """
    own = config.theme.custom_dir
    if own is None or Path(own).resolve() != overrides.resolve():
        config.theme.dirs.insert(0 if own is None else 1, str(overrides))
    _put_first(config.extra_css, STYLES)
    _put_first(config.extra_javascript, SCRIPTS)
    polyfills = [
        one for one in config.extra.get("polyfills", ()) if _SHIM not in str(one) or "//" not in str(one)
    ]
    _put_first(polyfills, POLYFILLS)
    config.extra["polyfills"] = polyfills
    config.extra.setdefault("generator", False)
    for name in EXTENSIONS:
        if not {name, f"markdown.extensions.{name}"} & set(config.markdown_extensions):
            config.markdown_extensions.append(name)
    for name in ("logo", "favicon"):
        if config.theme.get(name) in (None, THEME_ICON):
            config.theme[name] = ICON


def _put_first(listed: list[Any], wanted: tuple[str, ...]) -> None:
    there = set(map(str, listed))
    listed[:0] = [name for name in wanted if name not in there]
