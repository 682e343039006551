"""Where the content stands, and one rule file or scene out of it.

In: a folder the user names, or none. Out: the project folder and one checked
record, or every finding of a faulty file. Reads no more than is asked for: a
fault in some procedure must not keep anyone from looking up a distance.
"""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

import click
from pydantic import BaseModel

from forty_paces.authoring.binding import bind
from forty_paces.authoring.checks.agreement import example_findings
from forty_paces.authoring.documents import Document
from forty_paces.authoring.draft import Filed
from forty_paces.authoring.findings import ContentFault, name_one_of
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.yaml_tree import read_tree

RULES = Path("content", "rules")

Model = TypeVar("Model", bound=BaseModel)


def find_project(named: Path | None = None) -> Path:
    """The folder that holds content: the named one, the current one or one above it, or this checkout.

    ``UsageError`` where none does.
    """
    if named is not None:
        if (named / "content").is_dir():
            return named
        raise click.UsageError(f"{named} holds no content folder; name the folder above it with --project")
    here = Path.cwd()
    checkout = Path(__file__).resolve().parents[3]
    for folder in (here, *here.parents, checkout):
        if (folder / RULES).is_dir():
            return folder
    raise click.UsageError("no content/rules folder here or above; name the project with --project")


def find_overrides(project: Path) -> Path:
    """The project's own look, or that of this checkout."""
    own = project / "site_overrides"
    return own if own.is_dir() else Path(__file__).resolve().parents[3] / "site_overrides"


def rule_names(project: Path) -> list[str]:
    """The rule sets there are, by the names of their files."""
    return sorted(file.stem for file in (project / RULES).glob("*.yml") if not file.name.startswith("."))


def load_rules(project: Path, name: str) -> RuleFile:
    """One rule file. ``UsageError`` for a name there is no file for.

    ``ContentFault`` for a faulty file, also for one that its own worked examples contradict.
    """
    known = rule_names(project)
    if name not in known:
        raise click.UsageError(f'there is no rule set "{name}"; {name_one_of(name, known)}')
    filed = _filed(project / RULES / f"{name}.yml", project, "rule set", RuleFile)
    contradicted = tuple(example_findings(filed))
    if contradicted:
        raise ContentFault(contradicted)
    return filed.record


def load_scene(project: Path, file: Path) -> SceneFile:
    """One scene file. ``UsageError`` where there is none, ``ContentFault`` for a faulty one."""
    if not file.is_file():
        raise click.UsageError(f'there is no scene file "{file}"')
    return _filed(file, project, "scene", SceneFile).record


def _filed(file: Path, project: Path, kind: str, model: type[Model]) -> Filed[Model]:
    inside = file.resolve().is_relative_to(project.resolve())
    path = (file.resolve().relative_to(project.resolve()) if inside else file).as_posix()
    tree, findings = read_tree(file, path)
    if tree is None:
        raise ContentFault(findings)
    document = Document(kind, file.stem, path, tree)
    record, faults = bind(document, model)
    if record is None:
        raise ContentFault(faults)
    return Filed(document, record)
