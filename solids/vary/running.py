"""The members of a family tried, each by itself: here, on all cores, or by a scheduler's workers."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TypeAlias

from solids.output import Refused
from solids.vary.journal import kept, known
from solids.vary.member import Member, Tried, tried

FEW = 4  # members: fewer are not worth other processes
PATIENCE = "10s"  # that a scheduler has to answer
CHUNK = 4  # members that a process takes at a time
Progress: TypeAlias = Callable[[int, int], None]


def run(
    family: Sequence[Member],
    journal: Path,
    *,
    workers: int | None = None,
    scheduler: str | None = None,
    progress: Progress | None = None,
) -> list[Tried]:
    """Every member, in the order of the family; those that the journal knows are not tried again.

    Raises Refused where the scheduler can't be asked.
    """
    say = progress or (lambda done, total: None)
    first = family[0]
    before = known(journal, first.bundle, first.varied)
    left = [m for m in family if m.values not in before]
    found = dict(before)
    say(len(family) - len(left), len(family))
    with kept(journal, first.bundle, first.varied, before) as write:
        for result in _results(left, workers, scheduler):
            write(result)
            found[result.values] = result
            say(sum(m.values in found for m in family) if len(family) < 1000 else len(found), len(family))
    return [found[m.values] for m in family]


def _results(left: Sequence[Member], workers: int | None, scheduler: str | None) -> Iterator[Tried]:
    if not left:
        return iter(())
    if scheduler is not None:
        return _by_scheduler(left, scheduler)
    count = min(workers or os.cpu_count() or 1, len(left))
    return map(tried, left) if count == 1 or len(left) < FEW else _by_processes(left, count)


def _by_processes(left: Sequence[Member], count: int) -> Iterator[Tried]:
    """On so many processes; what waits is given up when the run is stopped."""
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    # Started afresh, not forked: a fork in the middle of another thread's work can hang.
    pool = ProcessPoolExecutor(count, multiprocessing.get_context("spawn"), initializer=_leave_interrupts)
    try:
        yield from pool.map(tried, left, chunksize=CHUNK)
    except BrokenProcessPool:
        raise Refused("a process of the family died; start it again to go on, with fewer --workers") from None
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _leave_interrupts() -> None:
    """An interrupt at the terminal is for the process that asked, which then stops the others."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _by_scheduler(left: Sequence[Member], address: str) -> Iterator[Tried]:
    """By the workers of a dask scheduler, as they come in; on each of them dryfit must be installed."""
    try:
        from distributed import Client, as_completed
    except ImportError:
        raise Refused("a scheduler takes the extra `cluster`: pip install 'dryfit[cluster]'") from None
    try:
        client = Client(address, timeout=PATIENCE)
    except (OSError, ValueError, TimeoutError) as e:
        raise Refused(f"no scheduler answers at {address}: {e}") from None
    with client:
        futures = client.map(tried, left, pure=False)
        for _, result in as_completed(futures, with_results=True):
            yield result
