"""The header of a recording as CSV: which column is the time, which one the pressure, and in which units.

A unit is the last word of a column's name, or stands below it in a line of units.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from sim.files.errors import FileError
from sim.files.units import UNITS
from sim.texts import decimal

_SEPARATORS = ("\t", ";", ",")
# Seconds for one unit of time; a sample has no fixed time.
TIMES = {"s": 1.0, "ms": 1e-3, "sample": None}


@dataclass(frozen=True)
class CsvHeader:
    """Where a line has its time and its pressure.

    columns: how many there are; time, pressure: places from 0; lines: 1, or 2 with a line of units
    """

    separator: str
    columns: int
    time: int
    time_unit: str
    pressure: int
    unit: str
    lines: int


def read_csv_header(file: Path, lines: list[str], at: int, signal: int | str | None) -> CsvHeader:
    """The header that begins at `lines[at]`. Raises FileError, naming the line and what was expected.

    signal: which column of pressure, by its name or by its number among the columns besides the time, from 0
    """
    separator = next((s for s in _SEPARATORS if s in lines[at]), None)
    if separator is None:
        raise FileError(
            file, at + 1, None, f"must be a header of columns such as time_s,pressure_mmhg, not {short(lines[at])}"
        )
    names, whole, used = _named(lines, at, separator)
    time = _time(whole)
    if time is None:
        raise FileError(
            file,
            at + 1,
            1,
            f"must end with its unit, s or ms, or be sample, not {short(names[0])}; call it time_s, or put a line of "
            "units below the header",
        )
    others = [k for k in range(len(names)) if k != time]
    place = _chosen(file, at + 1, names, whole, others, signal)
    unit = _unit(whole[place], UNITS)
    if unit is None:
        raise FileError(
            file,
            at + 1,
            place + 1,
            f"must end with its unit, mmHg or kPa, not {short(names[place])}; call it pressure_mmhg or pressure_kpa",
        )
    return CsvHeader(separator, len(names), time, _unit(whole[time], TIMES) or "", place, unit, used)


def pressure_columns(lines: list[str]) -> dict[int, str]:
    """The columns in units of pressure below any remarks, by number among the columns besides the time; {} where the
    lines have no such header.
    """
    at = next((k for k, line in enumerate(lines) if line.strip() and not line.startswith("#")), None)
    separator = None if at is None else next((s for s in _SEPARATORS if s in lines[at]), None)
    if at is None or separator is None:
        return {}
    names, whole, _ = _named(lines, at, separator)
    time = _time(whole)
    others = [k for k in range(len(names)) if k != time]
    return {number: whole[k] for number, k in enumerate(others) if _unit(whole[k], UNITS)}


def _named(lines: list[str], at: int, separator: str) -> tuple[list[str], list[str], int]:
    """The columns' names, the same with their units, and how many lines these take."""
    names = [_cell(text) for text in lines[at].split(separator)]
    units = _units_below(lines, at + 1, separator, len(names))
    if units is None:
        return names, names, 1
    return names, [f"{name} {unit}" for name, unit in zip(names, units, strict=True)], 2


def _time(whole: list[str]) -> int | None:
    """The column of time: the first in s or ms, else the one that counts samples; None where there is neither."""
    found = [k for k, name in enumerate(whole) if _unit(name, TIMES)]
    fixed = [k for k in found if TIMES[_unit(whole[k], TIMES) or ""] is not None]
    return next(iter(fixed + found), None)


def _chosen(
    file: Path, line: int, names: list[str], whole: list[str], others: list[int], signal: int | str | None
) -> int:
    """The column of pressure: the one that was asked for, or the only one."""
    listed = "; ".join(f"{number} {names[k]}" for number, k in enumerate(others))
    if signal is not None:
        found = [k for number, k in enumerate(others) if signal in (number, names[k])]
        if len(found) != 1:
            raise FileError(file, line, None, f"has no signal {signal!r}, only {listed}")
        return found[0]
    pressures = [k for k in others if _unit(whole[k], UNITS)]
    if len(pressures) > 1:
        raise FileError(file, line, None, f"has {len(pressures)} columns in mmHg or kPa; say which to read of {listed}")
    if not others:
        raise FileError(file, line, None, "must have a column of pressure such as pressure_mmhg beside the time")
    return pressures[0] if pressures else others[0]


def _units_below(lines: list[str], at: int, separator: str, columns: int) -> list[str] | None:
    """The cells of a line of units, or None where the line has numbers or is none."""
    if at >= len(lines):
        return None
    cells = [_cell(text).strip("()[]") for text in lines[at].split(separator)]
    if len(cells) != columns or any(_number(cell.replace(",", ".")) for cell in cells):
        return None
    known = {unit.lower() for unit in (*TIMES, *UNITS)}
    return cells if sum(cell.lower() in known for cell in cells) >= 2 else None


def _unit(name: str, units: tuple[str, ...] | dict[str, float | None]) -> str | None:
    """The unit that is the last word of a name, if it is one of these."""
    ends = re.findall(r"[a-z]+", name.lower())[-1:]
    return next((unit for unit in units if [unit.lower()] == ends), None)


def _cell(text: str) -> str:
    return text.strip().strip('"').strip()


def _number(text: str) -> bool:
    try:
        decimal(text)
    except ValueError:
        return False
    return True


def short(text: str) -> str:
    """A text as it is quoted in a message, cut where it is long."""
    text = text.strip()
    return repr(text if len(text) <= 40 else text[:37] + "...")
