"""`cuffbias schedule`: how far the mean of several readings is off, and which schedule it takes."""

from __future__ import annotations

import argparse
import json
from typing import Any

import numpy as np

from sim.commands.options import add_fields, setup
from sim.commands.parser import UsageError, add_command
from sim.explain.schedules import LIMITS, Schedule, schedule, schedules
from sim.explain.variation import PLACES
from sim.fields import FieldError, Limit
from sim.texts import decimal

VARY = Limit(0.3, 3, 1, 0.1, "times", "Variability of this person (1 = average)")
LARGEST_SEED = 2**63 - 1
DESCRIPTION = """\
Says how far the mean of a schedule of readings is from the resting pressure: its bias, its
scatter, and the probability that it is close. Averaging does not remove a bias: a mistake
of technique makes the same bias in every reading.

  cuffbias schedule                              all published schedules
  cuffbias schedule home-week-drop               one of them closely
  cuffbias schedule --days 3 --readings 3        one of your own
  cuffbias schedule home-week --cuff-below-heart-cm 10     with a mistake
"""
EPILOG = """\
Variation from published figures, with nothing done wrong; sources in the documentation
of sim.explain.variation. For learning: no medical device. Never correct a real reading
with a number from here.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(
        commands,
        "schedule",
        "how far the mean of several readings is from the resting pressure",
        "[NAME] [OPTION ...]",
        DESCRIPTION,
        EPILOG,
    )
    listed = "; ".join(f"{name}: {plan.label}" for name, plan in schedules().items())
    parser.add_argument("name", nargs="?", metavar="NAME", help=listed + " (default: all of them)")
    own = parser.add_argument_group("a schedule of your own, instead of NAME")
    for field, limit in LIMITS.items():
        text = f"{limit.label}, {limit.low:g} to {limit.high:g} (default {_own_default(field)})"
        own.add_argument(_option(field), dest=field, type=_whole(_option(field), limit), metavar="N", help=text)
    own.add_argument("--place", metavar="|".join(PLACES), help=f"Where: {', '.join(PLACES)} (default home)")
    asked = parser.add_argument_group("what is asked")
    margin, probability = Limit(1, 30, 5, 0.5, "mmHg", ""), Limit(50, 99.9, 95, 1, "%", "")
    _add(asked, "--margin", margin, "How close to the resting pressure, 1 to 30 mmHg (default 5)")
    _add(asked, "--probability", probability, "With which probability, 50 to 99.9 %% (default 95)")
    asked.add_argument(
        "--over",
        default="months",
        metavar="months|weeks",
        help="Which resting pressure: the mean over months, or over these weeks (default months)",
    )
    _add(asked, "--vary", VARY, f"{VARY.label}, 0.3 to 3 (default 1)")
    asked.add_argument("--seed", type=_seed, default=1, metavar="N", help="Random seed (default 1)")
    asked.add_argument("--json", action="store_true", help="Print one JSON object, nothing rounded")
    add_fields(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Score the schedules and print. Raises UsageError, naming the option."""
    plans = _plans(options)
    person = setup(options)
    from sim.commands import schedule_report  # here, so that --help and errors do not wait for scipy
    from sim.explain.mistakes import mistakes
    from sim.explain.systematic import systematic

    try:
        bias = systematic(person, rng=np.random.default_rng(options.seed)) if mistakes(person.spread(1)) else None
        asked = schedule_report.Asked(
            plans, person, bias, options.margin, options.probability / 100, options.over, options.vary
        )
        found = schedule_report.score_all(asked)
    except FieldError as error:
        raise UsageError(f"{_option(error.field)} {error.value}: must be {error.allowed}") from None
    if options.json:
        print(json.dumps(schedule_report.document(asked, found), indent=2, allow_nan=False))
    else:
        print(schedule_report.text(asked, found))
    return 0


def _plans(options: argparse.Namespace) -> list[Schedule]:
    """The schedules that are asked about."""
    given = {field: value for field in LIMITS if (value := getattr(options, field)) is not None}
    try:
        if options.name is not None:
            if given or options.place:
                raise UsageError(f"NAME {options.name}: not together with a schedule of your own")
            return [schedule(options.name)]
        if not given and not options.place:
            return list(schedules().values())
        place = options.place or "home"
        days, sessions, readings, drop_days, drop_readings = (given.get(f, _own_default(f)) for f in LIMITS)
        return [Schedule(days, sessions, readings, drop_days, drop_readings, place=place)]
    except FieldError as error:
        name = "NAME" if error.field == "schedule" else _option(error.field)
        raise UsageError(f"{name} {error.value}: must be {error.allowed}") from None


def _own_default(field: str) -> int:
    return int(LIMITS[field].default)


def _option(field: str) -> str:
    return "--" + field.replace("_", "-")


def _add(group: Any, option: str, limit: Limit, words: str) -> None:
    group.add_argument(option, type=_number(option, limit), default=float(limit.default), metavar="N", help=words)


def _number(option: str, limit: Limit) -> Any:
    def read(text: str) -> float:
        try:
            value = decimal(text)
        except ValueError:
            raise UsageError(f"{option} {text!r}: must be a number {limit.allowed}") from None
        if not limit.low <= value <= limit.high:
            raise UsageError(f"{option} {text}: must be {limit.allowed}")
        return value

    return read


def _whole(option: str, limit: Limit) -> Any:
    def read(text: str) -> int:
        if not text.isascii() or not text.isdecimal() or len(text) > 19 or not limit.low <= int(text) <= limit.high:
            raise UsageError(f"{option} {text}: must be a whole number {limit.allowed}")
        return int(text)

    return read


def _seed(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 19 or int(text) > LARGEST_SEED:
        raise UsageError(f"--seed {text!r}: must be a whole number from 0 to {LARGEST_SEED}")
    return int(text)
