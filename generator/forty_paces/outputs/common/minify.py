"""Style sheets without what only their authors need.

In: CSS text. Out: the same rules without comments and indentation.
"""

from __future__ import annotations

import re

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


def minify_css(css: str) -> str:
    """The sheet without comments, indentation and empty lines. Strings that hold ``/*`` are not expected."""
    lines = (line.strip() for line in _COMMENT.sub("", css).splitlines())
    return "\n".join(line for line in lines if line)
