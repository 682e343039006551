"""What an edition without cards shows in their place.

In: a press. Out: one page, so that no way leads nowhere. Refuses to know how cards
are made, so that a build without them need not load what makes them.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.outputs.common.artifact import Artifact
from forty_paces.outputs.common.context import BuildContext

_PAGE = """\
---
title: Cards to print
---

# Cards to print

This copy was built without its cards. `fortypaces build` prints them.
"""


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page alone."""
    yield Artifact("cards/index.md", _PAGE)
