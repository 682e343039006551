"""What the sealed folders of these tests say of themselves, and the worker that they are sealed with."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from forty_paces.outputs.edition.offline import worker_code

PROJECT = Path(__file__).resolve().parents[3]
WORKER_CODE = worker_code(lambda path: (PROJECT / "site_overrides/assets" / path).read_text("utf-8"))
DAY = dt.date(2026, 11, 25)
ABOUT = {
    "edition": "1a2b3c4d",
    "date": "2026-11-25",
    "day": "25 November 2026",
    "carrier": "Larkspur Basin Freight",
}
