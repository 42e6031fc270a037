"""How the pressure settles while a person sits quietly, and where on that curve the reading falls."""

from __future__ import annotations

from collections.abc import Callable

from sim.explain import pictured
from sim.explain.pictured import Settling
from sim.figures.colours import RESPONSE
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Point, circle, line, polyline, text
from sim.screens.drawings.symbols import symbol
from sim.texts import real_minus

BOX = (0.0, 0.0, 480.0, 306.0)
CARD_BOX = (20.0, 20.0, 440.0, 186.0)
_LEFT, _RIGHT, _ZERO, _PX_PER_MMHG = 84.0, 452.0, 140.0, 15.0


def body(settling: Settling, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it; without labels only the way from chair to reading."""
    if not labels:
        return _card(settling)
    top = max(settling.minutes)

    def at(minutes: float, mmhg: float) -> Point:
        return _LEFT + (_RIGHT - _LEFT) * minutes / top, _ZERO - _PX_PER_MMHG * mmhg

    curves = [
        polyline([at(*p) for p in zip(settling.minutes, settling.dbp, strict=True)], RESPONSE.colour, 2.4, "7 5"),
        polyline([at(*p) for p in zip(settling.minutes, settling.sbp, strict=True)], RESPONSE.colour, 4),
    ]
    systolic, diastolic = (at(settling.rest_min, mmhg) for mmhg in settling.here)
    reading = (systolic[0], 262.0)
    parts = [
        line((_LEFT, _ZERO), (_RIGHT, _ZERO), shapes.QUIET, 1.4),
        line((_LEFT, 244), (_RIGHT, 244), shapes.QUIET, 1.4),
        *curves,
        line((reading[0], 262), (reading[0], min(systolic[1], diastolic[1], _ZERO)), shapes.INK, 1.6, "5 4"),
        circle(diastolic, 5, "#FFFFFF", RESPONSE.colour, 2.4),
        circle(systolic, 7, RESPONSE.colour, "#FFFFFF", 2),
        symbol("rest_min", (36, 256), 1.2),
        symbol("reading", reading, 0.9),
    ]
    return "".join([*parts, *_labels(settling, systolic, top, at)])


def sentence(settling: Settling) -> str:
    """What the drawing shows, with its numbers."""
    sbp, dbp = settling.here
    rest = f"After {settling.rest_min:g} min of quiet sitting" if settling.rest_min else "Without any rest"
    usual = f"{settling.usual_min:g} min, which is called the resting pressure here"
    if settling.rest_min == settling.usual_min:
        where = f"{rest} the pressure is called the resting pressure here"
    else:
        where = f"{rest} the pressure is on average {_signed(sbp)}/{_signed(dbp)} mmHg compared with that after {usual}"
    return f"{where}. The curve is that of {settling.population}; other people differ."


def _card(settling: Settling) -> str:
    """The chair, and the reading so many minutes later."""
    x = 130 + 300 * min(settling.rest_min, 15) / 15
    ticks = "".join(
        line((130 + 20 * i, 168 if i % 5 else 160), (130 + 20 * i, 184), shapes.QUIET, 2.2) for i in range(16)
    )
    return "".join(
        (
            line((40, 184), (440, 184), shapes.QUIET, 2.6),
            ticks,
            symbol("rest_min", (76, 126), 3),
            line((x, 184), (x, 140), shapes.INK, 3),
            symbol("reading", (x, 108), 1.9),
            text((x, 62), f"{settling.rest_min:g} min", 30, "middle", weight=700),
        )
    )


def _labels(settling: Settling, systolic: Point, top: float, at: Callable[[float, float], Point]) -> list[str]:
    words = f"{_signed(settling.here[0])}/{_signed(settling.here[1])} mmHg"
    left = systolic[0] > (_LEFT + _RIGHT) / 2
    place = (systolic[0] + (-12 if left else 12), max(systolic[1] - 14, 38))  # below the title
    parts = [text(place, words, 20, "end" if left else "start", weight=700)]
    parts.append(text((12, 16), f"pressure compared with that after {settling.usual_min:g} min of rest", 17))
    parts.append(text((_RIGHT, _ZERO - 9), f"as after {settling.usual_min:g} min", 16, "end", shapes.QUIET))
    for minutes in range(0, int(top) + 1, 10):
        x = _LEFT + (_RIGHT - _LEFT) * minutes / top
        parts.append(line((x, 240), (x, 249), shapes.QUIET, 1.4))
        parts.append(text((x, 300), f"{minutes}" if minutes else "sits down", 16, "middle", shapes.QUIET))
    parts.append(text((_RIGHT + 22, 281), "min", 16, "end", shapes.QUIET))
    for name, values in (("systolic", settling.sbp), ("diastolic", settling.dbp)):
        y = _ZERO - _PX_PER_MMHG * values[-1]
        parts.append(text((_RIGHT, y - 8), name, 16, "end", "#00704F"))
    return parts


def _signed(mmhg: float) -> str:
    return real_minus(f"{mmhg:+.1f}") if abs(mmhg) >= 0.05 else "0"


DRAWING = Drawing.of_one_size(pictured.settling, body, sentence, BOX, CARD_BOX)
