"""Offline use: the web app manifest, icons, service worker and status script, and the seal of the site."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import resvg_py

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.authoring.texts import string_hashes, texts_by_id
from forty_paces.messages.languages import language
from forty_paces.messages.pages import SITE
from forty_paces.outputs.common.context import TOKENS, BuildContext
from forty_paces.outputs.common.edition_status import review_day, status_script
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.typesetting import long_date
from forty_paces.outputs.edition.edition_file import WORKER, seal
from forty_paces.outputs.edition.signing import SigningKey

STATUS_SCRIPT = "assets/js/edition.js"

SIZES_PX = (180, 192, 512)
"""180 for the home screen of an iPad, 192 and 512 for the rest."""


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The files that offline use adds before the folder is sealed."""
    yield Artifact("manifest.webmanifest", json.dumps(_manifest(context.library), indent=1) + "\n")
    svg = context.asset_text("icons/icon.svg")
    yield Artifact("assets/icons/icon.svg", svg)
    if context.logo_address:
        svg = icon_of_logo(context.logo_address)
    for size in SIZES_PX:
        yield Artifact(f"assets/icons/icon-{size}.png", icon_png(svg, size))
    looks = context.library.fleet.looks
    if looks.color or looks.night_color:
        yield Artifact(f"assets/{TOKENS}", context.asset_text(TOKENS))
    yield Artifact(WORKER, worker_code(context.asset_text))
    yield Artifact(STATUS_SCRIPT, status_script(context, others=True))


def worker_code(read: Callable[[str], str]) -> str:
    """The service worker, one classic script: what it does, and what it takes for an edition (trust.js)."""
    return read("js/sw.js") + read("js/trust.js").replace("\nexport ", "\n")


def seal_site(site_dir: Path, library: Library, key: SigningKey | None = None) -> None:
    """Seal a finished site: ``edition.json``, its signature, the service worker's list, one time and mode.

    Run last: ``fortypaces verify`` reports a file written afterwards as no part of the edition.
    Raises ``CannotSeal`` where the service worker is missing, and where a signed edition has no number.
    """
    seal(site_dir, edition_metadata(library), library.edition.date, key=key)


def signed_library(library: Library, key: SigningKey | None) -> Library:
    """The library of a build that ``key`` signs: every output then says so, and otherwise "unsigned"."""
    if key is None:
        return library
    return replace(library, edition=replace(library.edition, key=key.public.name))


def edition_metadata(library: Library) -> dict[str, Any]:
    """The fields of ``edition.json`` other than the hashes of files."""
    review_by = review_day(library)
    texts = [pair for procedure in library.procedures for pair in texts_by_id(procedure).items()]
    return {
        "edition": library.edition.id,
        "number": library.edition.number,
        "date": library.edition.date.isoformat(),
        "expires": library.edition.expires.isoformat() if library.edition.expires else None,
        "day": long_date(library.edition.date),
        "carrier": library.fleet.carrier,
        "carrier_id": library.fleet.stable_id,
        "review_by": review_by.isoformat(),
        "procedures": [_procedure(procedure) for procedure in library.procedures],
        "strings": string_hashes(texts),
    }


def _manifest(library: Library) -> dict[str, Any]:
    icons: list[dict[str, str]] = [
        {
            "src": f"assets/icons/icon-{size}.png",
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size in (192, 512)
        for purpose in ("any", "maskable")
    ]
    return {
        "id": "./cab.html",
        "name": SITE["app-name"].format(carrier=library.fleet.carrier),
        "short_name": SITE["app-short-name"],
        "description": SITE["app-description"],
        "lang": language(),
        "start_url": "./cab.html",
        "scope": "./",
        "display": "standalone",
        "orientation": "any",
        "background_color": "#ffffff",
        "theme_color": "#111111",
        "icons": [*icons, {"src": "assets/icons/icon.svg", "sizes": "any", "type": "image/svg+xml"}],
    }


def _procedure(procedure: Procedure) -> dict[str, Any]:
    review = procedure.review
    return {
        "id": procedure.id,
        "code": procedure.code,
        "title": procedure.title,
        "version": procedure.version,
        "effective": procedure.effective.isoformat(),
        "next_review": procedure.next_review.isoformat(),
        "review": {
            "technical": _signed(review.technical),
            "user": _signed(review.user),
            "safety_lead": _signed(review.safety_lead),
        },
    }


def _signed(signature: SignOff | None) -> dict[str, str] | None:
    """Name and day of a signature; None where nobody has signed."""
    return {"name": signature.name, "day": signature.day.isoformat()} if signature else None


def icon_of_logo(address: str) -> str:
    """A square drawing with the logo inside the part of an icon that no launcher cuts off.

    That is a circle of two fifths of the side around the center (W3C Web Application Manifest, icon masks and
    safe zone); the square in it has a side of 56 percent. A logo of any proportions keeps them.
    """
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        f'<image x="22" y="22" width="56" height="56" href="{address}"/></svg>'
    )


def icon_png(svg: str, size_px: int) -> bytes:
    """The SVG as an opaque square PNG on white. ``ValueError`` where it is not a drawable SVG."""
    painted: bytes = resvg_py.svg_to_bytes(
        svg_string=svg, width=size_px, height=size_px, background="#ffffff", skip_system_fonts=True
    )
    return painted
