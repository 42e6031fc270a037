"""Across the arm: how far the bladder goes round and where, the cloth under it, the gap of a loose cuff, a wrinkle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

from sim.cuff.bladder import FITTING_COVERAGE, FITTING_WIDTH_RATIO
from sim.say import say
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing, Told
from sim.screens.drawings.shapes import Point, circle, line, marked, placed, polyline, rect, text
from sim.setup import Setup

BOX = (0.0, 0.0, 448.0, 236.0)  # with room for letters a tenth wider than the widest known
CARD_BOX = (10.0, 8.0, 216.0, 220.0)
_CENTRE: Point = (118, 118)
_PX_PER_CM = 12.5
_ARTERY_ANGLE = -38.0  # where the artery lies in the drawing, clockwise from pointing right [degrees]


@dataclass(frozen=True)
class Section(Told):
    """What is drawn: the arm, the bladder round it, and what is between them."""

    arm_circumference_cm: float
    bladder_width_cm: float
    bladder_length_cm: float
    artery_radius_ratio: float = 0.35
    cuff_turned_deg: float = 0.0
    sleeve_mm: float = 0.0
    slack_cm: float = 0.0
    wrinkle_cm: float = 0.0

    @classmethod
    def shown(cls, inputs: Setup) -> Self:
        """What a reading shows across the arm."""
        bladder = inputs.instrument
        return cls.from_inputs(
            inputs,
            bladder_width_cm=float(bladder.bladder_width_cm),
            bladder_length_cm=float(bladder.bladder_length_cm),
        )

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
    fold = _Fold(section.wrinkle_cm / section.arm_circumference_cm * 180, ring)
    parts = [fold.arc(ring, _ARTERY_ANGLE - 180, _ARTERY_ANGLE + 180, 5, shapes.CUFF)]
    if cloth:
        parts.append(circle(_CENTRE, radius + cloth, shapes.CLOTH))
    parts += [
        circle(_CENTRE, radius, shapes.SKIN),
        circle(_CENTRE, radius * 0.94, "#D9A98B"),
        circle(_CENTRE, radius * 0.17, "#F1E7D6", "#CDBB9D", 2),  # the bone
        fold.arc(ring - 1 - gap / 2, middle - half, middle + half, 11 + gap, shapes.CUFF_LIGHT),
        fold.ridge(),
        _mark(ring, middle),
        circle(artery, 6, shapes.HEART, "#FFFFFF"),
    ]
    if section.cuff_turned_deg:
        parts.append(_turn(radius, section.cuff_turned_deg))
        if scales:
            place = _polar(ring + 24, middle)
            parts.append(text((place[0], place[1] + 6), f"{abs(section.cuff_turned_deg):g}°", 17, "middle", weight=700))
    if scales:
        parts.append(_artery_name(artery, section.cuff_turned_deg))
        parts.append(_scale(72, say("Bladder width"), section.width_percent, FITTING_WIDTH_RATIO, 80))
        parts.append(_scale(172, say("Bladder length"), section.length_percent, FITTING_COVERAGE, 160))
        parts += _names(section, ring)
    return "".join(parts)


@dataclass(frozen=True)
class _Fold:
    """A wrinkle over the artery: half its width [degrees of the way round], on a cuff of radius `ring`."""

    half: float
    ring: float

    def arc(self, radius: float, start: float, end: float, width: float, colour: str) -> str:
        """Part of a ring from start to end, without the part where the wrinkle lifts it off."""
        if not self.half:
            return _arc(radius, start, end, width, colour)
        parts, skip = "", self.half
        for turn in (-360, 0, 360):  # the wrinkle's place, and the same a turn on
            low, high = _ARTERY_ANGLE + turn + skip, _ARTERY_ANGLE + turn + 360 - skip
            first, last = max(start, low), min(end, high)
            if last - first > 0.5:
                parts += _arc(radius, first, last, width, colour)
        return parts

    def ridge(self) -> str:
        """The fold itself, standing off the arm."""
        if not self.half:
            return ""
        foot = self.ring - 7
        (x1, y1), (x2, y2) = (_polar(foot, _ARTERY_ANGLE + side * self.half) for side in (-1, 1))
        (x3, y3), (x4, y4) = (_polar(self.ring + 40, _ARTERY_ANGLE + side * self.half * 0.7) for side in (-1, 1))
        path = f"M{x1:.1f} {y1:.1f}C{x3:.1f} {y3:.1f} {x4:.1f} {y4:.1f} {x2:.1f} {y2:.1f}"
        return (
            f'<path d="{path}" fill="#FBF9F5" stroke="{shapes.CUFF}" stroke-width="9" stroke-linejoin="round"/>'
            f'<path d="{path}" fill="none" stroke="{shapes.CUFF_LIGHT}" stroke-width="4.5"/>'
        )


def _mark(ring: float, middle: float) -> str:
    """The mark on the middle of the bladder."""
    return line(_polar(ring - 6, middle), _polar(ring + 6, middle), "#FFFFFF", 3.4)


def _turn(radius: float, turned: float) -> str:
    """How far the mark is from the artery, as an arc inside the arm."""
    at = radius * 0.72
    direction = 1 if turned > 0 else -1
    angles = [_ARTERY_ANGLE + turned * i / 24 for i in range(25)]
    tip = _polar(at, angles[-1])
    head = placed(tip, angles[-1] + 90 * direction, f'<path d="M4 0L-8-6V6Z" fill="{shapes.INK}"/>')
    return marked(polyline([_polar(at, a) for a in angles[:-1]], shapes.INK, 2.2) + head)


def _artery_name(artery: Point, turned: float) -> str:
    """Beside the artery, on the side that the arrow of a turned cuff leaves free."""
    side, dx, dy = ("end", -11, -5) if turned > 0 else ("start", 11, 5)
    return text((artery[0] + dx, artery[1] + dy), say("artery"), 14, side, shapes.HEART, 600)


def _names(section: Section, ring: float) -> list[str]:
    """What is wrong, named beside it."""
    parts = []
    if section.wrinkle_cm:
        parts += [text((4, 16), say("wrinkle, {cm} cm", cm=f"{section.wrinkle_cm:g}"), 16, weight=600)]
        parts.append(marked(line((64, 23), _polar(ring + 20, _ARTERY_ANGLE - 6), shapes.INK, 1.4)))
    if section.slack_cm:
        parts.append(text((4, 232), say("{cm} cm too loose", cm=f"{section.slack_cm:g}"), 16, weight=600))
    return parts


def _polar(radius: float, angle: float) -> Point:
    return _CENTRE[0] + radius * math.cos(math.radians(angle)), _CENTRE[1] + radius * math.sin(math.radians(angle))


def _arc(radius: float, start: float, end: float, width: float, colour: str) -> str:
    """Part of a ring, drawn as two halves so that a whole turn works too."""
    middle = (start + end) / 2
    (x1, y1), (x2, y2), (x3, y3) = (_polar(radius, a) for a in (start, middle, end))
    r = f"{radius:.1f}"
    return (
        f'<path d="M{x1:.1f} {y1:.1f}A{r} {r} 0 0 1 {x2:.1f} {y2:.1f}A{r} {r} 0 0 1 {x3:.1f} {y3:.1f}" fill="none" '
        f'stroke="{colour}" stroke-width="{width:.1f}" stroke-linecap="butt"/>'
    )


def sentence(section: Section) -> str:
    """What the drawing shows, with its numbers."""
    arm = say("An arm {cm} cm round.", cm=f"{section.arm_circumference_cm:g}")
    size = f"{section.bladder_width_cm:g} × {section.bladder_length_cm:g} cm"
    share = say(
        "The bladder, {size}, is {width} % of that wide and {length} % of it long.",
        size=size,
        width=f"{section.width_percent:.0f}",
        length=f"{section.length_percent:.0f}",
    )
    extras = []
    if section.sleeve_mm:
        extras.append(say("{mm} mm of cloth lie under it", mm=f"{section.sleeve_mm:g}"))
    if section.slack_cm:
        extras.append(say("it is wrapped {cm} cm too loosely", cm=f"{section.slack_cm:g}"))
    if section.cuff_turned_deg:
        extras.append(
            say(
                "its middle, the white mark, is turned {degrees} degrees off the artery",
                degrees=f"{abs(section.cuff_turned_deg):g}",
            )
        )
    if section.wrinkle_cm:
        extras.append(
            say("a wrinkle keeps it off the skin over the artery, {cm} cm wide", cm=f"{section.wrinkle_cm:g}")
        )
    said = "; ".join(extras)
    return f"{arm} {share}" + (f" {said[0].upper()}{said[1:]}." if said else "")


def _scale(y: float, name: str, percent: float, fitting: tuple[float, float], top: float) -> str:
    """A scale from 0 to `top` % of arm circumference with the fitting share and where this bladder is."""
    left, width = 236.0, 172.0

    def x(value: float) -> float:
        return left + width * min(value, top) / top

    low, high = (100 * share for share in fitting)
    recommended = say("recommended {low} to {high} %", low=f"{low:.0f}", high=f"{high:.0f}")
    return "".join(
        (
            text((left, y - 34), name, 15, weight=600),
            text((left, y - 14), say("{percent} % of circumference", percent=f"{percent:.0f}"), 15),
            rect((left, y), width, 8, "#E6E0D5", 4),
            rect((x(low), y), x(high) - x(low), 8, "#8FA39B"),
            f'<path d="M{x(percent):.1f} {y + 4}l-7-11h14z" fill="{shapes.INK}"/>',
            text(
                (left, y + 28),
                recommended,
                14,
                fill=shapes.QUIET,
            ),
        )
    )


DRAWING = Drawing.of_one_size(Section.shown, body, sentence, BOX, CARD_BOX)
