"""A study's folder: what was planned, and the readings of each finished chunk.

    study.json               the study's fingerprint
    study.lock               locked while a process works here
    readings/000012-3fa94c0d5e6b7a81.parquet
                             chunk 12; the name ends with the start of the file's SHA-256, so that a damaged or
                             half-written file is known by its own name. Files appear whole, by renaming.

The folder `readings` is a Parquet data set that other programs read as it is.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from sim.files.whole import written_whole
from sim.spreadsheets import as_cell
from sim.study.identity import changed
from sim.study.lock import BusyError, alone
from sim.study.origin import Origin
from sim.study.plan import Study
from sim.study.readings import TEXT, Readings
from sim.texts import from_json

# So many hexadecimal digits of SHA-256 stand in a file's name: 64 bits, so that a damaged file passes for a whole one
# once in 2e19 times. Chosen; any more would only lengthen names.
_DIGITS = 16
# The key of study.json that says what is kept.
_KEPT = "kept"

S = TypeVar("S", bound="Store")


class StoreError(Exception):
    """A folder that cannot hold this study: says which and why."""


@contextmanager
def opened(folder: Path, study: Study, kind: type[S]) -> Iterator[S]:
    """The folder of one study, made if need be, for this process alone; kind: what is kept there.

    Raises StoreError where another process works there, where it holds another study, or is not writable.
    """
    with ExitStack() as held:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            held.enter_context(alone(folder))
        except BusyError:
            raise StoreError(
                f"{folder}: this study is being run by another process; wait until it has ended, or choose another "
                "folder"
            ) from None
        except OSError as error:
            raise StoreError(f"{folder}: cannot be used: {error.strerror or error}") from None
        yield kind(folder, study)


class Store:
    """The folder of one study, made if need be. Raises StoreError where it holds another study or is not writable."""

    # What is kept of the readings, and the folder's name; how its files end.
    KEEPS, SUFFIX = "readings", ".parquet"

    def __init__(self, folder: Path, study: Study) -> None:
        self.folder, self.study = folder, study
        self._parts = folder / self.KEEPS
        try:
            self._parts.mkdir(parents=True, exist_ok=True)
            for left in self._parts.glob("*.part"):
                left.unlink()
            self._claim({**study.fingerprint(), _KEPT: self.KEEPS})
        except OSError as error:
            raise StoreError(f"{folder}: cannot be used: {error.strerror or error}") from None
        self._names = self._find()

    def _claim(self, fingerprint: dict[str, Any]) -> None:
        """Write what is planned, or compare it with what was planned before."""
        file = self.folder / "study.json"
        if not file.exists():
            _write_whole(file, (json.dumps(fingerprint, indent=2) + "\n").encode())
            return
        try:
            before = from_json(file.read_text(encoding="utf-8"))
            before.setdefault(_KEPT, Store.KEEPS)
            differing = [key for key in fingerprint if before.get(key) != fingerprint[key]]
        except (ValueError, AttributeError):
            raise StoreError(f"{file}: is damaged; choose another folder, or remove this one") from None
        if differing:
            raise StoreError(
                f"{self.folder}: holds {_other(differing[0], before, fingerprint)}; choose another folder, or remove "
                "this one"
            )

    def _find(self) -> dict[int, str]:
        """File of each finished chunk; a damaged file is removed, and its chunk is to be done again."""
        self.damaged: list[str] = []
        found: dict[int, str] = {}
        for file in self._files():
            chunks, digits = self._chunks(file.stem)
            planned = len(chunks) and chunks[-1] < self.study.chunks and found.keys().isdisjoint(chunks)
            if planned and _digest(file.read_bytes()) == digits:
                found |= dict.fromkeys(chunks, file.name)
            else:
                self.damaged += [file.name] * (not found.keys() >= set(chunks))
                file.unlink()
        return found

    def _files(self) -> list[Path]:
        return sorted(self._parts.glob(f"*{self.SUFFIX}"))

    def _chunks(self, stem: str) -> tuple[range, str]:
        """The chunks that a file's name speaks of, and its digits."""
        number, _, digits = stem.partition("-")
        return range(int(number), int(number) + 1) if number.isdecimal() else range(0), digits

    def _keep(self, chunks: range, stem: str, data: bytes) -> None:
        """Write a file of chunks. Raises StoreError where the disk takes no more."""
        name = f"{stem}-{_digest(data)}{self.SUFFIX}"
        try:
            _write_whole(self._parts / name, data)
        except OSError as error:
            raise StoreError(f"{self._parts / name}: cannot be written: {error.strerror or error}") from None
        self._names |= dict.fromkeys(chunks, name)

    @property
    def finished(self) -> set[int]:
        """Numbers of the finished chunks."""
        return set(self._names)

    def write(self, chunk: int, found: Any) -> None:
        """Keep a finished chunk's Readings, one row a reading. Raises StoreError where the disk takes no more."""
        buffer = pa.BufferOutputStream()
        pq.write_table(_to_arrow(found), buffer, compression="zstd")
        self._keep(range(chunk, chunk + 1), f"{chunk:06d}", buffer.getvalue().to_pybytes())

    def read(self, columns: Sequence[str] | None = None) -> Readings:
        """The readings of all finished chunks in order, or some of their columns, of shape (m,) each."""
        # Filled chunk by chunk, so that a large table is never there twice.
        whole: dict[str, np.ndarray] = {}
        chunks = sorted(self._names)
        rows = [self.study.rows(chunk) for chunk in chunks]
        first = 0
        for chunk, count in zip(chunks, rows, strict=True):
            for name, values in self.read_chunk(chunk, columns).items():
                if first == 0:
                    whole[name] = np.empty(sum(rows), dtype=values.dtype)
                whole[name][first : first + count] = values
            first += count
        return Readings(whole)

    def read_chunk(self, chunk: int, columns: Sequence[str] | None = None) -> Readings:
        """The readings of one finished chunk, columns of shape (m,)."""
        wanted = None if columns is None else list(columns)
        with pq.ParquetFile(self._parts / self._names[chunk]) as file:
            return _from_arrow(file.read(wanted, use_threads=False))


