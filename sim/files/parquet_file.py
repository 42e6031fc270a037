"""A data set as .parquet: a row a recording, its samples as a list, the origin in the file's metadata."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from sim.files.kind import origin_of
from sim.files.label_columns import NAMES, YES_OR_NO, lengths
from sim.files.sizes import MOST_LETTERS, judge_padded, judge_table, judged
from sim.results import Recording

# Recordings written and read together.
_ROWS_TOGETHER = 64


def write_parquet(
    file: Path, recording: Recording, columns: Mapping[str, np.ndarray], origin: Mapping[str, Any]
) -> None:
    """Write recordings, n rows of every column and the origin. Raises OSError."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    labels = {name: columns[name] for name in NAMES if name in columns}
    sizes = lengths(labels, recording.samples) if labels else {}
    table = pa.table(
        {
            "sampling_hz": np.full(len(recording), recording.sampling_hz),
            "pressure_mmhg": _as_lists(recording.pressure_mmhg, recording.samples),
            **{name: _as_lists(values, sizes[name]) for name, values in labels.items()},
            **{
                name: pa.array(values.tolist() if values.dtype.kind == "U" else values)
                for name, values in columns.items()
                if name not in labels
            },
        }
    )
    pq.write_table(
        table.replace_schema_metadata({"origin": json.dumps(dict(origin))}),
        file,
        compression="zstd",
        row_group_size=_ROWS_TOGETHER,
    )


def read_parquet(file: Path) -> tuple[Recording, dict[str, np.ndarray], dict[str, Any]]:
    """Recordings, columns and origin. Raises what a damaged file makes its readers raise."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(file) as found:
            judge_table(found)
            kinds = {field.name: field.type for field in found.schema_arrow}
            origin = origin_of((found.schema_arrow.metadata or {}).get(b"origin", b"{}"))
        lists = {name for name, kind in kinds.items() if pa.types.is_list(kind)}
        names = [name for name in kinds if name not in lists]
        words = [name for name in names if pa.types.is_string(kinds[name])]
        # Words as dictionaries: one that comes in every row is then held once.
        with pq.ParquetFile(file, read_dictionary=words, pre_buffer=False) as found:
            pressure, samples = _lists(found, "pressure_mmhg", 0)
            labels = _labels(found, [name for name in NAMES if name in lists], samples, pressure.nbytes)
            held = pressure.nbytes + sum(values.nbytes for values in labels.values())
            columns = judged(
                ((name, _column(found.read([name], use_threads=False).column(0).combine_chunks())) for name in names),
                held,
            )
    except pa.ArrowException as error:
        raise ValueError(str(error)) from None
    rates = np.unique(columns.pop("sampling_hz"))
    if len(rates) != 1:
        raise ValueError("recordings of different sampling rates")
    return Recording(float(rates[0]), pressure, samples), columns | labels, origin


def _as_lists(values: np.ndarray, counts: np.ndarray) -> Any:
    """Rows (n, m) as lists of so many values each, (n,)."""
    import pyarrow as pa

    ends = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    rows = [row[:count] for row, count in zip(values, counts, strict=True)]
    return pa.ListArray.from_arrays(pa.array(ends), pa.array(np.concatenate(rows), from_pandas=False))


def _labels(found: Any, names: list[str], samples: np.ndarray, held: int) -> dict[str, np.ndarray]:
    """Labels as arrays with a row for each recording, while there is room. Raises ValueError, TooLargeError."""
    labels, counts = {}, {}
    for name in names:
        labels[name], counts[name] = _lists(found, name, held, yes_or_no=name in YES_OR_NO)
        held += labels[name].nbytes
    if len(names) == len(NAMES):
        for name, wanted in lengths(labels, samples).items():
            if not np.array_equal(counts[name], wanted):
                raise ValueError(f"{name} must have as many values as there are beats or samples")
    return labels


def _lists(found: Any, name: str, held: int, yes_or_no: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """A column of lists as rows (n, m), read a few at a time, so that they are held once; and the length of each (n,).

    held: what is held already [bytes]; yes_or_no: padded with False instead of NaN. Raises ValueError, TooLargeError.
    """
    import pyarrow as pa

    def parts() -> Iterator[Any]:
        # Without threads, or how much memory is used hangs on how busy the machine is.
        for part in found.iter_batches(batch_size=_ROWS_TOGETHER, columns=[name], use_threads=False):
            pool.release_unused()  # or what earlier parts took is kept beside what is made of them
            yield part.column(0)

    pool = pa.default_memory_pool()
    counts = [lists.value_lengths().fill_null(0).to_numpy().astype(np.int64) for lists in parts()]
    samples = np.concatenate(counts) if counts else np.empty(0, dtype=np.int64)
    judge_padded(samples, 1 if yes_or_no else 8, held)
    rows = np.full((len(samples), int(samples.max(initial=0))), False if yes_or_no else np.nan)
    row = 0
    for lists in parts():
        if yes_or_no and (lists.values.null_count or lists.values.type != "bool"):
            raise ValueError(f"{name} must hold yes or no")
        values, ends = lists.values.to_numpy(zero_copy_only=False), lists.offsets.to_numpy()
        for first, last in pairwise(ends):
            rows[row, : last - first] = values[first:last]
            row += 1
    return rows, samples


def _column(values: Any) -> np.ndarray:
    """One value a recording: numbers, or words out of a dictionary."""
    import pyarrow as pa

    if not pa.types.is_dictionary(values.type):
        return np.asarray(values.to_numpy(zero_copy_only=False))
    words = [str(word) for word in values.dictionary.to_pylist()]
    if max(map(len, words), default=0) > MOST_LETTERS:
        raise ValueError(f"words of more than {MOST_LETTERS} letters")
    return np.array(words, dtype=str)[values.indices.to_numpy(zero_copy_only=False)]
