"""Progress display: a bar on a terminal, plain lines elsewhere.

Written to standard error, so that standard output has a command's data alone.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

import click

from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener

if TYPE_CHECKING:
    from click._termui_impl import ProgressBar

LINES = 10
"""Without a terminal, about this many lines are printed in all."""


@contextmanager
def show_progress(label: str, *, quiet: bool = False) -> Iterator[ProgressListener]:
    """A progress listener for the duration of the block; with ``quiet``, one that shows nothing."""
    with ExitStack() as stack:
        if quiet:
            yield NO_PROGRESS
        elif sys.stderr.isatty():
            yield _Bar(label, stack)
        else:
            yield _Lines(label)


class _Bar:
    """A bar, drawn when the first steps are expected; it grows when more are."""

    def __init__(self, label: str, stack: ExitStack) -> None:
        self.label = label
        self.stack = stack
        self.expected = 0
        self.bar: ProgressBar[int] | None = None

    def expect(self, steps: int) -> None:
        """Add ``steps`` to the expected total."""
        self.expected += steps
        if self.bar is None and self.expected:
            self.bar = self.stack.enter_context(
                click.progressbar(
                    length=self.expected,
                    label=self.label,
                    show_pos=True,
                    show_percent=False,
                    show_eta=False,
                    file=sys.stderr,
                )
            )
        elif self.bar is not None:
            self.bar.length = self.expected
            self.bar.finished = False
            self.bar.render_progress()

    def step(self) -> None:
        """Count one step as done."""
        assert self.bar is not None, "nothing was expected"
        self.bar.update(1)


class _Lines:
    """A line for about every tenth of the work, the first before it starts and the last when it is done."""

    def __init__(self, label: str) -> None:
        self.label = label
        self.expected = 0
        self.done = 0
        self.next = 0

    def expect(self, steps: int) -> None:
        """Add ``steps`` to the expected total."""
        self.expected += steps
        self._report()

    def step(self) -> None:
        """Count one step as done."""
        self.done += 1
        self._report()

    def _report(self) -> None:
        if self.expected and (self.done >= self.next or self.done == self.expected):
            click.echo(f"{self.label}: {self.done} of {self.expected}", err=True)
            self.next = self.done + max(1, self.expected // LINES)
