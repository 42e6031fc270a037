"""The command `cuffbias`: reads the command line, hands over to one of sim.commands, says what was wrong with it."""

from __future__ import annotations

import codecs
import io
import logging
import os
import sys
from collections.abc import Sequence

from sim import PARAMETERS_VERSION, __version__
from sim.commands import (
    app,
    average,
    handout,
    lesson,
    lessons,
    measure,
    read,
    recordings,
    schedule,
    score,
    study,
    trial,
    validate,
)
from sim.commands.parser import Parser, UsageError
from sim.fields import FieldError
from sim.files.whole import DiskError
from sim.texts import MINUS

FAILED = 1
WRONG_USE = 2
INTERRUPTED = 130  # 128 + SIGINT, as shells count

DESCRIPTION = """\
Simulated arms whose true pressure is known, measured with a cuff: what the display
says, what was true, and why they differ.

  cuffbias app                               the lessons, in the browser
  cuffbias lessons                           which lessons there are
  cuffbias lesson new our-cuffs              begin a lesson of your own
  cuffbias handout LESSON ...                pages to print for patients and classes
  cuffbias measure                           one reading, everything done correctly
  cuffbias measure --cuff-below-heart-cm 10     the cuff 10 cm too low
  cuffbias measure --help                    everything that can go wrong
  cuffbias schedule                          how good the mean of several readings is
  cuffbias average LOG.csv                   average a log of real readings
  cuffbias validate                          the model beside published effects
  cuffbias score my_algorithm.py:estimate    score an algorithm of your own
  cuffbias study --subjects 1000             measure many people at once
  cuffbias trial fixed-ratio                 how much luck a trial of a device needs
  cuffbias recordings train.npz              recordings with their truth, in a file
  cuffbias read FILE                         let algorithms read recordings in a file
"""
EPILOG = """\
Ends with 0 when all went well, 1 when something failed (a full disk, for example), 2 when
the request was not valid. For learning. No medical device: nothing here
measures, treats or diagnoses anybody.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit status: 0, or else 1 or 2 after one line on stderr that says what was wrong."""
    if sys.stdout is None:
        if sys.stderr is not None:
            print("cuffbias: there is nowhere to print to: standard output is closed", file=sys.stderr)  # noqa: T201
        return FAILED
    _print_anything()
    # Without a home matplotlib tells where it keeps its list of fonts; there is nothing to be done about it.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    try:
        parser = _parser()
        options = parser.parse_args(arguments)
        if options.command is None:
            parser.print_help()
            return 0
        status: int = options.run(options)
        sys.stdout.flush()
        return status
    except (UsageError, FieldError) as error:
        print(f"cuffbias: {error}", file=sys.stderr)  # noqa: T201 - the one line that a wrong option gets
        return WRONG_USE
    except BrokenPipeError:
        # Whoever read our output has seen enough (`cuffbias ... | head`); keep Python from saying so at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        said = str(error) if isinstance(error, DiskError) else error.strerror or error
        print(f"cuffbias: {said}", file=sys.stderr)  # noqa: T201 - a full disk, say
        return FAILED
    except KeyboardInterrupt:
        return INTERRUPTED


def _print_anything() -> None:
    """Where the terminal cannot show a character, print one that is like it, or '?', instead of failing."""
    codecs.register_error("like", _alike)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="like")


def _alike(error: UnicodeError) -> tuple[str, int]:
    """A minus sign must not become a question mark: the number would be another."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start : error.end]
    return "".join("-" if letter == MINUS else "?" for letter in lost), error.end


def _parser() -> Parser:
    parser = Parser(prog="cuffbias", description=DESCRIPTION, epilog=EPILOG)
    version = f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}"
    parser.add_argument("--version", action="version", version=version, help="the program's version and its model's")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    every = (measure, schedule, average, lessons, lesson, handout, validate, score, study, trial, recordings, read, app)
    for command in every:
        command.add_to(commands)
    return parser
