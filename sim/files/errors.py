"""What is wrong with a file, and where."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sim.files.whole import DiskError, written_whole


class FileError(Exception):
    """A file that cannot be read or written: names the file, the line, the column and what was expected.

    line: from 1, None where no line is meant; column: its number or name, None likewise
    """

    def __init__(self, file: Path, line: int | None, column: int | str | None, expected: str) -> None:
        where = f"{file.name}"
        where += f", line {line}" if line is not None else ""
        where += f", column {column}" if column is not None else ""
        super().__init__(f"{where}: {expected}")
        self.file, self.line, self.column, self.expected = file, line, column, expected

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.file, self.line, self.column, self.expected)


def read_bytes(file: Path, most: int) -> bytes:
    """The bytes of a file of at most `most` bytes. Raises FileError."""
    try:
        size = file.stat().st_size
        if size > most:
            raise FileError(file, None, None, f"must be at most {most // 2**20} MiB, and has {size / 2**20:.0f}")
        return file.read_bytes()
    except OSError as error:
        raise FileError(file, None, None, f"cannot be read: {error.strerror or error}") from None


def write_bytes(file: Path, data: bytes) -> None:
    """Write a file, whole or not at all. Raises FileError, DiskError."""
    try:
        with written_whole(file) as part:
            part.write_bytes(data)
    except DiskError:
        raise
    except OSError as error:
        raise FileError(file, None, None, f"cannot be written: {error.strerror or error}") from None
