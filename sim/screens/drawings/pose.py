"""What the person's drawing is told, and where the joints of the measured arm then are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

from sim.parameters import DEEP_BREATHS_PER_MIN
from sim.screens.drawings.drawing import Told
from sim.screens.drawings.shapes import Point, between
from sim.setup import Setup

PX_PER_CM = 2.2
HEART: Point = (186, 184)
UPPER_ARM = 108.0
FOREARM = 92.0
CUFF_ALONG = 70.0  # from the shoulder to the middle of the cuff
CREASE_ALONG = 104.0  # and where it lies over the crease of the elbow
SHOULDER: Point = (176, 140)
DROOP = 18.0  # how far the shoulder is let down for the lowest cuffs
STRETCH = 1.3  # and how far the arm is drawn out for them
TABLE_Y = 222.0
# Lying, the upper body is the sitting one turned back by a right angle: (x, y) goes to (LYING_X + y, LYING_Y - x).
LYING_X, LYING_Y = 24.0, 370.0


@dataclass(frozen=True)
class Scene(Told):
    """What is drawn: plain numbers and names of one reading's fields."""

    cuff_below_heart_cm: float = 0.0
    arm_circumference_cm: float = 29.0
    bladder_width_cm: float = 12.0
    sleeve_mm: float = 0.0
    rolled_up: bool = False
    elbow_crease: bool = False
    talking: str = "no"
    quiet_min: float = 0.0
    movement_mmhg: float = 0.0
    movement: str = "jolts"
    other_arm: str = "still"
    legs: str = "flat"
    back: str = "supported"
    held_up: bool = False
    position: str = "sitting"
    deep_breaths_per_min: float = 0.0
    cold: bool = False
    company: str = "alone"
    time_of_day: str = "between"
    season: str = "between"
    table_lower_cm: float = 0.0

    @classmethod
    def shown(cls, inputs: Setup) -> Self:
        """What a reading shows of the person."""
        technique = inputs.technique
        return cls.from_inputs(
            inputs,
            bladder_width_cm=float(inputs.instrument.bladder_width_cm),
            rolled_up=str(technique.sleeve_rolled_up) == "yes",
            elbow_crease=str(technique.elbow_crease) == "yes",
            held_up=str(technique.arm_support) == "held-up",
            deep_breaths_per_min=DEEP_BREATHS_PER_MIN if str(technique.breathing) == "deep" else 0.0,
            cold=str(technique.cold) == "yes",
        )

    @property
    def table_y(self) -> float:
        """The table's top."""
        return TABLE_Y + PX_PER_CM * self.table_lower_cm

    @property
    def shivers(self) -> bool:
        """Whether the person shivers: what moves so, and what jolts in the cold."""
        kind = self.movement == "shivering" or (self.cold and self.movement == "jolts")
        return self.movement_mmhg > 0 and kind

    @property
    def lying(self) -> bool:
        """Whether the person lies."""
        return self.position != "sitting"

    @property
    def on_couch(self) -> bool:
        """Whether the person sits on an examination table."""
        return self.back == "exam-table" and not self.lying


@dataclass(frozen=True)
class Arm:
    """Joints of the arm in the drawing."""

    shoulder: Point
    elbow: Point
    wrist: Point
    cuff: Point
    thickness: float


def heart(scene: Scene) -> Point:
    """The heart's place in the drawing; its height is the same sitting and lying."""
    return lying(HEART) if scene.lying else HEART


def lying(place: Point) -> Point:
    """Where a place of the upright upper body is when the person lies."""
    return LYING_X + place[1], LYING_Y - place[0]


def pose(scene: Scene) -> Arm:
    """Where the joints are, so that the middle of the cuff is at its height (as far as an arm reaches)."""
    shoulder, elbow, turn = _lying_arm(scene) if scene.lying else _sitting_arm(scene)
    wrist = (elbow[0] + FOREARM * math.cos(turn), elbow[1] + FOREARM * math.sin(turn))
    thickness = min(max(scene.arm_circumference_cm * 1.12, 22.0), 50.0)
    return Arm(shoulder, elbow, wrist, between(shoulder, elbow, _along(scene) / UPPER_ARM), thickness)


def _along(scene: Scene) -> float:
    return CREASE_ALONG if scene.elbow_crease else CUFF_ALONG


def _wanted(scene: Scene) -> float:
    """How far down the middle of the cuff belongs."""
    return HEART[1] + scene.cuff_below_heart_cm * PX_PER_CM


def _sitting_arm(scene: Scene) -> tuple[Point, Point, float]:
    """Shoulder, elbow, and the forearm's direction [rad]."""
    wanted, along = _wanted(scene), _along(scene)
    lowest = SHOULDER[1] + along
    shoulder = (SHOULDER[0], SHOULDER[1] + min(max(wanted - lowest, 0.0), DROOP))
    stretch = min(max((wanted - shoulder[1]) / along, 1.0), STRETCH)
    drop = min(max((wanted - shoulder[1]) / along, -0.8), 1.0)
    lift = math.acos(drop)  # 0 hanging, 90 degrees level
    long = UPPER_ARM * stretch
    elbow = (shoulder[0] + long * math.sin(lift), shoulder[1] + long * math.cos(lift))
    # Forearm: level on its support; from the lap downwards it swings to hanging.
    level = min(max((math.degrees(lift) - 2) / 12, 0.0), 1.0)
    return shoulder, elbow, math.radians(86 * (1 - level) + 4 * level)


def _lying_arm(scene: Scene) -> tuple[Point, Point, float]:
    """Shoulder, elbow, and the forearm's direction [rad]: beside the body, or in the air."""
    shoulder = lying(SHOULDER)
    drop = min(max((_wanted(scene) - shoulder[1]) / _along(scene), -0.95), 0.95)
    elbow = (shoulder[0] + UPPER_ARM * math.sqrt(1 - drop**2), shoulder[1] + UPPER_ARM * drop)
    return shoulder, elbow, math.radians(-62 if scene.held_up else 4 + 60 * max(drop, 0.0))
