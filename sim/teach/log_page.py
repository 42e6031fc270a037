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
from sim.logs.summary import COUNTS, SET_ASIDE, Row, Summary
from sim.logs.told import many, month, place, short, weekday
from sim.say import language, mark, say
from sim.teach.document import STYLE
from sim.teach.log_picture import in_words, picture
from sim.teach.safety import EMERGENCY_NONE, EMERGENCY_SOURCE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE

FILE = "cuffbias-log.html"
# So much fits one side of A4 and of Letter beside everything else; measured with four readings a day.
MOST_DAYS, MOST_LISTED, MOST_A_CELL = 14, 2, 2
MOST_HIGH = 4
ASK = (
    mark("Is this average what you expect of me? Which average do we want at home?"),
    mark("Are these enough readings, and taken at the right times?"),
    mark("Does my cuff fit my arm, and when was my device last checked?"),
    mark("What about the readings that were set aside or marked?"),
    mark("Should anything change? I change no medicine by myself."),
    mark("When do I measure again, and at which numbers do I call you?"),
)
NOTE = mark(
    "An average of what was written down, by a teaching program. It is no medical device and diagnoses nothing: what "
    "the average means is for the clinician who knows the person. Nothing was corrected or deleted, and no number is "
    "ever taken off a reading."
)
MEANS_OF = {PARTS[0]: mark("mornings"), PARTS[1]: mark("evenings")}
_LONGEST = 130  # letters of a line in a list
_STYLE = resources.files("sim.teach").joinpath("log_page.css").read_text("utf-8")


