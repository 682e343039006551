"""``fortypaces languages``: keep the catalogs of other languages: extract, update and check them."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import click

from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import Library, inspect_project
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.outputs.common.files import naming
from forty_paces.package import library_root

EPILOG = """\b
Examples:
  fortypaces languages extract             every text, for a translator
  fortypaces languages update es_US        content/languages/es_US.po, brought up to the content
  fortypaces languages check               every catalog of the project
  fortypaces languages check es_US.po --missing

\b
Exit status: 0 all is well; 1 findings in a catalog or the content; 2 wrong use.
"""

FOLDER = Path("content/languages")


@click.group(epilog=EPILOG)
def languages() -> None:
    """Keep translations: list every text with its id, bring catalogs up to date, and check them.

    A language is built once content/fleet.yml names it: languages: [en, es_US].
    """


_project = click.option(
    "--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here."
)


@languages.command()
@_project
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    default=Path("forty-paces.pot"),
    help="The file to write.  [default: forty-paces.pot]",
)
def extract(project: Path | None, out: Path) -> None:
    """Write every text with its id, its English and where it stands, as a gettext template."""
    from forty_paces.outputs.common.catalogs import source_texts, template_catalog

    folder = take_project(project)
    library, overrides = _library(folder), find_overrides(folder)
    with naming(out):
        out.write_bytes(template_catalog(library, overrides))
    click.echo(f"{out}: {len(source_texts(library, overrides))} texts.")


@languages.command()
@click.argument("code")
@_project
def update(code: str, project: Path | None) -> None:
    """Bring the catalog of a language up to date, or begin it: es_US.

    New texts are added without a translation. Where the English has changed the translation stays, marked
    fuzzy, with the English before beside it. What no longer exists is kept apart at the end. What the library
    translates is left out, unless the catalog already has a translation of its own for it.
    """
    from babel.messages.pofile import PoFileError

    from forty_paces.outputs.common.catalog_checks import doubled_findings
    from forty_paces.outputs.common.catalogs import (
        empty_catalog,
        source_texts,
        template_catalog,
        translated_ids,
        updated,
    )
    from forty_paces.outputs.common.translations import given_below

    folder = take_project(project)
    file = folder / FOLDER / f"{code}.po"
    library, overrides = _library(folder), find_overrides(folder)
    try:
        old = file.read_bytes() if file.exists() else empty_catalog(code)
        if doubled := tuple(doubled_findings(file, old.decode("utf-8-sig"))):
            raise ContentFault(doubled)  # only one of each would be kept
        below = given_below(folder, source_texts(library, overrides), code) - translated_ids(old)
        template = template_catalog(library, overrides, carrier=_has_carrier(folder), without=below)
        new = updated(old, template)
    except (PoFileError, ValueError) as fault:
        raise click.UsageError(f"{file}: {fault}") from None
    with naming(file):
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(new)
    _report(file, folder, library, overrides)


@languages.command()
@click.argument("files", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@_project
@click.option("--missing", is_flag=True, help="Also list the texts without a usable translation.")
def check(files: tuple[Path, ...], project: Path | None, missing: bool) -> None:
    """Check catalogs, by default all in content/languages.

    Placeholders, tags, figures, plural forms, ids, invisible characters, changed English; and the wording
    rules of the language, where it has any.
    """
    folder = take_project(project)
    library, overrides = _library(folder), find_overrides(folder)
    faults = 0
    for file in files or sorted((folder / FOLDER).glob("*.po")):
        faults += _report(file, folder, library, overrides, findings=True, missing=missing)
    sys.exit(1 if faults else 0)


def _report(
    file: Path,
    folder: Path,
    library: Library,
    overrides: Path,
    *,
    findings: bool = False,
    missing: bool = False,
) -> int:
    """Print the counts of a catalog, and on demand its findings; return the number of faults."""
    from forty_paces.outputs.common.catalog_checks import read_translation, wording_findings
    from forty_paces.outputs.common.catalogs import source_texts
    from forty_paces.outputs.common.translations import given_below

    known = source_texts(library, overrides, carrier=_has_carrier(folder))
    read = read_translation(file, known)
    below = given_below(folder, known, read.catalog.language.replace("-", "_"))
    missing_ids = [text_id for text_id in read.missing if text_id not in below]
    all_findings = sorted((*read.findings, *wording_findings(file, read, known)))
    faults = sum(not finding.advice for finding in all_findings)
    for finding in all_findings if findings else ():
        click.echo(str(finding))
    if missing:
        for text_id in missing_ids:
            click.echo(f"{file}: missing: {text_id}")
        parts = Counter(text_id.replace(".", "/").split("/")[0] for text_id in missing_ids)
        click.echo(", ".join(f"{part} {count}" for part, count in parts.most_common()))
    usable = len(known) - len(missing_ids)
    by_library = f", {len(read.missing) - len(missing_ids)} of them by the library" if below else ""
    click.echo(
        f"{file}: {len(known)} texts, {usable} translated{by_library}, {read.fuzzy} fuzzy, "
        f"{len(missing_ids)} missing; {faults} findings."
    )
    return faults


def _has_carrier(folder: Path) -> bool:
    """Whether the project's carrier belongs in its catalogs: not in the checkout of the package itself."""
    return folder.resolve() != library_root().resolve()


def _library(folder: Path) -> Library:
    inspection = inspect_project(folder)
    if inspection.library is None:
        raise ContentFault(inspection.faults)
    return inspection.library
