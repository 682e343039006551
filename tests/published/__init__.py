"""Published figures, each file naming its title and how the figure was met."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml


def published(name: str) -> Any:
    """The figures of one file of this folder."""
    return yaml.safe_load((Path(__file__).parent / f"{name}.yml").read_text(encoding="utf-8"))
