"""What a second language costs: the real content built in English alone, and in English and Spanish.

Pages, classroom and cab files, without cards. Processor time of the whole process; a project of its own, in
which the carrier's words stay English. One build of each comes first, unmeasured, to fill the caches.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.measuring import PROJECT, Table, Used, run

BUILD = ["-m", "forty_paces", "build", "--no-cards", "--quiet"]


def project(folder: Path, languages: str) -> Path:
    """The real content, built in these languages."""
    shutil.copytree(PROJECT / "content", folder / "content")
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    (folder / "site_overrides").symlink_to(PROJECT / "site_overrides", target_is_directory=True)
    fleet = folder / "content/fleet.yml"
    text = fleet.read_text(encoding="utf-8")
    fleet.write_text(f"{text}\nlanguages: {languages}\nuntranslated: english\n", encoding="utf-8")
    return folder


def tables(rounds: int) -> Iterator[Table]:
    """One table of medians; at most three rounds, as each builds two whole sites."""
    with tempfile.TemporaryDirectory() as top:
        one, two = (
            project(Path(top) / name, languages)
            for name, languages in (("one", "[en]"), ("two", "[en, es_US]"))
        )
        pairs: list[tuple[Used, Used]] = [
            (run(BUILD, one), run(BUILD, two)) for _ in range(min(rounds, 3) + 1)
        ][1:]
        pages = [sum(1 for _ in (folder / "site").rglob("*.html")) for folder in (one, two)]
    rows = [
        (
            name,
            f"{pages[place]}",
            f"{statistics.median(pair[place].processor_s for pair in pairs):.1f}",
            f"{statistics.median(pair[place].processor_s / pair[0].processor_s for pair in pairs):.2f}",
            f"{statistics.median(pair[place].peak_mb / pair[0].peak_mb for pair in pairs):.2f}",
        )
        for place, name in enumerate(("English", "English and Spanish"))
    ]
    head = ("languages", "HTML files", "processor s", "time ratio", "memory ratio")
    yield Table("The real content without cards; medians of pairs", head, rows)
