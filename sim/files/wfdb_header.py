"""The header of a WFDB record: a line for the record, a line for each signal.

    cuff 1 100 4000
    cuff.dat 16 50(0)/mmHg 16 0 9051 -14563 0 cuff pressure

Fields as in the open format's pages header(5) and signal(5): Moody GB. WFDB Applications Guide, PhysioNet (from memory;
tests read and write the same files with an independent implementation).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from sim.files.errors import FileError, read_bytes
from sim.files.units import MOST_SAMPLES, SAMPLING_HZ
from sim.texts import decimal
from sim.texts import whole as whole_number

_MOST_BYTES = 2**20
_MOST_SIGNALS = 64
# What the format takes where a field is left out.
_USUAL_HZ, _USUAL_GAIN = 250.0, 200.0
_PLAIN_NAME = re.compile(r"[\w.+-]+")
_FORMAT = re.compile(r"([0-9]{1,4})(?:x([0-9]{1,4}))?(?::([0-9]{1,9}))?(?:\+([0-9]{1,9}))?")
_GAIN = re.compile(r"([-+.0-9eE]+)(?:\((-?[0-9]{1,12})\))?(?:/(\S+))?")


@dataclass(frozen=True)
class Signal:
    """One signal: its file, format and bytes before it; steps for one unit and the step that stands for 0; checksum of
    its samples, None where the header has none."""

    file: str
    form: int
    offset: int
    gain: float
    baseline: int
    unit: str
    checksum: int | None
    description: str
    line: int


@dataclass(frozen=True)
class Header:
    """A record: its sampling rate [Hz], samples of each signal (0: not told), signals in order."""

    sampling_hz: float
    samples: int
    signals: tuple[Signal, ...]


def read_header(file: Path) -> Header:
    """The header in a .hea file. Raises FileError, naming line, field and what was expected."""
    try:
        text = read_bytes(file, _MOST_BYTES).decode("utf-8")
    except UnicodeDecodeError:
        raise FileError(file, None, None, "must be text in UTF-8") from None
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip() and line[0] != "#"]
    if not lines:
        raise FileError(file, None, None, "must have a record line such as 'cuff 1 100 4000', and is empty")
    (number, record), *rest = lines
    count, rate, samples = _record(file, number, record.split())
    if len(rest) < count:
        last = rest[-1][0] if rest else number
        raise FileError(file, last, None, f"must be followed by {count} signal lines in all, and is by {len(rest)}")
    return Header(rate, samples, tuple(_signal(file, number, line) for number, line in rest[:count]))


def _record(file: Path, line: int, fields: list[str]) -> tuple[int, float, int]:
    """Number of signals, rate [Hz], samples."""

    def wrong(column: int, expected: str) -> NoReturn:
        given = repr(fields[column - 1]) if len(fields) >= column else "nothing"
        raise FileError(file, line, column, f"{expected}, not {given}")

    if "/" in fields[0]:
        wrong(1, "must be a record of one segment")
    if len(fields) < 2 or not _few_digits(fields[1]) or not 1 <= int(fields[1]) <= _MOST_SIGNALS:
        wrong(2, f"must be the number of signals, 1 to {_MOST_SIGNALS}")
    rate = _USUAL_HZ
    if len(fields) > 2:
        try:
            rate = decimal(re.split(r"[/(]", fields[2])[0])
        except ValueError:
            wrong(3, "must be the sampling rate in Hz")
    low, high = SAMPLING_HZ
    if not low <= rate <= high:
        wrong(3, f"must be a sampling rate from {low:g} to {high:g} Hz")
    if len(fields) > 3 and (not _few_digits(fields[3]) or int(fields[3]) > MOST_SAMPLES):
        wrong(4, f"must be the number of samples, up to {MOST_SAMPLES}")
    return int(fields[1]), rate, int(fields[3]) if len(fields) > 3 else 0


def _few_digits(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 12


def _signal(file: Path, line: int, text: str) -> Signal:
    fields = text.split(maxsplit=8)

    def wrong(column: int, expected: str) -> NoReturn:
        given = repr(fields[column - 1]) if len(fields) >= column else "nothing"
        raise FileError(file, line, column, f"{expected}, not {given}")

    def whole(column: int, usual: int, what: str) -> int:
        if len(fields) < column:
            return usual
        try:
            return whole_number(fields[column - 1])
        except ValueError:
            wrong(column, f"must be {what}, a whole number")

    # A name with a folder in it could reach anywhere.
    if not _PLAIN_NAME.fullmatch(fields[0]) or fields[0].startswith("."):
        wrong(1, "must be the name of a file in the same folder")
    form = _FORMAT.fullmatch(fields[1]) if len(fields) > 1 else None
    if form is None:
        wrong(2, "must be the signal's format, such as 16")
    if form[2] not in (None, "1") or form[3] is not None:
        wrong(2, "must have one sample of each signal at a time, without skew")
    gain, baseline, unit = _USUAL_GAIN, None, "mV"
    if len(fields) > 2:
        found = _GAIN.fullmatch(fields[2])
        try:
            gain = decimal(found[1]) if found else float("nan")
        except ValueError:
            gain = float("nan")
        if found is None or not (gain == 0 or 1e-12 < abs(gain) < 1e12):
            wrong(3, "must be steps for one unit, such as 50(0)/mmHg")
        gain = gain or _USUAL_GAIN
        baseline, unit = (None if found[2] is None else int(found[2])), found[3] or "mV"
    zero = whole(5, 0, "the step of zero volts")
    return Signal(
        file=fields[0],
        form=int(form[1]),
        offset=int(form[4] or 0),
        gain=gain,
        baseline=zero if baseline is None else baseline,
        unit=unit,
        checksum=whole(7, 0, "the checksum") if len(fields) > 6 else None,
        description=fields[8] if len(fields) > 8 else "",
        line=line,
    )
