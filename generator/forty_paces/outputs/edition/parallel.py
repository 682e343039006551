"""Build the editions of many vehicles in parallel processes."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool

from forty_paces.outputs.edition.vehicles import Job, Outcome, State, make


def cores() -> int:
    """Number of CPU cores available to this process."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def outcomes(jobs: Sequence[Job], processes: int) -> Iterator[Outcome]:
    """Run all jobs and yield their outcomes as they finish; a killed process gives a failed outcome."""
    if min(processes, len(jobs)) < 2:
        yield from map(make, jobs)
        return
    # "spawn" on every system: forking a process that has threads may deadlock
    pool = ProcessPoolExecutor(min(processes, len(jobs)), mp_context=multiprocessing.get_context("spawn"))
    try:
        waiting = {pool.submit(make, job): job for job in jobs}
        for done in as_completed(waiting):
            try:
                yield done.result()
            except BrokenProcessPool:
                words = "the process that built it was ended from outside; try again with fewer --jobs"
                yield Outcome(waiting[done].vehicle, State.FAILED, words)
    finally:
        pool.shutdown(cancel_futures=True)
