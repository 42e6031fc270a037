"""Processes that end when the one that started them ends, even where it is killed."""

from __future__ import annotations

import os
import signal
import threading
from multiprocessing import connection, parent_process


def end_with_parent() -> None:
    """To be called once in a new process, such as by a pool's `initializer`. Ctrl+C is left to the parent."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_wait, daemon=True).start()


def _wait() -> None:
    parent = parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)
