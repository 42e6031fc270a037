"""`cuffbias validate`: every published effect of the lessons beside the model's own, the misses first."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from sim.commands.measure import LARGEST_SEED
from sim.commands.own_lessons import add_option, folders
from sim.commands.parser import add_whole

if TYPE_CHECKING:
    from sim.teach.verdicts import Finding

FEWEST, MOST, USUAL = 2, 2000, 60
DESCRIPTION = """\
Puts every published effect of every lesson beside the model's own: the same people are
measured with and without the mistake, and the model's mean over them is compared with the
published interval. The misses come first; at the end each mechanism of the model is
switched off in turn, to show what it does to these figures. A miss is no failure of the
command: the status is 0 all the same.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser(
        "validate", help="the model beside published effects, the misses first", description=DESCRIPTION
    )
    words = f"How many people each effect is worked out over, {FEWEST} to {MOST} (default {USUAL}, as in the app)"
    add_whole(parser, "--people", FEWEST, MOST, USUAL, words)
    add_whole(parser, "--seed", 0, LARGEST_SEED, 1, "Random seed for drawing the people (default 1, as in the app)")
    parser.add_argument("--json", action="store_true", help="Print one JSON object, nothing rounded")
    add_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare and print; what is wrong with a faulty lesson file goes to stderr, and only then is the status 1."""
    from sim.commands import validation_report  # here, so that --help and errors do not wait for scipy
    from sim.teach.lesson import load_all
    from sim.teach.mechanisms import MECHANISMS, without
    from sim.teach.verdicts import findings

    lessons, faults = load_all(*folders(options))
    total = sum(len(lesson.evidence) for lesson in lessons)
    found: list[Finding] = []
    for each in findings(lessons, options.seed, options.people):
        found.append(each)
        _progress(len(found), total, "findings")
    off = []
    for mechanism in MECHANISMS:
        off.append(without(mechanism, found, options.seed, options.people))
        _progress(len(off), len(MECHANISMS), "mechanisms switched off")
    asked = validation_report.Asked(tuple(found), len(lessons), options.people, options.seed, tuple(off))
    if options.json:
        print(json.dumps(validation_report.document(asked), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        print(validation_report.text(asked))
    for fault in faults:
        print(f"cuffbias: {fault}", file=sys.stderr)
    return 1 if faults else 0


def _progress(done: int, total: int, what: str) -> None:
    """How far it is, where somebody watches."""
    if sys.stderr.isatty():
        end = "\n" if done == total else ""
        print(f"\r{done} of {total} {what}", end=end, file=sys.stderr, flush=True)
