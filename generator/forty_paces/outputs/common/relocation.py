"""Puts the files of another language below a folder of its own, and adjusts their links.

A page keeps its relative links to pages that its language has too. Every other link leads one folder up,
to the English page or the shared asset, and one to the cab file to that of its language.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from forty_paces.outputs.common.context import Language
from forty_paces.outputs.common.files import Artifact

_LINK = re.compile(r'(?P<before>\b(?:href|src|data-notes)="|\]\()(?P<to>[^"\s)]+)')
_ELSEWHERE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|#|/|\{|$")
_CAB = re.compile(r"(?:^|/)cab\.html$")


def relocated(files: Iterable[Artifact], language: Language) -> Iterator[Artifact]:
    """The files of one language at their addresses."""
    made = tuple(files)
    own = {_page(file.path) for file in made if not _CAB.search(file.path)}
    for file in made:
        if _CAB.search(file.path):
            folder = posixpath.dirname(file.path)
            yield replace(file, path=posixpath.join(folder, language.cab_file))
            continue
        content = file.content
        if isinstance(content, str) and file.path.endswith((".md", ".html")):
            content = _LINK.sub(partial(_mended, path=file.path, own=own, language=language), content)
        yield Artifact(f"{language.short}/{file.path}", content)


def _page(path: str) -> str:
    return path.removesuffix(".md") + ".html" if path.endswith(".md") else path


def _mended(link: re.Match[str], path: str, own: set[str], language: Language) -> str:
    to = link["to"]
    if _ELSEWHERE.match(to):
        return link[0]
    address, sign, part = to.partition("#")
    target = posixpath.normpath(posixpath.join(posixpath.dirname(path), address))
    if _page(target) in own:
        return link[0]
    if _CAB.search(target):
        address = posixpath.join(posixpath.dirname(address), language.cab_file)
    return f"{link['before']}../{address}{sign}{part}"
