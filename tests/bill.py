"""Write the software bill of materials of a release: this package and all that it installs, CycloneDX 1.6.

`make sbom` calls it. Follows the requirements of the installed distributions, beginning with this package and
the extras `pdf` and `sign`, and validates the document by the published schema.
Exit status: 0 written, 1 not valid.
"""

from __future__ import annotations

import sys
from importlib import metadata
from pathlib import Path

from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.output.json import JsonV1Dot6
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from packageurl import PackageURL
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

OWN = "forty-paces"
EXTRAS = ("pdf", "sign")


def installed(name: str, extras: tuple[str, ...], seen: dict[str, set[str]]) -> None:
    """Collect in ``seen`` what ``name`` requires here, and what that requires, by the name that asks."""
    asked = seen.setdefault(name, set())
    for line in metadata.requires(name) or ():
        one = Requirement(line)
        held = any(one.marker.evaluate({"extra": extra}) for extra in (*extras, "")) if one.marker else True
        other = canonicalize_name(one.name)
        try:
            metadata.version(other)
        except metadata.PackageNotFoundError:
            continue
        if held:
            known = other in seen
            asked.add(other)
            if not known:
                installed(other, tuple(one.extras), seen)


def bill() -> str:
    """The document, valid or not."""
    seen: dict[str, set[str]] = {}
    installed(OWN, EXTRAS, seen)
    components = {}
    for name in sorted(seen):
        version = metadata.version(name)
        purl = PackageURL("pypi", name=name, version=version)
        kind = ComponentType.APPLICATION if name == OWN else ComponentType.LIBRARY
        components[name] = Component(name=name, version=version, type=kind, purl=purl, bom_ref=str(purl))
    bom = Bom(components=[one for name, one in components.items() if name != OWN])
    bom.metadata.component = components[OWN]
    for name, others in seen.items():
        bom.register_dependency(components[name], [components[other] for other in sorted(others)])
    return str(JsonV1Dot6(bom).output_as_string(indent=1))


def main(file: Path) -> int:
    """Write the document to ``file``."""
    text = bill()
    wrong = JsonStrictValidator(SchemaVersion.V1_6).validate_str(text)
    if wrong is not None:
        print("The bill of materials is not valid CycloneDX 1.6.")
        return 1
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text + "\n", encoding="utf-8")
    print(f"{file}: {text.count('bom-ref')} components, valid CycloneDX 1.6.")
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
