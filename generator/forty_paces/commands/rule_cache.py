"""Checked rule sets, kept from one call of ``fortypaces place`` to the next.

To read and check a rule file takes more time than to answer from it. What was read is kept as JSON in the
user's cache folder, under a hash of every file that decides it: fleet.yml, library.yml, all rule files of
both layers, and the modules that read them. A change of any of them makes a new hash: no answer is ever old.
A file with findings is never kept. Without a writable cache folder every call reads the rule file.
"""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from forty_paces.geometry.records import (
    DeviceLayout,
    DeviceRule,
    HiddenViewRule,
    RoadKind,
    RuleSet,
    Toward,
    VisibilityClass,
)
from forty_paces.package import PACKAGE, library_root

READERS = ("authoring", "geometry")
"""Packages whose modules decide what a rule file means."""

MOST_KEPT = 32
"""Rule sets kept; the oldest go first."""


def rule_set_in_force(project: Path, name: str | None) -> RuleSet:
    """The rule set of that id, by default the one in force, from the cache or else from its file.

    ``UsageError`` for an unknown name, ``ContentFault`` for a faulty file.
    """
    kept = _cache_folder() / f"{_deciding(project, name)}.json"
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
        return rule_set_from(json.loads(kept.read_text(encoding="utf-8")))
    from forty_paces.commands.rule_files import load_rules, rules_in_force

    rules = load_rules(project, name or rules_in_force(project)).rule_set
    _keep(kept, rules)
    return rules


def rule_set_from(values: Mapping[str, Any]) -> RuleSet:
    """The rule set of which ``dataclasses.asdict`` made these values; ``KeyError``, ``TypeError`` or
    ``ValueError`` where they are of something else."""
    hidden = values["hidden"]
    return RuleSet(
        **{
            **values,
            "layouts": tuple(_layout(one) for one in values["layouts"]),
            "hidden": hidden and HiddenViewRule(**hidden),
            "visibility": tuple(VisibilityClass(**one) for one in values["visibility"]),
            "cautions": tuple(values["cautions"]),
        }
    )


def _layout(values: Mapping[str, Any]) -> DeviceLayout:
    devices = tuple(DeviceRule(**{**one, "toward": Toward(one["toward"])}) for one in values["devices"])
    return DeviceLayout(**{**values, "road": RoadKind(values["road"]), "devices": devices})


def _deciding(project: Path, name: str | None) -> str:
    """A hash of everything that decides which rule set that name means and what it says."""
    content = project / "content"
    digest = hashlib.sha256(repr((str(project.resolve()), name)).encode())
    for file in (content / "fleet.yml", content / "library.yml", *_rule_files(content)):
        digest.update(repr((str(file), _bytes_of(file))).encode())
    for file in _rule_files(library_root() / "content"):
        digest.update(repr((file.name, _bytes_of(file))).encode())
    for package in READERS:
        for module in sorted((PACKAGE / package).rglob("*.py")):
            state = module.stat()
            digest.update(repr((str(module), state.st_size, state.st_mtime_ns)).encode())
    return digest.hexdigest()


def _rule_files(content: Path) -> Iterator[Path]:
    with contextlib.suppress(OSError):
        yield from sorted(content.joinpath("rules").glob("*.yml"))


def _bytes_of(file: Path) -> bytes | None:
    """None where there is no file or it cannot be read: reading the project says so."""
    try:
        return file.read_bytes()
    except OSError:
        return None


def _cache_folder() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("forty-paces", appauthor=False) / "rules"


def _keep(file: Path, rules: RuleSet) -> None:
    """Write aside, then rename: another call never reads half a file."""
    aside = file.with_suffix(f".{os.getpid()}")
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        aside.write_text(json.dumps(dataclasses.asdict(rules)), encoding="utf-8")
        aside.replace(file)
        by_age = sorted(file.parent.glob("*.json"), key=lambda one: one.stat().st_mtime)
        for old in by_age[:-MOST_KEPT]:
            old.unlink()
