"""Recordings as CSV: a header and two columns, time and cuff pressure.

    # sampling_hz = 100
    time_s,pressure_mmhg
    0.0,181.02
    0.01,180.98

Read: the header names the units, of time s or ms (or `sample`, counting from 0), of pressure mmHg or kPa, in any
spelling that ends with the unit, such as "Time (ms)" or "Cuff pressure [kPa]". Columns are set apart by commas, by
tabs or by semicolons, and with semicolons a decimal comma may be used. Lines with # are remarks; `sampling_hz` among
them gives the rate, which otherwise comes from the times. An empty cell of pressure is a dropped sample.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from sim.files.errors import FileError, read_bytes, write_bytes
from sim.files.units import MOST_SAMPLES, PRESSURE_MMHG, SAMPLING_HZ, UNITS, from_mmhg, to_mmhg
from sim.results import Recording
from sim.texts import decimal

_MOST_BYTES = 200 * 2**20
_SEPARATORS = ("\t", ";", ",")
# Seconds for one unit of time; a sample has no fixed time.
_TIMES = {"s": 1.0, "ms": 1e-3, "sample": None}
# No clock of a recording counts so far.
_LATEST = 1e12
# Times may be rounded by so much of a step.
_ROUNDED = 0.26
_RATE = re.compile(r"#\s*sampling_hz\s*[=:]\s*(\S+)\s*$", re.IGNORECASE)


def read_csv(file: Path | str, sampling_hz: float | None = None) -> Recording:
    """The recording in a CSV file, one row. sampling_hz: where the file does not tell its rate.

    Raises FileError, naming line, column and what was expected.
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
    separator, time_unit, unit = _header(file, at + 1, lines[at])
    times, pressures, numbers = _rows(file, lines, at + 1, separator, unit)
    if len(times) < 2:
        raise FileError(file, len(lines), None, "must have at least two samples below the header")
    rate = _even(file, np.array(times), numbers, time_unit, rate)
    pressure = np.array(pressures)
    if not np.isfinite(pressure).any():
        raise FileError(file, None, 2, "must hold pressures, and every cell is empty")
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


def _header(file: Path, line: int, text: str) -> tuple[str, str, str]:
    """Separator, unit of time and unit of pressure."""
    separator = next((s for s in _SEPARATORS if s in text), None)
    names = [] if separator is None else [name.strip().strip('"') for name in text.split(separator)]
    if separator is None or len(names) != 2:
        raise FileError(
            file,
            line,
            None,
            f"must be a header of two columns such as time_s,pressure_mmhg, not {_short(text)}",
        )
    # The unit is the last word of a name.
    ends = [re.findall(r"[a-z]+", name.lower())[-1:] for name in names]
    time = next((unit for unit in _TIMES if [unit] == ends[0]), None)
    unit = next((unit for unit in UNITS if [unit.lower()] == ends[1]), None)
    if time is None:
        raise FileError(file, line, 1, f"must end with its unit, s or ms, or be sample, not {_short(names[0])}")
    if unit is None:
        raise FileError(file, line, 2, f"must end with its unit, mmHg or kPa, not {_short(names[1])}")
    return separator, time, unit


def _rows(
    file: Path, lines: list[str], first: int, separator: str, unit: str
) -> tuple[list[float], list[float], list[int]]:
    """Times as written, pressures [mmHg] and line numbers of all samples."""
    times, pressures, numbers = list[float](), list[float](), list[int]()
    for number, text in enumerate(lines[first:], first + 1):
        if not text.strip() or text.startswith("#"):
            continue
        cells = text.split(separator)
        if len(cells) != 2:
            raise FileError(file, number, None, f"must have two columns, and has {len(cells)}")
        if separator == ";":
            cells = [cell.replace(",", ".") for cell in cells]
        times.append(_number(file, number, 1, cells[0], "s"))
        pressures.append(_pressure(file, number, cells[1], unit))
        numbers.append(number)
        if len(times) > MOST_SAMPLES:
            raise FileError(file, number, None, f"must have at most {MOST_SAMPLES} samples")
    return times, pressures, numbers


def _number(file: Path, line: int, column: int, text: str, unit: str) -> float:
    try:
        value = to_mmhg(text, unit) if column == 2 else decimal(text)
    except (ValueError, ArithmeticError):
        value = np.nan
    if not np.isfinite(value) or (column == 1 and abs(value) > _LATEST):
        raise FileError(file, line, column, f"must be a number, not {_short(text)}")
    return value


def _pressure(file: Path, line: int, text: str, unit: str) -> float:
    if not text.strip():
        return float("nan")
    value = _number(file, line, 2, text, unit)
    low, high = PRESSURE_MMHG
    if not low <= value <= high:
        given = "" if unit == "mmHg" else f" ({value:.0f} mmHg)"
        raise FileError(file, line, 2, f"must be from {low:g} to {high:g} mmHg, not {text.strip()} {unit}{given}")
    return value


def _even(file: Path, times: np.ndarray, numbers: list[int], unit: str, rate: float | None) -> float:
    """The sampling rate [Hz], to which the times must keep."""
    low, high = SAMPLING_HZ
    scale, told = _TIMES[unit], rate
    if scale is None:
        if rate is None:
            raise FileError(
                file, None, 1, "counts samples: the rate must be told by a line such as # sampling_hz = 100"
            )
        steps = times - times[0]
    else:
        seconds = (times - times[0]) * scale
        if not seconds[-1] > 0:
            raise FileError(file, numbers[-1], 1, "must be later than the first sample")
        rate = rate or _plain_rate((len(times) - 1) / float(seconds[-1]), len(times))
        if not low <= rate <= high:
            raise FileError(
                file,
                None,
                1,
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
                1,
                f"must go on in even steps of {usual:.6g}, and jumps by {between[at]:.6g} "
                "(a dropped sample is a line with an empty pressure)",
            )
        worst = int(np.argmax(off > _ROUNDED))
        expected = times[0] + worst / (rate * (scale or 1.0 / rate))
        raise FileError(
            file,
            numbers[worst],
            1,
            f"must go on in even steps of 1/{rate:.6g} s: expected {expected:.6g}, found {times[worst]:.6g}",
        )
    return rate


def _plain_rate(rate: float, samples: int) -> float:
    """The whole number that a rate worked out from rounded times stands for, where it does."""
    whole = round(rate)
    return float(whole) if abs(whole / rate - 1) * samples < _ROUNDED else rate


def _short(text: str) -> str:
    text = text.strip()
    return repr(text if len(text) <= 40 else text[:37] + "...")
