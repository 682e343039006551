"""Puts the files of another language below a folder of its own: their links, and a search of their own.

A page keeps its relative links to pages that its language has too. Every other link leads one folder up,
to the English page or the shared asset, and one to the cab file to that of its language.

The search plugin writes one index of all pages, with the English stop words. A page below ``es/`` would list
English pages among its results, and would not find a word that is typed without its accents.
"""

from __future__ import annotations

import json
import posixpath
import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

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
            content = _LINK.sub(partial(_relinked, path=file.path, own=own, language=language), content)
        yield Artifact(f"{language.short}/{file.path}", content)


def _page(path: str) -> str:
    return path.removesuffix(".md") + ".html" if path.endswith(".md") else path


def _relinked(link: re.Match[str], path: str, own: set[str], language: Language) -> str:
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


FOLDER = "search"

_BASE = re.compile(r'<script id="__config"[^>]*>[^<]*?"base": "(\.\.(?:/[^"]*)?)"')
"""Where a page says how far up the index lies."""

_TAG = re.compile(r"<[^>]*>")
_WORD = re.compile(r"\w+")


def with_own_search(page: str) -> str:
    """A page of another language that looks for the index in the folder of that language."""
    found = _BASE.search(page)
    if found is None:
        return page
    nearer = found[1].removeprefix("..").removeprefix("/") or "."
    return page[: found.start(1)] + nearer + page[found.end(1) :]


def divide_index(site: Path, folders: Iterable[str]) -> None:
    """Take the pages of each language's folder out of the index of a built site, into one of its own."""
    whole, folders = site / FOLDER / "search_index.json", tuple(folders)
    if not (folders and whole.exists()):
        return
    index = json.loads(whole.read_text(encoding="utf-8"))
    for folder in folders:
        begin = f"{folder}/"
        own = [entry for entry in index["docs"] if entry["location"].startswith(begin)]
        index["docs"] = [entry for entry in index["docs"] if not entry["location"].startswith(begin)]
        _write(site / folder / FOLDER, _in_another_language(index["config"], own, begin))
    _write(whole.parent, index)


def _in_another_language(config: dict[str, Any], entries: list[dict[str, Any]], begin: str) -> dict[str, Any]:
    """An index in which each word is found with and without its accents, and no word is left out.

    Nothing is stemmed, in English neither: a word is found by its beginning.
    """
    fields = config["fields"]
    found_too = {f"{name}_unaccented": dict(fields[name]) for name in ("title", "text")}
    docs = []
    for entry in entries:
        plain = {f"{name}_unaccented": unaccented_words(entry.get(name, "")) for name in ("title", "text")}
        docs.append({**entry, "location": entry["location"].removeprefix(begin), **plain})
    return {"config": {**config, "pipeline": [], "fields": {**fields, **found_too}}, "docs": docs}


def unaccented_words(text: str) -> str:
    """The words of a text that have accents, without them, each once."""
    words = dict.fromkeys(_WORD.findall(_TAG.sub(" ", text)))
    plain = {word: unaccented(word) for word in words}
    return " ".join(dict.fromkeys(bare for word, bare in plain.items() if bare != word))


def unaccented(word: str) -> str:
    """A word in the letters that stand on every keyboard."""
    return "".join(one for one in unicodedata.normalize("NFD", word) if not unicodedata.combining(one))


def _write(folder: Path, index: dict[str, Any]) -> None:
    """An index as pages read it over a network, and as they read it from a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    text = json.dumps(index, ensure_ascii=False, separators=(",", ":"))
    (folder / "search_index.json").write_text(text, encoding="utf-8")
    (folder / "search_index.js").write_text(f"var __index = {text}", encoding="utf-8")
