"""`cuffbias average`: read a log of real readings and average it by a schedule's rule."""

from __future__ import annotations

import argparse
import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.commands.parser import UsageError, add_command
from sim.explain.categories import schemes
from sim.explain.schedules import schedules
from sim.files.whole import DiskError, write_text
from sim.logs.aside import DECISIONS

if TYPE_CHECKING:
    from sim.logs.log import Log
    from sim.logs.summary import Summary

DESCRIPTION = """\
Reads a log of blood pressures and averages it by the rule of a schedule: mean, spread,
how sure the mean is, readings still expected, doubtful values. Nothing is deleted or
corrected; rows that cannot be read are named, and the rest is read. A reading that
cannot be right as written (90/146, or one written twice) is set aside until you decide.

  cuffbias average log.csv
  cuffbias average log.csv --schedule home-week --scheme esc-2024
  cuffbias average log.csv --as-fhir log.json
  cuffbias average log.csv --as-page log.html

A table has a reading a row and the columns date, time, sbp, dbp, and pulse and note if
there are any; or a day a row, as paper diaries have it: the columns date, morning_1,
morning_2, evening_1 and so on, with 143/90 or 143/90/72 (pulse) in a cell. FHIR R4 is
read too: a Bundle of blood pressure panels, LOINC 85354-9.
"""
EPILOG = """\
It reads and averages what was written down. It is no medical device and diagnoses
nothing: what an average means is for the clinician who knows the person. The file stays
where it is; nothing is sent anywhere.
"""
# A log of a hundred years has less.
_MOST_BYTES = 10 * 2**20
ORDERS = {"day-first": "day first", "month-first": "month first"}


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = add_command(commands, "average", "average a log of real readings", "LOG [OPTION ...]", DESCRIPTION, EPILOG)
    parser.add_argument("log", metavar="LOG", help="The file: a table (.csv) or FHIR R4 (.json)")
    rule = parser.add_argument_group("the rule")
    rule.add_argument(
        "--schedule",
        default=next(iter(schedules())),
        metavar="NAME",
        help="; ".join(f"{name}: {plan.label}" for name, plan in schedules().items()) + " (default %(default)s)",
    )
    rule.add_argument(
        "--scheme",
        metavar="NAME",
        help="Whose categories: " + ", ".join(schemes()) + " (default: those that go with the schedule)",
    )
    rule.add_argument(
        "--decide",
        action="append",
        default=[],
        metavar="WHERE=DECISION",
        help="About a reading that cannot be right as written, such as 'line 7=leave-out'; or all=leave-out. "
        + "; ".join(f"{name}: {words}" for name, words in DECISIONS.items())
        + ". Until then there is no mean (may be repeated)",
    )
    rule.add_argument(
        "--start", type=_date, metavar="DATE", help="First day, such as 2024-05-31 (default: the last days)"
    )
    rule.add_argument(
        "--dates", metavar="|".join(ORDERS), help="How dates such as 03/04/2024 are meant, when ambiguous"
    )
    output = parser.add_argument_group("what comes out")
    output.add_argument("--json", action="store_true", help="Print one JSON object, nothing rounded")
    output.add_argument("--as-csv", type=Path, metavar="FILE", help="Write the readings to FILE as a table")
    output.add_argument("--as-fhir", type=Path, metavar="FILE", help="Write the readings to FILE as a FHIR R4 Bundle")
    output.add_argument(
        "--as-page",
        type=Path,
        metavar="FILE",
        help="Write one page to print to FILE (HTML, A4 or Letter): the readings drawn, the average, what to ask",
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, average, write, print. Raises UsageError, naming what was wrong."""
    if options.dates is not None and options.dates not in ORDERS:
        raise UsageError(f"--dates {options.dates}: must be one of {', '.join(ORDERS)}")
    # Here, so that --help and wrong options do not wait for scipy.
    from sim.commands import average_report
    from sim.explain.schedules import schedule
    from sim.fields import FieldError
    from sim.logs.summary import summarise

    log = _read(options.log, ORDERS.get(options.dates or ""))
    try:
        decisions = _decisions(log, options.decide)
        found = summarise(log, schedule(options.schedule), options.scheme, start=options.start, decisions=decisions)
    except FieldError as error:
        raise UsageError(f"--{error.field} {error.value}: must be {error.allowed}") from None
    _write(log, found, options)
    if options.json:
        print(json.dumps(average_report.document(log, found), indent=2, allow_nan=False))
    else:
        print(average_report.text(log, found))
    return 0


def _decisions(log: Log, texts: list[str]) -> dict[str, str]:
    """What was decided about readings that are set aside, by their place in the file."""
    from sim.logs.aside import LEAVE_OUT, set_aside

    found: dict[str, str] = {}
    for text in texts:
        where, equals, decision = (part.strip() for part in text.partition("="))
        if not equals or decision not in DECISIONS:
            raise UsageError(f"--decide {text}: must be WHERE=DECISION, with one of {', '.join(DECISIONS)}")
        if where == "all":
            if decision != LEAVE_OUT:
                raise UsageError(f"--decide {text}: must be all={LEAVE_OUT}; anything else is decided one by one")
            found |= {aside.entry.where: decision for aside in set_aside(log)}
        else:
            found[f"line {where}" if where.isascii() and where.isdecimal() else where] = decision
    return found


def _read(name: str, order: str | None) -> Log:
    from sim.logs.log import LogError
    from sim.logs.read import read_log

    try:
        file = Path(name)
        size = file.stat().st_size
        if size > _MOST_BYTES:
            raise UsageError(f"{name}: has {size / 2**20:.0f} MiB, must be at most {_MOST_BYTES // 2**20} MiB")
        return read_log(file.read_bytes(), order)
    except OSError as error:
        raise UsageError(f"{name}: {error.strerror or error}; must be a file that can be read") from None
    except LogError as error:
        raise UsageError(f"{name}: {error}") from None


def _write(log: Log, found: Summary, options: argparse.Namespace) -> None:
    from sim.logs.write_csv import write_csv
    from sim.teach.log_page import log_page

    def page(log: Log) -> str:
        return log_page(log, found)

    for option, file, written in (
        ("--as-csv", options.as_csv, write_csv),
        ("--as-fhir", options.as_fhir, _fhir),
        ("--as-page", options.as_page, page),
    ):
        if file is None:
            continue
        try:
            write_text(file, written(log))
        except DiskError:
            raise
        except OSError as error:
            raise UsageError(f"{option} {file}: {error.strerror or error}; must be a file to write to") from None


def _fhir(log: Log) -> str:
    from sim.logs.write_fhir import write_fhir

    return json.dumps(write_fhir(log), indent=2, ensure_ascii=False) + "\n"


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise UsageError(f"--start {text!r}: must be a date such as 2024-05-31") from None
