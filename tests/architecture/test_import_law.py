"""The dependency rules, read from the source: which package may import which, how long a module may be."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GENERATOR = ROOT / "generator/forty_paces"
LONGEST = 400

ROOMS = (
    "package",
    "geometry",
    "messages",
    "drawing",
    "authoring",
    "outputs",
    "commands",
    "page_speech",
    "plugin",
    "cli",
    "__main__",
)

MAY_IMPORT = {
    "package": {"package"},
    "geometry": {"geometry"},
    "messages": {"geometry", "messages"},
    "drawing": {"package", "geometry", "messages", "drawing"},
    "authoring": {"package", "geometry", "messages", "authoring"},
    "outputs": {"package", "geometry", "messages", "drawing", "authoring", "outputs"},
    "commands": {"package", "geometry", "messages", "drawing", "authoring", "outputs", "plugin", "commands"},
    "page_speech": {"messages", "outputs", "page_speech"},
    "plugin": {"package", "geometry", "messages", "drawing", "authoring", "outputs", "page_speech", "plugin"},
    "cli": {"geometry", "authoring", "commands", "cli"},
    "__main__": {"cli"},
}
"""All dependency rules; a package that is not named here may not exist."""

OUTPUTS_MAY_IMPORT = {
    "host": set(),
    "common": set(),
    "preview": {"common"},
    "paper": {"common"},
    "pages": {"common"},
    "cab": {"common"},
    "cards": {"common", "paper"},
    "classroom": {"common", "paper"},
    "edition": {"common", "paper", "pages", "cards", "cab"},
    "site": {"common", "pages", "cards", "cab", "classroom", "edition"},
}
"""The same inside outputs: only `edition`, which makes a vehicle's folder, and `site`, which makes all, know
what else is made."""

OUTSIDE_GEOMETRY = ("yaml", "pydantic", "jinja2", "mkdocs", "click")


def modules():
    return sorted(GENERATOR.rglob("*.py"))


def name_of(file):
    """Dotted name of a module file."""
    parts = file.relative_to(ROOT / "generator").with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(name):
    """The package of a dotted name; '' for the top package itself."""
    parts = name.split(".")
    return parts[1] if len(parts) > 1 else ""


@cache
def imports(file):
    """(dotted name, runs at import time) of everything a module imports, wherever in it."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
    }
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [(alias.name, id(node) not in inside) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: imports are written out in full"
            found += [(f"{node.module}.{alias.name}", id(node) not in inside) for alias in node.names]
    return tuple(found)


def known_module(dotted, names):
    """The module of ours that an imported name is in; None where it is not ours."""
    while dotted:
        if dotted in names:
            return dotted
        dotted = dotted.rpartition(".")[0]
    return None


def test_a_room_imports_only_the_rooms_below_it():
    wrong = []
    for file in modules():
        room = room_of(name_of(file))
        if not room:
            continue
        assert room in MAY_IMPORT, f"there is no room {room!r} in the law"
        ours = [name for name, _ in imports(file) if name.startswith("forty_paces.")]
        wrong += [f"{name_of(file)} imports {name}" for name in ours if room_of(name) not in MAY_IMPORT[room]]
    assert wrong == []


def test_an_output_imports_only_what_the_table_allows():
    wrong = []
    for file in modules():
        room, _, part = name_of(file).removeprefix("forty_paces.").partition(".")
        if room != "outputs" or not part:
            continue
        part = part.split(".")[0]
        assert part in OUTPUTS_MAY_IMPORT, f"there is no output {part!r} in the table"
        ours = [name.split(".")[2:] for name, _ in imports(file) if name.startswith("forty_paces.outputs.")]
        allowed = {part, *OUTPUTS_MAY_IMPORT[part]}
        wrong += [f"{name_of(file)} imports {'.'.join(name)}" for name in ours if name[0] not in allowed]
    assert wrong == []


def test_only_the_plugin_and_what_it_renders_pages_with_import_mkdocs():
    found = {
        name_of(file) for file in modules() for name, _ in imports(file) if name.split(".")[0] == "mkdocs"
    }
    assert found == {"forty_paces.plugin", "forty_paces.page_speech"}


def test_geometry_could_be_lifted_out_as_a_library():
    """It needs nothing but the standard library."""
    files = sorted((GENERATOR / "geometry").glob("*.py"))
    found = [(name_of(file), name) for file in files for name, _ in imports(file)]
    assert len(files) > 10
    assert [] == [pair for pair in found if pair[1].split(".")[0] in OUTSIDE_GEOMETRY]


def test_no_module_is_longer_than_a_reader_can_hold():
    lines = {name_of(file): len(file.read_text(encoding="utf-8").splitlines()) for file in modules()}
    assert {} == {name: count for name, count in lines.items() if count > LONGEST}


def test_every_module_says_what_it_is_for():
    said = {name_of(file): ast.get_docstring(ast.parse(file.read_text("utf-8"))) or "" for file in modules()}
    first = {name: text.split("\n\n")[0].rstrip() for name, text in said.items()}
    assert [] == [name for name, words in first.items() if not words.endswith((".", "?", ":"))]


def test_modules_are_named_after_what_they_hold():
    vague = {"utils", "util", "helpers", "helper", "manager", "misc", "base"}
    named = [file for file in modules() if vague & set(file.relative_to(GENERATOR).with_suffix("").parts)]
    assert named == []


def test_there_are_no_circles():
    """Depth first through everything that is imported at import time."""
    files = {name_of(file): file for file in modules()}
    waiting, done = [], set()

    def visit(name):
        assert name not in waiting, " -> ".join([*waiting[waiting.index(name) :], name])
        if name in done:
            return
        waiting.append(name)
        for imported, at_once in imports(files[name]):
            other = known_module(imported, files) if at_once else None
            if other is not None and other != name and not name.startswith(f"{other}."):
                visit(other)
        waiting.pop()
        done.add(name)

    for name in files:
        visit(name)
    assert done == set(files)


def test_the_law_itself_has_no_circles_and_names_every_room():
    rooms = {room_of(name_of(file)) for file in modules()} - {""}
    assert rooms <= set(ROOMS)
    assert set(MAY_IMPORT) == set(ROOMS)
    for room, below in MAY_IMPORT.items():
        for other in below - {room}:
            assert room not in MAY_IMPORT[other], f"{room} and {other} may import each other"


def test_the_table_of_outputs_has_no_circles_and_names_what_exists():
    parts = {
        file.relative_to(GENERATOR / "outputs").parts[0].removesuffix(".py")
        for file in modules()
        if file.is_relative_to(GENERATOR / "outputs")
    } - {"__init__"}
    assert parts == set(OUTPUTS_MAY_IMPORT)
    order = list(OUTPUTS_MAY_IMPORT)
    for part, below in OUTPUTS_MAY_IMPORT.items():
        assert below <= set(order[: order.index(part)]), f"{part} imports what stands after it"


def spoken(file, *, errors=True):
    """Every string in a module that is neither a docstring nor a note below a field.

    Without ``errors``, what is raised is left out, and what functions that check are given to say.
    """
    tree = ast.parse(file.read_text(encoding="utf-8"))
    left_out = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    if not errors:
        left_out |= {
            id(part) for node in ast.walk(tree) if raises(node) or helps(node) for part in ast.walk(node)
        }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in left_out:
            yield node.value


def raises(node):
    """Whether this raises an error, calls a function that does nothing else, or words an error's class."""
    if isinstance(node, ast.ClassDef):
        return any(ast.unparse(base).endswith("Error") for base in node.bases)
    called = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
    return isinstance(node, ast.Raise | ast.Assert) or called.startswith(("_check", "_refuse"))


def helps(node):
    """Whether this is the help of a command: an option, or what follows the options."""
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0]) in ("EPILOG", "OPTIONS")
    return isinstance(node, ast.Call) and ast.unparse(node.func) == "click.option"


