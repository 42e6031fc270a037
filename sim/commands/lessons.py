"""`cuffbias lessons`: which lessons there are."""

from __future__ import annotations

import argparse
import sys
import textwrap
from typing import Any

WIDTH = 78
DESCRIPTION = """\
Lists the lessons: name, minutes, title and the question that each answers. They are
taken in the browser: cuffbias app.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser("lessons", help="which lessons there are", description=DESCRIPTION)
    parser.set_defaults(run=run)


def run(_options: argparse.Namespace) -> int:
    """Print the lessons; what is wrong with a faulty file goes to stderr, and the status is then 1."""
    from sim.teach.lesson import load_all  # here, so that --help does not wait for it

    lessons, faults = load_all()
    for lesson in lessons:
        print(f"{lesson.name}  {lesson.title} ({lesson.minutes} min)")
        print(textwrap.fill(lesson.question, WIDTH, initial_indent="    ", subsequent_indent="    "))
    for fault in faults:
        print(f"cuffbias: {fault}", file=sys.stderr)
    return 1 if faults else 0
