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
    }
