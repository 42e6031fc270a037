"""What the seated person's drawing is told, and where the joints of the arm then are."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sim.screens.drawings.shapes import Point, between

PX_PER_CM = 2.2
SHOULDER: Point = (176, 140)
HEART: Point = (186, 184)
UPPER_ARM = 108.0
FOREARM = 92.0
CUFF_ALONG = 70.0  # from the shoulder to the middle of the cuff
DROOP = 18.0  # how far the shoulder is let down for the lowest cuffs
STRETCH = 1.3  # and how far the arm is drawn out for them
TABLE_Y = 222.0  # as in seated.svg


@dataclass(frozen=True)
class Scene:
    """What is drawn: plain numbers and names of one reading's fields."""

    cuff_below_heart_cm: float = 0.0
    arm_circumference_cm: float = 29.0
    bladder_width_cm: float = 12.0
    sleeve_mm: float = 0.0
    rolled_up: bool = False
    talking: str = "no"
    quiet_min: float = 0.0


@dataclass(frozen=True)
class Arm:
    """Joints of the arm in the drawing."""

    shoulder: Point
    elbow: Point
    wrist: Point
    cuff: Point
    thickness: float


def pose(scene: Scene) -> Arm:
    """Where the joints are, so that the middle of the cuff is at its height (as far as an arm reaches)."""
    wanted = HEART[1] + scene.cuff_below_heart_cm * PX_PER_CM
    lowest = SHOULDER[1] + CUFF_ALONG
    shoulder = (SHOULDER[0], SHOULDER[1] + min(max(wanted - lowest, 0.0), DROOP))
    stretch = min(max((wanted - shoulder[1]) / CUFF_ALONG, 1.0), STRETCH)
    drop = min(max((wanted - shoulder[1]) / CUFF_ALONG, -0.8), 1.0)
    lift = math.acos(drop)  # 0 hanging, 90 degrees level
    long = UPPER_ARM * stretch
    elbow = (shoulder[0] + long * math.sin(lift), shoulder[1] + long * math.cos(lift))
    # Forearm: level on its support; from the lap downwards it swings to hanging.
    level = min(max((math.degrees(lift) - 2) / 12, 0.0), 1.0)
    turn = math.radians(86 * (1 - level) + 4 * level)
    wrist = (elbow[0] + FOREARM * math.cos(turn), elbow[1] + FOREARM * math.sin(turn))
    thickness = min(max(scene.arm_circumference_cm * 1.12, 22.0), 50.0)
    return Arm(shoulder, elbow, wrist, between(shoulder, elbow, CUFF_ALONG / UPPER_ARM), thickness)
