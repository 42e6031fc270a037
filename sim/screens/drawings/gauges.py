"""The instrument and a reference gauge on one T-piece, and what the instrument is off at each pressure."""

from __future__ import annotations

import math

from sim.explain import pictured
from sim.explain.pictured import Gauges
from sim.figures.colours import DISPLAY, TRUTH
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Point, circle, line, polyline, rect, text
from sim.texts import real_minus

BOX = (0.0, 0.0, 480.0, 452.0)
CARD_BOX = (30.0, 22.0, 420.0, 256.0)
_DIALS: tuple[Point, Point] = ((130, 116), (350, 116))
_RADIUS, _TOP_MMHG = 78.0, 240.0
_LEFT, _RIGHT, _ZERO = 84.0, 456.0, 362.0
_LOWEST_SCALE_MMHG = 8.0


def body(gauges: Gauges, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    true, shown = gauges.dial_mmhg
    (x1, y1), (x2, y2) = _DIALS
    pipe = f"M{x1} {y1}V220H{x2}V{y2}M{(x1 + x2) / 2} 220V240"
    parts = [
        f'<path d="{pipe}" fill="none" stroke="{shapes.CUFF_LIGHT}" stroke-width="8" stroke-linejoin="round"/>',
        rect(((x1 + x2) / 2 - 15, 210), 30, 20, shapes.CUFF, 5),
        f'<ellipse cx="{(x1 + x2) / 2}" cy="250" rx="24" ry="14" fill="{shapes.CUFF}"/>',
        _dial(_DIALS[0], true, TRUTH.colour, "reference" if labels else ""),
        _dial(_DIALS[1], shown, DISPLAY.colour, "instrument" if labels else ""),
    ]
    return "".join([*parts, *(_errors(gauges) if labels else [])])


def sentence(gauges: Gauges) -> str:
    """What the drawing shows, with its numbers."""
    parts = [f"zero error {gauges.zero_error_mmhg:+g} mmHg" if gauges.zero_error_mmhg else "no zero error"]
    parts.append(f"gain error {gauges.gain_error_percent:+g} %" if gauges.gain_error_percent else "no gain error")
    if gauges.resolution_mmhg:
        parts.append(f"steps of {gauges.resolution_mmhg:g} mmHg")
    errors = [s - a for a, s in zip(gauges.applied_mmhg, gauges.shown_mmhg, strict=True)]
    true, shown = gauges.dial_mmhg
    where = f"Off by {_signed(errors[0])} mmHg at 0 and by {_signed(errors[-1])} at {gauges.applied_mmhg[-1]:g}"
    said = (
        f"One pressure on both: the reference gauge shows {true:.1f} and the instrument {shown:.1f} mmHg. {where}: "
        f"{', '.join(parts)}."
    )
    return real_minus(said)


def _dial(at: Point, mmhg: float, colour: str, name: str) -> str:
    """A round gauge, its needle at a pressure; from 0 at the lower left over three quarters of a turn."""
    x, y = at
    parts = [circle(at, _RADIUS, "#FFFFFF", shapes.QUIET, 4)]
    for value in range(0, int(_TOP_MMHG) + 1, 10):
        long = value % 40 == 0
        parts.append(
            line(
                _on(at, value, _RADIUS - 7),
                _on(at, value, _RADIUS - (17 if long else 12)),
                shapes.INK,
                2 if long else 1,
            )
        )
        if long:
            tx, ty = _on(at, value, _RADIUS - 30)
            parts.append(text((tx, ty + 5), f"{value}", 14, "middle", halo=False))
    tail, tip = _on(at, mmhg, -14), _on(at, mmhg, _RADIUS - 20)
    parts += [line(tail, tip, colour, 4), circle(at, 6, colour)]
    if name:
        parts.append(text((x, y - _RADIUS - 12), name, 18, "middle", weight=600))
        parts.append(
            text((x, y + 60), f"{mmhg:.1f}", 20, "middle", colour if colour == TRUTH.colour else "#A84A00", 700, False)
        )
    return "".join(parts)


def _on(at: Point, mmhg: float, radius: float) -> Point:
    angle = math.radians(135 + 270 * min(max(mmhg, -12), _TOP_MMHG + 12) / _TOP_MMHG)
    return at[0] + radius * math.cos(angle), at[1] + radius * math.sin(angle)


def _errors(gauges: Gauges) -> list[str]:
    """What the instrument is off, over the pressure applied."""
    errors = [s - a for a, s in zip(gauges.applied_mmhg, gauges.shown_mmhg, strict=True)]
    scale = max(_LOWEST_SCALE_MMHG, *(abs(e) for e in errors))
    top = gauges.applied_mmhg[-1]

    def at(applied: float, error: float) -> Point:
        return _LEFT + (_RIGHT - _LEFT) * applied / top, _ZERO - 44 * error / scale

    parts = [
        text((12, 290), "instrument minus reference, mmHg", 16),
        line((_LEFT, _ZERO), (_RIGHT, _ZERO), TRUTH.colour, 1.8, "6 5"),
        text((_LEFT - 10, _ZERO + 6), "0", 16, "end", shapes.QUIET),
    ]
    points = [at(*p) for p in zip(gauges.applied_mmhg, errors, strict=True)]
    parts.append(polyline(points, DISPLAY.colour, 3))
    for i, (applied, error, point) in enumerate(zip(gauges.applied_mmhg, errors, points, strict=True)):
        if applied % 50:
            continue
        parts.append(f'<path d="M{point[0]:.1f} {point[1]:.1f}m0-7l7 7-7 7-7-7z" fill="{DISPLAY.colour}"/>')
        above = error >= 0 or point[1] > _ZERO + 25  # so far down the axis has its numbers below the point
        side = "start" if i == 0 else "end" if applied == top else "middle"
        parts.append(text((point[0], point[1] + (-12 if above else 26)), _signed(error), 17, side, "#A84A00", 700))
        parts.append(text((point[0], 430), f"{applied:g}", 16, side, shapes.QUIET))
    parts.append(text((_RIGHT, 447), "pressure applied, mmHg", 16, "end", shapes.QUIET))
    return parts


def _signed(mmhg: float) -> str:
    return real_minus(f"{mmhg:+.1f}") if abs(mmhg) >= 0.05 else "0"


DRAWING = Drawing.of_one_size(pictured.gauges, body, sentence, BOX, CARD_BOX)
