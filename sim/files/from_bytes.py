"""Files of one's own, as bytes, opened as recordings: whatever is wrong with them is told in one line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.files.any_file import MANY
from sim.files.csv_file import csv_signals, read_csv
from sim.files.dataset import Dataset, read_dataset
from sim.files.errors import FileError
from sim.files.units import UNITS
from sim.files.wfdb_file import read_wfdb
from sim.files.wfdb_header import read_header
from sim.results import Recording

TABLES, HEADER, SAMPLES = (".csv", ".txt", ".tsv"), ".hea", ".dat"
SUFFIXES = (*TABLES, HEADER, SAMPLES, *MANY)

Files = Mapping[str, bytes]


def openable(files: Files) -> list[str]:
    """The files among these that can be opened. Raises FileError where there is none."""
    found = [name for name in files if Path(name).suffix.lower() in (*TABLES, HEADER, *MANY)]
    if not found:
        name = next(iter(files))
        if Path(name).suffix.lower() == SAMPLES:
            raise FileError(Path(safe(name)), None, None, "has the samples of a WFDB record: add its header (.hea)")
        raise FileError(Path(safe(name)), None, None, f"must end in {', '.join(SUFFIXES)}")
    return found


def signals(files: Files, name: str) -> dict[int, str]:
    """The signals in units of pressure of a file that has more than one, by number. Raises FileError."""
    suffix = Path(name).suffix.lower()
    if suffix not in (HEADER, *TABLES):
        return {}
    with TemporaryDirectory() as folder:
        file = _put(Path(folder), files, name)
        if suffix in TABLES:
            columns = csv_signals(file)
            return columns if len(columns) > 1 else {}
        header = read_header(file)
    units = {unit.lower() for unit in UNITS}
    found = {
        k: f"{signal.description or 'no description'} [{signal.unit}], number {k}"
        for k, signal in enumerate(header.signals)
        if signal.unit.lower() in units
    }
    return found if len(found) > 1 else {}


def opened(files: Files, name: str, signal: int | None = None) -> tuple[Recording, Dataset | None]:
    """The recordings in a file, and the data set that they come from, if any. Raises FileError.

    signal: which of a WFDB record or of a table, by number, where it has more than one
    """
    suffix = Path(name).suffix.lower()
    with TemporaryDirectory() as folder:
        file = _put(Path(folder), files, name)
        if suffix in TABLES:
            return read_csv(file, signal=signal), None
        if suffix == HEADER:
            return _record(file, files, signal), None
        data = read_dataset(file)
        return data.recording, data


def safe(name: str) -> str:
    """A name without folders or odd letters; every name that a WFDB header may use stays as it is."""
    return re.sub(r"[^\w.+ -]", "_", name.replace("\\", "/").rsplit("/", 1)[-1])[-100:].lstrip(".") or "file"


def _put(folder: Path, files: Files, name: str) -> Path:
    """The file in a folder; a header with all files of samples beside it."""
    own = Path(safe(name))
    path = folder / own.with_suffix(own.suffix.lower())
    path.write_bytes(files[name])
    if own.suffix.lower() == HEADER:
        for other in files:
            if Path(other).suffix.lower() not in (HEADER, *TABLES, *MANY):
                (folder / safe(other)).write_bytes(files[other])
    return path


def _record(file: Path, files: Files, signal: int | None) -> Recording:
    there = {safe(name) for name in files}
    for found in read_header(file).signals:
        if found.file not in there:
            raise FileError(
                file, found.line, 1, f"names {found.file} as the file of samples: choose both files together"
            )
    return read_wfdb(file, signal)
