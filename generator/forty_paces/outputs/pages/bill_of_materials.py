"""The software bill of materials of a site: what it ships of others, and the packages that made it.

CycloneDX 1.6 in JSON. Nothing in it depends on the machine but the installed versions: the serial number
follows from the edition, and its time is the edition's date.
"""

from __future__ import annotations

import json
import re
import uuid
from collections.abc import Iterator, Sequence
from importlib import metadata
from typing import Any

from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.pages.about import SHIPPED, ShippedWork
from forty_paces.package import generator_version

FILE = "sbom.cdx.json"

OWN = "forty-paces"

SPDX = {
    "0BSD": "0BSD",
    "Apache 2.0": "Apache-2.0",
    "CC BY 4.0": "CC-BY-4.0",
    "MIT": "MIT",
    "SIL Open Font License 1.1": "OFL-1.1",
    "W3C Software and Document License": "W3C-20150513",
}
"""Identifiers of the SPDX license list, by the common name."""

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_EXTRA = re.compile(r"""extra == ['"]([a-z]+)['"]""")
_EXTRAS_THAT_MAKE_FILES = ("", "pdf")


def artifacts(context: BuildContext, works: Sequence[ShippedWork] = SHIPPED) -> Iterator[Artifact]:
    """The file ``sbom.cdx.json`` of a folder that ships these works of others."""
    yield Artifact(FILE, json.dumps(bill(context, works), indent=1, ensure_ascii=False) + "\n")


def bill(context: BuildContext, works: Sequence[ShippedWork] = SHIPPED) -> dict[str, Any]:
    """The document."""
    edition, fleet = context.library.edition, context.library.fleet
    shipped = [_shipped(work) for work in works]
    packages = [_package(name, version) for name, version in made_with()]
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_OID, f'{OWN} edition {edition.id}')}",
        "version": 1,
        "metadata": {
            "timestamp": f"{edition.date.isoformat()}T00:00:00Z",
            "tools": {"components": [_package(OWN, generator_version())]},
            "component": {
                "type": "data",
                "bom-ref": "edition",
                "name": f"Forty Paces, {fleet.carrier}",
                "version": edition.id,
            },
        },
        "components": [*shipped, *packages],
        "dependencies": [
            {"ref": "edition", "dependsOn": [one["bom-ref"] for one in shipped]},
            {"ref": f"pkg:pypi/{OWN}@{generator_version()}", "dependsOn": [p["bom-ref"] for p in packages]},
        ],
    }


def made_with() -> list[tuple[str, str]]:
    """Name and installed version of every package that this one asks for to make files, sorted."""
    try:
        wanted = metadata.requires(OWN) or []
    except metadata.PackageNotFoundError:
        return []
    found = {}
    for line in wanted:
        name, extra = _NAME.match(line), _EXTRA.search(line)
        if name is None or (extra[1] if extra else "") not in _EXTRAS_THAT_MAKE_FILES:
            continue
        try:
            found[re.sub(r"[-_.]+", "-", name[0]).lower()] = metadata.version(name[0])
        except metadata.PackageNotFoundError:
            continue  # an extra that is not installed here
    return sorted(found.items())


def _shipped(work: ShippedWork) -> dict[str, Any]:
    return {
        "type": "library",
        "bom-ref": f"shipped/{re.sub('[^a-z0-9]+', '-', work.name.lower())}",
        "name": work.name,
        "description": work.use,
        "licenses": [{"license": {"id": SPDX[work.license]}}],
        "copyright": work.holder,
        "scope": "required",
        "properties": [{"name": "forty-paces:file", "value": file} for file in work.files],
    }


def _package(name: str, version: str) -> dict[str, Any]:
    address = f"pkg:pypi/{name}@{version}"
    return {
        "type": "library",
        "bom-ref": address,
        "name": name,
        "version": version,
        "purl": address,
        "scope": "excluded",
    }
