"""``fortypaces schema``: write a JSON Schema for each kind of content file, for editors that support YAML."""

from __future__ import annotations

import json
from pathlib import Path

import click

from forty_paces.authoring.schema import KINDS, json_schema
from forty_paces.outputs.common.files import naming

EPILOG = """\b
Examples:
  fortypaces schema                 into the folder schemas
  fortypaces schema .editor/yaml

\b
.vscode/settings.json, which 'fortypaces init' writes, names these files. Most
other editors read a first line like this one in the file itself:
  # yaml-language-server: $schema=../../schemas/procedure.schema.json

\b
Exit status: 0 written; 1 the folder cannot be written; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=Path("schemas"))
def schema(folder: Path) -> None:
    """Write JSON Schema files, so that an editor completes keys and explains them.

    The schemas know the shape of one file. 'fortypaces check' knows the rest:
    names that exist, sources, wording, dates.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for kind, (files, _) in KINDS.items():
        file = folder / f"{kind}.schema.json"
        text = json.dumps(json_schema(kind), indent=1, ensure_ascii=False) + "\n"
        with naming(file):
            file.write_text(text, encoding="utf-8", newline="\n")
        click.echo(f"{file}: for {files}")
