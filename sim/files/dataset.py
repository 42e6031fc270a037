"""Many recordings with their truth in one file, to train and test on: .npz or .parquet."""

from __future__ import annotations

import io
import json
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from sim import PARAMETERS_VERSION, __version__
from sim.fields import Fields
from sim.files.errors import FileError
from sim.files.sizes import MOST_LETTERS, MOST_ORIGIN, judge_padded, judge_table, judged, read_arrays
from sim.files.units import PRESSURE_MMHG, SAMPLING_HZ
from sim.files.whole import DiskError, written_whole
from sim.results import Pressures, Recording, Truth
from sim.setup import Setup
from sim.texts import from_json

_STAGES, _NAMES = ("resting", "at_measurement", "at_cuff"), ("sbp", "dbp", "map")
_RATE = "true_pulse_rate"
_HIGHEST_RATE = 400.0
_KIND = "cuffbias recordings 2"
# What is told of a data set's origin, on pages and in files made from it, and what may stand there.
_TOLD = {
    "version": re.compile(r"[0-9A-Za-z.+_-]{1,40}"),
    "parameters_version": re.compile(r"[0-9A-Za-z.+_-]{1,40}"),
    "seed": re.compile(r"None|[0-9]{1,40}"),
}
# Recordings written and read together.
_ROWS_TOGETHER = 64
# What readers of the two formats raise on a damaged file.
_DAMAGED = (
    AttributeError,
    EOFError,
    IndexError,
    KeyError,
    MemoryError,
    NotImplementedError,
    OSError,
    TypeError,
    ValueError,
    zipfile.BadZipFile,
    zlib.error,
    RuntimeError,
)
NOTE = "Simulated recordings with their truth; no medical device, no measurements of people."


@dataclass(frozen=True, eq=False)
class Dataset:
    """n recordings, the truth about each, what was recorded ("subject.sbp", "technique.slack_cm", ...: arrays (n,)),
    and where they come from (version, parameters_version, seed, note)."""

    recording: Recording
    truth: Truth
    inputs: Mapping[str, np.ndarray]
    origin: Mapping[str, Any]


def dataset(recording: Recording, truth: Truth, setup: Setup, seed: int | None = None) -> Dataset:
    """Recordings and their truth as `measure` gives them, with the records that they were made from."""
    n = len(recording)
    fitted = setup.fitted()
    columns = {
        f"{_group(record)}.{name}": np.broadcast_to(getattr(record, name), n).copy()
        for record in fitted
        for name in record.LIMITS
    }
    origin = {
        "kind": _KIND,
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "seed": seed,
        "note": NOTE,
    }
    return Dataset(recording, truth, columns, origin)


def write_dataset(file: Path | str, data: Dataset) -> None:
    """Write a .npz or .parquet file; what is read again is the same to the last bit. Raises FileError.

    .npz: arrays by name, the origin as JSON in `origin`. .parquet: a row a recording, its samples as a list, the
    origin in the file's metadata.
    """
    file = Path(file)
    columns = {f"{stage}_{name}": getattr(getattr(data.truth, stage), name) for stage in _STAGES for name in _NAMES}
    columns[_RATE] = data.truth.pulse_rate
    columns |= {f"input.{name}": values for name, values in data.inputs.items()}
    try:
        judge_padded(data.recording.samples)
    except ValueError as error:
        raise FileError(file, None, None, f"would not be read again: {error}") from None
    try:
        write = _suffix(file)
        with written_whole(file) as part:
            write(part, data, columns)
    except DiskError:
        raise
    except OSError as error:
        raise FileError(file, None, None, f"cannot be written: {error.strerror or error}") from None


def read_dataset(file: Path | str) -> Dataset:
    """Read what `write_dataset` wrote. Raises FileError."""
    file = Path(file)
    _suffix(file)
    read = _read_npz if file.suffix == ".npz" else _read_parquet
    try:
        recording, columns, origin = read(file)
        stages = [Pressures(*(np.asarray(columns[f"{stage}_{name}"]) for name in _NAMES)) for stage in _STAGES]
        truth = Truth(stages[0], stages[1], stages[2], np.asarray(columns[_RATE]))
    except (FileNotFoundError, IsADirectoryError, PermissionError) as error:
        raise FileError(file, None, None, f"cannot be read: {error.strerror or 'there is no such file'}") from None
    except _DAMAGED as error:
        why = " ".join(str(error).split())
        raise FileError(file, None, None, f"must be a data set of recordings, whole and unchanged ({why})") from None
    inputs = {name.removeprefix("input."): values for name, values in columns.items() if name.startswith("input.")}
    found = Dataset(recording, truth, inputs, origin)
    wrong = _amiss(found)
    if wrong:
        raise FileError(file, None, None, f"must be a data set of recordings: {wrong}")
    return found


