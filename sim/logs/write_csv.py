"""A log as a table that `read_csv` reads back: one reading a row, nothing rounded or left out.

A note is anybody's text: it goes in so that no spreadsheet takes it for a formula.
"""

from __future__ import annotations

import csv
import io

from sim.logs.log import Log
from sim.spreadsheets import as_cell

HEADINGS = ("date", "time", "part", "sbp", "dbp", "pulse", "note")


def write_csv(log: Log) -> str:
    """The readings as comma-separated text, oldest first; times are those of the clock on the wall."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(HEADINGS)
    for entry in log.entries:
        clock = entry.when.strftime("%H:%M:%S" if entry.when.second else "%H:%M") if entry.timed else ""
        pulse = "" if entry.pulse is None else f"{entry.pulse:.10g}"
        numbers = f"{entry.sbp:.10g}", f"{entry.dbp:.10g}", pulse
        table.writerow((entry.day.isoformat(), clock, entry.part, *numbers, as_cell(entry.note)))
    return out.getvalue()
