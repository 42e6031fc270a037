"""`cuffbias study`: many people measured, every algorithm scored on the same recordings."""

from __future__ import annotations

import argparse
from typing import Any

from sim.commands.parser import add_command
from sim.commands.scoring import carried_out, printed
from sim.commands.study_options import EPILOG, add_estimators, add_options, chosen, planned

DESCRIPTION = """\
Measures many simulated people, several times each, lets one algorithm or several read the
recordings, and scores them against the true pressures as ISO 81060-2 scores a device.

  cuffbias study --subjects 1000
      A thousand adults as in a survey, read by fixed ratios.
  cuffbias study --subjects 100000 --estimator my_algorithm.py:estimate --out DIR
      A long study, kept on disk: after a stop the same command continues it.
  cuffbias study --estimator fixed-ratio --estimator my_algorithm.py:estimate
      Two algorithms on the same recordings, compared in pairs.
  cuffbias study --with cuff_below_heart_cm=10 --against resting
      What a mistake does to a population.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(
        commands, "study", "measure many people and score algorithms", "[OPTION ...]", DESCRIPTION, EPILOG
    )
    add_estimators(parser)
    add_options(parser, subjects=300, people="population")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Carry out the study and print its report. Raises UsageError, naming the option."""
    study = planned(options, chosen(options))
    printed(carried_out(options, study), options)
    return 0
