"""Projects of any size, made of the real content.

A surplus procedure is a copy of a real one under another id and title, with a word of its own in most of
its lines, so that nothing cached for one serves the other. Copies break rules that only copies break (two
cards with one code, two titles that begin alike, thirteenth positions), so such a project is built with
:mod:`tests.bench.edition`, which runs every check and goes on.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from tests.bench.measuring import PROJECT

CONTENT = PROJECT / "content"


def project(folder: Path, *, procedures: int, vehicles: int | None = None, scenes: int | None = None) -> Path:
    """A project in ``folder`` with that many procedures, vehicles and scenes; None for all real ones."""
    content = folder / "content"
    shutil.copytree(CONTENT, content, ignore=shutil.ignore_patterns("procedures", "lessons"))
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    (content / "procedures").mkdir()
    for name, text in _procedures(procedures):
        (content / f"procedures/{name}.yml").write_text(text, encoding="utf-8")
    if scenes is not None:
        for file in sorted((content / "scenes").glob("*.yml"))[scenes:]:
            file.unlink()
    if vehicles is not None:
        _set_vehicles(content / "fleet.yml", vehicles)
    return folder


def _procedures(wanted: int) -> Iterator[tuple[str, str]]:
    """Real procedures, as many as link only to each other, and then copies of these."""
    texts = {file.stem: file.read_text(encoding="utf-8") for file in CONTENT.glob("procedures/*.yml")}
    real = _together(texts, wanted)
    yield from ((name, texts[name]) for name in real)
    left = wanted - len(real)
    for number in count(2):
        for name in real:
            if left == 0:
                return
            left -= 1
            copy = re.sub(r"\b(the|a|your) (?=[a-z])", rf"\1 {_word(number)} ", texts[name])
            copy = copy.replace(f"id: {name}\n", f"id: {name}-{number}\n", 1)
            yield f"{name}-{number}", re.sub("^(title: .*)$", rf"\1 {number}", copy, count=1, flags=re.M)


def _word(number: int) -> str:
    """A word that no other copy has."""
    return "".join("aeioubdgkl"[int(digit)] for digit in str(number))


def _together(texts: dict[str, str], most: int) -> list[str]:
    """At most ``most`` procedures, none of which leads to one that is left out."""
    leads = {
        name: {other for other in texts if re.search(rf"(?<![\w-]){other}(?![\w-])", text)}
        for name, text in texts.items()
    }
    chosen: set[str] = set()
    for name in sorted(texts, key=lambda name: (len(leads[name]), name)):
        group = {name}
        while more := set().union(*(leads[one] for one in group)) - group:
            group |= more
        if len(chosen | group) <= most:
            chosen |= group
    return sorted(chosen)


def _set_vehicles(fleet: Path, wanted: int) -> None:
    """The real vehicles over and over, each with a unit number of its own."""
    text = fleet.read_text(encoding="utf-8")
    start = text.index("vehicles:\n") + len("vehicles:\n")
    end = start + re.search("^[a-z]", text[start:], flags=re.M).start()
    real = ["  - id:" + part for part in text[start:end].rstrip().split("  - id:")[1:]]
    made = []
    for number in range(wanted):
        one = real[number % len(real)].rstrip() + "\n"
        one = re.sub("id: (.*)", rf"id: \1-{number}", one, count=1)
        made.append(re.sub('unit: ".*"', f'unit: "{1000 + number}"', one, count=1))
    fleet.write_text(text[:start] + "".join(made) + "\n" + text[end:], encoding="utf-8")
