"""Who is measured: usual resting pressure, heart rate, arm and artery."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError, Fields, Values, choice, number

LEAST_PULSE_PRESSURE_MMHG = 10.0


@dataclass(frozen=True, eq=False)
class Subject(Fields):
    """One person or n people. Fields are scalars or arrays of shape (n,).

    sbp, dbp: usual resting pressure in the artery at heart level [mmHg]
    heart_rate: [beats/min]
    arm_circumference_cm: half-way between shoulder tip and elbow [cm]
    arm_slant_degrees: angle between the skin and a section across the arm: 90 a cylinder, less an arm that gets
        thinner towards the elbow
    artery_a_mmhg, artery_b_mmhg: how fast the artery's compliance falls off below and above
        zero transmural pressure (sim.body.artery) [mmHg]
    artery_radius_ratio: the artery's distance from the arm's axis over the arm's radius
    artery_scale: the artery's volume against the reference arm's
    artery_law: how its area follows the pressure, "exponential" or "arctangent" (sim.body.artery)
    form_factor: (mean - diastolic) / (systolic - diastolic) of the pulse
    breathing_per_min: breaths a minute
    rhythm: "regular", "atrial-fibrillation" or "early-beats": some beats come early, and a pause follows each
    early_beat_share: share of all beats that come early, with that rhythm

    Raises FieldError, naming the field, the value and the allowed range.

    >>> Subject(sbp=[120, 150], dbp=80).size
    2
    >>> Subject(sbp=82, dbp=80)
    Traceback (most recent call last):
        ...
    sim.fields.FieldError: dbp = 80: must be at least 10 mmHg below sbp, which is 82 mmHg
    """

    sbp: Values = number(60, 260, 120, 1, "mmHg", "Systolic resting pressure")
    dbp: Values = number(30, 160, 80, 1, "mmHg", "Diastolic resting pressure")
    heart_rate: Values = number(35, 180, 70, 1, "beats/min", "Heart rate")
    arm_circumference_cm: Values = number(16, 60, 29, 0.5, "cm", "Arm circumference, half-way up the upper arm")
    # Upper arms, on average: 87.1 up to 35 cm round, 85.6 from 36 to 42 cm, 84.7 above; down to 83 and less in some
    # (Palatini P, et al. J Hypertens 2012;30:530; an abstract on 391 people by the same group).
    arm_slant_degrees: Values = number(80, 90, 90, 0.1, "degrees", "Slant of the arm (90: a cylinder, less: a cone)")
    artery_a_mmhg: Values = number(
        1, 15, 4, 0.5, "mmHg", "Artery compliance width below zero transmural pressure", fine=True
    )
    artery_b_mmhg: Values = number(
        4, 80, 20, 1, "mmHg", "Artery compliance width above zero transmural pressure", fine=True
    )
    artery_radius_ratio: Values = number(0.2, 0.6, 0.35, 0.01, "", "Artery's place: 0 arm's axis, 1 skin", fine=True)
    artery_scale: Values = number(0.01, 4, 1, 0.01, "", "Artery's volume against the reference arm", fine=True)
    artery_law: Values = choice(
        {"exponential": "compliance falls off exponentially", "arctangent": "compliance with long tails"},
        "exponential",
        "Artery: law of its area",
        fine=True,
    )
    form_factor: Values = number(0.33, 0.5, 0.395, 0.005, "", "Form factor of the pulse", fine=True)
    breathing_per_min: Values = number(4, 40, 15, 1, "per min", "Breaths", fine=True)
    rhythm: Values = choice(
        {
            "regular": "regular heartbeat",
            "atrial-fibrillation": "atrial fibrillation",
            "early-beats": "every eighth beat comes early",
        },
        "regular",
        "Heart rhythm",
    )
    # With the rhythm early-beats: 13 ± 12 % of all beats (Baman TS, et al. Heart Rhythm 2010;7:865-869, DOI
    # 10.1016/j.hrthm.2010.03.036; abstract seen). Two early beats never follow each other: a half would be the most.
    early_beat_share: Values = number(0, 0.4, 0.13, 0.01, "", "Share of early beats, with that rhythm", fine=True)

    def __post_init__(self) -> None:
        super().__post_init__()
        pulse_pressure = np.atleast_1d(self.sbp - self.dbp)
        if (pulse_pressure < LEAST_PULSE_PRESSURE_MMHG).any():
            worst = int(np.argmin(pulse_pressure))
            dbp = np.broadcast_to(self.dbp, pulse_pressure.shape)[worst]
            sbp = np.broadcast_to(self.sbp, pulse_pressure.shape)[worst]
            raise FieldError(
                "dbp", f"{dbp:g}", f"at least {LEAST_PULSE_PRESSURE_MMHG:g} mmHg below sbp, which is {sbp:g} mmHg"
            )

    @property
    def map(self) -> np.ndarray:
        """Mean arterial pressure at rest, DBP + form factor x pulse pressure [mmHg].

        >>> round(float(Subject(sbp=120, dbp=80, form_factor=0.4).map), 1)
        96.0
        """
        return self.dbp + self.form_factor * (self.sbp - self.dbp)