@pytest.mark.parametrize("room", ["geometry", "messages", "drawing", "commands"])
def test_no_citation_of_a_rule_is_spoken_by_code(room):
    """A rule's section is printed from content/rules, together with its figures."""
    for file in sorted((GENERATOR / room).rglob("*.py")):
        for text in spoken(file):
            assert "CFR" not in text, f"{name_of(file)}: {text}"
            assert "392." not in text, f"{name_of(file)}: {text}"


SENTENCE = re.compile(r"[A-Za-z]{2,} [a-z{]+")
"""Two words, one after the other."""

POSITIONS = {"traffic side", "beside the vehicle", "in line with the vehicle"}
"""Words for a place across the road that the rule files use, and that geometry understands."""

NO_WORDS = {
    "@media screen",
    "@media print{@page{",
    "font-src data:",
    "img-src data:",
    "img-src data: 'self'",
    "by name",
}
"""Parts of style sheets, of policies and of a cache's key."""

WORDLESS = (
    *("geometry", "drawing"),
    *("outputs/classroom", "outputs/cab", "outputs/common", "outputs/pages", "outputs/site.py"),
    *("commands/place.py", "commands/placement_text.py", "commands/stopping.py", "commands/chances.py"),
)
"""Packages and modules whose words are in `messages`, by ids."""

NAMED_WORDS = (
    "outputs/pages/about.py",
    "outputs/pages/writing.py",
    "outputs/pages/bill_of_materials.py",
    "outputs/common/catalogs.py",
    "outputs/common/catalog_checks.py",
    "outputs/common/translations.py",
)
"""Of those, what holds names of works and their holders, the manual for authors, and findings: these two are
English alone."""


def test_a_package_without_words_holds_no_sentence():
    """Errors are left out: they speak to programmers, or to the author of a file that `check` refuses.

    So are classes of style sheets, which begin with fp-, and markup.
    """
    found = [
        f"{name_of(file)}: {text}"
        for room in WORDLESS
        for file in (sorted((GENERATOR / room).rglob("*.py")) or [GENERATOR / room])
        if file.relative_to(GENERATOR).as_posix() not in NAMED_WORDS
        for text in spoken(file, errors=False)
        if SENTENCE.search(text)
        and text not in POSITIONS | NO_WORDS
        and not text.strip().startswith(("fp-", "<", '">', "[", "(function"))
    ]
    assert found == []


@pytest.mark.parametrize("room", ["geometry", "drawing"])
def test_lengths_are_added_alike_by_every_python(room):
    """From 3.12 on `sum` rounds floats otherwise, as its documentation says; `math.fsum` is exact in all."""
    for file in sorted((GENERATOR / room).rglob("*.py")):
        called = [
            node.func for node in ast.walk(ast.parse(file.read_text("utf-8"))) if isinstance(node, ast.Call)
        ]
        assert "sum" not in [name.id for name in called if isinstance(name, ast.Name)], name_of(file)


def test_only_one_module_knows_where_the_library_is():
    """Installed and in a checkout alike: no other path is taken from a module's own file."""
    found = [name_of(file) for file in modules() if "__file__" in file.read_text(encoding="utf-8")]
    assert ["forty_paces.package"] == found
