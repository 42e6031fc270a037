"""`cuffbias score`: one's own algorithm against arms whose true pressure is known."""

from __future__ import annotations

import argparse
from typing import Any

from sim.commands.parser import add_command
from sim.commands.scoring import carried_out, printed
from sim.commands.study_options import EPILOG, ESTIMATOR_HELP, add_options, planned

BESIDE = "fixed-ratio"
DESCRIPTION = """\
Tries an algorithm on difficult recordings, and then scores it on people distributed as
ISO 81060-2 asks, three readings each: both criteria with the probability of passing,
limits of agreement, what its error depends on, and how it compares with fixed ratios on
the same recordings.

  cuffbias score my_algorithm.py:estimate
  cuffbias score my_algorithm.py:estimate --subjects 1000 --out DIR
  cuffbias score my_algorithm.py:estimate --stress movement_mmhg --stress heart_rate

my_algorithm.py holds a function that takes a Recording (sim.results: sampling_hz,
pressure_mmhg with one row a recording, samples) and gives a Reading (sbp, dbp, map,
pulse_rate, and a reason for each recording that has no numbers). The file is run as it
is: score only what you would run yourself.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(
        commands, "score", "score your own algorithm", "NAME|FILE.py:FUNCTION [OPTION ...]", DESCRIPTION, EPILOG
    )
    parser.add_argument("estimator", metavar="NAME|FILE.py:FUNCTION", help=ESTIMATOR_HELP)
    parser.add_argument(
        "--beside", default=BESIDE, metavar="NAME|FILE.py:FUNCTION", help=f"Compared with this one (default {BESIDE})"
    )
    add_options(parser, subjects=255, people="standard")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Score the algorithm and print the report. Raises UsageError, naming the option."""
    study = planned(options, list(dict.fromkeys([options.estimator, options.beside])))
    printed(carried_out(options, study, contract=True), options)
    return 0
