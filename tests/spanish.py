"""The repository's content in Spanish, with texts for its invented carrier, and cab files made of it."""

from __future__ import annotations

import shutil
from pathlib import Path

from babel.messages.pofile import escape
from forty_paces.authoring.library import Library
from forty_paces.messages.languages import speaking
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.catalogs import source_texts
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.translations import Translated, context_in, context_of, translation

from tests.projects import PROJECT

OVERRIDES = PROJECT / "site_overrides"

OF_THE_CARRIER = {
    "phones/emergency/who": "Policía, bomberos y ambulancia",
    "phones/emergency/call_when": "Hay heridos, algo arde o se derrama, o el tráfico está en peligro.",
    "phones/rail/who": "El ferrocarril",
    "phones/rail/number": "está en el letrero azul del cruce",
    "phones/rail/call_when": "El vehículo está atascado en un cruce de vía. Lea el número del cruce.",
    "phones/cargo/who": "Línea de emergencia de la carga",
    "phones/cargo/number": "está en los documentos de embarque",
    "phones/cargo/call_when": "La carga peligrosa se derrama, arde o estuvo en un choque.",
    "phones/response-center/who": "Centro Nacional de Respuesta",
    "phones/response-center/call_when": "La carga peligrosa mató, hirió o desalojó a personas, "
    "o el combustible llegó al agua. Dentro de 12 h.",
    "phones/state-spill/who": "Línea de derrames del estado donde está",
    "phones/state-spill/number": "la tiene el despacho para cada estado",
    "phones/state-spill/call_when": "Combustible, aceite o carga llega al suelo, a un desagüe o al agua.",
    "phones/dispatch/who": "Despacho de Larkspur Basin, día y noche",
    "phones/dispatch/call_when": "Toda parada no prevista, cuando todos estén fuera de peligro.",
    "phones/safety-lead/who": "Odalys Brandvold, responsable de seguridad",
    "phones/safety-lead/call_when": "Un choque, un incendio, un derrame o una herida.",
    "phones/tow/who": "Grúas Tollgate Ridge",
    "phones/tow/call_when": "El despacho está de acuerdo y el vehículo no puede moverse solo.",
    "phones/tires/who": "Servicio de llantas Quarry Bend",
    "phones/tires/call_when": "Una llanta está baja, cortada o muy caliente, y nada arde.",
    "phones/mechanic/who": "Taller de Larkspur Basin",
    "phones/mechanic/call_when": "Una luz de aviso, una fuga, frenos calientes o un ruido que no conoce.",
    "vehicles/straight-truck/title": "Camión rígido",
    "vehicles/tractor-trailer/title": "Tractor y remolque",
    "vehicles/coach/title": "Autobús",
    "vehicles/tanker/title": "Cisterna con rótulos",
    "policies/stop-first/text": "Pare en un lugar seguro antes de leer esta tableta o una tarjeta.",
    "policies/nobody-hurried/text": "Puede parar por el tiempo y avisar después al despacho.",
    "policies/vest-aboard/text": "Cada cabina lleva un chaleco vivo, guantes y una luz.",
    "policies/triangles-only/text": "Nuestros vehículos llevan 3 triángulos y ninguna bengala.",
    "policies/no-tire-change/text": "Los conductores no cambian llantas en la vía.",
    "policies/fire-small-only/text": "Use el extintor solo en un fuego pequeño.",
    "policies/say-nothing-of-blame/text": "En un choque dé su nombre, licencia y seguro.",
}
"""By the id without ``fleet/``; numbers to dial stay as they are."""


def spanish_catalog(library: Library, folder: Path) -> Path:
    """A project folder with a catalog of the library's texts and the carrier's: nothing is missing."""
    entries = []
    for text in source_texts(library, OVERRIDES):
        if text.id.startswith("fleet/"):
            own = OF_THE_CARRIER.get(text.id.removeprefix("fleet/"), text.english)
            entries.append(f"msgctxt {escape(text.id)}\nmsgid {escape(text.english)}\nmsgstr {escape(own)}\n")
    file = folder / "content/languages/es_US.po"
    file.parent.mkdir(parents=True)
    library_catalog = (PROJECT / "content/languages/es_US.po").read_text(encoding="utf-8")
    file.write_text("\n".join([library_catalog, *entries]), encoding="utf-8")
    return folder


def in_spanish(library: Library, folder: Path) -> Translated:
    """The library in Spanish; its catalog is written to an empty ``folder``."""
    project = spanish_catalog(library, folder)
    return translation(library, project, source_texts(library, OVERRIDES), "es_US")


def cab_files(library: Library, translated: Translated, folder: Path) -> tuple[Path, Path]:
    """The English and the Spanish cab file beside each other, each with a switch to the other."""
    english = context_of(library, OVERRIDES, (translated,))
    spanish = context_in(translated, english)
    files = folder / "cab.html", folder / translated.language.cab_file
    files[0].write_text(cab_html(english), encoding="utf-8")
    files[1].write_text(spanish_cab(spanish, translated), encoding="utf-8")
    return files


def spanish_cab(context: BuildContext, translated: Translated) -> str:
    """The Spanish cab file of a context in Spanish."""
    with speaking(translated.catalog):
        return cab_html(context)


def two_language_project(library: Library, folder: Path) -> Path:
    """A project of the repository's content in English and Spanish, the carrier's words too."""
    shutil.copytree(PROJECT / "content", folder / "content", ignore=shutil.ignore_patterns("languages"))
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(OVERRIDES, target_is_directory=True)
    fleet = folder / "content/fleet.yml"
    fleet.write_text(fleet.read_text(encoding="utf-8") + "\nlanguages: [en, es_US]\n", encoding="utf-8")
    return spanish_catalog(library, folder)
