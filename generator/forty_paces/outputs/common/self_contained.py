"""Helpers for self-contained HTML files: inline assets, embedded fonts and a content security policy.

The policy allows exactly the file's own inline styles and scripts, by their hashes.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from markupsafe import Markup

TYPEFACE = "Atkinson Hyperlegible"
CHARACTERS = frozenset([*map(chr, range(0x20, 0x7F)), *"\u00a0°±²½×·§’‘“”–—…′″←→↑↓≤≥≈−✓é"])
"""Characters always kept in a font subset, for texts that a script fills in."""
LICENSE_NAMES = (13, 14)
"""Entries of a font's name table that state its license (OpenType specification); kept in every subset."""


_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RAW_TEXT = re.compile(r"(<(?:script|style)\b[^>]*>)(.*?)(?=</(?:script|style)>)", re.DOTALL)
_BEYOND_ASCII = re.compile(r"[^\x00-\x7f]")
_JSON_ELEMENT = '<script type="application/json"'
_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?function|const |class )", re.MULTILINE)
_OWN_COMMENT = re.compile(r"^[ \t]*/\*.*?\*/[ \t]*\n", re.MULTILINE | re.DOTALL)


def csp_hash(text: str) -> str:
    """The policy's source expression for an inline style or script: 'sha256-...'."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def content_security_policy(
    *,
    styles: Iterable[str] = (),
    scripts: Iterable[str] = (),
    beside: bool = False,
    installs: bool = False,
) -> str:
    """A policy that allows only these inline styles and scripts, and fonts and images from data URLs.

    Forms, frames and base URLs are blocked. ``beside`` allows style and script files of the page's own
    origin in place of inline ones. ``installs`` also allows a manifest, a service worker and
    images from the file's own origin, so that a served copy can be installed on the home screen.
    """
    parts = ["default-src 'none'", "base-uri 'none'", "form-action 'none'"]
    parts += ["font-src data:", "img-src data: 'self'" if installs else "img-src data:"]
    parts += ["manifest-src 'self'", "worker-src 'self'"] if installs else []
    for name, texts in (("style-src", styles), ("script-src", scripts)):
        hashes = "'self'" if beside else " ".join(csp_hash(text) for text in texts)
        parts.append(f"{name} {hashes or chr(39) + 'none' + chr(39)}")
    return "; ".join(parts)


_OWN_SCRIPTS = "'sha256-of-own-scripts'"
"""Stands in the policy of the page template for the hashes of the theme's inline scripts."""

_INLINE_SCRIPT = re.compile(r"<script(?![^>]*\s(?:src|type)=)[^>]*>(.*?)</script>", re.DOTALL)


def allow_own_scripts(html: str, prose: str) -> str:
    """The page with a policy that allows the theme's inline scripts, by their hashes, and none in ``prose``.

    ``prose`` is what the page's author wrote, as it stands in the page.
    """
    frame = html.replace(prose, "", 1) if prose else html
    scripts = dict.fromkeys(match.group(1) for match in _INLINE_SCRIPT.finditer(frame))
    return html.replace(f" {_OWN_SCRIPTS}", "".join(f" {csp_hash(script)}" for script in scripts), 1)


_OWN_STYLES = "'sha256-of-own-styles'"
_INLINE_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)


def allow_own_styles(html: str) -> str:
    """The page for unknown addresses with a policy that allows its own style sheet, by its hash."""
    return html.replace(_OWN_STYLES, " ".join(map(csp_hash, _INLINE_STYLE.findall(html))), 1)


def inline_source(text: str) -> Markup:
    """A style or script, unescaped, for use inside its element.

    Raises ``ValueError`` where it would end that element early.
    """
    lowered = text.lower()
    if "</style" in lowered or "</script" in lowered or "<!--" in lowered:
        raise ValueError("a style or script holds the end of its own element")
    return Markup(text)


def joined_script(modules: Iterable[str]) -> str:
    """Script modules as one classic script with one scope, in their order.

    A file opened from a folder may not load modules. Imports, exports and comments that begin a line are left
    out: comments are for those who read the modules themselves, where they can be tested alone.
    """
    parts = "\n".join(_without_imports(module) for module in modules)
    return f'(function () {{\n"use strict";\n{parts}\n}})();'


def _without_imports(module: str) -> str:
    return _OWN_COMMENT.sub("", _EXPORT.sub("", _IMPORT.sub("", module)))


def inline_json(data: object) -> Markup:
    """JSON for use inside a script element: characters that could end the element are escaped."""
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    for char in "<>&\u2028\u2029":
        text = text.replace(char, f"\\u{ord(char):04x}")
    return Markup(text)


def ascii_only(page: str) -> str:
    """The same page with references in place of characters beyond ASCII.

    A browser decodes the whole file before its first paint, and Chromium decodes plain ASCII in a third of
    the time. Styles and scripts that run stay as they are: the policy knows them by their hashes.
    """
    parts: list[str] = []
    end = 0
    for element in _RAW_TEXT.finditer(page):
        start_tag, text = element.groups()
        is_json = start_tag.startswith(_JSON_ELEMENT)
        parts += [_with_references(page[end : element.start()] + start_tag)]
        parts += [_BEYOND_ASCII.sub(_json_escape, text) if is_json else text]
        end = element.end()
    return "".join([*parts, _with_references(page[end:])])


def _with_references(markup: str) -> str:
    return markup.encode("ascii", "xmlcharrefreplace").decode("ascii")


def _json_escape(char: re.Match[str]) -> str:
    return json.dumps(char.group())[1:-1]


def font_faces(fonts: Mapping[int, bytes], text: str, *, hinted: bool = True) -> str:
    """@font-face rules with each font subset to ``text`` and embedded as WOFF2.

    ``fonts`` maps a weight to the whole font file. The same text gives the same bytes. Hints, which only
    screens need, may be left out.
    """
    wanted = CHARACTERS | frozenset(text)
    return "\n".join(_face(weight, _cut(data, wanted, hinted)) for weight, data in sorted(fonts.items()))


def _face(weight: int, data: bytes) -> str:
    url = "data:font/woff2;base64," + base64.b64encode(data).decode()
    return (
        f'@font-face{{font-family:"{TYPEFACE}";font-style:normal;font-weight:{weight};'
        f'font-display:swap;src:url({url}) format("woff2")}}'
    )


@lru_cache(maxsize=64)
def _cut(data: bytes, wanted: frozenset[str], hinted: bool) -> bytes:
    from fontTools import subset  # imported late: it takes 0.25 s, and not every build needs it
    from fontTools.ttLib import TTFont

    options = subset.Options()
    options.flavor = "woff2"
    options.hinting = hinted
    options.layout_features = ["kern", "liga", "mark", "mkmk"]
    options.drop_tables += ["DSIG"]
    options.name_IDs = [*options.name_IDs, *LICENSE_NAMES]
    options.recalc_timestamp = False
    font = TTFont(io.BytesIO(data), recalcTimestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[ord(char) for char in wanted])
    cutter.subset(font)
    font.flavor = "woff2"
    written = io.BytesIO()
    font.save(written, reorderTables=True)
    return written.getvalue()


def minify_css(css: str) -> str:
    """The sheet without comments, indentation and empty lines. Strings with ``/*`` are not supported."""
    lines = (line.strip() for line in _COMMENT.sub("", css).splitlines())
    return "\n".join(line for line in lines if line)
