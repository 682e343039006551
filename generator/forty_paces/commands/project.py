"""Find the project that a verb works on, and load single rule and scene files from it.

A project is the nearest folder upward whose mkdocs.yml lists the plugin, or the one that ``--project``
names; there is no default. Loaders read no more than is asked for: a fault in some procedure must not keep
anyone from looking up a distance.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click
import yaml
from pydantic import BaseModel

from forty_paces.authoring.binding import bind
from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.findings import ContentFault, Finding, clip, name_one_of, printable
from forty_paces.authoring.layers import FLEET_FILE, ContentFile, Layers
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.worked_examples import example_findings
from forty_paces.authoring.yaml_tree import parse_file
from forty_paces.package import library_overrides

if TYPE_CHECKING:  # imported where it is used: most placements need no scene
    from forty_paces.authoring.models.scene import SceneFile

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

Model = TypeVar("Model", bound=BaseModel)


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


def rule_names(project: Path) -> list[str]:
    """The ids of the project's rule sets and the library's, which are the names of their files."""
    return sorted(_rule_files(project))


def _rule_files(project: Path) -> dict[str, ContentFile]:
    listed = Layers.of(project)[0].folder("rules")
    return {
        found.file.stem: found
        for found in listed
        if found.file.suffix == ".yml" and not found.file.name.startswith(".")
    }


def rules_in_force(project: Path) -> str:
    """The id of the rule set in force: the one in fleet.yml, or the model's default.

    ``UsageError`` without a fleet.yml; ``ContentFault`` where it cannot be read or names an unknown rule set.
    No other key of fleet.yml is checked here.
    """
    if not (project / FLEET_FILE).exists():
        wrong = f"{project} has no {FLEET_FILE} that says which rule set is in force; name one with --rules"
        raise click.UsageError(wrong)
    tree, findings = parse_file(project / FLEET_FILE, FLEET_FILE)
    if tree is None:
        raise ContentFault(findings)
    if tree.entry("rules") is None:
        from forty_paces.authoring.models.fleet import Fleet

        return str(Fleet.model_fields["rules"].default)
    name = tree.text("rules")
    if name not in rule_names(project):
        place = tree.child("rules").place  # type: ignore[union-attr]  # the entry is there
        fix = name_one_of(name or "", rule_names(project))
        raise ContentFault([Finding(place, f'the rule set "{clip(name or "")}" does not exist', fix=fix)])
    return name


def load_rules(project: Path, name: str) -> RuleFile:
    """Load one rule file. ``UsageError`` for an unknown name.

    ``ContentFault`` for a faulty file, also for one that its own worked examples contradict.
    """
    known = _rule_files(project)
    if name not in known:
        raise click.UsageError(f'there is no rule set "{name}"; {name_one_of(name, known)}')
    found = known[name]
    filed = _filed(found.file, found.shown, "rule set", RuleFile)
    contradicted = tuple(example_findings(filed))
    if contradicted:
        raise ContentFault(contradicted)
    return filed.record


def load_scene(project: Path, file: Path) -> SceneFile:
    """Load one scene file, or the scene of that id in either layer.

    ``UsageError`` where there is none, ``ContentFault`` for a faulty one.
    """
    from forty_paces.authoring.models.scene import SceneFile

    named = Layers.of(project)[0].found(f"content/scenes/{file.name}.yml") if file.parent == Path() else None
    if named is not None and not file.is_file():
        return _filed(named.file, named.shown, "scene", SceneFile).record
    if not file.is_file():
        raise click.UsageError(f'there is no scene file "{file}"')
    inside = file.resolve().is_relative_to(project.resolve())
    path = (file.resolve().relative_to(project.resolve()) if inside else file).as_posix()
    return _filed(file, path, "scene", SceneFile).record


def _filed(file: Path, path: str, kind: str, model: type[Model]) -> ParsedRecord[Model]:
    tree, findings = parse_file(file, path)
    if tree is None:
        raise ContentFault(findings)
    document = Document(kind, file.stem, path, tree)
    record, faults = bind(document, model)
    if record is None:
        raise ContentFault(faults)
    return ParsedRecord(document, record)
