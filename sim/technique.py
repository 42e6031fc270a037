"""How the reading was taken: the arm's height, the fit of the cuff, the sleeve, the behaviour.

The default of each field is the correct technique.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sim.fields import MEASURING_ERROR, MODIFIER, RESPONSE, Fields, Values, choice, number
from sim.say import mark, say


def _height(cm: float, _: Any) -> str:
    words = say("cuff {cm} cm below the heart") if cm > 0 else say("cuff {cm} cm above the heart")
    return words.format(cm=f"{abs(cm):g}")


def _talk(kind: str, technique: Any) -> str:
    quiet = float(technique.quiet_min[0])
    return Technique.LIMITS["talking"].words(kind) + (
        say(", silent for {minutes} min since", minutes=f"{quiet:g}") if quiet else ""
    )


_MOVEMENTS = {
    "jolts": mark("movement of the arm"),
    "tremor": mark("tremor of the arm"),
    "shivering": mark("shivering"),
    "arm": mark("arm moving to and fro"),
    "vehicle": mark("shaken by a vehicle"),
}


def _movement(_: float, technique: Any) -> str:
    return say(_MOVEMENTS[str(technique.movement[0])])


def _reading_number(number: float, _: Any) -> str:
    first = {1: say("first reading of the visit"), 2: say("second reading of the visit")}
    return first.get(round(number), say("later reading of the visit"))


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
    movement_mmhg: typical height of what a moving arm leaves in the cuff [mmHg]
    movement: of which kind that movement is, "jolts" or a name from cuff/movement.toml
    other_arm, legs, back, arm_support, position, breathing: posture and movement of the rest of the body
    rest_min: minutes of quiet sitting before the reading [min]
    reading_number: which reading of the visit this is, 1 the first; the third stands for all later ones
    caffeine, nicotine, meal, full_bladder, cold: what came before, or the surroundings
    company, time_of_day, season: who is beside the person, and when it is; "between" is the mean of the two others
    elbow_crease: "yes": the cuff lies over the crease of the elbow (empirical)
    wrinkle_cm: width over the artery where a wrinkle keeps the bladder off the skin [cm]

    Raises FieldError, naming the field, the value and the allowed range.

    >>> Technique(cuff_below_heart_cm=[0, 10]).size
    2
    """

    cuff_below_heart_cm: Values = number(
        *(-40, 60, 0, 1, "cm", "Middle of the cuff below the heart"),
        kind=MEASURING_ERROR,
        said=_height,
        drawn=("person", "week"),
    )
    slack_cm: Values = number(
        *(0, 8, 0, 0.5, "cm", "Slack in the wrapped cuff"),
        kind=MEASURING_ERROR,
        said="cuff wrapped with {value:g} cm of slack",
        drawn=("across",),
    )
    cuff_turned_deg: Values = number(
        *(-180, 180, 0, 5, "degrees", "Cuff turned off the artery"),
        kind=MEASURING_ERROR,
        said=lambda degrees, _: say("cuff turned {degrees}° off the artery", degrees=f"{abs(degrees):g}"),
        drawn=("across",),
    )
    sleeve_mm: Values = number(
        *(0, 10, 0, 0.5, "mm", "Cloth under the cuff"),
        kind=MEASURING_ERROR,
        said="{value:g} mm of cloth under the cuff",
        drawn=("person", "across"),
    )
    sleeve_rolled_up: Values = choice(
        {"no": "arm bare above the cuff", "yes": "sleeve rolled up tightly above the cuff"},
        "no",
        "Sleeve above the cuff",
        kind=MEASURING_ERROR,
        said="sleeve rolled up tightly above the cuff (empirical)",
        drawn=("person",),
    )
    talking: Values = choice(
        {
            "no": "silent",
            "conversation": "ordinary conversation",
            "stressful": "stressful talk",
            "reading": "reading aloud, relaxed",
        },
        "no",
        "Talking during the reading",
        kind=RESPONSE,
        said=_talk,
        alone="conversation",
        drawn=("person", "causes"),
    )
    quiet_min: Values = number(
        *(0, 30, 0, 1, "min", "Silence between the talk and the reading"),
        kind=MODIFIER,
        drawn=("person",),
    )
    movement_mmhg: Values = number(
        *(0, 20, 0, 0.5, "mmHg", "Movement of the arm, as height in the cuff"),
        kind=MEASURING_ERROR,
        said=_movement,
        drawn=("person", "causes"),
    )
    movement: Values = choice(
        {
            "jolts": "jolts now and then",
            "tremor": "a tremor",
            "shivering": "shivering",
            "arm": "to and fro all the time",
            "vehicle": "shaken by a vehicle",
        },
        "jolts",
        "Kind of movement",
        kind=MODIFIER,
        drawn=("person",),
    )
    other_arm: Values = choice(
        {"still": "other arm still", "moving": "other arm moving"},
        "still",
        "The other arm",
        kind=RESPONSE,
        drawn=("person",),
    )
    legs: Values = choice(
        {
            "flat": "feet flat on the floor",
            "ankles": "legs crossed at the ankle",
            "knees": "legs crossed at the knee",
            "knees-normal": "legs crossed at the knee, without high blood pressure",
        },
        "flat",
        "Legs",
        kind=RESPONSE,
        alone="knees",
        drawn=("person",),
    )
    back: Values = choice(
        {
            "supported": "back against the chair",
            "unsupported": "back unsupported",
            "exam-table": "on an examination table, feet hanging",
        },
        "supported",
        "Back",
        kind=RESPONSE,
        alone="unsupported",
        drawn=("person",),
    )
    arm_support: Values = choice(
        {"supported": "arm resting on the table", "held-up": "arm held up by its own muscles"},
        "supported",
        "Support of the arm",
        kind=RESPONSE,
        drawn=("person",),
    )
    position: Values = choice(
        {
            "sitting": "sitting",
            "lying": "lying, as in a study of 57 people",
            "lying-2": "lying, as in a study of 1,779 people",
        },
        "sitting",
        "Position",
        kind=RESPONSE,
        drawn=("person",),
    )
    breathing: Values = choice(
        {"normal": "breathing as usual", "deep": "breathing deeply"},
        "normal",
        "Breathing",
        kind=RESPONSE,
        drawn=("person",),
    )
    rest_min: Values = number(
        *(0, 30, 5, 1, "min", "Quiet sitting before the reading"),
        kind=RESPONSE,
        said="{value:g} min of rest instead of 5",
        drawn=("before", "done before", "settling"),
    )
    reading_number: Values = number(
        *(1, 10, 3, 1, "", "Which reading of the visit"),
        kind=RESPONSE,
        said=_reading_number,
        drawn=("visit", "week"),
    )
    caffeine: Values = choice(
        {"no": "no coffee before", "yes": "two cups of coffee within the last hour"},
        "no",
        "Coffee before",
        kind=RESPONSE,
        drawn=("before", "done before"),
    )
    nicotine: Values = choice(
        {"no": "no tobacco before", "yes": "smoked just before"},
        "no",
        "Tobacco before",
        kind=RESPONSE,
        drawn=("before", "done before"),
    )
    meal: Values = choice(
        {"no": "no meal before", "yes": "a meal just before"},
        "no",
        "Meal before",
        kind=RESPONSE,
        drawn=("before", "done before"),
    )
    full_bladder: Values = choice(
        {"no": "bladder emptied", "yes": "full urinary bladder"},
        "no",
        "Urinary bladder",
        kind=RESPONSE,
        drawn=("before", "done before"),
    )
    cold: Values = choice(
        {"no": "comfortably warm", "yes": "cold room"},
        "no",
        "Temperature",
        kind=RESPONSE,
        drawn=("person", "before", "done before"),
    )
    company: Values = choice(
        {
            "alone": "alone in the room",
            "silent": "somebody beside who says nothing",
            "doctor": "a doctor has just come to the bedside",
        },
        "alone",
        "Who else is there",
        kind=RESPONSE,
        alone="silent",
        drawn=("person",),
    )
    time_of_day: Values = choice(
        {"between": "mean of morning and evening", "morning": "in the morning", "evening": "in the evening"},
        "between",
        "Time of day",
        kind=RESPONSE,
        alone="morning",
        drawn=("person",),
    )
    season: Values = choice(
        {"between": "mean of summer and winter", "summer": "in summer", "winter": "in winter"},
        "between",
        "Season",
        kind=RESPONSE,
        alone="winter",
        drawn=("person",),
    )
    elbow_crease: Values = choice(
        {"no": "cuff above the elbow", "yes": "cuff over the crease of the elbow"},
        "no",
        "Place of the cuff",
        kind=MEASURING_ERROR,
        said="cuff over the crease of the elbow (empirical)",
        drawn=("person", "along"),
    )
    wrinkle_cm: Values = number(
        *(0, 2, 0, 0.1, "cm", "Width of a wrinkle over the artery"),
        kind=MEASURING_ERROR,
        said="a wrinkle of {value:g} cm over the artery",
        drawn=("across",),
    )
