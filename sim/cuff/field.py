"""The pressure inside the arm under the cuff, over a lengthwise section through its axis and the artery."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.cuff.transmission import along_arm, round_arm, transmission
from sim.technique import Technique

# The series converge slowly at the very surface: the outermost row lies just under it.
_OUTERMOST = 0.97


@dataclass(frozen=True)
class PressureField:
    """Share of the cuff's pressure that arrives in the arm of one person.

    along_cm: (columns,) place along the arm, 0 under the cuff's middle [cm]
    radius_cm: (rows,) distance from the arm's axis, positive on the artery's side [cm]
    share: (rows, columns)
    arm_radius_cm, artery_radius_cm, bladder_half_width_cm: sizes to draw it with [cm]
    """

    along_cm: np.ndarray
    radius_cm: np.ndarray
    share: np.ndarray
    arm_radius_cm: float
    artery_radius_cm: float
    bladder_half_width_cm: float


def pressure_field(
    subject: Subject, technique: Technique, instrument: Instrument, rows: int = 25, columns: int = 61
) -> PressureField:
    """The field for the first reading that the inputs describe, with the cuff at the person's mean pressure.

    The share is of shape (rows, columns). It is that of `sim.cuff.transmission`, which has the equations' sources.

    >>> pressure_field(Subject(), Technique(), Instrument(bladder="12x23"), rows=5, columns=3).share.shape
    (5, 3)
    """
    subject = subject.spread(subject.size).take([0])
    technique = technique.spread(technique.size).take([0])
    instrument = instrument.spread(instrument.size).take([0])
    cuff = transmission(subject, technique, instrument)
    around_cm = float(cuff.around_cm[0])
    width_cm = float(cuff.contact_width_cm(subject.map[:, None])[0, 0])
    place = np.linspace(-_OUTERMOST, _OUTERMOST, rows)
    along_cm = np.linspace(-12.0, 12.0, columns)
    along = along_arm(along_cm / width_cm, np.full(rows, width_cm / around_cm), np.abs(place))
    # The far side of the arm is half a turn from the artery's side.
    turned = np.deg2rad(technique.cuff_turned_deg[0]) + np.where(place < 0, np.pi, 0.0)
    around = round_arm(instrument.bladder_length_cm[0] / around_cm, turned, np.abs(place))
    radius = around_cm / (2 * np.pi)
    return PressureField(
        along_cm,
        place * radius,
        along * around[:, None],
        radius,
        float(subject.artery_radius_ratio[0]) * radius,
        width_cm / 2,
    )
