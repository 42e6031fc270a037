"""How the artery under the cuff yields, and what one pulse makes of it."""

from __future__ import annotations

from collections.abc import Callable

from sim.explain import pictured
from sim.explain.pictured import Yielding
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Point, line, polyline, text
from sim.texts import real_minus

BOX = (0.0, 0.0, 480.0, 300.0)
CARD_BOX = (24.0, 16.0, 440.0, 238.0)
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 460.0, 40.0, 196.0
_SECTIONS_Y = 226.0
_ARTERY, _ARTERY_PALE = "#A63D57", "#E7C3CB"


def body(yielding: Yielding, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    low, high = yielding.transmural_mmhg[0], yielding.transmural_mmhg[-1]

    def at(mmhg: float, area: float) -> Point:
        return _LEFT + (_RIGHT - _LEFT) * (mmhg - low) / (high - low), _BOTTOM - (_BOTTOM - _TOP) * area

    mine = polyline([at(*p) for p in zip(yielding.transmural_mmhg, yielding.area, strict=True)], _ARTERY, 4)
    usual = polyline(
        [at(*p) for p in zip(yielding.transmural_mmhg, yielding.usual, strict=True)], shapes.QUIET, 2, "6 5"
    )
    parts = [line((_LEFT, _BOTTOM), (_RIGHT, _BOTTOM), shapes.QUIET, 1.4), _pulse(yielding, at), usual, mine]
    for mmhg in range(-20, int(high) + 1, 20):
        x = at(mmhg, 0)[0]
        parts.append(_section(x, yielding.at(mmhg)))
        if labels:
            parts.append(line((x, _BOTTOM - 3), (x, _BOTTOM + 4), shapes.QUIET, 1.4))
            parts.append(text((x, 262), real_minus(f"{mmhg:g}"), 16, "middle", shapes.QUIET))
    if labels:
        parts += _labels(yielding, at)
    return "".join(parts)


def sentence(yielding: Yielding) -> str:
    """What the drawing shows, with its numbers."""
    width, usual = yielding.width_mmhg, yielding.usual_width_mmhg
    if width == usual:
        how = f"{width:g} mmHg, as usual"
    else:
        how = f"{width:g} mmHg, {'more' if width > usual else 'less'} than the usual {usual:g} (dashed)"
    sbp, dbp = yielding.sbp, yielding.dbp
    swing = yielding.at(sbp - yielding.map) - yielding.at(dbp - yielding.map)
    return (
        f"How far the artery is open, for each pressure inside minus outside. The compliance width is {how}. The "
        f"shaded "
        f"strip is one pulse, {dbp:g} to {sbp:g} mmHg, with the cuff at its mean of {yielding.map:.0f}: the artery "
        f"opens and closes by {100 * swing:.0f} % of its widest, and the cuff feels that as the height of the pulse."
    )


def _pulse(yielding: Yielding, at: Callable[[float, float], Point]) -> str:
    """One pulse, while the cuff is at the mean pressure: how far it opens the artery."""
    ends = [
        min(max(p - yielding.map, yielding.transmural_mmhg[0]), yielding.transmural_mmhg[-1])
        for p in (yielding.dbp, yielding.sbp)
    ]
    (x1, y1), (x2, y2) = (at(p, yielding.at(p)) for p in ends)
    strip = f'<path d="M{x1:.1f} {_BOTTOM}V{y1:.1f}L{x2:.1f} {y2:.1f}V{_BOTTOM}Z" fill="{_ARTERY_PALE}" opacity=".6"/>'
    inside = [p for p in yielding.transmural_mmhg if ends[0] < p < ends[1]]
    curve = "".join(f"L{x:.1f} {y:.1f}" for x, y in (at(p, yielding.at(p)) for p in inside))
    strip = strip.replace(f"L{x2:.1f}", f"{curve}L{x2:.1f}", 1)
    return (
        strip
        + line((_LEFT, y1), (x1, y1), _ARTERY, 1.4, "4 4")
        + line((_LEFT, y2), (x2, y2), _ARTERY, 1.4, "4 4")
        + (line((_LEFT, y1), (_LEFT, y2), _ARTERY, 6))
    )


def _section(x: float, area: float) -> str:
    """The artery cut across: a slit that opens into a round tube."""
    rx, ry = 15 - 2.5 * area, max(12.5 * area, 1.2)
    return (
        f'<ellipse cx="{x:.1f}" cy="{_SECTIONS_Y}" rx="{rx:.1f}" ry="{ry:.1f}" fill="{_ARTERY_PALE}" '
        f'stroke="{_ARTERY}" stroke-width="3"/>'
    )


def _labels(yielding: Yielding, at: Callable[[float, float], Point]) -> list[str]:
    x = at((yielding.sbp + yielding.dbp) / 2 - yielding.map, 0)[0]
    closed, opened = (yielding.at(p - yielding.map) for p in (yielding.dbp, yielding.sbp))
    swing, ends = opened - closed, (at(0, closed)[1], at(0, opened)[1])
    return [
        text((_LEFT - 8, 22), "how far the artery is open", 17),
        text((_RIGHT, 290), "pressure inside minus outside, mmHg", 16, "end", shapes.QUIET),
        text((x, _BOTTOM - 10), "one pulse", 17, "middle", weight=600),
        text((_LEFT + 12, (ends[0] + ends[1]) / 2 - 6), f"opens by {100 * swing:.0f} %,", 16),
        text((_LEFT + 12, (ends[0] + ends[1]) / 2 + 14), "felt in the cuff", 16),
        text((_RIGHT, 118), f"compliance width {yielding.width_mmhg:g} mmHg", 17, "end", _ARTERY, 700),
    ]


DRAWING = Drawing.of_one_size(pictured.yielding, body, sentence, BOX, CARD_BOX)
