"""How large a data set is, judged before anything is unpacked: a file of a few kB can claim to hold many GB.

What a file says of itself is not trusted: an array is read only as far as its own header says, which is judged first.
"""

from __future__ import annotations

import math
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

# What a data set may take unpacked: twice so much (a list and the table made of it) beside the program stays under
# 300 MB (measured: 284 MB where another program wrote all of it in one piece). It is room for 1,000 recordings of 100 s
# at 100 Hz, or for 840 with their labels.
MOST_UNPACKED = 79 * 2**20
# So many recordings, columns, and letters of a word in a data set.
MOST_ROWS, MOST_COLUMNS, MOST_LETTERS = 100_000, 400, 50
# Letters of what a file says of its origin: read as JSON, a letter can take 30 bytes.
MOST_ORIGIN = 100_000
_MOST_HEADER = 10_000


class TooLargeError(ValueError):
    """A data set that would take too much room; its text says how much, and how much is allowed."""

    def __init__(self, size: float) -> None:
        allowed = MOST_UNPACKED // 2**20
        super().__init__(
            f"unpacked it would take {math.ceil(size / 2**20):,} MiB, and {allowed} are allowed: write several files"
        )


def read_arrays(file: Path) -> dict[str, np.ndarray]:
    """The arrays of a .npz file. Raises TooLargeError before any of them is unpacked beyond what is allowed."""
    found: dict[str, np.ndarray] = {}
    taken = 0
    with zipfile.ZipFile(file) as packed:
        names = packed.namelist()
        if len(names) > MOST_COLUMNS:
            raise ValueError(f"{len(names)} arrays, and {MOST_COLUMNS} are allowed")
        for name in names:
            if packed.getinfo(name).compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
                raise ValueError(f"{name} is packed in a way that is not read")
            with packed.open(name) as part:
                version = np.lib.format.read_magic(part)
                read = np.lib.format.read_array_header_1_0 if version == (1, 0) else np.lib.format.read_array_header_2_0
                shape, _, kind = read(part, max_header_size=_MOST_HEADER)
                taken += math.prod(shape) * kind.itemsize
            if kind.hasobject:
                raise ValueError("arrays of objects are not read")
            if taken > MOST_UNPACKED:
                raise TooLargeError(taken)
            with packed.open(name) as part:
                array = np.lib.format.read_array(part, allow_pickle=False, max_header_size=_MOST_HEADER)
            found[name.removesuffix(".npy")] = array
    return found


def judge_table(file: Any) -> None:
    """Look at what an open Parquet file says of itself. Raises ValueError where it would take too much room."""
    contents = file.metadata
    rows, columns = contents.num_rows, contents.num_columns
    if rows > MOST_ROWS:
        raise ValueError(f"{rows:,} rows, and {MOST_ROWS:,} are allowed")
    if columns > MOST_COLUMNS:
        raise ValueError(f"{columns:,} columns, and {MOST_COLUMNS} are allowed")
    _judge_columns(file.schema_arrow)
    # Goes through the file a few values at a time and keeps none. What is damaged in what it says of its columns is an
    # error here; asked for directly, as below, it would end the program.
    file.scan_contents(batch_size=2**16)
    groups = [contents.row_group(k) for k in range(contents.num_row_groups)]
    # By the number of values and not only by their size on disk: a value that comes again and again takes none there.
    widths = [_width(file.schema.column(k)) for k in range(len(file.schema))]
    parts = [(group.column(k), width) for group in groups for k, width in enumerate(widths)]
    values = sum(width * part.num_values for part, width in parts)
    said = sum(part.total_uncompressed_size for part, _ in parts)
    size = max(values, said / 2)  # half of it may be how the values are packed
    if size > MOST_UNPACKED:
        raise TooLargeError(size)


def _width(column: Any) -> int:
    """Bytes that a value takes unpacked: yes or no in a list takes one, all else eight at most."""
    in_lists = column.max_repetition_level > 0
    return 1 if in_lists and column.physical_type == "BOOLEAN" else 8


def _judge_columns(schema: Any) -> None:
    """Numbers, lists of them, and words, whose length is judged where they are read. Raises ValueError."""
    import pyarrow as pa

    for column in schema:
        kind = column.type.value_type if pa.types.is_list(column.type) else column.type
        known = (pa.types.is_integer, pa.types.is_floating, pa.types.is_boolean, pa.types.is_string)
        if not any(is_kind(kind) for is_kind in known):
            raise ValueError(f"{column.name[:50]}: must be numbers or words, not {str(kind)[:50]}")


def judged(columns: Iterable[tuple[str, np.ndarray]], held: int = 0) -> dict[str, np.ndarray]:
    """Columns by name, one after the other, while there is room beside what is held [bytes]. Raises TooLargeError."""
    found: dict[str, np.ndarray] = {}
    for name, values in columns:
        found[name] = values
        size = held + sum(each.nbytes for each in found.values())
        if size > MOST_UNPACKED:
            raise TooLargeError(size)
    return found


def judge_padded(counts: np.ndarray, width: int = 8, held: int = 0) -> None:
    """Rows of so many values, (n,), `width` bytes each, as a table as wide as the longest, beside what is held [bytes].

    Raises TooLargeError.
    """
    size = held + width * len(counts) * int(counts.max(initial=0))
    if size > MOST_UNPACKED:
        raise TooLargeError(size)


def judge_total(arrays: Iterable[np.ndarray]) -> None:
    """Arrays that one file is to hold. Raises TooLargeError."""
    size = sum(np.asarray(array).nbytes for array in arrays)
    if size > MOST_UNPACKED:
        raise TooLargeError(size)
