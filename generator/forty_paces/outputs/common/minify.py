"""Minify CSS: remove comments, indentation and empty lines."""

from __future__ import annotations

import re

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


def minify_css(css: str) -> str:
    """The sheet without comments, indentation and empty lines. Strings with ``/*`` are not supported."""
    lines = (line.strip() for line in _COMMENT.sub("", css).splitlines())
    return "\n".join(line for line in lines if line)
