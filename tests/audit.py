"""Report what an advisory database says about the installed packages, as text and as an exit status.

Reads the JSON report that `make audit` has pip-audit write. Exit status: 0 where the database answered for
every package and has no advisory, 1 where it has one, 3 where it did not answer for all. Silence is never
taken for an answer.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

OWN = "forty-paces"
CLEAR, HIT, UNANSWERED = 0, 1, 3


def verdict(report: Mapping[str, Any]) -> tuple[int, list[str]]:
    """The exit status and the message. Our own package is skipped: no database has it."""
    packages = [one for one in report["dependencies"] if one["name"] != OWN]
    unanswered = [one for one in packages if "skip_reason" in one]
    answered = [one for one in packages if "skip_reason" not in one]
    said = []
    for one in answered:
        for advisory in one["vulns"]:
            fixed = ", ".join(advisory.get("fix_versions") or ()) or "no version yet"
            said.append(f"{one['name']} {one['version']}: {advisory['id']}; fixed in {fixed}")
    hits = len(said)
    said += [f"{one['name']}: no answer ({one['skip_reason']})" for one in unanswered]
    said.append(f"{len(answered)} of {len(packages)} packages answered for, {hits} advisories.")
    if hits:
        return HIT, said
    if unanswered or not answered:
        return UNANSWERED, [*said, "This proves nothing about the packages without an answer."]
    return CLEAR, said


def main(file: Path) -> int:
    """Read one report; a missing or broken one counts as no answer."""
    try:
        report = json.loads(file.read_text(encoding="utf-8"))
        status, said = verdict(report)
    except (OSError, ValueError, KeyError, TypeError) as fault:
        status, said = UNANSWERED, [f"No report that can be read ({fault}): the database was not asked."]
    print("\n".join(said))
    return status


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
