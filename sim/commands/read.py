"""`cuffbias read`: what algorithms read from recordings in a file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.commands.parser import UsageError, add_command
from sim.commands.study_options import add_estimators, chosen, in_options, whole
from sim.fields import FieldError
from sim.texts import decimal

if TYPE_CHECKING:
    from sim.files.dataset import Dataset
    from sim.results import Reading, Recording

MOST_LISTED = 20
DESCRIPTION = """\
Lets algorithms read the recordings in a file, your own or simulated ones.

  cuffbias read walk.csv
  cuffbias read cuff.hea --estimator fixed-ratio --estimator my_algorithm.py:estimate
  cuffbias read train.npz
      A data set knows the truth, which is then shown beside.

  cuffbias read walk.csv --signal cuff_mmhg --from 12 --to 48

A CSV file has a header that names its units, such as time_s,pressure_mmhg (or
time_ms, pressure_kpa), or a line of units below the names; other columns are passed
over. A WFDB record has its header and data files. Where the cuff is filled and let go in
the recording, the longest slow fall is read, and its time is said.
"""
EPILOG = """\
For prototypes of algorithms. No medical device: what is read from a recording of a person
is no diagnosis: do not act on it. Take questions to your clinician or your local
protocol, and emergencies to your local emergency service.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(commands, "read", "read the recordings in a file", "FILE [OPTION ...]", DESCRIPTION, EPILOG)
    parser.add_argument("file", type=Path, metavar="FILE", help="Ends in .csv, .hea, .npz or .parquet")
    add_estimators(parser)
    parser.add_argument("--signal", metavar="NAME|NUMBER",
                        help="Which signal of pressure, where the file has several; numbers from 0")  # fmt: skip
    parser.add_argument("--from", type=_seconds("--from"), dest="start_s", metavar="S",
                        help="Read from this time on [s]")  # fmt: skip
    parser.add_argument("--to", type=_seconds("--to"), dest="end_s", metavar="S",
                        help="Read up to this time [s]")  # fmt: skip
    parser.add_argument("--rows", type=whole("--rows"), default=MOST_LISTED, metavar="N",
                        help=f"List at most N recordings of a data set (default {MOST_LISTED})")  # fmt: skip
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the file, let the algorithms read it, print. Raises UsageError."""
    from sim.estimate.checked import EstimatorError
    from sim.estimate.door import read
    from sim.estimate.named import resolved
    from sim.files.any_file import read_any
    from sim.files.errors import FileError

    names = chosen(options)
    try:
        algorithms = {name: resolved(name) for name in names}
        recording, data = read_any(options.file, _signal(options.signal))
        said: list[str] = []
        if data is None:
            recording, said = _part(recording, options.start_s, options.end_s)
        elif options.start_s is not None or options.end_s is not None:
            raise UsageError(f"--from, --to: {options.file.name} is a data set, whose recordings are read whole")
        part = recording.take(slice(0, max(options.rows, 1)))
        readings = {name: read(algorithm, part, name) for name, algorithm in algorithms.items()}
    except FieldError as error:
        raise UsageError(in_options(error)) from None
    except (FileError, EstimatorError) as error:
        raise UsageError(str(error)) from None
    shown = _lines(options.file, recording, part, data, readings)
    print("\n".join([shown[0], *said, *shown[1:]]))
    return 0


def _part(recording: Recording, start_s: float | None, end_s: float | None) -> tuple[Recording, list[str]]:
    """What of a recording is read, and what is to be said of it. Raises FieldError."""
    import numpy as np

    from sim.files.span import cut, longest_fall
    from sim.files.units import suspicion

    said = [suspicion(float(np.nanmax(recording.pressure_mmhg)))]
    if start_s is not None or end_s is not None:
        recording = cut(recording, start_s, end_s)
    elif (fall := longest_fall(recording)) is not None:
        recording = cut(recording, fall.start_s, fall.end_s)
        said.append(f"Read is the longest fall of the pressure, {fall}; --from and --to choose another part.")
    return recording, [f"  {text}" for text in said if text]


def _signal(text: str | None) -> int | str | None:
    return int(text) if text is not None and text.isascii() and text.isdecimal() else text


def _seconds(option: str) -> Any:
    """A function that reads seconds for argparse."""

    def read(text: str) -> float:
        try:
            return decimal(text)
        except ValueError:
            raise UsageError(f"{option} {text!r}: must be a number of seconds") from None

    return read


def _lines(
    file: Path, recording: Recording, part: Recording, data: Dataset | None, readings: dict[str, Reading]
) -> list[str]:
    from sim.estimate.named import flattered
    from sim.figures.numbers import pair, whole
    from sim.study.origin import Origin

    shown = []
    for row in range(len(part)):
        seconds = part.samples[row] / part.sampling_hz
        number = f"{row + 1}: " if len(recording) > 1 else ""
        shown.append(f"{file.name} {number}{seconds:.0f} s at {part.sampling_hz:g} Hz")
        if data is not None:
            truth = data.truth.at_cuff
            shown.append(f"  {'true, in the artery under the cuff':<36}{pair(truth.sbp[row], truth.dbp[row]):>9}")
        for name, reading in readings.items():
            if not reading.ok[row]:
                shown.append(f"  {name}: no numbers; {reading.reason[row]}")
            else:
                rate = whole(reading.pulse_rate[row])
                shown.append(f"  {name:<36}{pair(reading.sbp[row], reading.dbp[row]):>9}   pulse {rate}")
    if data is not None and (warning := flattered(*readings)):
        shown.append(f"  {warning}")
    if len(recording) > len(part):
        shown.append(f"and {len(recording) - len(part)} more, which --rows lists")
    came = data.origin if data is not None else {}
    if came:
        shown.append(
            f"Recorded with cuffbias {came['version']}, parameters {came['parameters_version']}, seed {came['seed']}"
        )
    shown.append(f"Read with {str(Origin(None)).removesuffix(', seed not known')}")
    return [*shown, *EPILOG.strip().splitlines()]
