"""How the reading was taken: the arm's height, the fit of the cuff, the sleeve, the behaviour.

The default of each field is the correct technique.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from sim.fields import Choice, Fields, Limit


@dataclass(frozen=True, eq=False)
class Technique(Fields):
    """How one or n readings were taken. Fields are scalars or arrays of shape (n,).

    cuff_below_heart_cm: the middle of the cuff below the heart (negative: above) [cm]
    slack_cm: how much longer the wrapped cuff is than the arm is round [cm]
    cuff_turned_deg: the bladder's middle turned off the artery [degrees]
    sleeve_mm: thickness of cloth between cuff and skin [mm]
    sleeve_rolled_up: "yes": a sleeve rolled up tightly above the cuff (empirical)
    talking: the kind of talk during the reading, a name from body/responses.toml
    quiet_min: minutes of silence between that talk and the reading; 0 is talking on [min]
    movement_mmhg: typical height of the bursts that a moving arm leaves in the cuff [mmHg]
    other_arm, legs, back, arm, position, breathing: posture and movement of the rest of the body
    rest_min: minutes of quiet sitting before the reading [min]
    reading_number: which reading of the visit this is, 1 the first; the third stands for all later ones
    caffeine, nicotine, meal, full_bladder, cold: what came before, or the surroundings
    elbow_crease: "yes": the cuff lies over the crease of the elbow (empirical)
    wrinkle_cm: width over the artery where a wrinkle keeps the bladder off the skin [cm]

    Raises FieldError, naming the field, the value and the allowed range.
    """

    cuff_below_heart_cm: Any = 0.0
    slack_cm: Any = 0.0
    cuff_turned_deg: Any = 0.0
    sleeve_mm: Any = 0.0
    sleeve_rolled_up: Any = "no"
    talking: Any = "no"
    quiet_min: Any = 0.0
    movement_mmhg: Any = 0.0
    other_arm: Any = "still"
    legs: Any = "flat"
    back: Any = "supported"
    arm: Any = "supported"
    position: Any = "sitting"
    breathing: Any = "normal"
    rest_min: Any = 5.0
    reading_number: Any = 3
    caffeine: Any = "no"
    nicotine: Any = "no"
    meal: Any = "no"
    full_bladder: Any = "no"
    cold: Any = "no"
    elbow_crease: Any = "no"
    wrinkle_cm: Any = 0.0

    LIMITS: ClassVar[dict[str, Limit | Choice]] = {
        "cuff_below_heart_cm": Limit(-40, 60, 0, 1, "cm", "Middle of the cuff below the heart"),
        "slack_cm": Limit(0, 8, 0, 0.5, "cm", "Slack in the wrapped cuff"),
        "cuff_turned_deg": Limit(-180, 180, 0, 5, "degrees", "Cuff turned off the artery"),
        "sleeve_mm": Limit(0, 10, 0, 0.5, "mm", "Cloth under the cuff"),
        "sleeve_rolled_up": Choice(
            {"no": "arm bare above the cuff", "yes": "sleeve rolled up tightly above the cuff"},
            "no",
            "Sleeve above the cuff",
        ),
        "talking": Choice(
            {
                "no": "silent",
                "conversation": "ordinary conversation",
                "stressful": "stressful talk",
                "reading": "reading aloud, relaxed",
            },
            "no",
            "Talking during the reading",
        ),
        "quiet_min": Limit(0, 30, 0, 1, "min", "Silence between the talk and the reading"),
        "movement_mmhg": Limit(0, 20, 0, 0.5, "mmHg", "Movement of the arm, as bursts in the cuff"),
        "other_arm": Choice({"still": "other arm still", "moving": "other arm moving"}, "still", "The other arm"),
        "legs": Choice(
            {
                "flat": "feet flat on the floor",
                "ankles": "legs crossed at the ankle",
                "knees": "legs crossed at the knee",
            },
            "flat",
            "Legs",
        ),
        "back": Choice(
            {
                "supported": "back against the chair",
                "unsupported": "back unsupported",
                "exam-table": "on an examination table, feet hanging",
            },
            "supported",
            "Back",
        ),
        "arm": Choice(
            {"supported": "arm resting on the table", "held-up": "arm held up by its own muscles"},
            "supported",
            "Support of the arm",
        ),
        "position": Choice(
            {
                "sitting": "sitting",
                "lying": "lying, as in a study of 57 people",
                "lying-2": "lying, as in a study of 1,778 people",
            },
            "sitting",
            "Position",
        ),
        "breathing": Choice({"normal": "breathing as usual", "deep": "breathing deeply"}, "normal", "Breathing"),
        "rest_min": Limit(0, 30, 5, 1, "min", "Quiet sitting before the reading"),
        "reading_number": Limit(1, 10, 3, 1, "", "Which reading of the visit"),
        "caffeine": Choice(
            {"no": "no coffee before", "yes": "two cups of coffee within the last hour"}, "no", "Coffee before"
        ),
        "nicotine": Choice({"no": "no tobacco before", "yes": "smoked just before"}, "no", "Tobacco before"),
        "meal": Choice({"no": "no meal before", "yes": "a meal just before"}, "no", "Meal before"),
        "full_bladder": Choice({"no": "bladder emptied", "yes": "full urinary bladder"}, "no", "Urinary bladder"),
        "cold": Choice({"no": "comfortably warm", "yes": "cold room"}, "no", "Temperature"),
        "elbow_crease": Choice(
            {"no": "cuff above the elbow", "yes": "cuff over the crease of the elbow"}, "no", "Place of the cuff"
        ),
        "wrinkle_cm": Limit(0, 2, 0, 0.1, "cm", "Width of a wrinkle over the artery"),
    }
