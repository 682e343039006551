"""How much a test tries: a fixed sample in every run, or everything and at random in `make soak`."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

_Item = TypeVar("_Item")

SHARE = float(os.environ.get("FORTYPACES_SOAK") or 0)
"""What part of the long run this is: 1 in `make soak`, 0 in an ordinary run."""

SOAK = SHARE > 0
"""Whether this is the long run, outside continuous integration."""

FIRST_SEED = int(os.environ.get("FORTYPACES_SEED", "0"))
"""Where the row of cases that are drawn from numbers begins: a second run can try others."""


def cases(sample: int, soak: int) -> int:
    """How many cases this run tries."""
    return max(1, round(soak * SHARE)) if SOAK else sample


def sample(items: Sequence[_Item], count: int) -> list[_Item]:
    """``count`` of the items in equal steps, the first and the last among them; all of them in `make soak`.

    For what browsers repeat over many pages that come from one template.
    """
    if SOAK or len(items) <= count:
        return list(items)
    last = len(items) - 1
    return [items[round(at * last / (count - 1))] for at in range(count)]


class TooLong(BaseException):
    """More processor time was used than allowed. No ``Exception``: code under test must not swallow it."""


@contextmanager
def processor_limit(seconds: float) -> Iterator[None]:
    """Raise :class:`TooLong` in whatever uses more processor time than this, however busy the machine is."""

    def stop(number: int, frame: object) -> None:
        raise TooLong(f"more than {seconds} s of processor time")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
