"""Load single rule and scene files of a project, and no more than is asked for.

A fault in some procedure must not keep anyone from looking up a distance.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click
from pydantic import BaseModel

from forty_paces.authoring.binding import bind
from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.findings import ContentFault, Finding, clip, name_one_of
from forty_paces.authoring.layers import FLEET_FILE, ContentFile, Layers
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.worked_examples import example_findings
from forty_paces.authoring.yaml_tree import parse_file

if TYPE_CHECKING:  # imported where it is used: most placements need no scene
    from forty_paces.authoring.models.scene import SceneFile

Model = TypeVar("Model", bound=BaseModel)


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
