"""Many recordings with their truth in one file, to train and test on: .npz or .parquet."""

from __future__ import annotations

import textwrap
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sim.fields import Fields
from sim.files import amiss, label_columns
from sim.files.errors import FileError
from sim.files.kind import origin
from sim.files.npz_file import read_npz, write_npz
from sim.files.parquet_file import read_parquet, write_parquet
from sim.files.sizes import judge_total
from sim.files.whole import DiskError, written_whole
from sim.labels import Labels
from sim.results import Pressures, Recording, Truth
from sim.setup import Setup

_STAGES, _NAMES = ("resting", "at_measurement", "at_cuff"), ("sbp", "dbp", "map")
_RATE, _INPUT = "true_pulse_rate", "input."
_FORMATS = {".npz": (read_npz, write_npz), ".parquet": (read_parquet, write_parquet)}
# The words of a library may cite the file, which says what it likes.
_LONGEST_REASON = 200
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


@dataclass(frozen=True, eq=False)
class Dataset:
    """n recordings, the truth about each, what was recorded ("subject.sbp", "technique.slack_cm", ...: arrays (n,)),
    where they come from (version, parameters_version, seed, note), and, where they were asked for, labels."""

    recording: Recording
    truth: Truth
    inputs: Mapping[str, np.ndarray]
    origin: Mapping[str, Any]
    labels: Labels | None = None


def dataset(
    recording: Recording, truth: Truth, setup: Setup, seed: int | None = None, labels: Labels | None = None
) -> Dataset:
    """Recordings and their truth as `measure` gives them, with the records that they were made from."""
    n = len(recording)
    fitted = setup.fitted()
    columns = {
        f"{_group(record)}.{name}": np.broadcast_to(getattr(record, name), n).copy()
        for record in fitted
        for name in record.LIMITS
    }
    return Dataset(recording, truth, columns, origin(seed, labels), labels)


def write_dataset(file: Path | str, data: Dataset) -> None:
    """Write a .npz or .parquet file; what is read again is the same to the last bit. Raises FileError.

    .npz: arrays by name, the origin as JSON in `origin`. .parquet: a row a recording, its samples as a list, the
    origin in the file's metadata.
    """
    file = Path(file)
    columns = {f"{stage}_{name}": getattr(getattr(data.truth, stage), name) for stage in _STAGES for name in _NAMES}
    columns[_RATE] = data.truth.pulse_rate
    columns |= {f"{_INPUT}{name}": values for name, values in data.inputs.items()}
    columns |= label_columns.columns_of(data.labels)
    try:
        judge_total([data.recording.pressure_mmhg, data.recording.samples, *columns.values()])
    except ValueError as error:
        raise FileError(file, None, None, f"would not be read again: {error}") from None
    try:
        _, write = _format(file)
        with written_whole(file) as part:
            write(part, data.recording, columns, data.origin)
    except DiskError:
        raise
    except OSError as error:
        raise FileError(file, None, None, f"cannot be written: {error.strerror or error}") from None


def read_dataset(file: Path | str) -> Dataset:
    """Read what `write_dataset` wrote. Raises FileError."""
    file = Path(file)
    read, _ = _format(file)
    try:
        recording, columns, said = read(file)
        stages = [Pressures(*(np.asarray(columns[f"{stage}_{name}"]) for name in _NAMES)) for stage in _STAGES]
        truth = Truth(stages[0], stages[1], stages[2], np.asarray(columns[_RATE]))
        labels = label_columns.taken(columns)
    except (FileNotFoundError, IsADirectoryError, PermissionError) as error:
        raise FileError(file, None, None, f"cannot be read: {error.strerror or 'there is no such file'}") from None
    except _DAMAGED as error:
        why = textwrap.shorten(str(error), _LONGEST_REASON)
        raise FileError(file, None, None, f"must be a data set of recordings, whole and unchanged ({why})") from None
    inputs = {name.removeprefix(_INPUT): values for name, values in columns.items() if name.startswith(_INPUT)}
    wrong = amiss.amiss(recording, truth, inputs) or (label_columns.amiss(labels, recording) if labels else "")
    if wrong:
        raise FileError(file, None, None, f"must be a data set of recordings: {wrong}")
    return Dataset(recording, truth, inputs, said, labels)


def _group(record: Fields) -> str:
    """Subject, technique or instrument; a record derived from one of these counts as it."""
    bases = [kind.__name__.lower() for kind in type(record).__mro__]
    return next(name for name in ("subject", "technique", "instrument") if name in bases)


def _format(file: Path) -> Any:
    """What reads and what writes such a file. Raises FileError."""
    if file.suffix not in _FORMATS:
        raise FileError(file, None, None, f"must end in {' or '.join(_FORMATS)}")
    return _FORMATS[file.suffix]
