"""A log under a schedule's rule, in words and as a JSON object."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from sim import PARAMETERS_VERSION, __version__
from sim.explain.categories import schemes
from sim.explain.impossible import words
from sim.figures.numbers import pair
from sim.logs.aside import DECISIONS, MEND
from sim.logs.log import Entry, Log
from sim.logs.summary import COUNTS, Figures, Row, Summary
from sim.logs.told import many
from sim.logs.urgent import urgent_if_so, when

WIDTH = 78
LABEL = 46
NOTE = (
    "An average of what was written down. No medical device: what it means is for the clinician who knows the person. "
    "Nothing was corrected or deleted; a surprising value is measured again, properly."
)


def text(log: Log, found: Summary) -> str:
    """The whole report, lines of at most 78 characters; what is urgent first."""
    parts = [_urgent(found), _faults(log), _aside(found), _rule(found), _mean(found), _sure(found), _missing(found)]
    parts.append(_doubtful(found))
    parts.append([*_wrap(NOTE), f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}"])
    return "\n\n".join("\n".join(part) for part in parts if part)


def _urgent(found: Summary) -> list[str]:
    if not found.high:
        return []
    listed = [f"  {', '.join(filter(None, (u.where, u.when)))}  {u.pair}" for u in found.high[:12]]
    more = [f"  and {len(found.high) - 12} more"] if len(found.high) > 12 else []
    return ["FIRST: readings of 180/120 or more", *listed, *more, *_what_to_do()]


def _what_to_do() -> list[str]:
    people = words()["people"]
    return [*_wrap(people["unwell"]), *_wrap(people["high"])]


def _faults(log: Log) -> list[str]:
    if not log.faults:
        return []
    listed = [line for fault in log.faults[:20] for line in _wrap(f"  {fault}", "  ")]
    more = [f"  and {len(log.faults) - 20} more"] if len(log.faults) > 20 else []
    return [f"NOT READ: {len(log.faults)} of {len(log.faults) + len(log.entries)} rows", *listed, *more]


def _aside(found: Summary) -> list[str]:
    if not found.aside:
        return []
    lines = []
    for aside in found.aside[:20]:
        lines += _wrap(f"  {_place(aside.entry)}  {pair(aside.entry.sbp, aside.entry.dbp)}: {aside.reason}", "  ")
        lines += _wrap(f"    --decide '{aside.entry.where}={'|'.join(aside.choices)}'", "    ")
    more = [f"  and {len(found.aside) - 20} more"] if len(found.aside) > 20 else []
    title = f"SET ASIDE: {many(len(found.aside), 'reading')}, look at the paper or the device, then decide"
    used = [name for name in DECISIONS if any(name in aside.choices for aside in found.aside)]
    legend = [line for name in used for line in _wrap(f"  {name}: {DECISIONS[name]}", "  ")]
    return [title, *lines, *more, *legend, *_wrap(MEND), *_if_so(found)]


def _if_so(found: Summary) -> list[str]:
    """What to do where a reading set aside is really so, or the other way round, and high."""
    high = urgent_if_so(found.aside)
    if not high:
        return []
    listed = ", ".join(aside.entry.where for aside in high[:5]) + (" and more" if len(high) > 5 else "")
    if found.high:
        return _wrap(
            f"If {listed} is right, or if only its two numbers were swapped, it is one more reading of 180/120 or more."
        )
    return [
        *_wrap(
            f"If {listed} is right, or if only its two numbers were swapped, it is 180/120 or more. Then this "
            f"is what to do:"
        ),
        *_what_to_do(),
    ]


def _rule(found: Summary) -> list[str]:
    plan = found.schedule
    source = plan.source + (f", DOI {plan.doi}" if plan.doi else "")
    days = f"  {found.first} to {found.last}" if found.first else "  no readings"
    return [f"THE RULE: {plan.label}", *_wrap(f"  {source}; {plan.sure}"), days]


def _mean(found: Summary) -> list[str]:
    lines = ["THE MEAN, systolic/diastolic in mmHg"]
    lines += [line for reason in found.short for line in _wrap(f"  No mean by this rule yet: {reason}.")]
    if found.figures is None:
        counting = any(row.status == COUNTS for row in found.rows)
        return lines if counting else [*lines, "  no reading counts"]
    lines.append(_line(f"mean of {found.figures.n}", pair(found.figures.sbp, found.figures.dbp)))
    if found.figures.sd_sbp is not None and found.figures.sd_dbp is not None:
        lines.append(_line("scatter of single readings (SD)", f"{found.figures.sd_sbp:.1f}/{found.figures.sd_dbp:.1f}"))
    low, high = (pair(found.figures.range_sbp[k], found.figures.range_dbp[k]) for k in (0, 1))
    lines.append(_line("lowest, highest of each", f"{low}, {high}"))
    lines += [_line(f"{part}s only, {f.n}", pair(f.sbp, f.dbp)) for part, f in found.by_part.items()]
    if found.without_doubtful is not None:
        f = found.without_doubtful
        lines.append(_line(f"without the doubtful ones, {f.n}", pair(f.sbp, f.dbp)))
    return lines


def _sure(found: Summary) -> list[str]:
    if found.usual is None or found.figures is None:
        return [*_wrap(f"Note: {found.mixed}.")] if found.mixed else []
    scheme, place = schemes()[found.scheme], found.schedule.place
    mixed = _wrap(f"  Note: {found.mixed}.", "  ") if found.mixed else []
    if found.nameless:
        few = _wrap(f"  Too few readings for a category: {'; '.join(found.nameless)}.", "  ")
        return [f"HOW SURE: {scheme.label}", *few, *mixed]
    sbp, dbp = (found.usual.interval(0.95, name) for name in ("sbp", "dbp"))
    lines = [f"HOW SURE: {scheme.label}, {'at home' if place == 'home' else 'in the office'}"]
    lines += _wrap(
        f"  From {many(found.figures.n, 'reading')} on {many(found.days, 'day')}. The resting pressure over months "
        f"lies, with 95 % probability, from {sbp[0]:.0f} to {sbp[1]:.0f} systolic "
        f"and from {dbp[0]:.0f} to {dbp[1]:.0f} diastolic, if nothing was measured wrongly: a bias stays in "
        "every mean."
    )
    for chance in found.chances:
        name = chance.name + (" (the mean is here)" if chance.name == found.category else "")
        lines.append(_line(name, f"{_percent(chance.probability)}"))
    return [
        *lines,
        *mixed,
        *_wrap(f"  {scheme.source}, DOI {scheme.doi}; {scheme.home_sure if place == 'home' else scheme.sure}"),
    ]


def _missing(found: Summary) -> list[str]:
    if not found.missing:
        return []
    lines = [
        f"  {m.day}" + (f", {m.part}" if m.part else "") + f": {many(m.readings, 'reading')}" for m in found.missing
    ]
    more = [f"  and {many(len(lines) - 12, 'more session')}"] if len(lines) > 12 else []
    return ["READINGS STILL EXPECTED, by the schedule (a session is one sitting)", *lines[:12], *more]


def _doubtful(found: Summary) -> list[str]:
    doubtful = [row for row in found.rows if row.doubtful]
    lines = [line for remark in found.remarks for line in _wrap(f"  {remark}", "  ")]
    for row in doubtful[:20]:
        lines += _wrap(f"  {_place(row.entry)}  {pair(row.entry.sbp, row.entry.dbp)}: {'; '.join(row.doubts)}", "  ")
    if len(doubtful) > 20:
        lines.append(f"  and {len(doubtful) - 20} more")
    return ["DOUBTFUL: marked, kept and counted; it may be right", *lines] if lines else []


def _place(entry: Entry) -> str:
    return f"{entry.where}, {when(entry)}".rstrip()


def _line(label: str, value: str) -> str:
    return f"  {label:<{LABEL}} {value:>15}"


def _percent(probability: float) -> str:
    percent = 100 * probability
    return "under 1 %" if percent < 1 else "over 99 %" if percent > 99 else f"{percent:.0f} %"


def _wrap(words_: str, indent: str = "") -> list[str]:
    """Lines of at most WIDTH; those after the first stand further in by `indent`."""
    start = words_[: len(words_) - len(words_.lstrip())]
    return textwrap.wrap(words_.strip(), WIDTH, initial_indent=start, subsequent_indent=start + indent)


def document(log: Log, found: Summary) -> dict[str, Any]:
    """Everything as plain values, nothing rounded; null where there is none."""
    known = found.usual
    return {
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "note": NOTE,
        "schedule": found.schedule.name,
        "scheme": found.scheme,
        "place": found.schedule.place,
        "first_day": found.first and found.first.isoformat(),
        "last_day": found.last and found.last.isoformat(),
        "readings": [_reading(row) for row in found.rows],
        "faults": [{"where": fault.where, "what": fault.what} for fault in log.faults],
        "mean": _figures(found.figures),
        "without_doubtful": _figures(found.without_doubtful),
        "by_part": {part: _figures(figures) for part, figures in found.by_part.items()},
        "set_aside": [
            {"where": a.entry.where, "sbp": a.entry.sbp, "dbp": a.entry.dbp, "reason": a.reason, "may": list(a.choices)}
            for a in found.aside
        ],
        "short": list(found.short),
        "no_category": list(found.nameless),
        "mixed": found.mixed or None,
        "missing": [{"day": m.day.isoformat(), "part": m.part, "readings": m.readings} for m in found.missing],
        "category": found.category or None,
        "categories": [{"name": c.name, "probability": c.probability} for c in found.chances],
        "usual": None
        if known is None
        else {
            name: {"sd": getattr(known.law, f"sd_{name}"), "interval_95": list(known.interval(0.95, name))}
            for name in ("sbp", "dbp")
        }
        | {"degrees_of_freedom": known.degrees if math.isfinite(known.degrees) else None},
        "high": [{"where": u.where, "when": u.when or None, "sbp": u.sbp, "dbp": u.dbp} for u in found.high],
        "high_if_so": [aside.entry.where for aside in urgent_if_so(found.aside)],
        "remarks": list(found.remarks),
    }


def _reading(row: Row) -> dict[str, Any]:
    e = row.entry
    return {
        "where": e.where,
        "when": e.when.isoformat() if e.timed else e.day.isoformat(),
        "part": e.part or None,
        "sbp": e.sbp,
        "dbp": e.dbp,
        "pulse": e.pulse,
        "note": e.note or None,
        "status": row.status,
        "doubts": list(row.doubts),
    }


def _figures(figures: Figures | None) -> dict[str, Any] | None:
    if figures is None:
        return None
    ranges = {f"range_{name}": list(getattr(figures, f"range_{name}")) for name in ("sbp", "dbp")}
    return {name: getattr(figures, name) for name in ("n", "sbp", "dbp", "sd_sbp", "sd_dbp")} | ranges
