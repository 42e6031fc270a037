"""`cuffbias handout`: pages to print for patients and classes, as a PDF."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.commands.own_lessons import add_option, folders
from sim.commands.parser import UsageError, add_command
from sim.fields import FieldError
from sim.files.whole import DiskError, written_whole
from sim.say import ENGLISH, LANGUAGES, spoken
from sim.teach.handouts.wanted import LINES, PAPERS, home_schedules

if TYPE_CHECKING:
    from sim.teach.lesson_record import Lesson

ALL = "all"
DESCRIPTION = """\
Writes one PDF to print: a page for patients from each lesson, with what to do, when to get
help, and room for notes; if wanted, questions for a class with their answers on a sheet
apart, and a form on which readings at home are written down. cuffbias lessons lists the
names of the lessons.

  cuffbias handout 01-arm-height
  cuffbias handout 1 2 5 --class-sheet --paper letter
  cuffbias handout --log home-week --large-print
  cuffbias handout 1 --language es
"""
EPILOG = """\
Each lesson has one side of paper; in large print, letters of 18 points, it has several.
What the clinic does not say becomes a line to write on. The pages show no pressure that
the model computed. For teaching: no medical device.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    words = "pages to print for patients and classes"
    parser = add_command(commands, "handout", words, "[LESSON ...] [OPTION ...]", DESCRIPTION, EPILOG)
    names = f"names, e.g. 01-arm-height, or numbers; {ALL}: every lesson"
    parser.add_argument("lessons", nargs="*", metavar="LESSON", help=names)
    parser.add_argument("--paper", default="a4", metavar="|".join(PAPERS), help="the size of the paper (default a4)")
    parser.add_argument("--large-print", action="store_true", help="letters of 18 points and more")
    parser.add_argument("--class-sheet", action="store_true", help="add the lessons' questions, and a sheet of answers")
    listed = "; ".join(f"{name}: {plan.label}" for name, plan in home_schedules().items())
    parser.add_argument("--log", default="", metavar="SCHEDULE", help=f"add a form for readings at home; {listed}")
    listed = ", ".join(f"{name}: {label}" for name, label in LANGUAGES.items())
    help_ = f"of the pages, and of each lesson that is translated; {listed} (default {ENGLISH})"
    parser.add_argument("--language", default=ENGLISH, metavar="|".join(LANGUAGES), help=help_)
    parser.add_argument("--out", metavar="FILE", help="the PDF to write (default: named by what is in it)")
    clinic = parser.add_argument_group("what stands on the pages")
    for name, line in LINES.items():
        help_ = f"{line.label}, up to {line.longest} letters"
        clinic.add_argument(f"--{name}", default="", metavar="TEXT", help=help_)
    add_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the PDF and say where. Raises UsageError where there is no such page, or the file cannot be written."""
    from sim.screens.handouts.paper_pictures import pictures  # here, so that --help does not wait for it
    from sim.teach.handouts.typeset import file_name, pdf
    from sim.teach.handouts.wanted import Clinic, Wanted
    from sim.teach.lesson import load_all

    chosen = options.language
    if chosen not in LANGUAGES:
        raise UsageError(f"--language {chosen!r}: must be one of {', '.join(LANGUAGES)}")
    lessons = _chosen(options.lessons, load_all(*folders(options), language=chosen)[0])
    if not lessons and not options.log:
        raise UsageError("LESSON: name one lesson or more, or a form with --log; cuffbias lessons lists their names")
    try:
        clinic = Clinic(**{name: getattr(options, name) for name in LINES})
        with spoken(chosen):
            drawn = {lesson.name: pictures(lesson) for lesson in lessons}
        form = (options.large_print, options.class_sheet, options.log)
        wanted = Wanted(lessons, drawn, options.paper, *form, clinic, chosen)
        made = pdf(wanted)
    except FieldError as error:
        option = error.field if error.field.startswith("lesson ") else f"--{error.field.replace(' ', '-')}"
        raise UsageError(f"{option} {error.value}: must be {error.allowed}") from None
    out = Path(file_name(wanted) if options.out is None else options.out)
    _write(out, made)
    print(f"{out}: print it on {PAPERS[options.paper]}.")
    return 0


def _write(out: Path, made: bytes) -> None:
    try:
        with written_whole(out) as part:
            part.write_bytes(made)
    except DiskError:
        raise
    except OSError as error:
        raise UsageError(f"--out {out}: cannot be written: {error.strerror or error}") from None


def _chosen(wanted: Sequence[str], lessons: Sequence[Lesson]) -> list[Lesson]:
    """The lessons that are named, or numbered, each once, in the order in which they were named."""
    if list(wanted) == [ALL]:
        return list(lessons)
    there = {lesson.name: lesson for lesson in lessons}
    return [there[name] for name in dict.fromkeys(_name(each, list(there)) for each in wanted)]


def _name(wanted: str, names: list[str]) -> str:
    """The lesson that `wanted` names, or numbers."""
    found = [name for name in names if wanted == name or (wanted.isdecimal() and name.startswith(f"{wanted:0>2}-"))]
    if found:  # of several with one number the first is the built-in one
        return found[0]
    near = difflib.get_close_matches(wanted, names, n=1)
    meant = f"did you mean {near[0]}? " if near else ""
    raise UsageError(f"LESSON {wanted!r}: no such lesson; {meant}cuffbias lessons lists their names")
