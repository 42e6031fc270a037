"""A log to talk over: one side of paper with the readings drawn, the averages by a schedule's rule, and what to ask.

What would not fit is counted instead of listed, and the page says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from html import escape
from importlib import resources

from sim.figures.numbers import pair
from sim.logs.log import PARTS, Log, RowFault
from sim.logs.reasons import many
from sim.logs.summary import COUNTS, SET_ASIDE, Row, Summary
from sim.teach.document import STYLE
from sim.teach.log_picture import in_words, picture
from sim.teach.safety import EMERGENCY_NONE, EMERGENCY_SOURCE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE

FILE = "cuffbias-log.html"
# So much fits one side of A4 and of Letter beside everything else; measured with four readings a day.
MOST_DAYS, MOST_LISTED, MOST_A_CELL = 14, 2, 2
MOST_HIGH = 4
ASK = (
    "Is this average what you expect of me? Which average do we want at home?",
    "Are these enough readings, and taken at the right times?",
    "Does my cuff fit my arm, and when was my device last checked?",
    "What about the readings that were set aside or marked?",
    "Should anything change? I change no medicine by myself.",
    "When do I measure again, and at which numbers do I call you?",
)
NOTE = (
    "An average of what was written down, by a teaching program. It is no medical device and diagnoses nothing: what "
    "the average means is for the clinician who knows the person. Nothing was corrected or deleted, and no number is "
    "ever taken off a reading."
)
_LONGEST = 130  # letters of a line in a list
_STYLE = resources.files("sim.teach").joinpath("log_page.css").read_text("utf-8")


def log_page(log: Log, found: Summary) -> str:
    """The page as one HTML file for A4 or Letter, with nothing outside it and no buttons."""
    title = "A log of blood pressures to talk over"
    parts = [
        f"<h1>{title}</h1>",
        f'<p class="head"><span>Name: {"_" * 34}</span><span>{escape(_span(found))}</span></p>',
        *_first(found),
        *_mean(found),
        picture(found),
        f"<p>{escape(in_words(found))}</p>" if found.rows else "",
        f'<div class="halves"><div>{"".join(_table(found))}</div><div>'
        f"{_list('What to ask the clinician', ASK)}{''.join(_not_counted(log, found))}</div></div>",
        *_safety(),
    ]
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
{STYLE}{_STYLE}</style>
</head>
<body{_tight(log, found)}>
{"".join(part for part in parts if part)}
</body>
</html>
"""


def _tight(log: Log, found: Summary) -> str:
    """Smaller type and picture where there is much to say, to stay on one side."""
    kinds = (found.high, found.aside, log.faults, any(row.doubtful for row in found.rows), found.remarks)
    return ' class="tight"' if sum(map(bool, kinds)) > 1 else ""


def _span(found: Summary) -> str:
    """From when to when the log goes."""
    if not found.rows:
        return "no readings"
    first, last = found.rows[0].entry.day, found.rows[-1].entry.day
    return f"{many(len(found.rows), 'reading')}, {first:%d %b %Y} to {last:%d %b %Y}"


def _first(found: Summary) -> list[str]:
    """What comes before all else, where a reading calls for it."""
    if not found.high:
        return []
    listed = "; ".join(f"{one.when or one.where} {one.pair}" for one in found.high[:MOST_HIGH])
    return [
        f'<div class="first"><p><strong>First: readings of 180/120 or more: {escape(listed)}'
        f"{_more(found.high, MOST_HIGH)}.</strong> Read the last lines of this page now.</p></div>"
    ]


def _mean(found: Summary) -> list[str]:
    rule = f"By the rule: {found.schedule.label}"
    rule += f", {found.first:%d %b} to {found.last:%d %b %Y}" if found.first and found.last else ""
    lines = [f"<p>{escape(rule)}. {escape(found.schedule.source)}.</p>"]
    lines += [f"<p><strong>No mean by this rule yet: {escape(reason)}.</strong></p>" for reason in found.short]
    f = found.figures
    if f is None:
        return lines
    lines.insert(0, f'<p class="mean">{pair(f.sbp, f.dbp)} <small>mmHg, mean of {many(f.n, "reading")}</small></p>')
    told = [f"{part}s {pair(p.sbp, p.dbp)} ({p.n})" for part, p in found.by_part.items()]
    told.append(
        f"lowest and highest of each {pair(f.range_sbp[0], f.range_dbp[0])} and {pair(f.range_sbp[1], f.range_dbp[1])}"
    )
    if found.without_doubtful is not None:
        told.append(f"without the doubtful ones {pair(found.without_doubtful.sbp, found.without_doubtful.dbp)}")
    if found.usual is not None:
        (a, b), (c, d) = (found.usual.interval(0.95, name) for name in ("sbp", "dbp"))
        told.append(
            f"the resting pressure over months lies with 95 % probability from {a:.0f} to {b:.0f} systolic and from "
            f"{c:.0f} to {d:.0f} diastolic, if nothing was measured wrongly"
        )
    words = "; ".join(told)
    return [*lines, f"<p>{escape(words[:1].upper() + words[1:])}.</p>"]


