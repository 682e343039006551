"""``fortypaces init FOLDER``: a small project that lies over the library, with questions to answer.

Nothing that is already there is touched: one file of the same name, and nothing is written.
"""

from __future__ import annotations

from pathlib import Path

import click

from forty_paces.authoring.findings import printable
from forty_paces.commands.project import project_around
from forty_paces.outputs.common.files import naming
from forty_paces.package import STARTER, generator_version, library_root

EPILOG = """\b
Examples:
  fortypaces init our-carrier
  fortypaces init our-carrier --rules ontario
  cd our-carrier
  fortypaces check
  fortypaces build --no-cards

\b
Exit status: 0 written; 1 a file could not be written; 2 wrong use, or something is there already.
"""

FILES = {
    "mkdocs.yml": "mkdocs.yml",
    "content/fleet.yml": "fleet.yml",
    "content/library.yml": "library.yml",
    "README.md": "README.md",
    ".github/workflows/edition.yml": "edition.yml",
    ".gitignore": "gitignore",
    ".vscode/settings.json": "settings.json",
}
"""File in the new project -> its template in the package."""


@click.command(epilog=EPILOG)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--rules",
    "rules_id",
    default="us",
    show_default=True,
    metavar="ID",
    help="The rule set of the country that you drive in; ontario has texts of its own.",
)
def init(folder: Path, rules_id: str) -> None:
    """Begin a project in FOLDER: your carrier's own files, over the library of this package.

    FOLDER may be new, or hold other files; one of the same name stops it, and
    nothing is written. It must not lie inside another project.
    """
    if folder.exists() and not folder.is_dir():
        raise click.UsageError(f"{_shown(folder)} is a file; name a folder")
    taken = [name for name in FILES if (folder / name).exists() or (folder / name).is_symlink()]
    if taken:
        names = ", ".join(taken)
        raise click.UsageError(
            f"{_shown(folder)} has {names} already, so nothing was written; name another folder"
        )
    around = project_around(folder.resolve())
    if around is not None:
        raise click.UsageError(
            f"{_shown(folder)} is in the project {_shown(around)}; name a folder outside it"
        )
    if folder.resolve().is_relative_to(library_root().resolve()):
        raise click.UsageError(f"{_shown(folder)} is inside the package; name a folder outside it")
    known = sorted(file.stem for file in (library_root() / "content/rules").glob("*.yml"))
    if rules_id not in known:
        raise click.UsageError(
            f'there is no rule set "{printable(rules_id)}"; name one of: {", ".join(known)}'
        )
    for name, template in FILES.items():
        file = folder / name
        text = _template(template, rules_id).read_text(encoding="utf-8")
        text = text.replace("{version}", generator_version())
        text = text.replace("{rules}", rules_id)
        with naming(file):
            file.parent.mkdir(parents=True, exist_ok=True)
            with file.open("x", encoding="utf-8", newline="\n") as opened:
                opened.write(text)
    click.echo(f"Project: {_shown(folder.resolve())}", err=True)
    click.echo(
        f"{len(FILES)} files are written. README.md says what comes next; "
        "content/fleet.yml asks for your answers."
    )


def _template(name: str, rules_id: str) -> Path:
    """A template of the package: the one for the country's rule set, where it has its own."""
    stem, dot, ending = name.partition(".")
    own = STARTER / f"{stem}-{rules_id}{dot}{ending}"
    return own if own.is_file() else STARTER / name


def _shown(folder: Path) -> str:
    return printable(str(folder))
