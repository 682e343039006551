"""Find the project that a verb works on.

A project is the nearest folder upward whose mkdocs.yml lists the plugin, or the one that ``--project``
names; there is no default.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
import yaml

from forty_paces.authoring.findings import printable
from forty_paces.package import library_overrides

CONFIG = "mkdocs.yml"
PLUGIN = "forty-paces"

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"The compiled loader where PyYAML has it."

MOST_INHERITED = 8
"""Longest chain of configurations that inherit from one another."""

_OWN_CONTENT = (
    *("procedures", "rules", "scenes", "lessons", "scenarios"),
    *("fleet.yml", "library.yml", "sources.yml", "shared.yml"),
)
"""Entries that tell a project's content folder from any other folder of that name."""


def take_project(named: Path | None = None, *, quiet: bool = False) -> Path:
    """Find the project folder and name it on standard error, so that users see what is checked or written."""
    project = find_project(named)
    if not quiet:
        click.echo(f"Project: {printable(str(project.resolve()))}", err=True)
    return project


def find_project(named: Path | None = None) -> Path:
    """The named folder, or the nearest one upward whose mkdocs.yml lists the plugin.

    ``UsageError`` where there is none, where it has no content, and where a folder on the way has content
    of its own without such a mkdocs.yml: it must not be skipped in favor of another project.
    """
    if named is not None:
        return _with_content(named, "name the folder above it with --project")
    for folder in _upward():
        if _lists_plugin(folder / CONFIG):
            return _with_content(
                folder, "its mkdocs.yml lists the plugin; add content, or name another project"
            )
        if any((folder / "content" / part).exists() for part in _OWN_CONTENT):
            raise click.UsageError(
                f"{folder} holds content, but no mkdocs.yml that lists the plugin {PLUGIN}; "
                "add one, or name the project with --project"
            )
    raise click.UsageError(
        f"no mkdocs.yml here or above lists the plugin {PLUGIN}; name the project with --project"
    )


def project_around(folder: Path) -> Path | None:
    """The nearest folder from ``folder`` upward whose mkdocs.yml lists the plugin, or None."""
    return next((one for one in (folder, *folder.parents) if _lists_plugin(one / CONFIG)), None)


def _upward() -> tuple[Path, ...]:
    try:
        here = Path.cwd()
    except FileNotFoundError:
        raise click.UsageError("the working folder was deleted; change into a project first") from None
    return (here, *here.parents)


def _with_content(folder: Path, otherwise: str) -> Path:
    if (folder / "content").is_dir():
        return folder
    raise click.UsageError(f"{folder} holds no content folder; {otherwise}")


def _lists_plugin(config: Path) -> bool:
    """Whether a mkdocs.yml, or one that it inherits from, lists the plugin. YAML tags are not resolved."""
    seen: set[Path] = set()
    while config.is_file() and config not in seen and len(seen) < MOST_INHERITED:
        seen.add(config)
        try:
            root = yaml.compose(config.read_text(encoding="utf-8"), Loader=_LOADER)
        except (OSError, ValueError, RecursionError, yaml.YAMLError):
            raise click.UsageError(f"{config} cannot be read; repair it, or use --project") from None
        entries = (
            {key.value: value for key, value in root.value} if isinstance(root, yaml.MappingNode) else {}
        )
        if "plugins" in entries:
            return PLUGIN in _plugin_names(entries["plugins"])
        inherited = entries.get("INHERIT")
        if not isinstance(inherited, yaml.ScalarNode):
            return False
        config = (config.parent / inherited.value).resolve()
    return False


def _plugin_names(node: yaml.Node) -> set[str]:
    """The names in a list of plugins, with or without options, or in a mapping of them."""
    if isinstance(node, yaml.MappingNode):
        return {key.value for key, _ in node.value if isinstance(key, yaml.ScalarNode)}
    if isinstance(node, yaml.ScalarNode):
        return {node.value}
    return {name for item in node.value for name in _plugin_names(item)}


def find_overrides(project: Path) -> Path:
    """The project's own ``site_overrides`` folder, or the library's."""
    own = project / "site_overrides"
    return own if own.is_dir() else library_overrides()
