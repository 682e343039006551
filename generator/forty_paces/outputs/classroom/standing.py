"""Classroom pages that stand alone: styles, scripts and typeface inside, sealed by their hashes.

In: a template below templates/classroom with its names. Out: one HTML file that
asks nothing of anyone. Refuses to know what it shows.
"""

from __future__ import annotations

from collections.abc import Sequence

from forty_paces.outputs.paper.typeface import font_files
from forty_paces.outputs.press import Press
from forty_paces.outputs.sealed import enclosed, font_faces, policy

SHARED_STYLES = ("css/tokens.css", "css/drawing.css")


def standing_alone(
    press: Press, template: str, *, styles: Sequence[str], scripts: Sequence[str], **names: object
) -> str:
    """The page; ``styles`` and ``scripts`` are paths below assets/ and assets/js/."""
    looks = [press.asset_text(path) for path in (*SHARED_STYLES, *styles)]
    acts = [press.asset_text(f"js/{path}") for path in scripts]
    draft = press.render(template, policy="", styles=(), scripts=(), **names)
    looks.insert(0, font_faces(font_files(press), draft))
    return press.render(
        template,
        policy=policy(styles=looks, scripts=acts),
        styles=[enclosed(text) for text in looks],
        scripts=[enclosed(text) for text in acts],
        **names,
    )