def _amiss(data: Dataset) -> str:
    """What does not go together in a data set that was read, or ""."""
    r = data.recording
    n = len(r)
    stages = (data.truth.resting, data.truth.at_measurement, data.truth.at_cuff)
    truths = [np.asarray(getattr(stage, name)) for stage in stages for name in _NAMES]
    rate = np.asarray(data.truth.pulse_rate)
    if n < 1:
        return "it holds none"
    if any(values.dtype.kind not in "fiu" for values in (r.pressure_mmhg, r.samples, rate, *truths)):
        return "pressures, samples and truth must be numbers"
    if r.pressure_mmhg.ndim != 2:
        return "pressure_mmhg must have a row for each recording"
    if any(values.shape != (n,) for values in truths) or len(r.pressure_mmhg) != n:
        return f"there are {n} recordings, and each needs one row of samples and one true pressure"
    if rate.shape != (n,) or not ((rate > 0) & (rate <= _HIGHEST_RATE)).all():
        return f"each recording needs one {_RATE}, above 0 and up to {_HIGHEST_RATE:g} beats/min"
    if any(np.shape(values) != (n,) for values in data.inputs.values()):
        return "each input needs one value for each recording"
    if not SAMPLING_HZ[0] <= r.sampling_hz <= SAMPLING_HZ[1]:
        return f"sampling_hz must be from {SAMPLING_HZ[0]:g} to {SAMPLING_HZ[1]:g} Hz, not {r.sampling_hz:g}"
    if not ((r.samples >= 2) & (r.samples <= r.pressure_mmhg.shape[1])).all():
        return "samples must count the samples of each recording, at least 2"
    if r.samples.dtype.kind == "f" and (r.samples % 1 != 0).any():
        return "samples must be whole numbers"
    low, high = np.fmin.reduce(r.pressure_mmhg, axis=1), np.fmax.reduce(r.pressure_mmhg, axis=1)
    if np.isnan(low).any():
        return "each recording must hold a pressure, and one holds none"
    if not ((low >= PRESSURE_MMHG[0]) & (high <= PRESSURE_MMHG[1])).all():
        return f"pressures must be from {PRESSURE_MMHG[0]:g} to {PRESSURE_MMHG[1]:g} mmHg"
    if not all(((values >= PRESSURE_MMHG[0]) & (values <= PRESSURE_MMHG[1])).all() for values in truths):
        return f"true pressures must be from {PRESSURE_MMHG[0]:g} to {PRESSURE_MMHG[1]:g} mmHg"
    return ""


def _group(record: Fields) -> str:
    """Subject, technique or instrument; a record derived from one of these counts as it."""
    bases = [kind.__name__.lower() for kind in type(record).__mro__]
    return next(name for name in ("subject", "technique", "instrument") if name in bases)


def _suffix(file: Path) -> Any:
    writers = {".npz": _write_npz, ".parquet": _write_parquet}
    if file.suffix not in writers:
        raise FileError(file, None, None, f"must end in {' or '.join(writers)}")
    return writers[file.suffix]


def _write_npz(file: Path, data: Dataset, columns: dict[str, np.ndarray]) -> None:
    r = data.recording
    arrays: dict[str, Any] = {
        "origin": np.array(json.dumps(dict(data.origin))),
        "sampling_hz": np.array(r.sampling_hz),
        "pressure_mmhg": r.pressure_mmhg,
        "samples": r.samples,
        **columns,
    }
    packed = io.BytesIO()  # written in one piece: what packs the arrays would complain by itself of a full disk
    np.savez_compressed(packed, **arrays)
    file.write_bytes(packed.getbuffer())


