"""Third-party code is declared: bounded from below and above, in the group that needs it, and needed."""

from __future__ import annotations

import sys
from functools import cache
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.architecture.declared import ROOT, groups, imported, names

DECLARED = [
    pytest.param(one, id=f"{group}: {one.name}") for group, found in groups().items() for one in found
]
INSTALLED = [one for one in DECLARED if not str(one.id).startswith("build:")]
"""Build requirements are installed separately, while the package is built."""

LOWER, UPPER = {">=", "==", "~="}, {"<", "<=", "==", "~="}

WITHOUT_IMPORT = {
    "mkdocs-material": "named as the theme in mkdocs.yml",
    "markdown": "turned on by name in mkdocs.yml, which relies on its attr_list and tables",
    "hatchling": "builds the wheel that tests/packaging installs",
    "pytest-xdist": "a plugin of pytest",
    "mypy": "run by make lint",
    "ruff": "run by make lint",
    "types-pyyaml": "read by mypy",
    "types-markdown": "read by mypy",
}
"""Declared packages that no module of their group imports, and why."""


@cache
def installed() -> dict[str, list[str]]:
    return dict(metadata.packages_distributions())


@cache
def owner(module: str) -> str | None:
    """The declared distribution that an imported module comes from; None for ours and the standard library.

    A package that a declared one pins to an exact version counts as a part of it.
    """
    if module in sys.stdlib_module_names or module in ("forty_paces", "tests"):
        return None
    found = {canonicalize_name(one) for one in installed().get(module, ())}
    assert len(found) == 1, f"{module} comes from {found or 'nowhere'}"
    (name,) = found
    if name in names("core", "pdf", "sign", "test"):
        return name
    for whole in sorted(names("core")):
        for line in metadata.requires(whole) or ():
            part = Requirement(line)
            fixed = {"=="} == {bound.operator for bound in part.specifier} and part.marker is None
            if fixed and canonicalize_name(part.name) == name:
                return whole
    return name


@pytest.mark.parametrize("one", DECLARED)
def test_every_dependency_is_bounded_from_below_and_above(one: Requirement) -> None:
    signs = {bound.operator for bound in one.specifier}
    assert signs & LOWER, f"{one} has no lowest version"
    assert signs & UPPER, f"{one} has no highest version"


@pytest.mark.parametrize("one", INSTALLED)
def test_what_is_installed_here_lies_within_the_bounds(one: Requirement) -> None:
    assert one.specifier.contains(metadata.version(one.name), prereleases=True)


def test_a_version_is_no_direct_address_and_no_group_names_a_distribution_twice() -> None:
    for group, found in groups().items():
        assert [] == [str(one) for one in found if one.url], group
        spelled = [canonicalize_name(one.name) for one in found]
        assert sorted(set(spelled)) == sorted(spelled), group


def test_every_import_of_the_generator_is_declared_where_it_is_needed() -> None:
    core = names("core")
    one_place = {"pdf": "paper/pdf.py", "sign": "edition/signing.py"}
    extras = {name: place for group, place in one_place.items() for name in names(group) - core}
    seen = set()
    for module, file, at_once in imported(ROOT / "generator/forty_paces"):
        distribution = owner(module)
        if distribution is None:
            continue
        seen.add(distribution)
        if distribution in extras:
            # An extra may be missing: it is imported late, in one place that works without it.
            assert file == ROOT / "generator/forty_paces/outputs" / extras[distribution], file
            assert not at_once, f"{file} cannot be imported without the extra"
        else:
            assert distribution in core, f"{file} imports {module}"
    assert core | set(extras) == seen | {name for name in WITHOUT_IMPORT if name in core}


def test_every_import_of_the_tests_is_declared() -> None:
    test = names("test")
    seen = {found for module, _, _ in imported(ROOT / "tests") if (found := owner(module))}
    assert set() == seen - names("core", "pdf", "sign", "test")
    assert test == (seen & test) | {name for name in WITHOUT_IMPORT if name in test}


def test_every_extension_of_mkdocs_that_is_turned_on_comes_from_what_is_declared() -> None:
    from mkdocs.config import load_config

    config = load_config(str(ROOT / "mkdocs.yml"))
    theme = config.theme.name
    owners = {
        point.name: canonicalize_name(point.dist.name)
        for group in ("mkdocs.plugins", "mkdocs.themes", "markdown.extensions")
        for point in metadata.entry_points(group=group)
        if point.dist is not None
    }
    turned_on = [*config.plugins, *config.markdown_extensions, theme]
    from_others = {owners[name.removeprefix("markdown.extensions.")] for name in turned_on} - {"forty-paces"}
    assert {"mkdocs-material", "markdown"} == from_others
    assert from_others <= names("core")


def test_a_missing_bound_would_be_found() -> None:
    unbounded = Requirement("mkdocs>=1.6")
    with pytest.raises(AssertionError, match="no highest version"):
        test_every_dependency_is_bounded_from_below_and_above(unbounded)
    with pytest.raises(AssertionError, match="no lowest version"):
        test_every_dependency_is_bounded_from_below_and_above(Requirement("mkdocs<2"))


def constraint_lines() -> dict[str, tuple[str, str, list[str]]]:
    """Version, marker and hashes of each package in constraints.txt."""
    joined = (ROOT / "constraints.txt").read_text(encoding="utf-8").replace("\\\n", " ")
    found = {}
    for line in joined.splitlines():
        if line and not line.startswith("#"):
            one, *hashes = line.split(" --hash=")
            requirement = Requirement(one.strip())
            (bound,) = requirement.specifier
            assert "==" == bound.operator
            name = canonicalize_name(requirement.name)
            found[name] = (bound.version, str(requirement.marker or ""), [one.strip() for one in hashes])
    return found


def test_the_tested_set_names_an_exact_version_and_hashes_for_all_that_is_installed_and_no_host() -> None:
    lines = constraint_lines()
    for name, (_, _, hashes) in lines.items():
        assert hashes, name
        assert all(len(one) == len("sha256:") + 64 and one.startswith("sha256:") for one in hashes), name
    assert "://" not in (ROOT / "constraints.txt").read_text(encoding="utf-8")
    for one in (*groups()["core"], *groups()["pdf"], *groups()["sign"]):
        version, _, _ = lines[canonicalize_name(one.name)]
        assert one.specifier.contains(version), f"{one} does not allow {version}"
