"""People measured several times, each recording read by every estimator of a study."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.checked import NUMBERS, SPREADS
from sim.estimate.door import read
from sim.estimate.oscillogram import oscillogram
from sim.fields import generator
from sim.record import record
from sim.results import Estimator, Oscillogram, Reading, Truth
from sim.setup import Setup
from sim.study.listener import listened
from sim.study.readings import Readings, joined
from sim.technique import Technique

_INPUTS = (
    "age_years",
    "sex",
    "heart_rate",
    "rhythm",
    "arm_circumference_cm",
    "artery_a_mmhg",
    "artery_b_mmhg",
    "artery_radius_ratio",
    "artery_scale",
    "form_factor",
)


def measured(
    people: Subject,
    estimators: Mapping[str, Estimator],
    rng: np.random.Generator,
    *,
    readings: int = 3,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    first_subject: int = 0,
) -> Readings:
    """Every person measured `readings` times; all estimators read the same recordings. One row a reading and estimator.

    technique: one for all or one for each person; instrument: one for all; by default the correct ones, with the
    bladder that fits each arm. Raises EstimatorError, FieldError.

    >>> from sim.estimate.fixed_ratio import FixedRatio
    >>> table = measured(Subject(sbp=[120, 150]), {"mine": FixedRatio()}, np.random.default_rng(1), readings=2)
    >>> table["subject"], table["sbp"].shape
    (array([0, 0, 1, 1]), (4,))
    """
    generator(rng)
    n = people.size
    subject = np.repeat(np.arange(n), readings)
    who = people.spread(n).take(subject)
    heard = listened(people, readings, rng).reference.reshape(2, -1)
    how = (technique or Technique()).spread(n).take(subject)
    setup = Setup(who, how, instrument or Instrument()).spread(len(subject))
    recording, truth = record(setup, rng)
    found = {name: read(estimator, recording, name) for name, estimator in estimators.items()}
    beats = next((r.oscillogram for r in found.values() if r.oscillogram is not None), None) or oscillogram(recording)
    number = first_subject + subject
    return joined(
        [
            _table(
                name,
                one,
                truth,
                heard,
                who,
                setup.instrument,
                number,
                np.tile(np.arange(readings), n),
                _amplitude(beats),
            )
            for name, one in found.items()
        ]
    )


def portions(n: int, most: int) -> Iterator[slice]:
    """Slices of 0 to n of nearly the same length, each of shape (k,) with k `most` at the most.

    >>> list(portions(5, 2))
    [slice(0, 1, None), slice(1, 3, None), slice(3, 5, None)]
    """
    count = max(1, -(-n // most))
    edges = [n * k // count for k in range(count + 1)]
    for first, last in pairwise(edges):
        yield slice(first, last)


def _amplitude(beats: Oscillogram) -> np.ndarray:
    """Height of the largest kept beat of each recording, (n,) [mmHg]; NaN where none was kept."""
    heights = np.where(beats.kept, beats.amplitude_mmhg, -np.inf)
    largest = heights.max(axis=1, initial=-np.inf)
    return np.where(np.isfinite(largest), largest, np.nan)


def _table(
    name: str,
    reading: Reading,
    truth: Truth,
    heard: np.ndarray,
    who: Subject,
    what: Instrument,
    subject: np.ndarray,
    number: np.ndarray,
    amplitude_mmhg: np.ndarray,
) -> Readings:
    n = len(subject)
    columns: dict[str, np.ndarray] = {"subject": subject, "reading": number, "estimator": np.full(n, name)}
    columns |= {f: getattr(reading, f) for f in NUMBERS}
    columns |= {f: np.full(n, np.nan) if getattr(reading, f) is None else getattr(reading, f) for f in SPREADS}
    columns["reason"] = reading.reason
    for stage in ("resting", "at_measurement", "at_cuff"):
        for f in ("sbp", "dbp", "map"):
            columns[f"{stage}_{f}"] = getattr(getattr(truth, stage), f)
    columns["listener_sbp"], columns["listener_dbp"] = heard
    columns["true_pulse_rate"] = truth.pulse_rate
    columns["amplitude_mmhg"] = amplitude_mmhg
    for f in _INPUTS:
        if hasattr(who, f):
            columns[f] = np.broadcast_to(getattr(who, f), n)
    columns["bladder"] = np.broadcast_to(what.bladder, n)
    return Readings(columns)
