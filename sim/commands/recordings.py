"""`cuffbias recordings`: simulated recordings with their truth, to look at, to train on, to try elsewhere."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.commands.parser import UsageError, add_command
from sim.commands.study_options import WHO_HELP, add_changes, changes, in_options, whole
from sim.fields import FieldError
from sim.setup import Setup

if TYPE_CHECKING:
    from sim.results import Recording, Truth

# As many as fit into one file that is read again (sim.files.sizes).
MOST = 1_000
# Recordings to train on come from a stream of chance of their own: no study scores on the same people.
_STREAM = 81062

DESCRIPTION = f"""\
Writes simulated recordings of adults, one recording of each person.

  cuffbias recordings one.csv                     one recording: time and cuff pressure
  cuffbias recordings one.hea                     the same as a WFDB record
  cuffbias recordings train.npz --subjects 1000   many with their truth (up to {MOST})
  cuffbias recordings train.parquet --subjects 1000 --with movement_mmhg=2
  cuffbias recordings train.npz --subjects 900 --people population,irregular,large-arms

A data set holds the recordings (pressure_mmhg, NaN after the end of shorter ones), the
truth (resting, at_measurement, at_cuff) and what was recorded. No person in it appears
again in cuffbias score or cuffbias study, whatever the seeds.
"""
EPILOG = "Simulated, for learning and for prototypes; no measurements of people, no medical device."


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(
        commands, "recordings", "write simulated recordings, with their truth", "FILE [OPTION ...]", DESCRIPTION, EPILOG
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="Ends in .csv, .hea, .npz or .parquet")
    parser.add_argument("--subjects", type=whole("--subjects"), default=1, metavar="N", help="How many (default 1)")
    parser.add_argument("--seed", type=whole("--seed"), default=1, metavar="N", help="Random seed (default 1)")
    parser.add_argument("--people", default="population", metavar="WHO[,WHO...]",
                        help=f"{WHO_HELP} (default population)")  # fmt: skip
    add_changes(parser, "sampling_hz=200")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the recordings, write them, say what was written. Raises UsageError."""
    given = changes(options)
    from sim.files.any_file import MANY, SINGLE, write_single
    from sim.files.dataset import dataset, write_dataset
    from sim.files.errors import FileError

    if options.file.suffix not in SINGLE + MANY:
        raise UsageError(f"{options.file}: must end in {', '.join(SINGLE + MANY)}")
    most = 1 if options.file.suffix in SINGLE else MOST
    if not 1 <= options.subjects <= most:
        raise UsageError(f"--subjects {options.subjects}: must be from 1 to {most} for a {options.file.suffix} file")
    try:
        setup, recording, truth = _made(options, given)
        if options.file.suffix in SINGLE:
            write_single(options.file, recording)
        else:
            write_dataset(options.file, dataset(recording, truth, setup, seed=options.seed))
    except FieldError as error:
        raise UsageError(in_options(error)) from None
    except FileError as error:
        raise UsageError(str(error)) from None
    from sim.figures.numbers import pair
    from sim.study.origin import Origin

    print(f"Written: {options.file}, {options.subjects} recording{'s' * (options.subjects > 1)}")
    if options.subjects == 1:
        at_cuff = truth.at_cuff
        print(f"True pressure in the artery under the cuff: {pair(at_cuff.sbp[0], at_cuff.dbp[0])} mmHg")
    print(f"{Origin(options.seed)}. {EPILOG}")
    return 0


def _made(options: argparse.Namespace, given: Setup) -> tuple[Setup, Recording, Truth]:
    """Setup, recordings and truth."""
    import numpy as np

    from sim.record import record
    from sim.study.people import draw

    rng = np.random.default_rng(np.random.SeedSequence(options.seed, spawn_key=(_STREAM,)))
    people = draw(options.people, options.subjects, rng)
    setup = Setup(people, given.technique, given.instrument).spread(options.subjects)
    return setup, *record(setup, rng)
