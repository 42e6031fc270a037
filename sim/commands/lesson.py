"""`cuffbias lesson new` and `cuffbias lesson check`: write a lesson of one's own, without code."""

from __future__ import annotations

import argparse
import re
from importlib import resources
from pathlib import Path
from typing import Any

from sim.commands.own_lessons import add_option
from sim.commands.parser import UsageError
from sim.files.whole import DiskError, write_text

FAILED = 1
_NAME = re.compile(r"(?=.{1,60}\Z)[a-z0-9]+(-[a-z0-9]+)*")
DESCRIPTION = """\
Lessons of your own, as text files:

  cuffbias lesson new our-cuffs        write our-cuffs.md, with every key explained
  cuffbias lesson check our-cuffs.md   say what is wrong in it, and on which line
  cuffbias app --lessons .             show your lessons beside the built-in ones
"""
NEW = """\
Writes NAME.md: a small lesson that works as it is, with every key explained beside it.
Open it in any text editor and put in your own words. A file that is there already is left
alone.
"""
CHECK = """\
Says everything that is wrong in a lesson file, or in all lesson files of a folder: the
line, the key, what was expected and what stands there. Then the words are held to the
model: where a reply says "higher" and the app shows "lower", the sentence is named.
Ends with 0 where all is well, and with 1 where something is wrong.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser("lesson", help="write and check a lesson of your own", description=DESCRIPTION)
    parts = parser.add_subparsers(title="commands", metavar="COMMAND", dest="part", required=True)
    new = parts.add_parser("new", help="write a lesson to begin with", description=NEW)
    new.add_argument("name", metavar="NAME", help="what the file is called: small letters, digits and hyphens")
    add_option(new, "The folder to write it into, made where there is none (default: this one)")
    new.set_defaults(run=run_new)
    check = parts.add_parser("check", help="what is wrong with a lesson file", description=CHECK)
    check.add_argument("place", metavar="FILE", help="a lesson file, or a folder of them")
    check.set_defaults(run=run_check)


def run_new(options: argparse.Namespace) -> int:
    """Write the file and say where. Raises UsageError where the name will not do or the file is there."""
    from sim.teach.check_file import built_in_names  # here, so that --help does not wait for it

    name = options.name.removesuffix(".md")
    if not _NAME.fullmatch(name):
        raise UsageError(f"NAME {name[:80]!r}: must be small letters, digits and hyphens such as our-cuffs, at most 60")
    if name in built_in_names():
        raise UsageError(f"NAME {name}: a built-in lesson has this name; take another one, such as our-{name}")
    folder = Path() if options.own is None else Path(options.own)
    file = folder / f"{name}.md"
    template = resources.files("sim.teach").joinpath("new_lesson.md").read_text(encoding="utf-8")
    try:
        folder.mkdir(exist_ok=True)
        if file.exists():
            raise FileExistsError
        write_text(file, template)
    except (FileExistsError, NotADirectoryError, ValueError):
        if not folder.is_dir():
            raise UsageError(f"--lessons {folder}: must be a folder") from None
        raise UsageError(f"NAME {name}: {file} is there already, and stays as it is") from None
    except DiskError:
        raise
    except OSError as error:
        raise UsageError(f"{file}: cannot be written: {error.strerror or error}") from None
    print(f"{file}: open it in a text editor, then: cuffbias lesson check {file}")
    return 0


def run_check(options: argparse.Namespace) -> int:
    """Print what is wrong; status 1 where anything is. Raises UsageError where there is no such file."""
    from sim.teach.check_file import problems
    from sim.teach.lesson import lesson_files

    place = Path(options.place)
    try:
        files = [Path(str(f)) for f in lesson_files(place)] if place.is_dir() else [place] if place.exists() else []
    except (OSError, ValueError):
        files = []
    if not files:
        wanted = "a folder with lesson files (.md)" if place.is_dir() else "a lesson file, or a folder of them"
        raise UsageError(f"FILE {options.place}: must be {wanted}")
    bad = 0
    for file in sorted(files):
        found = problems(file)
        bad += bool(found)
        for line in found:
            print(line)
        if not found:
            print(f"{file}: nothing is wrong")
    return FAILED if bad else 0
