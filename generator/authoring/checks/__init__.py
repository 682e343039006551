"""Rules that lie between records: what one file says of another, and of itself as a whole.

Each check takes the draft and yields findings. Order here does not matter:
findings are sorted by place afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from generator.authoring.draft import Draft
from generator.authoring.findings import Finding
from generator.authoring.wording.registry import check_wording

Check = Callable[[Draft], Iterable[Finding]]

ALL_CHECKS: tuple[Check, ...] = (check_wording,)
"""Every check, in the order in which an author would meet them."""
