"""The Jinja environment shared by site, cab file, cards and classroom.

Everything is escaped, and undefined names raise an error.
"""

from __future__ import annotations

import html
import json
import re
from pathlib import Path

import jinja2
from markupsafe import Markup, escape

from forty_paces.outputs.common.bibliography import basis_words, how_met, source_title
from forty_paces.outputs.common.dates import long_date, short_date
from forty_paces.outputs.common.figures import FILTERS
from forty_paces.outputs.common.procedure_view import condition_words
from forty_paces.outputs.paper.pictures import sized
from forty_paces.package import library_overrides


def template_environment(overrides: Path) -> jinja2.Environment:
    """Templates of ``overrides`` and, below it, of the library; autoescaped whatever the file name says."""
    made = jinja2.Environment(
        loader=jinja2.FileSystemLoader([overrides / "templates", library_overrides() / "templates"]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters.update(FILTERS)
    made.filters["together"] = keep_figures_with_units
    made.filters["day"] = long_date
    made.filters["day_short"] = short_date
    made.filters["basis"] = basis_words
    made.filters["how_met"] = how_met
    made.filters["source_title"] = source_title
    made.filters["condition"] = condition_words
    made.filters["aside"] = lambda words: words[:1].lower() + words[1:]  # for use in brackets
    made.filters["sentence"] = lambda words: words[:1].upper() + words[1:]
    made.filters["svg"] = Markup
    made.filters["sized"] = sized
    made.filters["yaml"] = _front_matter_text
    made.filters["heading"] = _heading_text
    made.globals["asset"] = lambda path: Markup(asset_file(overrides, path).read_text(encoding="utf-8"))
    return made


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


def keep_figures_with_units(text: str) -> Markup:
    """The text with every figure kept with its unit: '10' and 'min' are never on two lines."""
    return Markup(_FIGURE.sub(r'<span class="together">\g<0></span>', str(escape(text))))


_UNITS = "ft|m|in|mi|km|mph|km/h|psi|min|s|h|days|paces?|°F|°C|percent|%"
_FIGURE = re.compile(rf"(?<![\w&#/.-])\d[\d,./]*(?:½|¼|¾)? (?:{_UNITS})(?![\w/])")
