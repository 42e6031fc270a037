"""Files that appear whole or not at all: written aside, then renamed."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

# Nothing that somebody wrote on the command line: the disk is full, may not be written, or is broken.
_OF_THE_DISK = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EROFS}


class DiskError(OSError):
    """The disk would not take a file; its text names the file and says why."""


@contextmanager
def written_whole(file: Path) -> Iterator[Path]:
    """A place beside `file` to write to; after the block it becomes `file`. On any failure nothing is left behind.

    Raises DiskError where the disk is at fault, and other OSErrors as they are.
    """
    part = file.with_name(f".{file.name}.{os.getpid()}.part{file.suffix}")
    try:
        yield part
        os.replace(part, file)
    except OSError as error:
        if error.errno in _OF_THE_DISK:
            raise DiskError(f"{file}: cannot be written: {error.strerror}") from None
        raise
    finally:
        part.unlink(missing_ok=True)


def write_text(file: Path, text: str) -> None:
    """Write a text whole, in UTF-8 with its line ends as they are. Raises DiskError, OSError."""
    with written_whole(file) as part:
        part.write_bytes(text.encode())
