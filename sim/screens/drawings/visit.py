"""The readings of one visit in a row, this one marked, with what each adds on average."""

from __future__ import annotations

from sim.explain import pictured
from sim.explain.pictured import Visit
from sim.figures.colours import RESPONSE
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import circle, line, rect, text
from sim.screens.drawings.symbols import symbol

BOX = (0.0, 0.0, 480.0, 250.0)
CARD_BOX = (10.0, 118.0, 460.0, 130.0)
_ZERO, _PX_PER_MMHG = 130.0, 24.0


def body(visit: Visit, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    count = len(visit.sbp)
    step = 340 / max(count - 1, 1)
    parts = [line((34, _ZERO), (452, _ZERO), shapes.QUIET, 1.6)] if labels else []
    for i, (sbp, dbp) in enumerate(zip(visit.sbp, visit.dbp, strict=True)):
        parts.append(_reading(68 + step * i, i + 1, sbp, dbp, visit, labels))
        if i and labels and count <= 4:
            parts.append(text((68 + step * (i - 0.5), 178), "1 min", 16, "middle", shapes.QUIET))
    if labels:
        parts.append(text((30, 22), "on average higher by, mmHg", 17))
        parts.append(text((454, _ZERO + 20), "later readings", 16, "end", shapes.QUIET) if count > 4 else "")
    return "".join(parts)


def sentence(visit: Visit) -> str:
    """What the drawing shows, with its numbers."""
    sbp, dbp = visit.sbp[visit.number - 1], visit.dbp[visit.number - 1]
    which = f"This is reading {visit.number} of the visit"
    if not sbp and not dbp:
        return f"{which}; it is on average what the later ones are, and counts here as the resting pressure."
    higher = f"on average it is {sbp:.1f}/{dbp:.1f} mmHg higher than the third"
    return (
        f"{which}; {higher} ({visit.population}). In one person random variation moves two readings further "
        f"apart than that."
    )


def _reading(x: float, number: int, sbp: float, dbp: float, visit: Visit, labels: bool) -> str:
    this = number == visit.number
    size = 1.15 if len(visit.sbp) <= 4 else 0.8
    parts = []
    for offset, mmhg, opacity in ((-13, sbp, 1), (13, dbp, 0.5)) if labels else ():
        high = mmhg * _PX_PER_MMHG
        parts.append(rect((x + offset - 11, _ZERO - max(high, 2)), 22, max(high, 2), RESPONSE.colour, 2, opacity))
    if this:
        parts.append(circle((x, 172), 33 * size, "#FFFFFF", shapes.INK, 3.2))
    parts.append(symbol("reading", (x, 172), size, pale=not this))
    if not labels:
        parts.append(text((x, 234), f"{number}", 24, "middle", weight=700 if this else 400))
    else:
        value = f"+{sbp:.1f}/+{dbp:.1f}" if sbp or dbp else "0"
        parts.append(text((x, _ZERO - sbp * _PX_PER_MMHG - 10), value, 17, "middle", weight=700 if this else 400))
        words = f"{_NTH.get(number, f'{number}th')}{': this one' if this else ''}"
        parts.append(text((x, 234), words, 17, "middle", weight=700 if this else 400))
    return "".join(parts)


_NTH = {1: "1st", 2: "2nd", 3: "3rd"}


DRAWING = Drawing.of_one_size(pictured.visit, body, sentence, BOX, CARD_BOX)
