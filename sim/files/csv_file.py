"""Recordings as CSV: a header and columns, time and cuff pressure among them.

    # sampling_hz = 100
    time_s,pressure_mmhg
    0.0,181.02
    0.01,180.98

Read: the header names the units, of time s or ms (or `sample`, counting from 0), of pressure mmHg or kPa, in any
spelling that ends with the unit, such as "Time (ms)" or "Cuff pressure [kPa]", or the units stand in a line below the
names. Other columns are passed over. Columns are set apart by commas, by tabs or by semicolons, and with semicolons a
decimal comma may be used. Lines with # are remarks; `sampling_hz` among them gives the rate, which otherwise comes from
the times. An empty cell of pressure is a dropped sample.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from sim.files.csv_header import TIMES, CsvHeader, pressure_columns, read_csv_header, short
from sim.files.errors import FileError, read_bytes, write_bytes
from sim.files.units import MOST_SAMPLES, PRESSURE_MMHG, SAMPLING_HZ, UNITS, from_mmhg, to_mmhg
from sim.results import Recording
from sim.texts import decimal

_MOST_BYTES = 200 * 2**20
# No clock of a recording counts so far.
_LATEST = 1e12
# Times may be rounded by so much of a step.
_ROUNDED = 0.26
_RATE = re.compile(r"#\s*sampling_hz\s*[=:]\s*(\S+)\s*$", re.IGNORECASE)


def read_csv(file: Path | str, sampling_hz: float | None = None, *, signal: int | str | None = None) -> Recording:
    """The recording in a CSV file, one row. sampling_hz: where the file does not tell its rate.

    signal: which column of pressure where there are several, by its name or its number among the columns besides the
    time, from 0. Raises FileError, naming line, column and what was expected.
    """
    file = Path(file)
    lines = _lines(file)
    rate = sampling_hz
    at = 0
    while at < len(lines) and (not lines[at].strip() or lines[at].startswith("#")):
        told = _RATE.match(lines[at])
        rate = _rate(file, at + 1, told[1]) if told else rate
        at += 1
    if at == len(lines):
        raise FileError(file, None, None, "must have a header such as time_s,pressure_mmhg, and holds no line")
    header = read_csv_header(file, lines, at, signal)
    times, pressures, numbers = _rows(file, lines, at + header.lines, header)
    if len(times) < 2:
        raise FileError(file, len(lines), None, "must have at least two samples below the header")
    rate = _even(file, np.array(times), numbers, header, rate)
    pressure = np.array(pressures)
    if not np.isfinite(pressure).any():
        raise FileError(file, None, header.pressure + 1, "must hold pressures, and every cell is empty")
    return Recording(rate, pressure[None, :], np.array([len(pressure)]))


def write_csv(file: Path | str, recording: Recording, row: int = 0, unit: str = "mmHg") -> None:
    """Write one recording; what is read again is the same to the last bit, in either unit. Raises FileError."""
    file = Path(file)
    if unit not in UNITS:
        raise FileError(file, None, None, f"must be written in one of {', '.join(UNITS)}, not {unit!r}")
    rate = recording.sampling_hz
    lines = [f"# sampling_hz = {rate!r}", f"time_s,pressure_{unit.lower()}"]
    for place, value in enumerate(recording.recorded(row).tolist()):
        shown = from_mmhg(value, unit) if np.isfinite(value) else ""
        lines.append(f"{place / rate!r},{shown}")
    write_bytes(file, ("\n".join(lines) + "\n").encode("ascii"))


def csv_signals(file: Path) -> dict[int, str]:
    """The columns of pressure of a CSV file, by number as `read_csv` takes it. Raises FileError."""
    return pressure_columns(_lines(file))


def _lines(file: Path) -> list[str]:
    data = read_bytes(file, _MOST_BYTES)
    try:
        return data.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise FileError(file, line, None, "must be text in UTF-8, and has a byte that is none") from None


def _rate(file: Path, line: int, text: str) -> float:
    low, high = SAMPLING_HZ
    try:
        rate = decimal(text)
    except ValueError:
        rate = np.nan
    if not low <= rate <= high:
        raise FileError(file, line, None, f"sampling_hz must be a number from {low:g} to {high:g} Hz, not {text!r}")
    return rate


def _rows(file: Path, lines: list[str], first: int, header: CsvHeader) -> tuple[list[float], list[float], list[int]]:
    """Times as written, pressures [mmHg] and line numbers of all samples."""
    times, pressures, numbers = list[float](), list[float](), list[int]()
    for number, text in enumerate(lines[first:], first + 1):
        if not text.strip() or text.startswith("#"):
            continue
        cells = text.split(header.separator)
        if len(cells) != header.columns:
            raise FileError(file, number, None, f"must have {_columns(header.columns)}, and has {len(cells)}")
        time, pressure = cells[header.time], cells[header.pressure]
        if header.separator == ";":
            time, pressure = time.replace(",", "."), pressure.replace(",", ".")
        times.append(_number(file, number, header.time + 1, time, "s"))
        pressures.append(_pressure(file, number, header.pressure + 1, pressure, header.unit))
        numbers.append(number)
        if len(times) > MOST_SAMPLES:
            raise FileError(file, number, None, f"must have at most {MOST_SAMPLES} samples")
    return times, pressures, numbers


def _columns(count: int) -> str:
    return "two columns" if count == 2 else f"{count} columns as the header has"


def _number(file: Path, line: int, column: int, text: str, unit: str) -> float:
    try:
        value = to_mmhg(text, unit) if unit in UNITS else decimal(text)
    except (ValueError, ArithmeticError):
        value = np.nan
    if not np.isfinite(value) or (unit not in UNITS and abs(value) > _LATEST):
        raise FileError(file, line, column, f"must be a number, not {short(text)}")
    return value


def _pressure(file: Path, line: int, column: int, text: str, unit: str) -> float:
    if not text.strip():
        return float("nan")
    value = _number(file, line, column, text, unit)
    low, high = PRESSURE_MMHG
    if not low <= value <= high:
        given = "" if unit == "mmHg" else f" ({value:.0f} mmHg)"
        raise FileError(file, line, column, f"must be from {low:g} to {high:g} mmHg, not {text.strip()} {unit}{given}")
    return value


def _even(file: Path, times: np.ndarray, numbers: list[int], header: CsvHeader, rate: float | None) -> float:
    """The sampling rate [Hz], to which the times must keep."""
    low, high = SAMPLING_HZ
    unit, column = header.time_unit, header.time + 1
    scale, told = TIMES[unit], rate
    if scale is None:
        if rate is None:
            raise FileError(
                file, None, column, "counts samples: the rate must be told by a line such as # sampling_hz = 100"
            )
        steps = times - times[0]
    else:
        seconds = (times - times[0]) * scale
        if not seconds[-1] > 0:
            raise FileError(file, numbers[-1], column, "must be later than the first sample")
        rate = rate or _plain_rate((len(times) - 1) / float(seconds[-1]), len(times))
        if not low <= rate <= high:
            raise FileError(
                file,
                None,
                column,
                f"must run at {low:g} to {high:g} samples a second, and does at {rate:.4g}; is the unit {unit}?",
            )
        steps = seconds * rate
    off = np.abs(steps - np.arange(len(times)))
    if off.max() > _ROUNDED:
        between = np.diff(times)
        usual = 1 / (told * scale) if told and scale else float(np.median(between))
        jumps = np.abs(between - usual) > abs(usual) / 2
        if jumps.any():
            at = int(np.argmax(jumps))
            raise FileError(
                file,
                numbers[at + 1],
                column,
                f"must go on in even steps of {usual:.6g}, and jumps by {between[at]:.6g} "
                "(a dropped sample is a line with an empty pressure)",
            )
        worst = int(np.argmax(off > _ROUNDED))
        expected = times[0] + worst / (rate * (scale or 1.0 / rate))
        raise FileError(
            file,
            numbers[worst],
            column,
            f"must go on in even steps of 1/{rate:.6g} s: expected {expected:.6g}, found {times[worst]:.6g}",
        )
    return rate


def _plain_rate(rate: float, samples: int) -> float:
    """The whole number that a rate worked out from rounded times stands for, where it does."""
    if np.isinf(rate):
        return rate  # steps too small for a number: no rate that is allowed
    whole = round(rate)
    return float(whole) if abs(whole / rate - 1) * samples < _ROUNDED else rate
