"""Where the engine works for the pages: here, or for a class in processes of its own.

One Python does one thing at a time: while the engine works no page is drawn, and threads side by side only hinder each
other. Here it therefore does one computation after the other. Where a class is expected (`cuffbias app --share`), it
works in other processes, and this one draws pages meanwhile.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Any, TypeVar

from sim.say import language, spoken
from sim.study.ending import end_with_parent

_Made = TypeVar("_Made")


class Engine:
    """Works out what pages ask for."""

    def __init__(self) -> None:
        self._here = threading.Lock()
        self._others: ProcessPoolExecutor | None = None

    def begin(self, count: int) -> None:
        """Begin so many other processes, which work from now on. They end when this one does."""
        # "spawn": a copy of the server would share the locks of its threads.
        self._others = ProcessPoolExecutor(count, mp_context=get_context("spawn"), initializer=end_with_parent)
        self._others.submit(os.getpid)  # the first work makes them

    def work(self, function: Callable[..., _Made], *given: Any, **named: Any) -> _Made:
        """What the function makes of these, its words in the language that is spoken now. Raises what it raises."""
        others = self._others  # which another thread may give up
        if others is not None:
            try:
                return others.submit(_speaking, language(), function, given, named).result()
            except BrokenProcessPool:
                self._others = None  # a process was ended from outside, perhaps for lack of memory: go on without
        with self._here:
            return function(*given, **named)


def _speaking(language: str, function: Callable[..., _Made], given: tuple[Any, ...], named: dict[str, Any]) -> _Made:
    """In another process: what the function makes of these, its words in this language."""
    with spoken(language):
        return function(*given, **named)


ENGINE = Engine()
