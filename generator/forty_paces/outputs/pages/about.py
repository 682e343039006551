"""The about page: purpose, limits, data stored on the device, and licenses of third-party work.

A review is mentioned only where a content file records it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact


@dataclass(frozen=True, slots=True)
class ShippedWork:
    """Third-party work that every copy of the site contains."""

    name: str
    use: str
    license: str
    "Common name of the license."
    holder: str
    "The copyright holder as the license names it."
    texts: tuple[str, ...]
    "Files of the site with the full text of the license; the work's own comes first."
    files: tuple[str, ...]
    "Files of the site that contain the work; * matches what changes with each release of the theme."


@dataclass(frozen=True, slots=True)
class StoredItem:
    """Something that a browser stores on the device."""

    what: str
    keys: tuple[str, ...]
    "Names it is stored under; a leading * matches the URL of the site's folder."
    goes: str
    "How it is deleted."


_LICENSES = "assets/licenses/"
_APACHE = _LICENSES + "apache-2.0.txt"
_FRAME = ("assets/javascripts/bundle.*.min.js",)
_SEARCH = ("assets/javascripts/workers/search.*.min.js",)
_STYLE = ("assets/stylesheets/main.*.min.css",)

SHIPPED = (
    ShippedWork(
        "Atkinson Hyperlegible",
        "typeface on every page, card and drawing",
        "SIL Open Font License 1.1",
        "Braille Institute of America, Inc.",
        ("assets/fonts/LICENSE-atkinson-hyperlegible.txt",),
        ("assets/fonts/*.woff2",),
    ),
    ShippedWork(
        "Material for MkDocs",
        "page frame of the site, its styles and scripts",
        "MIT",
        "Martin Donath",
        (_LICENSES + "material-for-mkdocs.txt",),
        (*_FRAME, *_SEARCH, *_STYLE, "assets/stylesheets/palette.*.min.css"),
    ),
    ShippedWork(
        "iframe-worker",
        "lets the search run when a page is opened from a folder",
        "MIT",
        "Martin Donath",
        ("assets/javascripts/iframe-worker.LICENSE.txt",),
        ("assets/javascripts/iframe-worker.js",),
    ),
    ShippedWork("Lunr", "the search", "MIT", "Oliver Nightingale", (_LICENSES + "lunr.txt",), _SEARCH),
    ShippedWork(
        "RxJS",
        "inside the scripts of the page frame",
        "Apache 2.0",
        "Google, Inc., Netflix, Inc., Microsoft Corp. and contributors",
        (_LICENSES + "rxjs.txt", _APACHE),
        _FRAME,
    ),
    ShippedWork(
        "clipboard.js",
        "inside the scripts of the page frame",
        "MIT",
        "Zeno Rocha",
        (_LICENSES + "clipboard.txt",),
        _FRAME,
    ),
    ShippedWork(
        "escape-html",
        "inside the scripts of the page frame",
        "MIT",
        'TJ Holowaychuk, Andreas Lubbe, Tiancheng "Timothy" Gu',
        (_LICENSES + "escape-html.txt",),
        _FRAME,
    ),
    ShippedWork(
        "focus-visible",
        "inside the scripts of the page frame",
        "W3C Software and Document License",
        "Web Incubator Community Group",
        (_LICENSES + "focus-visible.txt",),
        _FRAME,
    ),
    ShippedWork(
        "tslib",
        "inside the scripts of the page frame",
        "0BSD",
        "Microsoft Corporation",
        (_LICENSES + "tslib.txt",),
        _FRAME,
    ),
    ShippedWork(
        "material-design-color",
        "inside the styles of the page frame",
        "MIT",
        "Denis Malinochkin",
        (_LICENSES + "material-design-color.txt",),
        _STYLE,
    ),
    ShippedWork(
        "Material Design Icons",
        "buttons of the page frame",
        "Apache 2.0",
        "Pictogrammers",
        (_LICENSES + "material-design-icons.txt", _APACHE),
        (*_STYLE, "*.html"),
    ),
    ShippedWork(
        "Octicons",
        "signs inside the styles of the page frame",
        "MIT",
        "GitHub Inc.",
        (_LICENSES + "octicons.txt",),
        _STYLE,
    ),
    ShippedWork(
        "Font Awesome Free",
        "one sign inside the styles of the page frame",
        "CC BY 4.0",
        "Fonticons, Inc.",
        (_LICENSES + "font-awesome.txt",),
        _STYLE,
    ),
)
"""Tests compare this list with the files of a built site and the licenses of the installed packages."""

KEPT = (
    StoredItem(
        "Your choices in the cab assistant: day or night, size of text, vehicle, speed and light of the "
        "last walk, and the switches for hands free",
        tuple(
            f"forty-paces/{name}"
            for name in ("look", "text", "vehicle", "finder", "awake", "aloud", "sound", "shake")
        ),
        "They stay when a record is erased. They go with the browser's own data. Day or night and the size "
        "of text are copied to local storage too, so that the first thing painted has the right look.",
    ),
    StoredItem(
        "The record in the cab assistant, one for each vehicle: ticks, answers and their times, what you "
        "wrote, which pictures were taken, where the devices stand, the clocks, which procedure led to "
        "which, the message for help, positions that you asked for, photos",
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
            )
        ),
        'Two taps in the record: "Clear the record", then "Erase it all".',
    ),
    StoredItem(
        "The list before the trip in the cab assistant, one for each vehicle: ticks and their times, and "
        "what you wrote",
        ("forty-paces/trip", "forty-paces/trip_text"),
        'Two taps in the list: "Start a new list", and once more on the next screen.',
    ),
    StoredItem(
        "Scores of the placing exercise, with the names that the trainer wrote",
        ("forty-paces-classroom-scores",),
        'Two taps below the scores: "Clear the sheet", then "Yes, clear it now".',
    ),
    StoredItem(
        "Day or night on the pages of this site", ("*.__palette",), "It goes with the browser's own data."
    ),
    StoredItem(
        "The files of this edition, where it was put on a tablet from a web address",
        ("forty-paces *",),
        "They go with the browser's own data. A new edition takes the place of the old one.",
    ),
)
"""The complete list; tests compare it with the scripts, and with a browser's storage after a walk."""


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page ``about.html``."""
    unsigned = tuple(p for p in context.library.procedures if p.review.safety_lead is None)
    text = context.render("pages/about.md.j2", shipped=SHIPPED, kept=KEPT, unsigned=unsigned)
    yield Artifact("about.md", text.lstrip("\n"))
