"""What an estimator gives, held to what a reading is: whatever is wrong with it is told in one line."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.fields import FieldError
from sim.results import Reading, Recording

NUMBERS = ("sbp", "dbp", "map", "pulse_rate")


class EstimatorError(Exception):
    """An estimator that failed, or gave something that is no reading: names it and says what was wrong."""


def checked(name: str, estimator: Callable[[Recording], Reading], recording: Recording) -> Reading:
    """What an estimator reads. Raises EstimatorError where it fails, or where its answer is no reading.

    It is given the recording to read only: others read the same one.
    """
    try:  # somebody's own code: whatever it raises is told in one line
        reading = estimator(_read_only(recording))
    except (FieldError, EstimatorError):
        raise
    except Exception as error:
        said = " ".join(str(error).split())
        copy = ": a recording is left as it is, work on a copy" if "read-only" in said else ""
        raise EstimatorError(f"{name}: failed: {type(error).__name__}: {said}{copy}{where(error)}") from error
    wrong = no_reading(reading, len(recording))
    if wrong:
        raise EstimatorError(f"{name}: {wrong}")
    return reading


def _read_only(recording: Recording) -> Recording:
    views = recording.pressure_mmhg.view(), recording.samples.view()
    for view in views:
        view.flags.writeable = False
    return Recording(recording.sampling_hz, *views)


def no_reading(reading: object, n: int) -> str:
    """Why this is no reading of n recordings, or ""."""
    for field in (*NUMBERS, "reason"):
        value = getattr(reading, field, None)
        if value is None:
            given = type(reading).__name__
            return f"must give a Reading with sbp, dbp, map, pulse_rate and reason; {given} has no {field}"
        if np.shape(value) != (n,):
            return f"must give {field} of shape ({n},), one for each recording, not of shape {np.shape(value)}"
        kind = np.asarray(value).dtype.kind
        if field in NUMBERS and kind not in "fiu":
            return f"{field} must be numbers, not {np.asarray(value).dtype}"
        if field == "reason" and not (kind == "U" or all(isinstance(text, str) for text in np.asarray(value))):
            return f'reason must be texts ("" where there is a reading), not {np.asarray(value).dtype}'
    for field in ("sbp_sd", "dbp_sd"):
        value = getattr(reading, field, None)
        if value is not None and np.shape(value) != (n,):
            return f"{field} must be None or of shape ({n},), not of shape {np.shape(value)}"
    return ""


def where(error: BaseException) -> str:
    """The innermost place of an error, e.g. ' (my_algorithm.py, line 12)'."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return ""
    return f" ({trace.tb_frame.f_code.co_filename.replace(chr(92), '/').rsplit('/', 1)[-1]}, line {trace.tb_lineno})"
