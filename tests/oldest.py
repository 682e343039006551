"""The lowest versions that pyproject.toml allows, as a pip constraint file, for `make oldest`.

Prints one line for each direct dependency, `name==version`. It has no list of its own.
"""

from __future__ import annotations

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.architecture.declared import groups


def lowest(one: Requirement) -> Version:
    """The lowest version that a requirement allows. ``ValueError`` where it sets none."""
    found = [Version(bound.version) for bound in one.specifier if bound.operator in (">=", "==", "~=")]
    if not found:
        raise ValueError(f"{one} has no lowest version")
    return max(found)


def constraints() -> list[str]:
    """Every direct dependency of every group at its lowest version, sorted."""
    return sorted(
        f"{canonicalize_name(one.name)}=={lowest(one)}" for found in groups().values() for one in found
    )


if __name__ == "__main__":
    print("\n".join(constraints()))
