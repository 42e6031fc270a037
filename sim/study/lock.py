"""One process at a time in a folder. The lock is the system's: it goes with the process that holds it, even killed."""

from __future__ import annotations

import errno
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]
    import msvcrt

NAME = "study.lock"
# What systems say where somebody else holds the lock; others say that this disk knows no locks.
_HELD = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
# The system's lock is the process's: between its own threads this tells.
_mine: set[Path] = set()
_guard = threading.Lock()


class BusyError(Exception):
    """Somebody else works in this folder."""


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Nobody else inside for this folder, which must exist. Raises BusyError, OSError.

    Where a disk knows no locks, only this process's own threads are kept apart.
    """
    path = (folder / NAME).resolve()
    with _guard:
        if path in _mine:
            raise BusyError
        _mine.add(path)
    try:
        with path.open("ab") as file:
            _lock(file)
            yield
    finally:
        with _guard:
            _mine.discard(path)


def _lock(file: BinaryIO) -> None:
    """Until the file is closed. Raises BusyError."""
    try:
        if fcntl is not None:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            os.lseek(file.fileno(), 0, os.SEEK_SET)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    except OSError as error:
        if error.errno in _HELD:
            raise BusyError from None
