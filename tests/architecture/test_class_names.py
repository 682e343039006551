"""One name, one meaning: no two classes of the package share a name, a leading underscore aside."""

import ast
from collections import defaultdict
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "generator/forty_paces"


def test_every_class_name_stands_once():
    places = defaultdict(list)
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places[node.name.lstrip("_")].append(f"{file.relative_to(PACKAGE)}:{node.lineno}")
    assert len(places) > 400
    assert {} == {name: found for name, found in places.items() if len(found) > 1}
