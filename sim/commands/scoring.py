"""What the commands that score algorithms do: run the study, write its report, print it."""

from __future__ import annotations

import argparse
import sys
import textwrap
from typing import TYPE_CHECKING

from sim.commands.parser import UsageError
from sim.commands.progress import Bar
from sim.commands.study_options import in_options, on_an_axis, stress_axis
from sim.fields import FieldError
from sim.files.whole import DiskError

if TYPE_CHECKING:
    from sim.study.plan import Study
    from sim.study.report import Report
    from sim.study.run import Outcome


def carried_out(options: argparse.Namespace, study: Study, contract: bool = False) -> Report:
    """Run the study, with progress on stderr, and write its report. Raises UsageError in one line.

    contract: whether to try the first algorithm on the recordings that break algorithms.
    """
    from sim.estimate.checked import EstimatorError
    from sim.study.contract import check
    from sim.study.processes import WorkersLostError
    from sim.study.report import report
    from sim.study.run import run
    from sim.study.store import StoreError
    from sim.study.stress import possible, stress_of

    axes = [stress_axis(text) for text in options.stress]
    if axes:
        try:
            possible(study, axes)
        except FieldError as error:
            raise UsageError(on_an_axis(error)) from None
    bar = Bar()
    kept = check(next(iter(study.algorithms.values()))).findings if contract else ()
    try:
        done = run(study, out=options.out, only_sums=options.only_sums, workers=options.workers, progress=bar)
        bar.end()
        for name in done.redone:
            print(f"cuffbias: {name} was damaged, and its readings were made again", file=sys.stderr)
        maps = stress_of(study, axes, against=options.against)
        found = report(done.sums(options.against), study.origin, against=options.against, maps=maps, contract=kept)
    except KeyboardInterrupt:
        bar.end()
        if options.out is not None:
            print(
                "cuffbias: stopped; finished portions are kept: the same command continues",
                file=sys.stderr,
            )
        raise
    except (StoreError, EstimatorError, WorkersLostError) as error:
        bar.end()
        raise UsageError(f"--out {error}" if isinstance(error, StoreError) else str(error)) from None
    except FieldError as error:
        bar.end()
        raise UsageError(in_options(error)) from None
    if options.out is not None:
        _write(options, found, done)
    return found


def _write(options: argparse.Namespace, found: Report, done: Outcome) -> None:
    from sim.figures.report import Pages
    from sim.study.store import write_table

    try:
        pages = Pages(found)
        pages.write_html(options.out / "report.html")
        pages.write_pdf(options.out / "report.pdf")
        if options.csv:
            write_table(options.out / "readings.csv", done.parts(), done.study.origin)
    except DiskError:
        raise
    except OSError as error:
        raise UsageError(f"--out {options.out}: cannot be written: {error.strerror or error}") from None


def printed(found: Report, options: argparse.Namespace) -> None:
    """Print the report as text."""
    from sim.figures.tables import lines
    from sim.study.origin import NOT_CLINICAL, OPTIMISTIC
    from sim.study.tables import comparison_table, contract_table, rules_table, stress_table, tables

    name = found.agreements[0].estimator
    shown = [contract_table(found.contract, name)] if found.contract else []
    shown += [rules_table(found.rules)] if found.rules else []
    shown += [table for agreement in found.agreements for table in tables(agreement)]
    shown += [comparison_table(comparison) for comparison in found.comparisons]
    shown += [stress_table(found_map) for found_map in found.maps]
    for table in shown:
        print("\n".join(lines(table)), end="\n\n")
    for paragraph in (NOT_CLINICAL, OPTIMISTIC, str(found.origin)):
        print("\n".join(textwrap.wrap(paragraph, 78)))
    if options.out is not None:
        kept = "sums" if options.only_sums else "readings"
        print("Written: " + ", ".join(str(options.out / name) for name in ("report.html", "report.pdf", kept)))
