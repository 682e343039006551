"""Render classroom pages with embedded styles, scripts and typeface, and share these in a folder of pages.

The policy of a page alone allows exactly its inline blocks, by their hashes. In a site the same blocks are
files beside the pages: 45 pages would each carry the typeface, the style sheets and most of the scripts.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections.abc import Iterable, Iterator, Sequence

from markupsafe import escape

from forty_paces.drawing.typeface import font_files, load_typeface
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import (
    content_security_policy,
    font_faces,
    inline_source,
    joined_script,
    minify_css,
)

FILES = "files"
"The folder of shared files, beside the pages."
KEEPING = ("../cab/expiry_state", "score_expiry_state", "class_store")
"What keeps the answers of learners on a device, and lets them expire as the cab file's records do."
ANSWERING = ("learner", "score_expiry")
"What a page needs beside that, on which learners answer or results are looked after."
SHARED_STYLES = ("css/tokens.css", "css/drawing.css")


def classroom_modules(names: Iterable[str]) -> tuple[str, ...]:
    """The paths below assets/js/ of modules that are named as from within the classroom's folder."""
    return tuple(posixpath.normpath(f"classroom/{name}.js") for name in names)


def standalone_page(
    context: BuildContext,
    template: str,
    *,
    styles: Sequence[str],
    scripts: Sequence[str] = (),
    modules: Sequence[str] = (),
    **names: object,
) -> str:
    """Render the page, which loads nothing else.

    ``styles`` are paths below assets/, ``scripts`` and ``modules`` are paths below assets/js/. Modules are
    joined into one script with one scope, in their order, because a page in a folder may not load any.
    """
    looks = [minify_css(context.asset_text(path)) for path in (*SHARED_STYLES, *styles)]
    acts = [context.asset_text(f"js/{path}") for path in scripts]
    if modules:
        acts.append(joined_script(context.asset_text(f"js/{path}") for path in modules))
    # Without hints, half of a font's bytes: with them a projector may set lines wider than measured. Every
    # letter of the typeface, so that all pages have the same font.
    letters = "".join(load_typeface(context.fonts).regular.advances)
    looks.insert(0, font_faces(font_files(context.fonts), letters, hinted=False))
    return context.render(
        template,
        policy=content_security_policy(styles=looks, scripts=acts),
        styles=[inline_source(text) for text in looks],
        scripts=[inline_source(text) for text in acts],
        **names,
    )


_POLICY = re.compile(r'(?<=Content-Security-Policy"\scontent=")[^"]*')
_BLOCKS = (
    (re.compile(r"<style>(.*?)</style>", re.DOTALL), "css", '<link rel="stylesheet" href="{name}">'),
    (re.compile(r"<script>(.*?)</script>", re.DOTALL), "js", '<script src="{name}"></script>'),
)


def shared(pages: Iterable[Artifact]) -> Iterator[Artifact]:
    """The pages with their styles and scripts in files beside them, each file once."""
    written: dict[str, str] = {}
    for page in pages:
        html = _POLICY.sub(str(escape(content_security_policy(beside=True))), page.data.decode(), count=1)
        for block, ending, element in _BLOCKS:

            def kept(match: re.Match[str], ending: str = ending, element: str = element) -> str:
                name = f"{FILES}/{hashlib.sha256(match[1].encode()).hexdigest()[:8]}.{ending}"
                written[name] = match[1]
                return element.format(name=name)

            html = block.sub(kept, html)
        yield Artifact(page.path, html)
    for name, text in written.items():
        yield Artifact(f"classroom/{name}", text)
