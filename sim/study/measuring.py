"""People measured several times, each recording read by every estimator of a study."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np

from sim.body.subject import Subject
from sim.cuff.bladder import choose
from sim.cuff.instrument import Instrument
from sim.estimate.oscillogram import oscillogram
from sim.fields import FieldError
from sim.measurement import Estimator
from sim.record import record
from sim.results import Oscillogram, Reading, Recording, Truth
from sim.study.readings import NO_REASON, Readings, joined
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


class EstimatorError(Exception):
    """An estimator that failed or gave something that is no reading: names it and says what was wrong."""


def measured(
    people: Subject,
    estimators: Mapping[str, Estimator],
    rng: np.random.Generator,
    *,
    readings: int = 3,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    fitting: bool | None = None,
    first_subject: int = 0,
) -> Readings:
    """Every person measured `readings` times; all estimators read the same recordings.

    technique, instrument: one for all, by default the correct ones; fitting: whether each arm gets the bladder that
    the published table has for it, by default where no instrument is given. Raises EstimatorError, FieldError.
    """
    n = people.size
    subject = np.repeat(np.arange(n), readings)
    who = people.spread(n).take(subject)
    given = Instrument() if instrument is None else instrument
    if instrument is None if fitting is None else fitting:
        given = given.replace(bladder=choose(who.arm_circumference_cm))
    how, what = (Technique() if technique is None else technique).spread(len(subject)), given.spread(len(subject))
    recording, truth = record(who, how, what, rng)
    read = {name: checked(name, estimator, recording) for name, estimator in estimators.items()}
    beats = next((r.oscillogram for r in read.values() if r.oscillogram is not None), None) or oscillogram(recording)
    number = first_subject + subject
    return joined(
        [
            _table(name, one, truth, who, what, number, np.tile(np.arange(readings), n), _amplitude(beats))
            for name, one in read.items()
        ]
    )


def portions(n: int, most: int) -> Iterator[slice]:
    """Slices of 0 to n of nearly the same length, `most` at the most."""
    count = max(1, -(-n // most))
    edges = [n * k // count for k in range(count + 1)]
    for first, last in pairwise(edges):
        yield slice(first, last)


def checked(name: str, estimator: Estimator, recording: Recording) -> Reading:
    """What an estimator reads. Raises EstimatorError where it fails, or where its answer is no reading."""
    n = len(recording)
    try:  # somebody's own code: whatever it raises is told in one line
        reading = estimator(recording)
    except FieldError:
        raise
    except Exception as error:
        raise EstimatorError(f"{name}: failed: {type(error).__name__}: {error}{_where(error)}") from error
    for field in ("sbp", "dbp", "map", "pulse_rate", "reason"):
        value = getattr(reading, field, None)
        if value is None or np.shape(value) != (n,):
            found = "nothing" if value is None else f"shape {np.shape(value)}"
            raise EstimatorError(f"{name}: must give {field} of shape ({n},), one for each recording, not {found}")
        if field != "reason" and np.asarray(value).dtype.kind not in "fiu":
            raise EstimatorError(f"{name}: {field} must be numbers, not {np.asarray(value).dtype}")
    return reading


def _where(error: BaseException) -> str:
    """The innermost place of an error, e.g. ' (my_algorithm.py, line 12)'."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return ""
    return f" ({trace.tb_frame.f_code.co_filename.rsplit('/', 1)[-1]}, line {trace.tb_lineno})"


def _amplitude(beats: Oscillogram) -> np.ndarray:
    """Height of the largest kept beat of each recording, (n,) [mmHg]; NaN where none was kept."""
    heights = np.where(beats.kept, beats.amplitude_mmhg, -np.inf)
    largest = heights.max(axis=1, initial=-np.inf)
    return np.where(np.isfinite(largest), largest, np.nan)


def _table(
    name: str,
    reading: Reading,
    truth: Truth,
    who: Subject,
    what: Instrument,
    subject: np.ndarray,
    number: np.ndarray,
    amplitude_mmhg: np.ndarray,
) -> Readings:
    n = len(subject)
    numbers = {f: np.asarray(getattr(reading, f), dtype=float) for f in ("sbp", "dbp", "map", "pulse_rate")}
    said = np.asarray(reading.reason).astype(str)
    there = np.isfinite(numbers["sbp"]) & np.isfinite(numbers["dbp"]) & (said == "")
    columns: dict[str, np.ndarray] = {"subject": subject, "reading": number, "estimator": np.full(n, name)}
    # Numbers beside a reason are no reading, and numbers that are none need a reason.
    columns |= {f: np.where(there, values, np.nan) for f, values in numbers.items()}
    columns["reason"] = np.where(there | (said != ""), said, NO_REASON)
    for stage in ("resting", "at_measurement", "at_cuff"):
        for f in ("sbp", "dbp", "map"):
            columns[f"{stage}_{f}"] = getattr(getattr(truth, stage), f)
    columns["amplitude_mmhg"] = amplitude_mmhg
    for f in _INPUTS:
        if hasattr(who, f):
            columns[f] = np.broadcast_to(getattr(who, f), n)
    columns["bladder"] = np.broadcast_to(what.bladder, n)
    return Readings(columns)
