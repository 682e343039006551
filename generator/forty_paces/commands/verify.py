"""``fortypaces verify``: whether a copy of the site is complete and unchanged.

Lists every difference between a folder, such as a tablet's or a USB stick's, and its edition.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from forty_paces.outputs.edition.edition_file import VerificationResult
from forty_paces.outputs.edition.edition_file import verify as compare

EPILOG = """\b
Examples:
  fortypaces verify site
  fortypaces verify /media/stick/forty-paces --json

\b
Exit status: 0 the copy is whole; 1 something differs; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else.")
def verify(path: Path, as_json: bool) -> None:
    """Compare a copied edition with its own record.

    PATH is the folder that holds edition.json (or that file). Every file is read
    and compared with its hash; changed, missing, extra and renamed files are
    reported.
    """
    result = compare(path.parent if path.name == "edition.json" and path.is_file() else path)
    if as_json:
        click.echo(json.dumps(_as_data(result), indent=1, ensure_ascii=False))
    else:
        click.echo(_as_words(result))
    sys.exit(0 if result.whole else 1)


def _as_data(result: VerificationResult) -> dict[str, object]:
    return {
        "edition": result.edition,
        "date": result.date,
        "files": result.files,
        "whole": result.whole,
        "findings": [
            {"path": d.path, "kind": d.kind.value, "words": d.words, **({"now": d.now} if d.now else {})}
            for d in result.differences
        ],
    }


def _as_words(result: VerificationResult) -> str:
    if result.whole:
        counted = f"{result.files} files, each as it was made"
        return f"Edition {result.edition} of {result.date} is whole: {counted}."
    lines = [f"{d.path}: {d.words}" for d in result.differences]
    count = len(lines)
    named = f"edition {result.edition} of {result.date}" if result.edition else "an edition"
    lines.append(f"{count} finding{'s' if count != 1 else ''}: this is not {named}. Copy it again.")
    return "\n".join(lines)
