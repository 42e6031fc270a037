"""The options of the commands that score algorithms, and the study that they describe."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim import texts
from sim.body.subject import Subject
from sim.commands.options import add_device, device
from sim.commands.parser import UsageError
from sim.fields import FieldError
from sim.setup import FIELDS, Setup
from sim.study.axes import MADE, Axis, axis

if TYPE_CHECKING:
    from sim.study.plan import Study

# The option by which a field of a study is given.
OPTIONS = {name: f"--{name}" for name in ("from", "to", "subjects", "readings", "people", "seed")}
EPILOG = """\
A simulation, no clinical investigation: it says how an algorithm does on these models of
people, not on people, and replaces no validation of a device. No medical device.
"""
ESTIMATOR_HELP = (
    "fixed-ratio, slope, model-fit, corrected-ratio or neural-network, or FILE.py:FUNCTION for your own, a function "
    "from Recording to Reading"
)
WHO_HELP = (
    "population: adults as in a survey; standard: distributed as ISO 81060-2 asks; large-arms; irregular: with atrial "
    "fibrillation; early-beats; low-pulse-pressure; moving: people who move or tremble; several, with commas between, "
    "in equal parts"
)
# Values of one input in a map.
_MOST_STEPS = 50


def add_estimators(parser: argparse.ArgumentParser) -> None:
    """Give `parser` the option that names algorithms."""
    words = f"An algorithm (default fixed-ratio): {ESTIMATOR_HELP}; may be repeated"
    name = "NAME|FILE.py:FUNCTION"
    parser.add_argument("--estimator", action="append", default=[], metavar=name, dest="estimators", help=words)


def chosen(options: argparse.Namespace) -> list[str]:
    """The algorithms that the options name, each once."""
    return list(dict.fromkeys(options.estimators)) or ["fixed-ratio"]


def add_changes(group: Any, such: str) -> None:
    """Give a parser, or a group of its options, the one that changes fields; `such`: an example."""
    add_device(group)
    words = f"Change a field of technique or instrument for everybody, such as {such}; may be repeated"
    group.add_argument("--with", action="append", default=[], metavar="FIELD=VALUE", dest="changes", help=words)


def add_options(parser: argparse.ArgumentParser, subjects: int, people: str) -> None:
    """Give `parser` the options of a study, with these defaults."""
    who = parser.add_argument_group("who is measured, and how")
    who.add_argument(
        "--subjects",
        type=whole("--subjects"),
        default=subjects,
        metavar="N",
        help=f"How many people (default {subjects})",
    )
    who.add_argument("--readings", type=whole("--readings"), default=3, metavar="N", help="Of each (default 3)")
    who.add_argument(
        "--people",
        default=people,
        metavar="WHO[,WHO...]",
        help=f"{WHO_HELP} (default {people})",
    )
    add_changes(who, "cuff_below_heart_cm=10, deflation_mmhg_per_s=6 or bladder=adult")
    who.add_argument(
        "--seed",
        type=whole("--seed"),
        default=1,
        metavar="N",
        help="Random seed: same seed, same readings (default 1; seeds 20000-29999 are reserved for calibration)",
    )
    how = parser.add_argument_group("scoring")
    how.add_argument(
        "--against",
        default="at_measurement",
        metavar="TRUTH",
        help="The truth: at_measurement (in the artery at heart level, default), at_cuff, resting, or listener: what "
        "two simulated observers with a stethoscope read before and after",
    )
    how.add_argument(
        "--stress",
        action="append",
        default=[],
        metavar="FIELD[=LOW:HIGH:COUNT]",
        help="Give twice: maps where the algorithm fails over two inputs. COUNT is how many values there are, no step: "
        "heart_rate=50:110:4 is 50, 70, 90, 110. Or give a list of values, such as movement=jolts,tremor,vehicle "
        f"(beside movement_mmhg). FIELD: any field of the program, or {', '.join(MADE)}",
    )
    out = parser.add_argument_group("what comes out")
    out.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="Keep every reading (Parquet) and the report (report.html, report.pdf) there; a study that was "
        "stopped continues from there; one process at a time",
    )
    out.add_argument("--csv", action="store_true", help="With --out: every reading also as DIR/readings.csv")
    out.add_argument(
        "--only-sums",
        action="store_true",
        help="With --out: keep sums instead of every reading, some MB however large the study is; the report is the "
        "same",
    )
    out.add_argument("--workers", type=whole("--workers"), metavar="N", help="Processes (default: one a core)")


def whole(option: str) -> Any:
    """A function that reads one whole number for argparse."""

    def read(text: str) -> int:
        try:
            return texts.whole(text)
        except ValueError:
            raise UsageError(f"{option} {text!r}: must be a whole number") from None

    return read


def planned(options: argparse.Namespace, estimators: list[str]) -> Study:
    """The study that the options describe. Raises UsageError, naming the option."""
    from sim.study.plan import Study
    from sim.study.readings import TRUTHS

    if options.against not in TRUTHS:
        raise UsageError(f"--against {options.against}: must be one of {', '.join(TRUTHS)}")
    if options.csv and options.out is None:
        raise UsageError("--csv: needs --out, the folder that it goes to")
    if options.only_sums and (options.out is None or options.csv):
        wrong = "keeps no readings that --csv could write" if options.csv else "needs --out, the folder that they go to"
        raise UsageError(f"--only-sums: {wrong}")
    if options.workers is not None and options.workers < 1:
        raise UsageError(f"--workers {options.workers}: must be 1 or more")
    if len(options.stress) not in (0, 2):
        raise UsageError(f"--stress: must be given twice, for the two axes of the map, not {len(options.stress)} times")
    given = changes(options)
    try:
        return Study(
            options.subjects,
            estimators,
            seed=options.seed,
            readings=options.readings,
            people=options.people,
            technique=given.technique,
            instrument=given.instrument,
        )
    except FieldError as error:
        raise UsageError(in_options(error)) from None


def changes(options: argparse.Namespace) -> Setup:
    """What --device describes and --with changes in technique and instrument. Raises UsageError."""
    found: dict[str, Any] = {}
    for text in options.changes:
        name, equals, value = text.partition("=")
        if not equals or name not in FIELDS or name in Subject.LIMITS:
            known = ", ".join(field for field in FIELDS if field not in Subject.LIMITS)
            raise UsageError(f"--with {text}: must be FIELD=VALUE, with one of the fields {known}")
        try:
            found[name] = FIELDS[name].from_text(name, value)
        except FieldError as error:
            raise UsageError(f"--with {text}: must be {error.allowed}") from None
    return Setup(instrument=device(options)).replace(**found)


def stress_axis(text: str) -> Axis:
    """An axis of a stress map, of --stress. Raises UsageError."""
    import numpy as np

    name, equals, values = text.partition("=")
    chosen: list[float | str] | None = None
    try:
        if values.count(":") == 2:
            low, high, count = values.split(":")
            chosen = [float(v) for v in np.linspace(texts.decimal(low), texts.decimal(high), _count(text, count))]
        elif equals:
            chosen = [_value(v) for v in values.split(",")]
        return axis(name, chosen)
    except FieldError as error:
        where = f"{error.field} = {error.value}: must be" if error.field != "input" else "must be"
        raise UsageError(f"--stress {text}: {where} {error.allowed}") from None
    except ValueError:
        raise UsageError(f"--stress {text}: must be FIELD, FIELD=LOW:HIGH:COUNT or FIELD=VALUE,VALUE,...") from None


def _count(given: str, text: str) -> int:
    """How many values an axis has. Raises UsageError."""
    try:
        count = texts.whole(text)
    except ValueError:
        count = 0
    if not 2 <= count <= _MOST_STEPS:
        asked = f"a whole number from 2 to {_MOST_STEPS}: how many values, not how far they lie apart"
        raise UsageError(f"--stress {given}: COUNT = {text}: must be {asked}")
    return count


def _value(text: str) -> float | str:
    try:
        return texts.decimal(text)
    except ValueError:
        return text


def on_an_axis(error: FieldError) -> str:
    """The error with the option, and the field that a pair of values makes."""
    value = str(error.value).strip("'")
    return f"--stress {value if error.field == 'input' else f'{error.field} = {value}'}: must be {error.allowed}"


def in_options(error: FieldError) -> str:
    """The error with the option in place of the field."""
    if error.field == "estimator":
        return f"{str(error.value).strip(chr(39))}: must be {error.allowed}"
    name = OPTIONS.get(error.field)
    return f"{name} {error.value}: must be {error.allowed}" if name else str(error)
