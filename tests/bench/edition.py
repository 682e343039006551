"""One build, to be measured from outside.

``python -m tests.bench.edition PROJECT [--pages] [--markdown DIR]``

As ``fortypaces build``, but findings stop nothing: each check runs to its end and its findings are dropped.
``--pages`` leaves out what other site builders do not make: cab file, classroom, cards. ``--markdown``
writes the Markdown that MkDocs would get, with its navigation, and builds nothing.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable
from pathlib import Path

import yaml
from forty_paces.authoring import library
from forty_paces.authoring.checks import Check
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.cli import main as command
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs import site
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition import offline


def deaf(check: Check) -> Check:
    """The check with its work done and its findings dropped."""

    def run(draft: ParsedContent) -> Iterable[Finding]:
        list(check(draft))
        return ()

    return run


def only_pages(*, with_cards: bool = True) -> tuple[site.Part, ...]:
    """The outputs that are pages, and the files for offline use."""
    return (*site.PAGES, offline.artifacts)


def write_markdown(project: Path, folder: Path) -> None:
    """Every page of the edition as Markdown, below ``folder``, and the navigation in ``nav.yml``."""
    context = BuildContext(library.load_library(project, symbols=NAMES), project / "site_overrides")
    for part in site.output_builders():
        for artifact in part(context) if part is not offline.artifacts else ():
            if artifact.path.endswith(".md"):
                file = folder / artifact.path
                file.parent.mkdir(parents=True, exist_ok=True)
                file.write_bytes(artifact.data)
    for page in (project / "content").glob("*.md"):
        if not (folder / page.name).exists():
            shutil.copy(page, folder)
    pages = {file.relative_to(folder).as_posix() for file in folder.rglob("*.md")}
    nav = site.navigation(context.library, pages)
    (folder / "nav.yml").write_text(yaml.safe_dump(nav), encoding="utf-8")


def main() -> None:
    """Build, or write the Markdown."""
    project, *options = sys.argv[1:]
    library.ALL_CHECKS = tuple(deaf(check) for check in library.ALL_CHECKS)
    if "--pages" in options:
        site.output_builders = only_pages
    if "--markdown" in options:
        write_markdown(Path(project), Path(options[options.index("--markdown") + 1]))
        return
    if "--check" in options:
        library.load_library(Path(project), symbols=NAMES)
        return
    if "--editions" in options:
        command(["editions", *options[options.index("--editions") + 1 :]])
        return
    from forty_paces.plugin import build_site

    build_site(Path(project), cards="--cards" in options)


if __name__ == "__main__":
    main()
