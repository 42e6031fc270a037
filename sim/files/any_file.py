"""A recording from whichever file it is in."""

from __future__ import annotations

from pathlib import Path

from sim.files.csv_file import read_csv, write_csv
from sim.files.dataset import Dataset, read_dataset
from sim.files.errors import FileError
from sim.files.wfdb_file import read_wfdb, write_wfdb
from sim.results import Recording

SINGLE = (".csv", ".hea")
MANY = (".npz", ".parquet")


def read_any(file: Path, signal: int | str | None = None) -> tuple[Recording, Dataset | None]:
    """The recordings in a .csv, .hea, .npz or .parquet file, and the data set that they come from, if any.

    signal: which one, by name or number, where a .csv or .hea file has several. Raises FileError.
    """
    if file.suffix == ".csv":
        return read_csv(file, signal=signal), None
    if file.suffix == ".hea":
        return read_wfdb(file, signal), None
    if file.suffix in MANY:
        if signal is not None:
            raise FileError(file, None, None, "is a data set, whose recordings have one signal each")
        data = read_dataset(file)
        return data.recording, data
    raise FileError(file, None, None, f"must end in {', '.join(SINGLE + MANY)}")


def write_single(file: Path, recording: Recording, row: int = 0) -> None:
    """Write one recording as .csv or, with its .dat beside it, as .hea. Raises FileError."""
    if file.suffix not in SINGLE:
        raise FileError(file, None, None, f"must end in {' or '.join(SINGLE)}")
    (write_csv if file.suffix == ".csv" else write_wfdb)(file, recording, row)
