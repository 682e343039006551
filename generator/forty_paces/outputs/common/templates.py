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

from forty_paces.drawing import quantities
from forty_paces.geometry import units
from forty_paces.outputs.common.bibliography import basis_words, how_met, source_title
from forty_paces.outputs.common.dates import long_date, short_date
from forty_paces.outputs.common.no_break import keep_figures_with_units
from forty_paces.outputs.common.pictures import sized
from forty_paces.outputs.common.procedure_view import condition_words
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
    )
    env.filters["feet"] = units.feet
    env.filters["meters"] = units.meters
    env.filters["seconds_up"] = units.seconds_up
    env.filters["feet_up"] = quantities.feet_up
    env.filters["feet_down"] = quantities.feet_down
    env.filters["both_lengths"] = quantities.both_lengths
    env.filters["clock"] = quantities.clock
    env.filters["pace"] = quantities.pace
    env.filters["span_of_hours"] = quantities.span_of_hours
    env.filters["speed_band"] = quantities.speed_band
    env.filters["together"] = keep_figures_with_units
    env.filters["day"] = long_date
    env.filters["day_short"] = short_date
    env.filters["basis"] = basis_words
    env.filters["how_met"] = how_met
    env.filters["source_title"] = source_title
    env.filters["condition"] = condition_words
    env.filters["aside"] = lambda words: words[:1].lower() + words[1:]  # for use in brackets
    env.filters["sentence"] = lambda words: words[:1].upper() + words[1:]
    env.filters["svg"] = Markup
    env.filters["sized"] = sized
    env.filters["yaml"] = _front_matter_text
    env.filters["heading"] = _heading_text
    env.globals["asset"] = lambda path: Markup(asset_file(overrides, path).read_text(encoding="utf-8"))
    return env


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
