"""Where the library is: the content, templates, styles, scripts and fonts that come with this package.

Installed from a wheel they are in the package itself; in a checkout they are at its root. Both are found
from this file's own path and from nothing else: never from the working folder.
"""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent

STARTER = PACKAGE / "starter"
"""The files that ``fortypaces init`` writes."""


def library_root(package: Path = PACKAGE) -> Path:
    """The folder that holds the library's ``content`` and ``site_overrides``."""
    installed = package / "library"
    return installed if installed.is_dir() else package.parents[1]


def library_overrides() -> Path:
    """The library's templates, styles, scripts, fonts and licenses."""
    return library_root() / "site_overrides"


def generator_version() -> str:
    """The installed version of this package; ``"0"`` if it is not installed."""
    from importlib import metadata

    try:
        return metadata.version("forty-paces")
    except metadata.PackageNotFoundError:
        return "0"
