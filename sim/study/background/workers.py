"""Processes that carry out a study for the server, and end when it ends."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context
from typing import Any

from sim.study.ending import end_with_parent

# How far a study stands back, so that pages answer meanwhile.
_NICE = 10


class StoppedError(Exception):
    """Somebody asked to stop."""


@contextmanager
def processes(count: int) -> Iterator[Executor]:
    """So many new processes, gone at the end whatever happens; what they are at is waited for."""
    # "spawn": a copy of the server would share the locks of its threads.
    pool = _Pool(count, mp_context=get_context("spawn"), initializer=_begin)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


class _Pool(ProcessPoolExecutor):
    """A pool that says so where the server is ending and takes no more work."""

    def submit(self, *args: Any, **keywords: Any) -> Future[Any]:
        """As any executor. Raises StoppedError at the server's end, BrokenProcessPool."""
        try:
            return super().submit(*args, **keywords)
        except BrokenProcessPool:
            raise
        except RuntimeError as error:
            raise StoppedError from error


def _begin() -> None:
    """In each new process: end with the server, even where it is killed; leave Ctrl+C to it, and let it go first."""
    if hasattr(os, "nice"):
        os.nice(_NICE)
    end_with_parent()


class Counted(Executor):
    """Hands over to another executor, or works here; counts what is finished and stops when asked to."""

    def __init__(self, executor: Executor | None, count: Callable[[], None], stop: Callable[[], bool]) -> None:
        self._executor, self._count, self._stop = executor, count, stop

    def map(self, fn: Callable[..., Any], *iterables: Any, **_: Any) -> Iterator[Any]:
        """Results in order. Raises StoppedError."""
        results = (self._executor.map if self._executor is not None else map)(fn, *iterables)
        for result in results:
            self._count()
            yield result
            if self._stop():
                raise StoppedError
