"""Render standalone classroom pages, with embedded styles, scripts and typeface.

The page's Content-Security-Policy allows exactly these inline blocks, by their hashes.
"""

from __future__ import annotations

from collections.abc import Sequence

from forty_paces.drawing.typeface import font_files
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.self_contained import (
    content_security_policy,
    font_faces,
    inline_source,
    joined_script,
    minify_css,
)

SHARED_STYLES = ("css/tokens.css", "css/drawing.css")


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
    draft = context.render(template, policy="", styles=(), scripts=(), **names)
    # Without hints, half of a font's bytes: with them a projector may set lines wider than measured.
    looks.insert(0, font_faces(font_files(context.fonts), draft, hinted=False))
    return context.render(
        template,
        policy=content_security_policy(styles=looks, scripts=acts),
        styles=[inline_source(text) for text in looks],
        scripts=[inline_source(text) for text in acts],
        **names,
    )
