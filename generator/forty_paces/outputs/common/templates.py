"""The Jinja environment shared by site, cab file, cards and classroom.

Everything is escaped, and undefined names raise an error.
"""

from __future__ import annotations

import hashlib
import html
import json
import os
import re
from contextlib import suppress
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket
from markupsafe import Markup, escape

from forty_paces.messages import quantities
from forty_paces.messages.languages import language, npgettext, pgettext
from forty_paces.messages.pages import translation_note
from forty_paces.messages.placement import text
from forty_paces.messages.terms import TERMS, across_words, capital, side_words
from forty_paces.outputs.common.procedure_view import condition_words
from forty_paces.outputs.common.typesetting import (
    basis_words,
    how_met,
    how_met_marked,
    in_english,
    keep_figures_with_units,
    long_date,
    short_date,
    shown_source_title,
    sized,
    source_language,
    source_title,
)
from forty_paces.package import library_overrides


def template_environment(overrides: Path) -> jinja2.Environment:
    """Templates of ``overrides`` and, below it, of the library; autoescaped whatever the file name says."""
    env = jinja2.Environment(
        loader=jinja2.FileSystemLoader([overrides / "templates", library_overrides() / "templates"]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        extensions=["jinja2.ext.i18n"],
    )
    _speak(env)
    env.filters["own_length"] = lambda length_ft, rules: quantities.length(rules, length_ft)
    env.filters["length_up"] = lambda length_ft, rules: quantities.length_up(rules, length_ft)
    env.filters["length_down"] = lambda length_ft, rules: quantities.length_down(rules, length_ft)
    env.filters["seconds_up"] = quantities.seconds_up
    env.filters["printed_length"] = quantities.printed_length
    env.filters["clock"] = quantities.clock
    env.filters["paces"] = quantities.paces
    env.filters["pace"] = quantities.pace
    env.filters["span_of_hours"] = quantities.span_of_hours
    env.filters["speed_band"] = quantities.speed_band
    env.filters["together"] = keep_figures_with_units
    env.filters["day"] = long_date
    env.filters["day_short"] = short_date
    env.filters["basis"] = basis_words
    env.filters["how_met"] = how_met
    env.filters["how_met_marked"] = how_met_marked
    env.filters["source_title"] = source_title
    env.filters["shown_title"] = shown_source_title
    env.filters["source_language"] = source_language
    env.filters["in_english"] = in_english
    env.filters["condition"] = condition_words
    env.filters["aside"] = lambda words: words[:1].lower() + words[1:]  # for use in brackets
    env.filters["sentence"] = capital
    env.filters["in_words"] = lambda sentences, rules: text(rules, sentences)
    env.filters["svg"] = Markup
    env.filters["sized"] = sized
    env.filters["across"] = across_words
    env.filters["side_word"] = side_words
    env.filters["road_word"] = lambda road: TERMS[f"road-{road}"]
    env.filters["signal_word"] = lambda signal: TERMS[f"signal-{signal}"]
    env.filters["yaml"] = _front_matter_text
    env.filters["heading"] = _heading_text
    env.globals["language"] = language
    env.globals["translation_note"] = translation_note
    env.globals["asset"] = lambda path: Markup(asset_file(overrides, path).read_text(encoding="utf-8"))
    return env


def _speak(env: jinja2.Environment) -> None:
    """Let ``trans`` blocks take their texts from the language in force; the id stands as their context."""
    env.install_gettext_callables(  # type: ignore[attr-defined]
        _no_id, _no_id, newstyle=True, pgettext=pgettext, npgettext=npgettext
    )


def _no_id(*texts: object) -> str:
    raise jinja2.TemplateRuntimeError(f"a text without an id: {texts[0]!r}")


def asset_file(overrides: Path, path: str) -> Path:
    """An asset of ``overrides``, or else of the library, by its path below ``assets``."""
    own = overrides / "assets" / path
    return own if own.exists() else library_overrides() / "assets" / path


def _front_matter_text(text: str) -> Markup:
    """A front-matter value. Escaped twice: the theme prints titles as they are, and YAML reads the quotes."""
    return Markup(json.dumps(str(escape(text)), ensure_ascii=False))


def _heading_text(text: str) -> Markup:
    """Text for a Markdown heading, with all HTML and Markdown markup escaped.

    Quotes stay as they are: the table of contents escapes the text once more.
    """
    return Markup(re.sub(r"([\\`*_{}\[\]()#+.!|~:-])", r"\\\1", html.escape(text, quote=False)))


class TemplateCache(jinja2.FileSystemBytecodeCache):
    """Jinja's file cache, keyed by the template's name, source and compiler settings instead of its path.

    A second copy of the same templates in another folder therefore shares the entries. Errors of
    a full or read-only disk are ignored.
    """

    def __init__(self, environment: jinja2.Environment) -> None:
        super().__init__(pattern="forty-paces-%s.jinja")
        self.manner = repr(
            (
                jinja2.__version__,
                environment.autoescape if isinstance(environment.autoescape, bool) else "by name",
                environment.trim_blocks,
                environment.lstrip_blocks,
                environment.keep_trailing_newline,
                sorted(environment.extensions),
            )
        )

    def get_bucket(
        self, environment: jinja2.Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        """The cache entry of this source, empty where there is none."""
        key = hashlib.sha256("\0".join((self.manner, name, source)).encode()).hexdigest()
        bucket = Bucket(environment, key, self.get_source_checksum(source))
        self.load_bytecode(bucket)
        return bucket

    def load_bytecode(self, bucket: Bucket) -> None:
        """Load the entry, ignoring read errors."""
        with suppress(OSError):
            super().load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Store the entry, ignoring write errors."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


class ShownFiles(jinja2.FileSystemLoader):
    """A loader that passes hidden folders over: one of the theme's has thousands of icons, all unused."""

    def list_templates(self) -> list[str]:
        """The names of the files in all other folders."""
        names = set[str]()
        for top in self.searchpath:
            for folder, folders, files in os.walk(top, followlinks=self.followlinks):
                below = Path(folder).relative_to(top)
                names.update((below / name).as_posix() for name in files)
                if below == Path():
                    folders[:] = [name for name in folders if not name.startswith(".")]
        return sorted(names)


def cache_compiled_templates(environment: jinja2.Environment) -> None:
    """Attach the cache to an environment, where the user has a private temporary folder."""
    with suppress(OSError, RuntimeError):  # no temporary folder is private to this user
        environment.bytecode_cache = TemplateCache(environment)
