"""What pyproject.toml declares, and what the files of a folder import."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]


def groups(pyproject: Path = ROOT / "pyproject.toml") -> dict[str, list[Requirement]]:
    """Every requirement of a project by its group: 'build', 'core', and each extra by its name."""
    read = tomllib.loads(pyproject.read_text(encoding="utf-8"))
    found = {
        "build": read["build-system"]["requires"],
        "core": read["project"]["dependencies"],
        **read["project"]["optional-dependencies"],
    }
    return {name: [Requirement(line) for line in lines] for name, lines in found.items()}


def names(*wanted: str) -> set[str]:
    """The distributions that these groups declare, in the one spelling."""
    return {canonicalize_name(one.name) for group in wanted for one in groups()[group]}


def imported(folder: Path) -> Iterator[tuple[str, Path, bool]]:
    """Each module imported below a folder: its first name, the file, and whether it runs at import time."""
    for file in sorted(folder.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        for node in ast.walk(tree):  # what only annotations name is never imported
            if (
                isinstance(node, ast.If)
                and isinstance(node.test, ast.Name)
                and node.test.id == "TYPE_CHECKING"
            ):
                node.body = []
        late = {
            id(node)
            for function in ast.walk(tree)
            if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
            for node in ast.walk(function)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                for alias in node.names:
                    yield alias.name.split(".")[0], file, id(node) not in late
            elif isinstance(node, ast.ImportFrom) and node.module:
                yield node.module.split(".")[0], file, id(node) not in late
