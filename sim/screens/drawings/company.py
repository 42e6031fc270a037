"""Somebody who stands beside the person who is measured."""

from __future__ import annotations

from sim.say import mark, say
from sim.screens.drawings import furniture, shapes
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.shapes import circle, limb, placed, rect, text

_X, _TOP = 420.0, 20.0
_LYING_X, _LYING_TOP = 500.0, 56.0
_COAT, _EDGE = "#FFFFFF", "#8A9198"
_BODY = "M-34 72q4-22 34-22t34 22v200h-68z"
_NAMES = {"silent": mark("says nothing"), "doctor": mark("doctor")}


def draw(scene: Scene, labels: bool) -> str:
    """The second person, behind everything else; nothing where nobody is there."""
    if scene.company == "alone":
        return ""
    doctor = scene.company == "doctor"
    coat, edge = (_COAT, _EDGE) if doctor else (shapes.CLOTH, shapes.CLOTH_DARK)
    x, top = (_LYING_X, _LYING_TOP) if scene.lying else (_X, _TOP)
    legs = furniture.floor_y(scene) - top - 268
    parts = [
        *(rect((side, 268), 22, legs, shapes.TROUSERS_DARK) for side in (-25, 3)),
        limb((0, 34), (0, 56), 15, 17, shapes.SKIN_DARK),
        circle((0, 22), 20, shapes.SKIN_DARK),
        f'<path d="M-21 20a21 21 0 0 1 42 0q-10-11-21-11t-21 11z" fill="{shapes.HAIR}"/>',
        f'<path d="{_BODY}" fill="{coat}" stroke="{edge}" stroke-width="2"/>',
        f'<path d="M-9 51L0 76 9 51M0 76V272" fill="none" stroke="{edge}" stroke-width="2"/>' if doctor else "",
        f'<path d="M-5 31h10" stroke="{shapes.HAIR}" stroke-width="2" stroke-linecap="round"/>',
    ]
    if labels:
        parts.append(text((0, -6), say(_NAMES[scene.company]), 15, "middle"))
    return placed((x, top), 0, "".join(parts))
