"""The page that stands in for the cards in an edition built without them, so that no link is broken.

Imports none of the card modules, so that such a build need not load them.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact

_PAGE = """\
---
title: Cards to print
---

# Cards to print {#leaves}

This copy was built without its cards. `fortypaces build` prints them.
"""


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The placeholder page."""
    yield Artifact("cards/index.md", _PAGE)
