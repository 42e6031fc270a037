"""The cuff's pressure on its way through the beats of the artery: how far it moves from one beat to the next."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from sim.explain import pictured
from sim.explain.pictured import FALL_MARGIN_MMHG, Fall
from sim.figures.colours import TRUTH
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Point, circle, line, polyline, text

BOX = (0.0, 0.0, 480.0, 286.0)
CARD_BOX = (44.0, 22.0, 420.0, 236.0)
_LEFT, _RIGHT, _UPPER, _LOWER = 52.0, 460.0, 30.0, 250.0


def body(fall: Fall, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    end = fall.time_s[-1] if labels else min(fall.time_s[-1], max(fall.seconds + 3, 16))
    low, high = fall.dbp - 2 * FALL_MARGIN_MMHG, fall.sbp + 2 * FALL_MARGIN_MMHG

    def at(time_s: float, mmhg: float) -> Point:
        return (
            _LEFT + (_RIGHT - _LEFT) * time_s / end,
            _LOWER - (_LOWER - _UPPER) * (min(max(mmhg, low), high) - low) / (high - low),
        )

    pulse = polyline(
        [at(*p) for p in zip(fall.time_s, fall.artery_mmhg, strict=True) if p[0] <= end], TRUTH.colour, 1.5
    )
    last = min(fall.seconds, end)
    corners = [last * i / 200 for i in range(201)] if fall.course == "steps" else [0.0, last]
    cuff = polyline([at(t, fall.cuff(t)) for t in corners], shapes.CUFF, 4)
    parts = [f'<g opacity=".5">{pulse}</g>', cuff]
    parts += [circle(at(t, fall.cuff(t)), 4.5 if labels else 6, "#FFFFFF", shapes.INK, 2) for t in fall.between]
    if labels:
        parts += _labels(fall, at, end)
    return "".join(parts)


def sentence(fall: Fall) -> str:
    """What the drawing shows, with its numbers."""
    rate = f"{fall.rate_mmhg_per_s:g} mmHg/s"
    ways = {
        "deflating": f"The cuff's pressure falls by {rate}",
        "inflating": f"The cuff's pressure rises by {rate}",
        "steps": f"The cuff's pressure falls by steps of {fall.step_mmhg:g} mmHg, {rate} on the whole",
    }
    pulse, about = ("an irregular pulse", "on average ") if fall.irregular else ("a pulse", "")
    count = len(fall.between)
    return (
        f"{ways[fall.course]}; with {pulse} of {about}{fall.heart_rate:g} beats a minute that is "
        f"{about}{fall.between_beats_mmhg:.1f} mmHg from one beat to the next. "
        f"{count} beat{'' if count == 1 else 's'} (○) fall{'s' if count == 1 else ''} between systolic "
        f"{fall.sbp:g} and diastolic {fall.dbp:g}."
    )


def _labels(fall: Fall, at: Callable[[float, float], Point], end: float) -> list[str]:
    parts = []
    for mmhg in (fall.sbp, fall.dbp):
        y = at(0, mmhg)[1]
        parts.append(line((_LEFT, y), (_RIGHT, y), TRUTH.colour, 1.4, "6 5"))
        parts.append(text((_LEFT - 6, y + 6), f"{mmhg:g}", 17, "end", "#005C91", 700))
    parts.append(line((_LEFT, _LOWER + 6), (_RIGHT, _LOWER + 6), shapes.QUIET, 1.4))
    seconds = range(0, int(end) + 1, 10)
    for s in seconds:
        x = at(s, 0)[0]
        parts.append(line((x, _LOWER + 2), (x, _LOWER + 11), shapes.QUIET, 1.4))
        parts.append(text((x, _LOWER + 28), f"{s} s" if s == seconds[-1] else f"{s}", 16, "middle", shapes.QUIET))
    pairs = list(pairwise(fall.between))
    if pairs:
        parts += _gap(fall, at, pairs[len(pairs) // 2])
    return parts


def _gap(fall: Fall, at: Callable[[float, float], Point], pair: tuple[float, float]) -> list[str]:
    """The step from one beat to the next, and its size."""
    first, second = (at(t, fall.cuff(t)) for t in pair)
    corner = (second[0], first[1])
    words = f"{abs(fall.cuff(pair[1]) - fall.cuff(pair[0])):.1f} mmHg from this beat to the next"
    elbow = (max(corner[0] + 22, _RIGHT - 310), _UPPER + 2)
    return [
        line(first, corner, shapes.INK, 1.8),
        line(corner, second, shapes.INK, 3.2),
        line((corner[0] + 1, (first[1] + second[1]) / 2), elbow, shapes.INK, 1.4),
        text((_RIGHT, _UPPER - 6), words, 18, "end", weight=700),
    ]


DRAWING = Drawing.of_one_size(pictured.fall, body, sentence, BOX, CARD_BOX)