def _table(found: Summary) -> list[str]:
    """The readings, a day a row: the latest days, and in a cell the first of a part of the day."""
    days = sorted({row.entry.day for row in found.rows})
    if not days:
        return []
    shown = days[-MOST_DAYS:]
    rows = []
    for day in shown:
        mine = [row for row in found.rows if row.entry.day == day]
        known = [_cell([row for row in mine if row.entry.part == part]) for part in PARTS]
        known[0] += _cell([row for row in mine if row.entry.part not in PARTS])
        rows.append(f"<tr><td>{day:%a} {day.day} {day:%b}</td><td>{known[0]}</td><td>{known[1]}</td></tr>")
    left = len(days) - len(shown)
    short = f"<p>Only the latest {MOST_DAYS} of {len(days)} days are listed; the picture has all.</p>" if left else ""
    head = "<tr><th>Day</th><th>Morning</th><th>Evening</th></tr>"
    return ["<h2>The readings, mmHg</h2>", f"<table>{head}{''.join(rows)}</table>", short, _legend(found)]


def _cell(rows: Sequence[Row]) -> str:
    said = [pair(row.entry.sbp, row.entry.dbp) + _sign(row) for row in rows[:MOST_A_CELL]]
    return escape(" ".join(said)) + (f" +{len(rows) - MOST_A_CELL}" if len(rows) > MOST_A_CELL else "")


def _sign(row: Row) -> str:
    return ("" if row.status == COUNTS else "*") + ("?" if row.doubtful else "")


def _legend(found: Summary) -> str:
    said = ["* not counted"] if any(row.status != COUNTS for row in found.rows) else []
    said += ["? doubtful"] if any(row.doubtful for row in found.rows) else []
    crowded = Counter((row.entry.day, row.entry.part) for row in found.rows)
    said += ["+1: one more, in the picture"] if max(crowded.values(), default=0) > MOST_A_CELL else []
    return f"<p>{', '.join(said)}</p>" if said else ""


def _not_counted(log: Log, found: Summary) -> list[str]:
    """What was set aside, left out, marked or not read, and why."""
    parts = []
    waiting = [f"{_place(a.entry.where)}{pair(a.entry.sbp, a.entry.dbp)}: {a.reason}" for a in found.aside]
    parts.append(_list("Set aside until somebody decides", waiting, MOST_LISTED))
    counted = Counter(row.status for row in found.rows if row.status not in (COUNTS, SET_ASIDE))
    parts.append(_list("Not counted", [f"{status}: {n}" for status, n in counted.items()]))
    doubtful = [
        f"{row.entry.day:%d %b} {pair(row.entry.sbp, row.entry.dbp)}: {'; '.join(row.doubts)}"
        for row in found.rows
        if row.doubtful
    ]
    parts.append(_list("Marked as doubtful, and counted", [*doubtful, *found.remarks], MOST_LISTED))
    parts.append(_list("Not read", [_fault(fault) for fault in log.faults], MOST_LISTED))
    if found.missing:
        asked = sum(missing.readings for missing in found.missing)
        parts.append(_list("Still expected by the rule", [f"{many(asked, 'more reading')}"]))
    return parts if any(parts) else ["<h2>Set aside</h2><p>Nothing: every reading counts.</p>"]


def _fault(fault: RowFault) -> str:
    return str(fault)


def _place(where: str) -> str:
    return f"{where}, " if where else ""


def _list(heading: str, lines: Iterable[str], most: int | None = None) -> str:
    """A heading with lines below it, "" without any; those beyond `most` are counted."""
    every = list(lines)
    if not every:
        return ""
    items = "".join(f"<li>{escape(line[:_LONGEST])}</li>" for line in every[:most])
    more = f"<li>and {len(every) - most} more</li>" if most is not None and len(every) > most else ""
    return f"<h2>{escape(heading)}</h2><ul>{items}{more}</ul>"


def _more(every: Sequence[object], most: int) -> str:
    return f" and {len(every) - most} more" if len(every) > most else ""


def _safety() -> list[str]:
    def bold(text: str) -> str:
        parts = escape(text).split("**")
        return "".join(f"<strong>{part}</strong>" if k % 2 else part for k, part in enumerate(parts))

    lines = (f"**{EMERGENCY_TITLE}.** {EMERGENCY_SYMPTOMS} {EMERGENCY_NONE}", EMERGENCY_SOURCE, NOTE)
    return [f'<div class="safety">{"".join(f"<p>{bold(line)}</p>" for line in lines)}</div>']
