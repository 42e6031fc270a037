"""Processes that carry out a study for the server, and end when it ends."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import connection, get_context, parent_process
from typing import Any


class StoppedError(Exception):
    """Somebody asked to stop."""


@contextmanager
def processes(count: int) -> Iterator[Executor]:
    """So many new processes, gone at the end whatever happens; what they are at is waited for."""
    # "spawn": a copy of the server would share the locks of its threads.
    pool = ProcessPoolExecutor(count, mp_context=get_context("spawn"), initializer=_begin)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin() -> None:
    """In each new process: end with the server, even where it is killed, and leave Ctrl+C to it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)


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
