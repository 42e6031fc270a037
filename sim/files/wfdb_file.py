"""Recordings as WFDB records: a header and a file of samples (sim.files.wfdb_header has the format's source)."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from sim.files.errors import FileError, read_bytes, write_bytes
from sim.files.units import MMHG_PER_KPA, PRESSURE_MMHG, UNITS
from sim.files.wfdb_header import Header, Signal, read_header
from sim.files.wfdb_samples import FORMATS
from sim.results import Recording

_MOST_BYTES = 500 * 2**20
_RECORD_NAME = re.compile(r"[A-Za-z0-9_-]{1,40}")
# Steps for one mmHg that are tried in turn, so that a recording on such a grid is written exactly.
_GAINS = (1, 2, 5, 10, 20, 50, 100)


def read_wfdb(file: Path | str, signal: int | str | None = None) -> Recording:
    """The cuff pressure of a WFDB record, one row. file: its header, with or without .hea.

    signal: which one, by number from 0 or by description, where the record has several signals of pressure.
    Reads the formats of sim.files.wfdb_samples in mmHg or kPa; dropped samples are NaN. Raises FileError, naming the
    line of the header and what was expected.
    """
    file = Path(file)
    file = file if file.suffix == ".hea" else file.with_name(file.name + ".hea")
    header = read_header(file)
    chosen = _choose(file, header, signal)
    steps = _samples(file, header, chosen)
    there = steps != FORMATS[chosen.form].dropped
    value = (steps.astype(float) - chosen.baseline) / chosen.gain
    if chosen.unit.lower() == "kpa":
        value = value * float(MMHG_PER_KPA)
    low, high = PRESSURE_MMHG
    outside = there & ~((value >= low) & (value <= high))
    if outside.any():
        at = int(np.argmax(outside))
        raise FileError(
            file, chosen.line, 3, f"gives {value[at]:.0f} mmHg at sample {at}, and must give {low:g} to {high:g} mmHg"
        )
    return Recording(header.sampling_hz, np.where(there, value, np.nan)[None, :], np.array([len(value)]))


def write_wfdb(file: Path | str, recording: Recording, row: int = 0) -> None:
    """Write one recording in format 16 as a header and a .dat file beside it. file: the record, with or without .hea.

    A recording of a sensor whose steps are 1, 0.5, ... 0.02 or 0.01 mmHg is written with these steps and comes back as
    it was; any other in steps of 0.01 mmHg. What was read is written again byte for byte. Raises FileError.
    """
    file = Path(file)
    name = file.name.removesuffix(".hea")
    if not _RECORD_NAME.fullmatch(name):
        raise FileError(file, None, None, "must be named with 1 to 40 letters, digits, _ or -, as records are")
    value = recording.recorded(row)
    there = np.isfinite(value)
    known = value[there]
    if not len(known) or np.abs(known).max() > 327:
        raise FileError(file, None, None, "must hold pressures within 327 mmHg to be written in 16 bits")
    gain = next((g for g in _GAINS if np.abs(np.round(known * g) - known * g).max() < 1e-6), _GAINS[-1])
    steps = np.full(len(value), FORMATS[16].dropped, dtype="<i2")
    steps[there] = np.round(known * gain)
    header = (
        f"{name} 1 {_number(recording.sampling_hz)} {len(steps)}\n"
        f"{name}.dat 16 {gain}(0)/mmHg 16 0 {int(steps[0])} {_checksum(steps)} 0 cuff pressure\n"
    )
    write_bytes(file.with_name(name + ".dat"), steps.tobytes())
    write_bytes(file.with_name(name + ".hea"), header.encode("ascii"))


def _choose(file: Path, header: Header, wanted: int | str | None) -> Signal:
    """The signal to read, which must be a pressure in a format that is read."""
    every = list(header.signals)
    pressures = [s for s in every if s.unit.lower() in {unit.lower() for unit in UNITS}]
    listed = "; ".join(f"{k} {s.description or s.file} [{s.unit}]" for k, s in enumerate(every))
    if wanted is None:
        if len(pressures) != 1:
            count = "no signal" if not pressures else f"{len(pressures)} signals"
            raise FileError(file, None, None, f"has {count} in mmHg or kPa; say which to read of {listed}")
        chosen = pressures[0]
    else:
        found = [s for k, s in enumerate(every) if wanted in (k, s.description)]
        if len(found) != 1:
            raise FileError(file, None, None, f"has no signal {wanted!r}, only {listed}")
        chosen = found[0]
    if chosen not in pressures:
        raise FileError(file, chosen.line, 3, f"must be in mmHg or kPa, not {chosen.unit}")
    if chosen.form not in FORMATS:
        raise FileError(
            file, chosen.line, 2, f"must be one of {', '.join(map(str, FORMATS))}, not format {chosen.form}"
        )
    return chosen


def _samples(file: Path, header: Header, chosen: Signal) -> np.ndarray:
    """The steps of one signal; signals of one file lie sample by sample beside each other."""
    beside = [s for s in header.signals if s.file == chosen.file]
    mixed = next((s for s in beside if s.form != chosen.form), None)
    if mixed is not None:
        raise FileError(file, mixed.line, 2, f"must be format {chosen.form} like the other signals of {chosen.file}")
    data_file = file.with_name(chosen.file)
    data = read_bytes(data_file, _MOST_BYTES)[chosen.offset :]
    form, count = FORMATS[chosen.form], len(beside)
    frames = header.samples or len(data) * 8 // (form.bits * count)
    size = form.size(frames * count)
    if len(data) != size:
        raise FileError(
            data_file, None, None, f"must have {chosen.offset + size} bytes, and has {chosen.offset + len(data)}"
        )
    if frames < 2:
        raise FileError(data_file, None, None, "must have at least two samples")
    steps = form.steps(data, frames * count).reshape(frames, count)[:, beside.index(chosen)]
    if chosen.checksum is not None and _checksum(steps) != _signed(chosen.checksum):
        raise FileError(
            file,
            chosen.line,
            7,
            f"says checksum {chosen.checksum}, and {chosen.file} has {_checksum(steps)}: it is damaged",
        )
    return steps


def _checksum(steps: np.ndarray) -> int:
    """Sum of the samples in 16 bits, signed."""
    return _signed(int(steps.astype(np.int64).sum()))


def _signed(value: int) -> int:
    return (value + 2**15) % 2**16 - 2**15


def _number(value: float) -> str:
    return f"{value:g}" if float(f"{value:g}") == value else repr(float(value))
