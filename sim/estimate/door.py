"""The one door to every estimator: the recording is kept safe, and what comes back is a reading.

Whatever calls an estimator calls `read`: `measure`, studies, screens, commands.
"""

from __future__ import annotations

import numpy as np

from sim.estimate.checked import EstimatorError, no_reading, settled, where, within_the_cuff
from sim.estimate.from_file import FromFile
from sim.estimate.named import resolved
from sim.fields import FieldError
from sim.results import Estimator, Reading, Recording


def read(estimator: str | Estimator | None, recording: Recording, name: str = "") -> Reading:
    """What an estimator reads from n recordings: a Reading whose arrays are of shape (n,).

    estimator: one, or the name of one ("slope", "my_algorithm.py:estimate"); None: the fixed ratios
    name: what errors call it, by default its own name; one out of a file goes by that of the file

    It is given the recording to read only. Where it gives no finite systolic pressure above a finite diastolic one, or
    gives a reason why there is none, every number is NaN and `reason` says why (`sim.results.is_reading`); so too where
    the cuff did not pass what it gives.

    Raises FieldError where there is no such estimator, EstimatorError where it fails or its answer is no reading.

    >>> from sim import Subject, measure
    >>> recording = measure(Subject(sbp=130, dbp=85), ideal=True, n=2).recording
    >>> read("slope", recording).ok
    array([ True,  True])
    """
    return within_the_cuff(settled(asked(estimator, recording, name)), recording)


def asked(estimator: str | Estimator | None, recording: Recording, name: str = "") -> Reading:
    """What an estimator gives, as it gives it: of the right types and shapes, but not settled. Otherwise as `read`.

    >>> from sim import Subject, measure
    >>> asked(lambda recording: 120, measure(Subject(), ideal=True).recording, "mine")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
        ...
    sim.estimate.checked.EstimatorError: mine: must give a Reading with sbp, dbp, map, ...
    """
    found = resolved(estimator)
    if not isinstance(recording, Recording):
        raise FieldError("recording", type(recording).__name__, "a Recording, such as measure(...).recording")
    called = found.shown if isinstance(found, FromFile) else name or name_of(found)
    try:  # somebody's own code: whatever it raises is told in one line
        reading = found(_read_only(recording))
    except (FieldError, EstimatorError):
        raise
    except (Exception, SystemExit) as error:
        said = " ".join(str(error).split())
        copy = ": a recording is left as it is, work on a copy" if "read-only" in said else ""
        raise EstimatorError(f"{called}: failed: {type(error).__name__}: {said}{copy}{where(error)}") from error
    wrong = no_reading(reading, len(recording))
    if wrong:
        raise EstimatorError(f"{called}: {wrong}")
    return reading


def name_of(estimator: str | Estimator) -> str:
    """What an estimator is called: as it was named, its file and name in it, its function's name or its class's."""
    if isinstance(estimator, str):
        return estimator
    if isinstance(estimator, FromFile):
        return estimator.shown
    return str(getattr(estimator, "__name__", type(estimator).__name__))


def _read_only(recording: Recording) -> Recording:
    """The same arrays, which cannot be written to: others read the same recording."""
    views = np.asarray(recording.pressure_mmhg).view(), np.asarray(recording.samples).view()
    for view in views:
        view.flags.writeable = False
    return Recording(recording.sampling_hz, *views)
