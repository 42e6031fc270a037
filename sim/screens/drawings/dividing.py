"""Where a category begins, and how readings of one person fall on either side of it."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from statistics import NormalDist

from sim.explain import pictured
from sim.explain.pictured import Dividing
from sim.figures.colours import DISPLAY, TRUTH
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Point, line, text

BOX = (0.0, 0.0, 480.0, 262.0)
CARD_BOX = (20.0, 40.0, 440.0, 186.0)
_LEFT, _RIGHT, _BASE = 30.0, 450.0, 190.0
_BELOW_MMHG, _ABOVE_MMHG = 20.0, 28.0  # how far from the resting pressure the scale reaches: mistakes mostly add


def body(dividing: Dividing, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    low = dividing.resting - _BELOW_MMHG

    def x(mmhg: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * min(max((mmhg - low) / (_BELOW_MMHG + _ABOVE_MMHG), 0), 1)

    parts = [_bell(dividing, x)]
    parts.append(line((_LEFT, _BASE), (_RIGHT, _BASE), shapes.QUIET, 1.6))
    for row, (cut, name) in enumerate(dividing.cuts):
        if not low + 2 < cut < dividing.resting + _ABOVE_MMHG - 2:
            continue
        parts.append(line((x(cut), 10 + 22 * row if labels else 48), (x(cut), _BASE + 8), shapes.INK, 2.6))
        if labels:
            parts.append(text((x(cut), _BASE + 26), f"{cut:g}", 17, "middle", weight=700))
            left = x(cut) > 340
            place = (x(cut) + (-8 if left else 8), 22 + 22 * row)
            parts.append(text(place, name, 15, "end" if left else "start"))
    parts.append(shapes.circle((x(dividing.resting), _BASE), 12, TRUTH.colour, "#FFFFFF", 2))
    middle = x(dividing.average)
    parts.append(
        f'<path d="M{middle:.1f} {_BASE}m0-10l10 10-10 10-10-10z" fill="{DISPLAY.colour}" '
        'stroke="#FFFFFF" stroke-width="1.6"/>'
    )
    if labels:
        parts.append(text((middle, _BASE - 22), "single readings", 16, "middle"))
        parts.append(text((_LEFT, 246), f"● truth {dividing.resting:g}", 17, fill="#005C91", weight=600))
        words = f"◆ readings average {dividing.average:.0f}"
        parts.append(text((_RIGHT, 246), words, 17, "end", "#A84A00", 600))
    return "".join(parts)


def sentence(dividing: Dividing) -> str:
    """What the drawing shows, with its numbers."""
    cuts = ", ".join(f"{name} from {cut:g}" for cut, name in dividing.cuts)
    return (
        f"The systolic resting pressure is {dividing.resting:g} mmHg (●). Readings with this technique lie around "
        f"{dividing.average:.0f} (◆), with a standard deviation of {dividing.sd:.1f} mmHg, on both "
        f"sides of a cut if one is near. The cuts are those of {dividing.scheme}: {cuts}."
    )


def _bell(dividing: Dividing, x: Callable[[float], float]) -> str:
    """How single readings scatter, filled; darker beyond the nearest cut above the lowest readings."""
    law = NormalDist(dividing.average, dividing.sd)
    top = law.pdf(dividing.average)
    low, high = dividing.resting - _BELOW_MMHG, dividing.resting + _ABOVE_MMHG
    edges = [low, *(cut for cut, _ in dividing.cuts if low < cut < high), high]
    parts = []
    for i, (start, end) in enumerate(pairwise(edges)):
        steps = [start + (end - start) * k / 30 for k in range(31)]
        points: list[Point] = [(x(v), _BASE - 108 * law.pdf(v) / top) for v in steps]
        curve = "L".join(f"{px:.1f} {py:.1f}" for px, py in points)
        opacity = 0.22 + 0.2 * (i % 2)
        parts.append(
            f'<path d="M{points[0][0]:.1f} {_BASE}L{curve}V{_BASE}Z" fill="{DISPLAY.colour}" opacity="{opacity:.2f}"/>'
        )
    return "".join(parts)


DRAWING = Drawing.of_one_size(pictured.dividing, body, sentence, BOX, CARD_BOX)