def log_page(log: Log, found: Summary) -> str:
    """The page as one HTML file for A4 or Letter, with nothing outside it and no buttons."""
    title = say("A log of blood pressures to talk over")
    parts = [
        f"<h1>{title}</h1>",
        f'<p class="head"><span>{say("Name: {name}", name="_" * 34)}</span><span>{escape(_span(found))}</span></p>',
        *_first(found),
        *_mean(found),
        picture(found),
        f"<p>{escape(in_words(found))}</p>" if found.rows else "",
        f'<div class="halves"><div>{"".join(_table(found))}</div><div>'
        f"{_list(say('What to ask the clinician'), map(say, ASK))}{''.join(_not_counted(log, found))}</div></div>",
        *_safety(),
    ]
    return f"""<!DOCTYPE html>
<html lang="{language()}">
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
        return say("no readings")
    first, last = found.rows[0].entry.day, found.rows[-1].entry.day
    days = {"first": short(first, year=True), "last": short(last, year=True)}
    return say("{readings}, {first} to {last}", readings=many(len(found.rows), "reading"), **days)


def _first(found: Summary) -> list[str]:
    """What comes before all else, where a reading calls for it."""
    if not found.high:
        return []
    listed = "; ".join(f"{one.when or place(one.where)} {one.pair}" for one in found.high[:MOST_HIGH])
    listed = escape(listed) + _more(found.high, MOST_HIGH)
    return [
        f'<div class="first"><p><strong>{say("First: readings of 180/120 or more: {listed}.", listed=listed)}</strong> '
        f"{say('Read the last lines of this page now.')}</p></div>"
    ]


def _mean(found: Summary) -> list[str]:
    rule = say("By the rule: {rule}", rule=say(found.schedule.label))
    if found.first and found.last:
        rule += say(", {first} to {last}", first=short(found.first), last=short(found.last, year=True))
    lines = [f"<p>{escape(rule)}. {escape(say(found.schedule.source))}.</p>"]
    yet = [escape(say("No mean by this rule yet: {reason}.", reason=reason)) for reason in found.short]
    lines += [f"<p><strong>{words}</strong></p>" for words in yet]
    f = found.figures
    if f is None:
        return lines
    of = say("mmHg, mean of {readings}", readings=many(f.n, "reading"))
    lines.insert(0, f'<p class="mean">{pair(f.sbp, f.dbp)} <small>{of}</small></p>')
    words = "; ".join(_told(found))
    return [*lines, f"<p>{escape(words[:1].upper() + words[1:])}.</p>"]


def _told(found: Summary) -> list[str]:
    """What stands under the mean."""
    f = found.figures
    assert f is not None
    told = [f"{say(MEANS_OF[part])} {pair(p.sbp, p.dbp)} ({p.n})" for part, p in found.by_part.items()]
    ends = {"low": pair(f.range_sbp[0], f.range_dbp[0]), "high": pair(f.range_sbp[1], f.range_dbp[1])}
    told.append(say("lowest and highest of each {low} and {high}", **ends))
    if found.without_doubtful is not None:
        mean = pair(found.without_doubtful.sbp, found.without_doubtful.dbp)
        told.append(say("without the doubtful ones {mean}", mean=mean))
    if found.usual is not None:
        (a, b), (c, d) = (found.usual.interval(0.95, name) for name in ("sbp", "dbp"))
        told.append(
            say(
                "the resting pressure over months lies with 95 % probability from {a:.0f} to {b:.0f} systolic and from "
                "{c:.0f} to {d:.0f} diastolic, if nothing was measured wrongly",
                a=a,
                b=b,
                c=c,
                d=d,
            )
        )
    return told


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
        rows.append(f"<tr><td>{weekday(day)} {day.day} {month(day)}</td><td>{known[0]}</td><td>{known[1]}</td></tr>")
    left = len(days) - len(shown)
    latest = say("Only the latest {most} of {all} days are listed; the picture has all.", most=MOST_DAYS, all=len(days))
    head = "".join(f"<th>{word}</th>" for word in (say("Day"), say("Morning"), say("Evening")))
    table = f"<table><tr>{head}</tr>{''.join(rows)}</table>"
    return [f"<h2>{say('The readings, mmHg')}</h2>", table, f"<p>{latest}</p>" if left else "", _legend(found)]


def _cell(rows: Sequence[Row]) -> str:
    said = [pair(row.entry.sbp, row.entry.dbp) + _sign(row) for row in rows[:MOST_A_CELL]]
    return escape(" ".join(said)) + (f" +{len(rows) - MOST_A_CELL}" if len(rows) > MOST_A_CELL else "")


def _sign(row: Row) -> str:
    return ("" if row.status == COUNTS else "*") + ("?" if row.doubtful else "")


def _legend(found: Summary) -> str:
    said = ["* " + say("not counted")] if any(row.status != COUNTS for row in found.rows) else []
    said += ["? " + say("doubtful")] if any(row.doubtful for row in found.rows) else []
    crowded = Counter((row.entry.day, row.entry.part) for row in found.rows)
    said += [say("+1: one more, in the picture")] if max(crowded.values(), default=0) > MOST_A_CELL else []
    return f"<p>{', '.join(said)}</p>" if said else ""


def _not_counted(log: Log, found: Summary) -> list[str]:
    """What was set aside, left out, marked or not read, and why."""
    parts = []
    waiting = [f"{_place(place(a.entry.where))}{pair(a.entry.sbp, a.entry.dbp)}: {a.reason}" for a in found.aside]
    parts.append(_list(say("Set aside until somebody decides"), waiting, MOST_LISTED))
    counted = Counter(row.status for row in found.rows if row.status not in (COUNTS, SET_ASIDE))
    parts.append(_list(say("Not counted"), [f"{say(status)}: {n}" for status, n in counted.items()]))
    doubtful = [
        f"{short(row.entry.day)} {pair(row.entry.sbp, row.entry.dbp)}: {'; '.join(row.doubts)}"
        for row in found.rows
        if row.doubtful
    ]
    parts.append(_list(say("Marked as doubtful, and counted"), [*doubtful, *found.remarks], MOST_LISTED))
    parts.append(_list(say("Not read"), [_fault(fault) for fault in log.faults], MOST_LISTED))
    if found.missing:
        asked = sum(missing.readings for missing in found.missing)
        parts.append(_list(say("Still expected by the rule"), [many(asked, "more reading")]))
    if any(parts):
        return parts
    return [f"<h2>{say('Set aside')}</h2><p>{say('Nothing: every reading counts.')}</p>"]


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
    more = f"<li>{say('and {n} more', n=len(every) - most)}</li>" if most is not None and len(every) > most else ""
    return f"<h2>{escape(heading)}</h2><ul>{items}{more}</ul>"


def _more(every: Sequence[object], most: int) -> str:
    return say(" and {n} more", n=len(every) - most) if len(every) > most else ""


def _safety() -> list[str]:
    def bold(text: str) -> str:
        parts = escape(text).split("**")
        return "".join(f"<strong>{part}</strong>" if k % 2 else part for k, part in enumerate(parts))

    first = f"**{say(EMERGENCY_TITLE)}.** {say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}"
    lines = (first, say(EMERGENCY_SOURCE), say(NOTE))
    return [f'<div class="safety">{"".join(f"<p>{bold(line)}</p>" for line in lines)}</div>']
