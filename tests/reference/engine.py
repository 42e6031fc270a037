"""The engine's inputs put into the reference's terms, so that both evaluate the same arm and the same pulse."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from sim import Instrument, Subject, Technique
from sim.parameters import ARTERY_ML_PER_MMHG_CM, SLEEVE_HALVING_MM
from sim.record import planned
from sim.results import Recording
from sim.setup import Setup
from tests.reference.arm import Arm

FINER = 4
"""The pulse is taken from the engine at this many times the sampling rate, and joined by smooth curves."""


@dataclass(frozen=True)
class Case:
    """One noise-free steady deflation: the arm, the arterial pressure over time, the valve's start and rate."""

    arm: Arm
    time_s: np.ndarray
    artery: PchipInterpolator
    start_mmhg: float
    rate: float

    def cuff_pressure(self) -> np.ndarray:
        """Cuff pressure at each sample, by the reference.

        Summed over time: stepping through the slope of a pulse with a foot as sharp as this costs ten times as much for
        0.1 mmHg. On a smooth pulse the two ways agree (test_reference).
        """
        return self.arm.cuff_pressure_by_balance(self.time_s, self.artery, self.start_mmhg, self.rate)

    def recording(self) -> Recording:
        """The same as a recording, for an estimator to read."""
        pressure = self.cuff_pressure()
        rate_hz = 1 / (self.time_s[1] - self.time_s[0])
        return Recording(round(rate_hz), pressure[None], np.array([len(pressure)]))


def arm_of(subject: Subject, technique: Technique, instrument: Instrument) -> Arm:
    """The arm under the cuff of one reading."""
    softened = 0.5 ** (float(technique.sleeve_mm) / SLEEVE_HALVING_MM)
    return Arm(
        width_cm=float(instrument.bladder_width_cm),
        length_cm=float(instrument.bladder_length_cm),
        circumference_cm=float(subject.arm_circumference_cm),
        q=float(subject.artery_radius_ratio),
        a=float(subject.artery_a_mmhg),
        b=float(subject.artery_b_mmhg),
        area_cm2_per_mmhg=ARTERY_ML_PER_MMHG_CM * float(subject.artery_scale) * softened,
        turned_rad=np.deg2rad(float(technique.cuff_turned_deg)),
        slant_rad=np.deg2rad(float(subject.arm_slant_degrees)),
        slack_cm=float(technique.slack_cm),
        sleeve_cm=float(technique.sleeve_mm) / 10,
        polytropic_index=float(instrument.polytropic_index),
        cloth_ml_per_mmhg=float(instrument.cloth_compliance_ml_per_mmhg),
        law=str(subject.artery_law),
    )


def case_of(subject: Subject, technique: Technique, instrument: Instrument) -> Case:
    """One steady deflation without anything left to chance. Fields of the inputs are scalars."""
    setup = Setup(subject, technique, instrument).fitted()
    subject, technique, instrument = setup
    sweep, chance = planned(setup.spread(1), None)
    samples, sampling_hz = int(sweep.samples[0]), sweep.sampling_hz
    pulse = sweep.beats(chance).pressure(samples * FINER, sampling_hz * FINER)[0].astype(float)
    return Case(
        arm=arm_of(subject, technique, instrument),
        time_s=np.arange(samples) / sampling_hz,
        artery=PchipInterpolator(np.arange(samples * FINER) / (sampling_hz * FINER), pulse + sweep.height_mmhg[0]),
        start_mmhg=float(sweep.start_mmhg[0]),
        rate=float(instrument.deflation_mmhg_per_s),
    )