def _read_npz(file: Path) -> tuple[Recording, dict[str, np.ndarray], dict[str, Any]]:
    columns = read_arrays(file)
    origin = _origin(str(columns.pop("origin")))
    rate = float(columns.pop("sampling_hz"))
    return Recording(rate, columns.pop("pressure_mmhg"), columns.pop("samples")), columns, origin


def _write_parquet(file: Path, data: Dataset, columns: dict[str, np.ndarray]) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    r = data.recording
    rows = [r.recorded(row) for row in range(len(r))]
    ends = np.concatenate([[0], np.cumsum(r.samples)]).astype(np.int32)
    pressure = pa.ListArray.from_arrays(pa.array(ends), pa.array(np.concatenate(rows), from_pandas=False))
    table = pa.table(
        {
            "sampling_hz": np.full(len(r), r.sampling_hz),
            "pressure_mmhg": pressure,
            **{
                name: pa.array(values.tolist() if values.dtype.kind == "U" else values)
                for name, values in columns.items()
            },
        }
    )
    pq.write_table(
        table.replace_schema_metadata({"origin": json.dumps(dict(data.origin))}),
        file,
        compression="zstd",
        row_group_size=_ROWS_TOGETHER,
    )


def _read_parquet(file: Path) -> tuple[Recording, dict[str, np.ndarray], dict[str, Any]]:
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(file) as found:
            judge_table(found)
            names = [name for name in found.schema_arrow.names if name != "pressure_mmhg"]
            words = [name for name in names if pa.types.is_string(found.schema_arrow.field(name).type)]
            origin = _origin((found.schema_arrow.metadata or {}).get(b"origin", b"{}"))
        # Words as dictionaries: one that comes in every row is then held once.
        with pq.ParquetFile(file, read_dictionary=words, pre_buffer=False) as found:
            pressure, samples = _pressures(found)
            columns = judged((name, _column(found.read([name]).column(0).combine_chunks())) for name in names)
    except pa.ArrowException as error:
        raise ValueError(str(error)) from None
    rates = np.unique(columns.pop("sampling_hz"))
    if len(rates) != 1:
        raise ValueError("recordings of different sampling rates")
    return Recording(float(rates[0]), pressure, samples), columns, origin


def _pressures(found: Any) -> tuple[np.ndarray, np.ndarray]:
    """The recordings (n, m), a few at a time, so that they are held once; and the samples of each (n,)."""

    def parts() -> Iterator[Any]:
        for part in found.iter_batches(batch_size=_ROWS_TOGETHER, columns=["pressure_mmhg"]):
            yield part.column(0)

    lengths = [lists.value_lengths().fill_null(0).to_numpy().astype(np.int64) for lists in parts()]
    samples = np.concatenate(lengths) if lengths else np.empty(0, dtype=np.int64)
    judge_padded(samples)
    pressure = np.full((len(samples), int(samples.max(initial=0))), np.nan)
    row = 0
    for lists in parts():
        values, ends = lists.values.to_numpy(zero_copy_only=False), lists.offsets.to_numpy()
        for first, last in pairwise(ends):
            pressure[row, : last - first] = values[first:last]
            row += 1
    return pressure, samples


def _column(values: Any) -> np.ndarray:
    """One value a recording: numbers, or words out of a dictionary."""
    import pyarrow as pa

    if not pa.types.is_dictionary(values.type):
        return np.asarray(values.to_numpy(zero_copy_only=False))
    words = [str(word) for word in values.dictionary.to_pylist()]
    if max(map(len, words), default=0) > MOST_LETTERS:
        raise ValueError(f"words of more than {MOST_LETTERS} letters")
    return np.array(words, dtype=str)[values.indices.to_numpy(zero_copy_only=False)]


def _origin(text: str | bytes) -> dict[str, Any]:
    if len(text) > MOST_ORIGIN:
        raise ValueError(f"an origin of {len(text):,} letters, and {MOST_ORIGIN:,} are allowed")
    origin = from_json(text if isinstance(text, str) else text.decode())
    if not isinstance(origin, dict) or origin.get("kind") != _KIND:
        raise ValueError("no data set of this kind")
    for name, pattern in _TOLD.items():
        if not pattern.fullmatch(str(origin.get(name))):
            raise ValueError(f"an origin whose {name} is {str(origin.get(name))[:40]!r}")
    return origin
