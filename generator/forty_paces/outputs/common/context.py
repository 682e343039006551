"""Everything that an output needs to build its files: library, templates, assets and a progress listener.

In a preview it also keeps parts of outputs, so that an edit makes only what depends on it.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar, TypeVarTuple, Unpack

import jinja2
from markupsafe import Markup

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Looks, Vehicle
from forty_paces.drawing.symbols import symbol_svg
from forty_paces.drawing.typeface import FONTS
from forty_paces.messages.languages import ENGLISH, NO_CATALOG, Catalog
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener
from forty_paces.outputs.common.templates import asset_file, cache_compiled_templates, template_environment

Context = TypeVar("Context")
Values = TypeVarTuple("Values")
Part = TypeVar("Part")

EDITION_ID = "edition-id-of-the-preview"
"""Stands in what a preview keeps for the id of the edition, which follows from every file."""


class KeptParts:
    """The parts of the last build, and those of the build that runs.

    A part depends on the values that it is made from, and on the frame, which is the same for all.
    """

    def __init__(self) -> None:
        self._last: dict[Any, list[tuple[Any, Any]]] = {}
        self._now: dict[Any, list[tuple[Any, Any]]] = {}
        self._frame: object = None
        self._edition_id = ""

    def begin(self, frame: object, edition_id: str) -> None:
        """Start a build: everything is forgotten where the frame is another."""
        self._last = self._now if frame == self._frame else {}
        self._now, self._frame, self._edition_id = {}, frame, edition_id

    def made(
        self,
        make: Callable[[Context, Unpack[Values]], Part],
        context: Context,
        values: tuple[*Values],
    ) -> Part:
        """What ``make`` gave for equal values in the last build, or gives now; with the edition's id."""
        known = self._last.get(make, ())
        kept = next((pair for pair in known if pair[0] == values), None)
        pair = kept if kept is not None else (values, make(context, *values))
        self._now.setdefault(make, []).append(pair)
        return _numbered(pair[1], self._edition_id)  # type: ignore[no-any-return]  # of the same type


def _numbered(part: Any, edition_id: str) -> Any:
    """The part with the edition's id in place of the placeholder: a text, or a record or tuple with texts."""
    match part:
        case str():
            return part.replace(EDITION_ID, edition_id)
        case tuple():
            return tuple(_numbered(one, edition_id) for one in part)
        case _ if is_dataclass(part) and not isinstance(part, type):
            texts = {one.name: getattr(part, one.name) for one in fields(part)}
            return replace(part, **{name: _numbered(text, edition_id) for name, text in texts.items()})
        case _:
            return part


FEW_VEHICLES = 12
"""Largest fleet with files for each vehicle in the site; each adds about a megabyte to every tablet."""

ICON = "icons/icon.svg"
"""The logo, from which the tablet's icons are painted too."""

TOKENS = "css/tokens.css"

COLORED = ("action-ground", "link", "focus")
"""Tokens that take the carrier's color; signal words, drawings and text keep theirs."""


@dataclass(frozen=True, slots=True)
class Language:
    """One language of a build."""

    code: str
    "As the fleet names it: en, es_US."
    tag: str
    "By BCP 47, for ``lang``: es-US."
    name: str
    "What its speakers call it."
    short: str = ""
    "Part of addresses: es. Empty for English, which has the plain ones."
    catalog: Catalog = field(default=NO_CATALOG, compare=False, repr=False)
    "Its texts."

    @property
    def cab_file(self) -> str:
        """The name of the cab file in this language."""
        return f"cab.{self.short}.html" if self.short else "cab.html"


ENGLISH_LANGUAGE = Language("en", ENGLISH, "English")


