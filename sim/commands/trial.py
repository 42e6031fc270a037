"""`cuffbias trial`: how often a good device fails the trial of the standard, and a bad one passes."""

from __future__ import annotations

import argparse
import textwrap
from typing import TYPE_CHECKING, Any

from sim import texts
from sim.commands.parser import UsageError, add_command, add_whole
from sim.commands.study_options import EPILOG, ESTIMATOR_HELP, add_changes, changes, in_options
from sim.fields import FieldError

if TYPE_CHECKING:
    from sim.study.trial_pool import Pool

# Chosen: 2,000 trials make a share sure to 2 %, 20,000 to 0.7 % and take 10 times as long; 300 people are some seconds.
TRIALS, POOL = (100, 20_000, 2_000), (85, 5_000, 300)
BIASES, SDS = "0,2.5,5,6", "5,6,6.5,6.95,8"
MOST_VALUES = 8
DESCRIPTION = """\
Plays the trial of ISO 81060-2, 85 people with three readings each, many times, with devices
whose true errors are known: how often does a good one fail, how often does a bad one pass?
A device is an algorithm with an extra error, so that its true bias and its true SD are as
asked. Each is tried against the pressure in the artery, and against two simulated observers
with a stethoscope who read before and after each of its readings.

  cuffbias trial fixed-ratio
  cuffbias trial my_algorithm.py:estimate --bias 0,3 --sd 6,7

One pool of people is measured; each trial draws 85 of them with replacement.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    words = "how often a good device fails a trial of the standard, and a bad one passes"
    parser = add_command(commands, "trial", words, "NAME|FILE.py:FUNCTION [OPTION ...]", DESCRIPTION, EPILOG)
    parser.add_argument("estimator", metavar="NAME|FILE.py:FUNCTION", help=ESTIMATOR_HELP)
    for name, (low, high, usual), what in (
        ("--trials", TRIALS, "How many trials"),
        ("--pool", POOL, "How many people the trials are drawn from"),
    ):
        add_whole(parser, name, low, high, usual, f"{what}, {low} to {high} (default {usual})")
    for name, default, what in (
        ("--bias", BIASES, "True mean errors"),
        ("--sd", SDS, "True SDs of people's mean errors"),
    ):
        words = f"{what} in mmHg, with commas between (default {default})"
        parser.add_argument(name, default=default, metavar="N[,N...]", help=words)
    add_changes(parser, "deflation_mmhg_per_s=6 or bladder=adult")
    words = "Random seed: same seed, same table (default 1; seeds 20000-29999 are reserved for calibration)"
    add_whole(parser, "--seed", 0, 2**63 - 1, 1, words)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure the pool, play the trials and print. Raises UsageError, naming the option."""
    biases, sds = values("--bias", options.bias, -20, 20), values("--sd", options.sd, 0.1, 30)
    from sim.study.seeds import TRIAL, scoring_seed, stream
    from sim.study.trial import draws, trials
    from sim.study.trial_pool import REFERENCES

    try:
        of_people, of_trials = stream(scoring_seed(options.seed), TRIAL).spawn(2)
    except FieldError as error:
        raise UsageError(in_options(error)) from None
    measured = _pool(options, of_people)
    drawn = draws(options.trials, of_trials)
    _print(options, measured, tuple(trials(measured, against, biases, sds, drawn) for against in REFERENCES))
    return 0


def values(option: str, text: str, low: float, high: float) -> tuple[float, ...]:
    """The numbers of an option with commas between. Raises UsageError."""
    wrong = f"{option} {text}: must be up to {MOST_VALUES} numbers from {low:g} to {high:g} with commas between"
    try:
        found = tuple(texts.decimal(part) for part in text.split(","))
    except ValueError:
        raise UsageError(wrong) from None
    if len(found) > MOST_VALUES or not all(low <= value <= high for value in found):
        raise UsageError(wrong)
    return found


def _pool(options: argparse.Namespace, rng: Any) -> Pool:
    from sim.estimate.checked import EstimatorError
    from sim.estimate.named import resolved
    from sim.study.people import draw
    from sim.study.trial_pool import pool

    given = changes(options)
    try:
        estimator = resolved(options.estimator)
        people = draw("standard", options.pool, rng)
        return pool(options.estimator, estimator, people, rng, technique=given.technique, instrument=given.instrument)
    except FieldError as error:
        raise UsageError(in_options(error)) from None
    except EstimatorError as error:
        raise UsageError(str(error)) from None


def _print(options: argparse.Namespace, measured: Pool, found: Any) -> None:
    from sim.figures.tables import lines
    from sim.study.origin import NOT_CLINICAL, Origin
    from sim.study.trial_tables import RULES, as_it_is_table, in_words, luck_table, pool_table

    for table in (pool_table(measured), as_it_is_table(found), *map(luck_table, found)):
        print("\n".join(lines(table)), end="\n\n")
    origin = Origin(options.seed, f"{options.trials} trials, drawn from {options.pool} people (standard)")
    for paragraph in (*map(in_words, found), RULES, NOT_CLINICAL, str(origin)):
        print("\n".join(textwrap.wrap(paragraph, 78)))
