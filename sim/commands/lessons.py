"""`cuffbias lessons`: which lessons there are."""

from __future__ import annotations

import argparse
import sys
import textwrap
from typing import TYPE_CHECKING, Any

from sim.commands.own_lessons import add_option, folders

if TYPE_CHECKING:
    from sim.teach.claims import Checked

WIDTH = 78
DESCRIPTION = """\
Lists the lessons: name, minutes, title and the question that each answers. They are
taken in the browser: cuffbias app.

It also says what is wrong with a lesson's file, and where the words of a lesson part from
what the app shows: which file, which claim, and the mean of the readings shown there.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser("lessons", help="which lessons there are", description=DESCRIPTION)
    parser.add_argument(
        "--claims",
        action="store_true",
        help="Print instead, as a Markdown table, what the words of each lesson claim and what the app shows",
    )
    add_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the lessons; what is wrong with a file or its words goes to stderr, and the status is then 1."""
    from sim.teach.claims import check  # here, so that --help does not wait for it
    from sim.teach.lesson import load_all

    lessons, faults = load_all(*folders(options))
    checked = [claim for lesson in lessons for claim in check(lesson)]
    if options.claims:
        print("\n".join(_table(checked)))
    for lesson in () if options.claims else lessons:
        print(f"{lesson.name}  {lesson.title} ({lesson.minutes} min)")
        print(textwrap.fill(lesson.question, WIDTH, initial_indent="    ", subsequent_indent="    "))
    for fault in faults:
        print(f"cuffbias: {fault}", file=sys.stderr)
    parted = [str(claim) for claim in checked if not claim.holds]
    for line in parted:
        print(f"cuffbias: {line}", file=sys.stderr)
    return 1 if faults or parted else 0


def _table(checked: list[Checked]) -> list[str]:
    """The claims as lines of a table."""
    head = ("lesson", "where", "the words say", "the app shows", "mean display minus resting pressure, mmHg", "holds")
    rows = [(c.lesson, c.key, c.claim, c.shown, c.mean, "yes" if c.holds else "NO") for c in checked]
    return ["| " + " | ".join(row) + " |" for row in (head, tuple("---" for _ in head), *rows)]
