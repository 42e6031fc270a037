"""`cuffbias handout`: a page to print for patients, from a lesson."""

from __future__ import annotations

import argparse
import difflib
from pathlib import Path
from typing import Any

from sim.commands.parser import UsageError
from sim.files.whole import DiskError, write_text

DESCRIPTION = """\
Writes the page of one lesson for patients, as one HTML file to print from a browser:
what to do, when to get help, and room for the clinic's details and for notes.
cuffbias lessons lists the names.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser("handout", help="a lesson's page to print for patients", description=DESCRIPTION)
    parser.add_argument("lesson", metavar="LESSON", help="the lesson's name, e.g. 01-arm-height, or its number")
    parser.add_argument("--out", metavar="FILE", help="the file to write (default: cuffbias-LESSON.html)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the page and say where. Raises UsageError where there is no such lesson or the file cannot be written."""
    from sim.teach.handout import file_name, handout  # here, so that --help does not wait for it
    from sim.teach.lesson import load_all

    lessons = {lesson.name: lesson for lesson in load_all()[0]}
    lesson = lessons[_name(options.lesson, list(lessons))]
    out = Path(file_name(lesson) if options.out is None else options.out)
    try:
        write_text(out, handout(lesson))
    except DiskError:
        raise
    except OSError as error:
        raise UsageError(f"--out {out}: cannot be written: {error.strerror or error}") from None
    print(f"{out}: open it in a browser and print it, one side, A4 or Letter.")
    return 0


def _name(wanted: str, names: list[str]) -> str:
    """The lesson that `wanted` names, or numbers."""
    found = [name for name in names if wanted == name or (wanted.isdecimal() and name.startswith(f"{wanted:0>2}-"))]
    if len(found) == 1:
        return found[0]
    near = difflib.get_close_matches(wanted, names, n=1)
    meant = f"did you mean {near[0]}? " if near else ""
    raise UsageError(f"LESSON {wanted!r}: no such lesson; {meant}cuffbias lessons lists their names")