@dataclass(frozen=True)
class BuildContext:
    """Passed to each output's ``artifacts(context)``. ``overrides`` is a site_overrides folder.

    What that folder lacks comes from the library's.
    """

    library: Library
    overrides: Path
    watch: ProgressListener = NO_PROGRESS
    "Receives the progress of long operations."
    language: Language = ENGLISH_LANGUAGE
    languages: tuple[Language, ...] = (ENGLISH_LANGUAGE,)
    "All languages of the build, English first."
    english: Library | None = None
    "The library in English, where another language is built."
    parts: KeptParts | None = None
    "What a preview keeps; None in a build."

    @cached_property
    def templates(self) -> jinja2.Environment:
        """The Jinja environment with the globals that every template may use."""
        env = template_environment(self.overrides)
        cache_compiled_templates(env)
        env.globals.update(
            library=self.library,
            fleet=self.library.fleet,
            edition=self.library.edition,
            sources=self.library.sources,
            metric=self.metric,
            region=self.library.rules[self.library.fleet.rules].region,
            symbol=lambda name: Markup(symbol_svg(name)),
            repeated_symbol=lambda name: Markup(symbol_svg(name)),
            others=self.other_languages,
        )
        return env

    @property
    def metric(self) -> bool:
        """Whether the rule set in force is written in meters."""
        return self.library.rules[self.library.fleet.rules].rule_set.metric

    @property
    def other_languages(self) -> tuple[Language, ...]:
        """The languages of the build that one can change to."""
        return tuple(one for one in self.languages if one != self.language)

    @property
    def vehicles_in_site(self) -> tuple[Vehicle, ...]:
        """The vehicles with files of their own in the site: all of a small fleet, none of a large one.

        A large fleet's tablets get folders of their own, made by ``fortypaces editions``.
        """
        vehicles = self.library.fleet.vehicles
        return vehicles if len(vehicles) <= FEW_VEHICLES else ()

    @cached_property
    def frame(self) -> BuildContext:
        """The context without procedures, lessons, scenarios and the edition's id."""
        edition = replace(self.library.edition, id=EDITION_ID)
        frame = replace(self.library, procedures=(), lessons={}, scenarios={}, documents={}, edition=edition)
        return replace(self, library=frame, parts=None)

    def kept(self, make: Callable[[BuildContext, Unpack[Values]], Part], *values: *Values) -> Part:
        """``make(context, *values)``, or what it gave for equal values in the last build of a preview.

        In a preview ``make`` gets the frame, so what it takes from procedures must be among the values.
        """
        if self.parts is None:
            return make(self, *values)
        return self.parts.made(make, self.frame, values)

    def render(self, template: str, **names: object) -> str:
        """Render ``templates/<template>``; an undefined name raises ``jinja2.UndefinedError``."""
        return self.templates.get_template(template).render(**names)

    def page(self, path: str, template: str, **names: object) -> Artifact:
        """The page ``path``, without its ending, for MkDocs: ``templates/<template>.md.j2`` rendered."""
        return Artifact(f"{path}.md", self.render(f"{template}.md.j2", **names).lstrip("\n"))

    @property
    def fonts(self) -> Path:
        """The folder of the embedded font files: the project's own, or that of this package."""
        own = self.overrides / "assets/fonts"
        return own if own.is_dir() else FONTS

    @cached_property
    def logo_address(self) -> str:
        """The carrier's logo as a data address, for an image or a background; empty without a logo.

        As an image it can run and load nothing, whatever it holds.
        """
        logo = self.library.logo
        return "" if logo is None else svg_address(logo)

    def asset_text(self, path: str) -> str:
        """A text asset below ``assets/``; the logo and the colors are the carrier's, if it has its own."""
        if path == ICON and self.library.logo is not None:
            return self.library.logo
        text = asset_file(self.overrides, path).read_text(encoding="utf-8")
        return colored(text, self.library.fleet.looks) if path == TOKENS else text


def svg_address(svg: str) -> str:
    """A drawing as a data address."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()


def colored(tokens: str, looks: Looks) -> str:
    """The style sheet with the carrier's colors in its day block and its night block."""
    day, at, night = tokens.partition("@media screen")
    return _with(day, looks.color) + at + _with(night, looks.night_color)


def _with(block: str, color: str | None) -> str:
    if color is None:
        return block
    return re.sub(rf"(--fp-(?:{'|'.join(COLORED)}):\s*)[^;]+;", rf"\g<1>{color};", block)
