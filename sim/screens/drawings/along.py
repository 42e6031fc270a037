"""Along the arm, from shoulder to hand: where the cuff lies, and where the crease of the elbow is."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan
from typing import Self

from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing, Told
from sim.screens.drawings.shapes import arrow, limb, line, placed, rect, text
from sim.setup import Setup

BOX = (0.0, 0.0, 480.0, 216.0)
CARD_BOX = (8.0, 26.0, 472.0, 150.0)
_SHOULDER, _ELBOW, _WRIST = (44.0, 92.0), (262.0, 108.0), (410.0, 92.0)
_PX_PER_CM = 6.8  # an upper arm of 32 cm
_ABOVE_CM = 2.5  # lower edge of the cuff above the crease: common practice


@dataclass(frozen=True)
class Along(Told):
    """Bladder width and arm circumference [cm]; whether the cuff lies over the crease of the elbow; the arm's slant."""

    bladder_width_cm: float
    arm_circumference_cm: float
    over_crease: bool
    slant_degrees: float = 90.0

    @classmethod
    def shown(cls, inputs: Setup) -> Self:
        """What a reading shows along the arm."""
        return cls.from_inputs(
            inputs,
            bladder_width_cm=float(inputs.instrument.bladder_width_cm),
            over_crease=str(inputs.technique.elbow_crease) == "yes",
            slant_degrees=float(inputs.subject.arm_slant_degrees),
        )


def body(along: Along, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    thick = min(max(along.arm_circumference_cm * 2.1, 44.0), 92.0)
    width = along.bladder_width_cm * _PX_PER_CM
    edge = _ABOVE_CM * _PX_PER_CM
    middle = _ELBOW[0] if along.over_crease else _ELBOW[0] - edge - width / 2
    y = _SHOULDER[1] + (_ELBOW[1] - _SHOULDER[1]) * (middle - _SHOULDER[0]) / (_ELBOW[0] - _SHOULDER[0])
    parts = [
        limb(_ELBOW, _WRIST, thick * 0.8, thick * 0.5, shapes.SKIN),
        limb(_SHOULDER, _ELBOW, *_ends(along, thick), shapes.SKIN),
        placed(_WRIST, -8, _HAND),
        _artery(),
        placed((middle, y), 0 if along.over_crease else 4, _cuff(width, thick * 1.06)),
        _crease(along.over_crease, thick),
    ]
    if labels:
        low = _ELBOW[1] + thick * 0.5
        parts += [
            text((_SHOULDER[0], 30), "shoulder", 17, "middle"),
            line((_ELBOW[0], low + 10), (_ELBOW[0], low + 34), shapes.INK, 1.6),
            text((_ELBOW[0], low + 54), "crease of the elbow", 17, "middle", weight=600),
            text((middle, y - thick * 0.53 - 18), "middle of the cuff", 17, "middle"),
            line((middle, y - thick * 0.53 - 12), (middle, y - thick * 0.53 - 1), shapes.INK, 1.6),
        ]
        if not along.over_crease:
            parts += [arrow((_ELBOW[0] - edge, low + 22), (_ELBOW[0], low + 22), head=4)]
            parts += [text((_ELBOW[0] - edge - 6, low + 28), f"{_ABOVE_CM:g} cm", 16, "end")]
    return "".join(parts)


def _ends(along: Along, thick: float) -> tuple[float, float]:
    """How thick the upper arm is at shoulder and elbow: a cone's slant, made twice as steep so that it can be seen."""
    if along.slant_degrees >= 90:
        return thick * 1.12, thick * 0.84
    step = 4 * (_ELBOW[0] - _SHOULDER[0]) / tan(radians(along.slant_degrees))
    return min(thick + step / 2, thick * 1.5), max(thick - step / 2, thick * 0.3)


def sentence(along: Along) -> str:
    """What the drawing shows, with its numbers."""
    if along.over_crease:
        return (
            f"Along the arm: the bladder, {along.bladder_width_cm:g} cm wide, lies over the crease of the elbow "
            "(dashed); it is drawn half on the forearm."
        )
    return (
        f"Along the arm: the lower edge of the bladder, {along.bladder_width_cm:g} cm wide, is {_ABOVE_CM:g} cm above "
        "the crease of the elbow, as is common practice."
    ) + _slant(along)


def _slant(along: Along) -> str:
    if along.slant_degrees >= 90:
        return ""
    return (
        f" The arm is conical: its skin slants by {along.slant_degrees:g}°, drawn about twice as steep. "
        "The cuff is a cylinder and stands off the skin at its lower edge."
    )


_HAND = (
    f'<path d="M-6-14C12-20 34-19 46-12Q60-6 58 3 54 15 34 15H-6Z" fill="{shapes.SKIN}"/>'
    f'<path d="M12-12Q30-30 40-23 44-16 30-9Z" fill="{shapes.SKIN_DARK}"/>'
)


def _crease(covered: bool, thick: float) -> str:
    """The crease of the elbow; dashed through a cuff that covers it."""
    path = f"M{_ELBOW[0] - 7} {_ELBOW[1] - thick * 0.3:.1f}q10 {thick * 0.3:.1f} 2 {thick * 0.62:.1f}"
    look = 'stroke="#FFFFFF" stroke-dasharray="7 6"' if covered else f'stroke="{shapes.SKIN_DARK}"'
    return f'<path d="{path}" fill="none" {look} stroke-width="3.4" stroke-linecap="round"/>'


def _artery() -> str:
    """The artery down the arm, dividing below the elbow."""
    (x1, y1), (x2, y2) = _SHOULDER, _ELBOW
    path = f"M{x1} {y1 + 4}C{x1 + 90} {y1 + 14} {x2 - 50} {y2} {x2 + 14} {y2}C{x2 + 50} {y2 - 14} 360 84 412 82"
    path += f"M{x2 + 14} {y2}C{x2 + 60} {y2 + 6} 360 108 412 100"
    return f'<path d="{path}" fill="none" stroke="{shapes.HEART}" stroke-width="3" opacity=".75"/>'


def _cuff(width: float, high: float) -> str:
    return "".join(
        (
            rect((-width / 2 - 6, -high / 2), width + 12, high, shapes.CUFF, 8),
            f'<rect x="{-width / 2:.1f}" y="{-high / 2 - 3:.1f}" width="{width:.1f}" height="{high + 6:.1f}" rx="10" '
            f'fill="{shapes.CUFF_LIGHT}" opacity=".88"/>',
        )
    )


DRAWING = Drawing.of_one_size(Along.shown, body, sentence, BOX, CARD_BOX)
