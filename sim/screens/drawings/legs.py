"""The legs: joints for each way of holding them, and how they are drawn."""

from __future__ import annotations

from dataclasses import dataclass

from sim.screens.drawings import shapes
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.shapes import Point, between, placed


@dataclass(frozen=True)
class Leg:
    """Joints of a leg; how far the foot is turned clockwise from standing on a floor [degrees]."""

    hip: Point
    knee: Point
    ankle: Point
    foot: float = 0.0


_FAR = Leg((176, 252), (278, 256), (284, 372))
_NEAR = Leg((160, 252), (264, 257), (268, 371))
_OVER = Leg((160, 250), (274, 243), (326, 330), 14)  # the near knee over the far one
# The far and the near leg, by how they are held.
SITTING = {
    "flat": (_FAR, _NEAR),
    "knees": (_FAR, _OVER),
    "ankles": (Leg((176, 252), (282, 256), (296, 370)), Leg((160, 252), (260, 257), (322, 366), -10)),
}
# Feet off the floor, toes hanging.
HANGING = {
    "flat": (Leg((176, 252), (284, 257), (296, 366), 20), Leg((160, 252), (268, 258), (272, 366), 20)),
    "knees": (Leg((176, 252), (284, 257), (288, 366), 20), _OVER),
    "ankles": (Leg((176, 252), (284, 257), (292, 366), 20), Leg((160, 252), (264, 258), (318, 356), 12)),
}
LYING = {
    "flat": (Leg((274, 202), (384, 204), (490, 206), -82), Leg((274, 210), (384, 211), (484, 213), -78)),
    "knees": (Leg((274, 202), (382, 204), (490, 206), -82), Leg((274, 208), (362, 148), (452, 198), -32)),
    "ankles": (Leg((274, 204), (384, 208), (478, 212), -82), Leg((274, 208), (384, 200), (490, 190), -74)),
}
# Two figures of one posture: how much it moves the pressure is not to be seen.
for _held in (SITTING, HANGING, LYING):
    _held["knees-normal"] = _held["knees"]
_WIDTHS = (33, 37)
_SHOE = "M-18-4h36q25 4 28 24h-64z"


def joints(scene: Scene) -> tuple[Leg, Leg]:
    """The far and the near leg."""
    table = LYING if scene.lying else HANGING if scene.on_couch else SITTING
    return table[scene.legs]


def far(scene: Scene) -> str:
    """The leg behind."""
    return _leg(joints(scene)[0], _WIDTHS[0], shapes.TROUSERS_DARK)


def near(scene: Scene) -> str:
    """The leg in front; a crossed one with a pale edge, so that it stands out from the other."""
    leg = joints(scene)[1]
    from_thigh = Leg(between(leg.hip, leg.knee, 0.5), leg.knee, leg.ankle)
    edge = _path(from_thigh, _WIDTHS[1] + 4, "#8D97A2", "butt") if scene.legs != "flat" else ""
    return edge + _leg(leg, _WIDTHS[1], shapes.TROUSERS)


def _leg(leg: Leg, width: float, colour: str) -> str:
    return _path(leg, width, colour) + placed(leg.ankle, leg.foot, f'<path d="{_SHOE}" fill="{shapes.SHOE}"/>')


def _path(leg: Leg, width: float, colour: str, ends: str = "round") -> str:
    points = "L".join(f"{x:g} {y:g}" for x, y in (leg.hip, leg.knee, leg.ankle))
    style = f'fill="none" stroke-linejoin="round" stroke-linecap="{ends}"'
    return f'<path d="M{points}" stroke="{colour}" stroke-width="{width:g}" {style}/>'
