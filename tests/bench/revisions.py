"""An older revision of this project, unpacked so that its own code works on its own content."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from tests.bench.measuring import PROJECT, with_bytecode

REVISION = ""
"""Set by ``--before``: a commit, tag or branch."""


@dataclass(frozen=True, slots=True)
class Checkout:
    """A revision in a folder of its own, or today's."""

    folder: Path
    package: str
    "The name of its package: the first edition's was generator itself."
    path: Path
    "What PYTHONPATH must name."

    def environment(self) -> dict[str, str]:
        """Environment variables under which Python finds this revision."""
        return with_bytecode(self.path)

    def run(self, *arguments: str) -> str:
        """What a Python of this revision prints; ``SystemExit`` where it fails."""
        ran = subprocess.run(
            [sys.executable, *arguments],
            cwd=self.folder,
            env=self.environment(),
            capture_output=True,
            text=True,
            check=False,
        )
        if ran.returncode:
            raise SystemExit(f"{self.folder} cannot be measured:\n{ran.stdout}{ran.stderr}")
        return ran.stdout


def wanted_revision() -> str:
    """The revision that ``--before`` named; ``SystemExit`` where it named none."""
    if not REVISION:
        raise SystemExit("name the revision to compare with: python -m tests.bench NAME --before REVISION")
    return REVISION


def unpacked(revision: str, folder: Path) -> Checkout:
    """A revision unpacked into an empty folder; ``SystemExit`` where there is no such revision."""
    folder.mkdir(parents=True)
    archive = subprocess.run(
        ["git", "archive", "--format=tar", revision], cwd=PROJECT, capture_output=True, check=False
    )
    if archive.returncode:
        raise SystemExit(f"{revision} cannot be unpacked: {archive.stderr.decode().strip()}")
    subprocess.run(["tar", "-x"], cwd=folder, input=archive.stdout, check=True)
    package = next((main.parent for main in (folder / "generator").rglob("__main__.py")), None)
    if package is None:
        raise SystemExit(f"{revision} holds no package that can be run in generator/")
    return Checkout(folder, package.name, package.parent)


def today() -> Checkout:
    """The code that is being measured."""
    return Checkout(PROJECT, "forty_paces", PROJECT / "generator")