def _other(key: str, before: dict[str, Any], now: dict[str, Any]) -> str:
    """In words, which study a folder holds whose fingerprint differs at this key."""
    old, new = before.get(key), now[key]
    if key == _KEPT and isinstance(old, str):
        return (
            f"only the {old} of this study" if new == Store.KEEPS else f"this study with every reading, not its {new}"
        )
    if key == "program":
        return "a study made with another state of this program"
    if key == "estimators" and isinstance(old, dict) and old.keys() == new.keys():
        return "a study whose " + ", ".join(f"{name} {said}" for name in new if (said := changed(old[name], new[name])))
    return f"another study, with {key} {_short(old)} instead of {_short(new)}"


def write_table(file: Path, parts: Iterable[Readings], origin: Origin) -> None:
    """Readings, part by part, as one file, .parquet or .csv by its suffix, one row each with what it comes from.

    Raises OSError.
    """
    named = {"version": origin.version, "parameters_version": origin.parameters, "seed": origin.seed}
    with written_whole(file) as whole, ExitStack() as held:
        writer = None
        for part in parts:
            columns = {name: np.full(part.rows, value) for name, value in named.items() if value is not None}
            table = _to_arrow(Readings({**part, **columns}))
            if file.suffix == ".csv":
                table = pa.table([_for_spreadsheets(column) for column in table.columns], names=table.column_names)
            if writer is None:
                writer = held.enter_context(_writer(whole, file.suffix, table.schema))
            writer.write_table(table)


def _writer(file: Path, suffix: str, schema: pa.Schema) -> Any:
    if suffix == ".parquet":
        return pq.ParquetWriter(file, schema, compression="zstd")
    from pyarrow import csv

    return csv.CSVWriter(file, schema)


def _for_spreadsheets(column: pa.ChunkedArray) -> pa.Array | pa.ChunkedArray:
    """A column as a spreadsheet may have it: a number that there is not is an empty field, and no text a formula."""
    if pa.types.is_floating(column.type):
        return pa.array(column.to_numpy(), from_pandas=True)
    if pa.types.is_dictionary(column.type):
        whole = column.combine_chunks()
        return pa.DictionaryArray.from_arrays(whole.indices, [as_cell(word) for word in whole.dictionary.to_pylist()])
    return column


def _to_arrow(readings: Readings) -> pa.Table:
    """Text as dictionaries, numbers as they are."""
    columns = {name: pa.array(values) for name, values in readings.items()}
    for name in TEXT:
        if name in columns:
            columns[name] = columns[name].dictionary_encode()
    return pa.table(columns)


def _from_arrow(table: pa.Table) -> Readings:
    columns = {}
    for name in table.column_names:
        column = table.column(name).combine_chunks()
        if pa.types.is_dictionary(column.type):
            # Each text once, and every row points to it.
            words = np.array(column.dictionary.to_pylist(), dtype=object)
            columns[name] = words[column.indices.to_numpy()]
        else:
            columns[name] = column.to_numpy(zero_copy_only=False)
    return Readings(columns)


def _write_whole(file: Path, data: bytes) -> None:
    """Write so that the file is there whole or not at all, whatever happens meanwhile."""
    part = file.with_name(file.name + ".part")
    with part.open("wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    part.replace(file)


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:_DIGITS]


def _short(value: Any) -> str:
    text = json.dumps(value)
    return text if len(text) <= 60 else text[:57] + "..."
