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
    from sim.labels import Labels
    from sim.results import Recording, Truth

# As many as fit into one file that is read again (sim.files.sizes), without and with labels.
MOST, MOST_LABELLED = 1_000, 840

DESCRIPTION = f"""\
Writes simulated recordings of adults, one recording of each person.

  cuffbias recordings one.csv                     one recording: time and cuff pressure
  cuffbias recordings one.hea                     the same as a WFDB record
  cuffbias recordings train.npz --subjects 1000   many with their truth (up to {MOST}; {MOST_LABELLED} with labels)
  cuffbias recordings train.parquet --subjects 1000 --with movement_mmhg=2
  cuffbias recordings train.npz --subjects 800 --people population,irregular,moving --labels

A data set holds the recordings (pressure_mmhg, NaN after the end of shorter ones), the
truth (resting, at_measurement, at_cuff) and what was recorded. With --labels it also says
when each beat begins and how high it is without noise, the envelope without noise, and
which samples are movement. No person in it appears again in cuffbias score, study or
trial, whatever the seeds.
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
    parser.add_argument("--labels", action="store_true",
                        help="Beats, envelope and movement of each recording, too (.npz and .parquet)")  # fmt: skip
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
    if options.labels and options.file.suffix in SINGLE:
        raise UsageError(f"--labels: needs a file that ends in {' or '.join(MANY)}")
    most = 1 if options.file.suffix in SINGLE else MOST_LABELLED if options.labels else MOST
    if not 1 <= options.subjects <= most:
        with_labels = " with labels" * options.labels
        raise UsageError(
            f"--subjects {options.subjects}: must be from 1 to {most} for a {options.file.suffix} file{with_labels}"
        )
    try:
        setup, recording, truth, labels = _made(options, given)
        if options.file.suffix in SINGLE:
            write_single(options.file, recording)
        else:
            write_dataset(options.file, dataset(recording, truth, setup, seed=options.seed, labels=labels))
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


def _made(options: argparse.Namespace, given: Setup) -> tuple[Setup, Recording, Truth, Labels | None]:
    """Setup, recordings, truth, and labels where they were asked for."""
    from sim.labels import labelled
    from sim.record import record
    from sim.study.people import draw, draw_technique
    from sim.study.seeds import training_generator

    rng, n = training_generator(options.seed), options.subjects
    people = draw(options.people, n, rng)
    technique = draw_technique(options.people, n, rng, given.technique)
    setup = Setup(people, technique, given.instrument).spread(n)
    if options.labels:
        return setup, *labelled(setup, rng)
    return setup, *record(setup, rng), None
