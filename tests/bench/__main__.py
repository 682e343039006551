"""``python -m tests.bench [NAME ...] [--rounds N] [--before REV]``: measure and print Markdown tables.

Each subject is a module of this folder with ``tables(rounds)``.
"""

from __future__ import annotations

import argparse
import importlib
import os
import platform

from tests.bench import revisions

BESIDE_OLDER = ("before", "computing", "finding", "paper")
"""These need a revision to compare with, so they are measured where they are named and not among all."""
SUBJECTS = (
    "check",
    "wording",
    "placement",
    "sight",
    "start",
    "building",
    "growth",
    "cab",
    "cards",
    "sheets",
    "preview",
    "verifying",
    "seat",
    "languages",
)


def main() -> None:
    """Print every subject asked for; all of them where none is named."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description=(__doc__ or "").splitlines()[0]
    )
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help=f"of: {', '.join((*SUBJECTS, *BESIDE_OLDER))}"
    )
    parser.add_argument("--rounds", type=int, default=5, help="calls of which the median is taken")
    parser.add_argument(
        "--before", default="", metavar="REV", help=f"the revision for {' and '.join(BESIDE_OLDER)}"
    )
    options = parser.parse_args()
    if options.before:
        revisions.REVISION = options.before
    for name in options.names:
        if name not in (*SUBJECTS, *BESIDE_OLDER):
            parser.error(
                f"there is no subject {name!r}; name one of: {', '.join((*SUBJECTS, *BESIDE_OLDER))}"
            )
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores.", flush=True)
    for name in options.names or SUBJECTS:
        subject = importlib.import_module(f"tests.bench.{name}")
        print(
            f"\n### {name}\n\n{' '.join((subject.__doc__ or '').split(chr(10) * 2)[0].split())}", flush=True
        )
        for table in subject.tables(options.rounds):
            print(f"\n{table.markdown()}", flush=True)


if __name__ == "__main__":
    main()
