"""A log as a drawing for paper: systolic and diastolic over the days, in black and white, as SVG."""

from __future__ import annotations

from datetime import date, datetime
from html import escape

from sim.logs.aside import can_be
from sim.logs.log import PARTS, Entry
from sim.logs.summary import COUNTS, Row, Summary
from sim.logs.told import month
from sim.say import mark, say

# Size of the drawing and of its edges; a unit is about a quarter of a millimetre on paper.
_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _BOTTOM = 740.0, 205.0, 34.0, 92.0, 8.0, 24.0
_SIDE = 4.6
# Where a reading stands in its day if only the part of the day is known [hours].
_HOURS = {PARTS[0]: 7.0, PARTS[1]: 19.0, "": 12.0}
_STEP_MMHG, _MOST_DAYS_NAMED = 20, 9
_UP, _DOWN = "sbp", "dbp"


def picture(found: Summary) -> str:
    """The readings of a log [mmHg]: triangles up and down, filled where they count; lines are the means."""
    rows = [row for row in found.rows if drawn(row)]
    if not rows:
        return ""
    low, high = _ends(rows)
    first, last = rows[0].entry.day, rows[-1].entry.day
    days = (last - first).days + 1

    def x(entry: Entry) -> float:
        hours = _hours(entry.when) if entry.timed else _HOURS[entry.part]
        return _LEFT + ((entry.day - first).days + hours / 24) / days * (_WIDTH - _LEFT - _RIGHT)

    def y(mmhg: float) -> float:
        return _TOP + (high - mmhg) / (high - low) * (_HEIGHT - _TOP - _BOTTOM)

    marks = [_mark(row, name, x(row.entry), y(getattr(row.entry, name))) for row in rows for name in (_UP, _DOWN)]
    parts = [*_grid(low, high, y), *_days(first, days), *_means(found, y), *marks]
    return (
        f'<svg viewBox="0 0 {_WIDTH:g} {_HEIGHT:g}" role="img" aria-label="{escape(in_words(found))}" '
        f'font-family="Arial, Helvetica, sans-serif" font-size="11">{"".join(parts)}</svg>'
    )


def drawn(row: Row) -> bool:
    """Whether a reading is drawn: one that can hardly be would leave no room for the others."""
    return all(can_be(name, getattr(row.entry, name)) for name in (_UP, _DOWN))


def in_words(found: Summary) -> str:
    """What the drawing shows, in a sentence or two."""
    counting = sum(row.status == COUNTS for row in found.rows)
    beyond = sum(not drawn(row) for row in found.rows)
    said = say(
        "▲ systolic, ▼ diastolic. Filled: counts ({counting}). Hollow: does not count ({others}).",
        counting=counting,
        others=len(found.rows) - counting,
    )
    said += say(" Ringed: doubtful.") if any(row.doubtful for row in found.rows) else ""
    return said + (say(" Not drawn: {n}, hardly possible as written.", n=beyond) if beyond else "")


def _ends(rows: list[Row]) -> tuple[float, float]:
    """The ends of the axis [mmHg]."""
    values = [getattr(row.entry, name) for row in rows for name in (_UP, _DOWN)]
    return _STEP_MMHG * (min(values) // _STEP_MMHG), _STEP_MMHG * (max(values) // _STEP_MMHG + 1)


def _hours(when: datetime) -> float:
    return when.hour + when.minute / 60


def _grid(low: float, high: float, y: object) -> list[str]:
    assert callable(y)
    lines = []
    for mmhg in range(int(low), int(high) + 1, _STEP_MMHG):
        place = y(mmhg)
        lines.append(f'<path d="M{_LEFT} {place:.1f}H{_WIDTH - _RIGHT}" stroke="#bbb" stroke-width="0.6"/>')
        lines.append(f'<text x="{_LEFT - 5}" y="{place + 4:.1f}" text-anchor="end">{mmhg}</text>')
    return lines


def _days(first: date, days: int) -> list[str]:
    """The days named below, not more than there is room for."""
    step = -(-days // _MOST_DAYS_NAMED)
    wide = (_WIDTH - _LEFT - _RIGHT) / days
    named = []
    for number in range(0, days, step):
        day = date.fromordinal(first.toordinal() + number)
        left = _LEFT + number * wide
        named.append(f'<path d="M{left:.1f} {_TOP}V{_HEIGHT - _BOTTOM}" stroke="#ddd" stroke-width="0.6"/>')
        named.append(f'<text x="{left + 2:.1f}" y="{_HEIGHT - 8}">{day.day} {month(day)}</text>')
    return named


def _means(found: Summary, y: object) -> list[str]:
    assert callable(y)
    if found.figures is None:
        return []
    lines = []
    for name, word in ((_UP, mark("systolic")), (_DOWN, mark("diastolic"))):
        mean = getattr(found.figures, name)
        lines.append(f'<path d="M{_LEFT} {y(mean):.1f}H{_WIDTH - _RIGHT}" stroke="#000" stroke-width="1.4"/>')
        lines.append(f'<text x="{_WIDTH - _RIGHT + 5}" y="{y(mean) + 4:.1f}">{say(word)} {mean:.0f}</text>')
    return lines


def _mark(row: Row, name: str, x: float, y: float) -> str:
    """A triangle, up for systolic and down for diastolic; filled where the reading counts."""
    way = -1 if name == _UP else 1
    points = f"{x - _SIDE:.1f},{y - way * _SIDE * 0.6:.1f} {x + _SIDE:.1f},{y - way * _SIDE * 0.6:.1f}"
    points += f" {x:.1f},{y + way * _SIDE:.1f}"
    fill = "#000" if row.status == COUNTS else "#fff"
    ring = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="8" fill="none" stroke="#000"/>' if row.doubtful else ""
    return f'{ring}<polygon points="{points}" fill="{fill}" stroke="#000" stroke-width="1"/>'
