"""What an estimator gives, held to what a reading is: whatever is wrong with it is told in one line."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np

from sim.estimate.refusal import NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH
from sim.results import Oscillogram, Reading, Recording, is_reading

NUMBERS = ("sbp", "dbp", "map", "pulse_rate")
SPREADS = ("sbp_sd", "dbp_sd")
# What is said where an estimator itself gives no reason.
NO_REASON = "no number, and no reason given"
NOT_ABOVE = "no reading: its systolic pressure is not above its diastolic"


class EstimatorError(Exception):
    """An estimator that failed, or gave something that is no reading: names it and says what was wrong."""


def no_reading(reading: object, n: int) -> str:
    """Why this is no reading of n recordings, whose arrays are of shape (n,), or "".

    >>> no_reading(None, 1)
    'must give a Reading with sbp, dbp, map, pulse_rate and reason; NoneType has no sbp'
    """
    for field in (*NUMBERS, "reason"):
        value = getattr(reading, field, None)
        if value is None:
            given = type(reading).__name__
            return f"must give a Reading with sbp, dbp, map, pulse_rate and reason; {given} has no {field}"
        wrong = _no_texts(value, n) if field == "reason" else _no_numbers(field, value, n)
        if wrong:
            return wrong
    for field in SPREADS:
        value = getattr(reading, field, None)
        if value is not None and (wrong := _no_spread(field, value, n)):
            return wrong
    return _no_oscillogram(getattr(reading, "oscillogram", None), n)


def _no_numbers(field: str, value: object, n: int) -> str:
    if _shape(value) != (n,):
        return f"must give {field} of shape ({n},), one for each recording, not of shape {_shape(value)}"
    kind = np.asarray(value).dtype
    return "" if kind.kind in "fiu" else f"{field} must be numbers, not {kind}"


def _no_texts(value: object, n: int) -> str:
    if _shape(value) != (n,):
        return f"must give reason of shape ({n},), one for each recording, not of shape {_shape(value)}"
    texts = np.asarray(value)
    if texts.dtype.kind == "U" or all(isinstance(text, str) for text in texts):
        return ""
    return f'reason must be texts ("" where there is a reading), not {texts.dtype}'


def _no_spread(field: str, value: object, n: int) -> str:
    if _shape(value) != (n,):
        return f"{field} must be None or of shape ({n},), not of shape {_shape(value)}"
    spread = np.asarray(value)
    if spread.dtype.kind not in "fiu":
        return f"{field} must be None or numbers, not {spread.dtype}"
    return f"{field} must be 0 or more, not {spread.min():g}" if (spread < 0).any() else ""


def _no_oscillogram(value: object, n: int) -> str:
    if value is None:
        return ""
    if not isinstance(value, Oscillogram):
        return f"oscillogram must be None or an Oscillogram, not {type(value).__name__}"
    for field in fields(Oscillogram):
        shape = _shape(getattr(value, field.name))
        if getattr(value, field.name) is not None and (len(shape) != 2 or shape[0] != n):
            return f"oscillogram.{field.name} must have {n} rows, one for each recording, not shape {shape}"
    return ""


def _shape(value: Any) -> tuple[int, ...] | str:
    """Its shape; rows of different lengths have none."""
    try:
        return np.shape(value)
    except ValueError:
        return "with rows of different lengths"


def settled(reading: Reading) -> Reading:
    """The same where there is a reading (`sim.results.is_reading`); elsewhere numbers are NaN, and a reason says why.

    reading: of n recordings, arrays of n [mmHg], in which `no_reading` finds nothing wrong

    >>> low, high = np.array([80.0]), np.array([120.0])
    >>> settled(Reading(low, high, low, low, np.array([""]))).reason.tolist()
    ['no reading: its systolic pressure is not above its diastolic']
    """
    sbp, dbp = (np.asarray(getattr(reading, field), dtype=float) for field in ("sbp", "dbp"))
    said = np.array([" ".join(str(text).split()) for text in np.asarray(reading.reason)], dtype=str)
    there = is_reading(sbp, dbp, said)
    why = np.where(np.isfinite(sbp) & np.isfinite(dbp), NOT_ABOVE, NO_REASON)

    def kept(field: str) -> np.ndarray:
        values = np.asarray(getattr(reading, field), dtype=float)
        return np.where(there & np.isfinite(values), values, np.nan)

    sbp_sd, dbp_sd = (None if getattr(reading, field, None) is None else kept(field) for field in SPREADS)
    numbers = {field: kept(field) for field in NUMBERS}
    reason = np.where(there | (said != ""), said, why)
    return Reading(
        **numbers, reason=reason, oscillogram=getattr(reading, "oscillogram", None), sbp_sd=sbp_sd, dbp_sd=dbp_sd
    )


def within_the_cuff(reading: Reading, recording: Recording) -> Reading:
    """The same without readings of pressures that the cuff did not pass: what it never reached, nobody can have seen.

    reading, recording: of the same n, settled; arrays of n [mmHg]

    >>> recording = Recording(1.0, np.array([[180.0, 100.0, 40.0]]), np.array([3]))
    >>> low, high = np.array([80.0]), np.array([190.0])
    >>> within_the_cuff(Reading(high, low, low, low, np.array([""])), recording).reason.tolist()
    ['the cuff was not pumped high enough: the pulse was already there at the start']
    """
    highest = np.fmax.reduce(recording.pressure_mmhg, axis=1, initial=-np.inf)
    lowest = np.fmin.reduce(recording.pressure_mmhg, axis=1, initial=np.inf)
    above, below = reading.sbp > highest, reading.dbp < lowest
    if not (above | below).any():
        return reading
    reason = np.where(above, NOT_HIGH_ENOUGH, np.where(below, NOT_LOW_ENOUGH, reading.reason))
    return settled(replace(reading, reason=reason))


def where(error: BaseException) -> str:
    """The innermost place of an error, e.g. ' (my_algorithm.py, line 12)'."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return ""
    return f" ({trace.tb_frame.f_code.co_filename.replace(chr(92), '/').rsplit('/', 1)[-1]}, line {trace.tb_lineno})"
