"""Pools of processes that carry out a study, and what is done where one of them dies."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager, contextmanager
from multiprocessing import get_context
from typing import TypeVar

from sim.study.ending import end_with_parent

_Done = TypeVar("_Done")
# Makes a pool of so many new processes. "spawn": a copy of this one would share its threads' locks.
Pools = Callable[[int], AbstractContextManager[Executor]]
# How often a pool is made anew after one of its processes has died.
_POOLS = 3


class WorkersLostError(Exception):
    """Processes that died again and again: what they had finished is kept."""


@contextmanager
def hasty(count: int) -> Iterator[Executor]:
    """A pool that at an early end waits for nothing that is under way: it is done again."""
    pool = ProcessPoolExecutor(count, mp_context=get_context("spawn"), initializer=end_with_parent)
    try:
        yield pool
    except BaseException:
        # The executor has no public way.
        under_way = list((pool._processes or {}).values())
        pool.shutdown(wait=False)
        for process in under_way:
            process.terminate()
        raise
    pool.shutdown(wait=True)


def on_processes(count: int, work: Callable[[Executor], Iterable[_Done]], pools: Pools) -> Iterator[_Done]:
    """What `work` gives on a pool, begun anew on another where a process dies. Raises WorkersLostError."""
    for _ in range(_POOLS):
        try:
            with pools(count) as pool:
                yield from work(pool)
            return
        except BrokenProcessPool:
            continue
    raise WorkersLostError(f"processes were ended from outside {_POOLS} times, perhaps for lack of memory")
