"""Across the arm: how far the bladder goes round, the cloth under it, the gap of a loose cuff."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sim.cuff.bladder import FITTING_COVERAGE, FITTING_WIDTH_RATIO
from sim.screens.drawings import shapes
from sim.screens.drawings.shapes import Point, circle, rect, text

BOX = (0.0, 0.0, 420.0, 236.0)
_CENTRE: Point = (118, 118)
_PX_PER_CM = 12.5
_ARTERY_ANGLE = -38.0  # where the artery lies in the drawing, clockwise from pointing right [degrees]


@dataclass(frozen=True)
class Section:
    """What is drawn: the arm, the bladder round it, and what is between them."""

    arm_circumference_cm: float
    bladder_width_cm: float
    bladder_length_cm: float
    artery_radius_ratio: float = 0.35
    cuff_turned_deg: float = 0.0
    sleeve_mm: float = 0.0
    slack_cm: float = 0.0

    @property
    def width_percent(self) -> float:
        """Bladder width as a share of arm circumference [%]."""
        return 100 * self.bladder_width_cm / self.arm_circumference_cm

    @property
    def length_percent(self) -> float:
        """Bladder length as a share of arm circumference [%]; over 100 where its ends overlap."""
        return 100 * self.bladder_length_cm / self.arm_circumference_cm


def body(section: Section, scales: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    radius = min(section.arm_circumference_cm / (2 * math.pi) * _PX_PER_CM, 88)
    scale = radius / (section.arm_circumference_cm / (2 * math.pi))
    cloth = max(section.sleeve_mm / 10 * scale * 1.6, 2.5) if section.sleeve_mm else 0.0
    gap = section.slack_cm / (2 * math.pi) * scale
    ring = radius + cloth + gap + 5
    half = min(section.length_percent, 100) / 100 * 180
    middle = _ARTERY_ANGLE + section.cuff_turned_deg
    artery = _polar(radius * section.artery_radius_ratio, _ARTERY_ANGLE)
    parts = [circle(_CENTRE, ring, "none", shapes.CUFF, 5)]
    if cloth:
        parts.append(circle(_CENTRE, radius + cloth, shapes.CLOTH))
    parts += [
        circle(_CENTRE, radius, shapes.SKIN),
        circle(_CENTRE, radius * 0.94, "#D9A98B"),
        circle(_CENTRE, radius * 0.17, "#F1E7D6", "#CDBB9D", 2),  # the bone
        _arc(ring - 1 - gap / 2, middle - half, middle + half, 11 + gap),
        circle(artery, 6, shapes.HEART, "#FFFFFF"),
    ]
    if scales:
        parts.append(text((artery[0] + 11, artery[1] - 7), "artery", 14, fill=shapes.HEART, weight=600))
        parts.append(_scale(72, "Bladder width", section.width_percent, FITTING_WIDTH_RATIO, 80))
        parts.append(_scale(172, "Bladder length", section.length_percent, FITTING_COVERAGE, 160))
    return "".join(parts)


def _polar(radius: float, angle: float) -> Point:
    return _CENTRE[0] + radius * math.cos(math.radians(angle)), _CENTRE[1] + radius * math.sin(math.radians(angle))


def _arc(radius: float, start: float, end: float, width: float) -> str:
    """Part of a ring, drawn as two halves so that a whole turn works too."""
    middle = (start + end) / 2
    (x1, y1), (x2, y2), (x3, y3) = (_polar(radius, a) for a in (start, middle, end))
    r = f"{radius:.1f}"
    return (
        f'<path d="M{x1:.1f} {y1:.1f}A{r} {r} 0 0 1 {x2:.1f} {y2:.1f}A{r} {r} 0 0 1 {x3:.1f} {y3:.1f}" fill="none" '
        f'stroke="{shapes.CUFF_LIGHT}" stroke-width="{width:.1f}" stroke-linecap="butt"/>'
    )


def _scale(y: float, name: str, percent: float, fitting: tuple[float, float], top: float) -> str:
    """A scale from 0 to `top` % of arm circumference with the fitting share and where this bladder is."""
    left, width = 236.0, 172.0

    def x(value: float) -> float:
        return left + width * min(value, top) / top

    low, high = (100 * share for share in fitting)
    return "".join(
        (
            text((left, y - 34), name, 15, weight=600),
            text((left, y - 14), f"{percent:.0f} % of circumference", 15),
            rect((left, y), width, 8, "#E6E0D5", 4),
            rect((x(low), y), x(high) - x(low), 8, "#8FA39B"),
            f'<path d="M{x(percent):.1f} {y + 4}l-7-11h14z" fill="{shapes.INK}"/>',
            text((left, y + 28), f"recommended {low:.0f} to {high:.0f} %", 14, fill=shapes.QUIET),
        )
    )
