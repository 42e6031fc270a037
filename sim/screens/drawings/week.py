"""A week of readings at home: the height of the cuff in each of them, and which of a session is this one."""

from __future__ import annotations

from dataclasses import dataclass

from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing, Told
from sim.screens.drawings.shapes import arrow, circle, line, rect, text

BOX = (0.0, 0.0, 480.0, 220.0)
CARD_BOX = (14.0, 4.0, 440.0, 196.0)
_LEFT, _DAY, _HEART_Y, _PX_PER_CM = 48.0, 57.0, 74.0, 4.0
_DAYS = 7


@dataclass(frozen=True)
class Week(Told):
    """How far the cuff is below the heart [cm]; which reading of a session this is, of so many."""

    cuff_below_heart_cm: float
    reading_number: float
    of: int = 3


def body(week: Week, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    y = _HEART_Y + min(max(week.cuff_below_heart_cm, -11), 26) * _PX_PER_CM
    parts = []
    for day in range(_DAYS):
        x = _LEFT + _DAY * day
        parts.append(rect((x, 16), _DAY - 7, 176, "#FFFFFF" if day % 2 else "#F3EDE2", 6))
        parts += [_session(x + 13 + 24 * half, y, week) for half in (0, 1)]
        if labels:
            parts.append(
                text(
                    (x + _DAY / 2 - 3, 212), f"day {day + 1}" if day == 0 else f"{day + 1}", 16, "middle", shapes.QUIET
                )
            )
    right = _LEFT + _DAY * _DAYS - 7
    parts.append(line((20, _HEART_Y), (right, _HEART_Y), shapes.HEART, 2, "7 5"))
    parts.append(shapes.heart((28, _HEART_Y), 20))
    if week.cuff_below_heart_cm:
        parts.append(line((20, y), (right, y), shapes.INK, 1.2, "2 5"))
        if labels:
            parts.append(arrow((right + 6, _HEART_Y), (right + 6, y), head=4))
            parts.append(
                text(
                    (right - 4, y + (20 if week.cuff_below_heart_cm > 0 else -12)), _height(week), 17, "end", weight=700
                )
            )
    return "".join(parts)


def sentence(week: Week) -> str:
    """What the drawing shows, with its numbers."""
    if week.cuff_below_heart_cm:
        where = f"{_height(week)} the heart: the same mistake each time"
    else:
        where = "level with the heart"
    later = ", and all later ones" if round(week.reading_number) == week.of else ""
    return (
        f"In all 14 sessions of the week the middle of the cuff is {where}. The filled dot is this reading, number "
        f"{round(week.reading_number)} of its session{later}."
    )


def _height(week: Week) -> str:
    return f"{abs(week.cuff_below_heart_cm):g} cm {'below' if week.cuff_below_heart_cm > 0 else 'above'}"


def _session(x: float, y: float, week: Week) -> str:
    """The readings of one morning or evening, at the height of the cuff."""
    dots = []
    for i in range(week.of):
        this = i + 1 == min(round(week.reading_number), week.of)
        place = (x + 7.2 * (i - (week.of - 1) / 2), y)
        dots.append(circle(place, 4 if this else 2.4, shapes.CUFF if this else "#FFFFFF", shapes.CUFF, 1.4))
    return "".join(dots)


DRAWING = Drawing.of_one_size(Week.from_inputs, body, sentence, BOX, CARD_BOX)
