"""The about page: purpose, limits, data stored on the device, and licenses of third-party work.

A review is mentioned only where a content file records it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.messages.pages import ABOUT
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact


@dataclass(frozen=True, slots=True)
class ShippedWork:
    """Third-party work that every copy of the site contains."""

    name: str
    used: str
    "Id of the text that says what for."
    license: str
    "Common name of the license."
    holder: str
    "The copyright holder as the license names it."
    texts: tuple[str, ...]
    "Files of the site with the full text of the license; the work's own comes first."
    files: tuple[str, ...]
    "Files of the site that contain the work; * matches what changes with each release of the theme."

    @property
    def use(self) -> str:
        """What it is used for."""
        return ABOUT[f"use-{self.used}"]


@dataclass(frozen=True, slots=True)
class StoredItem:
    """Something that a browser stores on the device."""

    id: str
    keys: tuple[str, ...]
    "Names it is stored under; a leading * matches the URL of the site's folder."

    @property
    def what(self) -> str:
        """What is stored."""
        return ABOUT[f"kept-{self.id}"]

    @property
    def goes(self) -> str:
        """How it is deleted."""
        return ABOUT[f"goes-{self.id}"]


_LICENSES = "assets/licenses/"
_APACHE = _LICENSES + "apache-2.0.txt"
_FRAME = ("assets/javascripts/bundle.*.min.js",)
_SEARCH = ("assets/javascripts/workers/search.*.min.js",)
_STYLE = ("assets/stylesheets/main.*.min.css",)

SHIPPED = (
    ShippedWork(
        "Atkinson Hyperlegible",
        "typeface",
        "SIL Open Font License 1.1",
        "Braille Institute of America, Inc.",
        ("assets/fonts/LICENSE-atkinson-hyperlegible.txt",),
        ("assets/fonts/*.woff2",),
    ),
    ShippedWork(
        "Material for MkDocs",
        "frame",
        "MIT",
        "Martin Donath",
        (_LICENSES + "material-for-mkdocs.txt",),
        (*_FRAME, *_SEARCH, *_STYLE, "assets/stylesheets/palette.*.min.css"),
    ),
    ShippedWork(
        "iframe-worker",
        "worker",
        "MIT",
        "Martin Donath",
        ("assets/javascripts/iframe-worker.LICENSE.txt",),
        ("assets/javascripts/iframe-worker.js", "assets/javascripts/iframe-worker-frame.js"),
    ),
    ShippedWork("Lunr", "search", "MIT", "Oliver Nightingale", (_LICENSES + "lunr.txt",), _SEARCH),
    ShippedWork(
        "RxJS",
        "frame-scripts",
        "Apache 2.0",
        "Google, Inc., Netflix, Inc., Microsoft Corp. and contributors",
        (_LICENSES + "rxjs.txt", _APACHE),
        _FRAME,
    ),
    ShippedWork(
        "clipboard.js",
        "frame-scripts",
        "MIT",
        "Zeno Rocha",
        (_LICENSES + "clipboard.txt",),
        _FRAME,
    ),
    ShippedWork(
        "escape-html",
        "frame-scripts",
        "MIT",
        'TJ Holowaychuk, Andreas Lubbe, Tiancheng "Timothy" Gu',
        (_LICENSES + "escape-html.txt",),
        _FRAME,
    ),
    ShippedWork(
        "focus-visible",
        "frame-scripts",
        "W3C Software and Document License",
        "Web Incubator Community Group",
        (_LICENSES + "focus-visible.txt",),
        _FRAME,
    ),
    ShippedWork(
        "tslib",
        "frame-scripts",
        "0BSD",
        "Microsoft Corporation",
        (_LICENSES + "tslib.txt",),
        _FRAME,
    ),
    ShippedWork(
        "material-design-color",
        "frame-styles",
        "MIT",
        "Denis Malinochkin",
        (_LICENSES + "material-design-color.txt",),
        _STYLE,
    ),
    ShippedWork(
        "Material Design Icons",
        "frame-buttons",
        "Apache 2.0",
        "Pictogrammers",
        (_LICENSES + "material-design-icons.txt", _APACHE),
        (*_STYLE, "*.html"),
    ),
    ShippedWork(
        "Octicons",
        "frame-signs",
        "MIT",
        "GitHub Inc.",
        (_LICENSES + "octicons.txt",),
        _STYLE,
    ),
    ShippedWork(
        "Font Awesome Free",
        "frame-sign",
        "CC BY 4.0",
        "Fonticons, Inc.",
        (_LICENSES + "font-awesome.txt",),
        _STYLE,
    ),
)
"""Tests compare this list with the files of a built site and the licenses of the installed packages."""

KEPT = (
    StoredItem(
        "choices",
        tuple(
            f"forty-paces/{name}"
            for name in ("look", "text", "vehicle", "finder", "awake", "aloud", "sound", "shake")
        ),
    ),
    StoredItem(
        "record",
        tuple(
            f"forty-paces/{name}"
            for name in (
                "walk",
                "ticks",
                "absent",
                "earlier",
                "answers",
                "log",
                "marks",
                "fields",
                "stopped",
                "out",
                "no_devices",
                "events",
                "trail",
                "help",
                "position",
                "photos",
                "expiry",
            )
        ),
    ),
    StoredItem("trip", ("forty-paces/trip", "forty-paces/trip_text")),
    StoredItem(
        "scores",
        tuple(f"forty-paces-classroom-{name}" for name in ("scores", "lessons", "learner", "expiry")),
    ),
    StoredItem("palette", ("*.__palette",)),
    StoredItem("edition", ("forty-paces *",)),
)
"""The complete list; tests compare it with the scripts, and with a browser's storage after a walk."""


OF_LANGUAGES = StoredItem("language", ("forty-paces/language", "forty-paces/going"))
"""Kept besides where the cab file comes in several languages."""


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page ``about.html``."""
    unsigned = tuple(p for p in context.library.procedures if p.review.safety_lead is None)
    kept = (*KEPT, OF_LANGUAGES) if context.other_languages else KEPT
    yield context.page("about", "pages/about", shipped=SHIPPED, kept=kept, unsigned=unsigned)
