"""What in a page could run or fetch: every output of a library that shows words, read back by two parsers.

The standard library's, and one that follows the HTML standard as browsers do.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser

import markdown
import tinyhtml5
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import try_set
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.raw_html import extract_html_blocks, restore_blocks
from forty_paces.outputs.pages import about, placing, review
from forty_paces.outputs.pages import procedures as pages
from forty_paces.outputs.pages import scenes as scene_pages

from tests.projects import PROJECT

WATCHED = frozenset(
    {
        *("script", "style", "img", "image", "iframe", "object", "embed"),
        *("base", "form", "meta", "link", "template", "math", "foreignobject"),
    }
)


def outputs(library: Library) -> Iterator[tuple[str, str]]:
    """Every page as MkDocs would set it, the cab file, the faces that fit, by name."""
    context = BuildContext(library, PROJECT / "site_overrides")
    for part in (pages, placing, scene_pages, about, review):
        for artifact in part.artifacts(context):
            body = str(artifact.content)
            if body.startswith("---\n"):
                body = body.split("\n---\n", 1)[1]
            text, blocks = extract_html_blocks(body)
            html = markdown.markdown(text, extensions=["attr_list", "tables", "toc"])
            yield artifact.path, restore_blocks(html, blocks)
    yield "cab.html", cab_html(context)
    found, _ = try_set(context, "half-letter")
    if found.faces:
        yield "cards.html", faces_document(context, found, "cards").html


def live(html: str) -> Counter[str]:
    """What could run or fetch, by either parser: watched elements, handlers, odd addresses."""
    found: Counter[str] = Counter()
    parser = _StartTags(found)
    parser.feed(html)
    parser.close()
    for element in tinyhtml5.parse(html, namespace_html_elements=False).iter():
        if isinstance(element.tag, str):
            _count(found, f"two {element.tag.rpartition('}')[2]}", element.attrib)
    return found


class _StartTags(HTMLParser):
    """The standard library's parser, which counts as it reads: a tree would take three times as long."""

    def __init__(self, found: Counter[str]) -> None:
        super().__init__()
        self.found = found

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        _count(self.found, f"one {tag}", dict(attrs))


def _count(found: Counter[str], name: str, attributes: object) -> None:
    if name.split()[1].lower() in WATCHED:
        found[name] += 1
    for attribute, value in dict(attributes).items():
        if str(attribute).lower().startswith("on") or str(attribute).lower() in ("style", "srcdoc"):
            found[f"{name} {attribute}"] += 1
        address = "".join(str(value).split()).lower()
        plain = address.startswith(("#", "tel:", "data:,")) or ":" not in address.split("/")[0]
        if str(attribute).lower() in ("href", "src", "action", "data", "formaction") and not plain:
            found[f"{name} {attribute} {address[:20]}"] += 1
