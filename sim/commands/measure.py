"""`cuffbias measure`: take readings of one person and say what was true, what was shown and why they differ."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

import numpy as np

from sim.commands import as_json, report
from sim.commands.options import add_fields, in_options, setup
from sim.commands.parser import UsageError, add_command, add_whole
from sim.commands.taken import Taken
from sim.fields import FieldError
from sim.figures.files import FILE_TYPES, save
from sim.files.whole import DiskError

MOST_READINGS = 1000
LARGEST_SEED = 2**63 - 1

DESCRIPTION = """\
Takes readings of one simulated person, whose resting pressure is known, and compares.
Anything you omit is correct: the arm is bare and at heart level, the cuff is of the right
size and wrapped closely, nobody talks, the instrument is in order.

  cuffbias measure --sbp 128 --dbp 82 --arm-circumference-cm 33 --cuff-below-heart-cm 10
      The middle of the cuff hung 10 cm below the heart: what does that add?
  cuffbias measure --arm-circumference-cm 40 --bladder adult --repeat 3
      A cuff one size too small, three times.
  cuffbias measure --talking
      Ordinary conversation; the pressure itself rises, so the display is not wrong.
  cuffbias measure --sleeve-mm 4 --slack-cm 2 --ideal
      Two mistakes together, with random variation turned off.
"""
# Picone DS, Schultz MG, Otahal P, et al. J Am Coll Cardiol 2017;70:572-586, 74 studies.
EPILOG = """\
Pressures are in mmHg, systolic/diastolic. The truth is the pressure in the artery itself;
an ordinary cuff differs from it on average by −5.7/+5.5 (74 studies, Picone 2017, DOI
10.1016/j.jacc.2017.05.064). Never correct a real reading with a number from here: repeat
it properly. No medical device; it diagnoses nothing.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(
        commands, "measure", "take readings and see why they differ from the truth", "[OPTION ...]", DESCRIPTION, EPILOG
    )
    add_fields(parser)
    group = parser.add_argument_group("the readings")
    add_whole(group, "--repeat", 1, MOST_READINGS, 1, f"How many readings, 1 to {MOST_READINGS} (default 1)")
    add_whole(group, "--seed", 0, LARGEST_SEED, 1, "Random seed: same seed, same numbers (default 1)")
    group.add_argument(
        "--ideal",
        action="store_true",
        help="Turn off random variation: noise, breathing, differences from beat to beat, the scatter of sleeves",
    )
    output = parser.add_argument_group("what comes out")
    output.add_argument("--json", action="store_true", help="Print one JSON object, nothing rounded")
    output.add_argument(
        "--figure",
        type=_figure_file,
        metavar="FILE",
        help="Draw recording, envelope and contributions to FILE (.png, .svg or .pdf)",
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Take the readings, draw the figure, print. Raises UsageError, naming the option."""
    taken = take(options)
    if options.figure is not None:
        _draw(taken, options.figure)
    if options.json:
        print(json.dumps(as_json.document(taken), indent=2, allow_nan=False))
    else:
        print(report.text(taken))
    return 0


def take(options: argparse.Namespace) -> Taken:
    """The readings that the options describe, with their breakdown. Raises UsageError, naming the option."""
    described = setup(options)
    from sim.explain.breakdown import breakdown  # here, so that --help and errors do not wait for scipy

    rng = np.random.default_rng(options.seed)
    try:
        explained = breakdown(described, rng=rng, n=options.repeat, ideal=options.ideal, average_person=True)
    except FieldError as error:
        raise UsageError(in_options(error)) from None
    return Taken(described, options.seed, options.ideal, explained)


def _draw(taken: Taken, file: Path) -> None:
    from sim.figures.measurement import caption, measurement_figure  # here: only those who draw wait for matplotlib

    try:
        save(measurement_figure(taken.breakdown), file, caption(taken.breakdown))
    except DiskError:
        raise
    except OSError as error:
        raise UsageError(f"--figure {file}: cannot be written: {error.strerror or error}") from None


def _figure_file(text: str) -> Path:
    file = Path(text)
    if file.suffix.lower() not in FILE_TYPES:
        raise UsageError(f"--figure {text}: must end in {', '.join(FILE_TYPES[:-1])} or {FILE_TYPES[-1]}")
    return file
