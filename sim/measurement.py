"""Record, then estimate: a reading beside the truth."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.fixed_ratio import FixedRatio
from sim.fields import FieldError
from sim.record import record
from sim.results import Reading, Recording, Result
from sim.technique import Technique

Estimator = Callable[[Recording], Reading]


def measure(
    subject: Subject,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator | None = None,
    n: int | None = None,
    ideal: bool = False,
    estimator: Estimator | None = None,
) -> Result:
    """n readings of one person, or one of each of n people, with the truth about each.

    Every field of the inputs may be a scalar or an array of n; n is taken from the longest unless given. All
    chance comes from `rng`; `ideal` switches off noise, breathing, variation from beat to beat, the spread of
    responses between people, a sleeve's scatter and movement, and needs no `rng`. `estimator` is any callable from
    Recording to Reading, the fixed ratios by default; it sees nothing but the recording.

    Raises FieldError on inputs that do not go together.
    """
    inputs = prepare(subject, technique, instrument, rng=rng, n=n, ideal=ideal)
    recording, truth = record(*inputs, None if ideal else rng)
    return Result(recording, (estimator or FixedRatio())(recording), truth)


def prepare(
    subject: Subject,
    technique: Technique | None,
    instrument: Instrument | None,
    *,
    rng: np.random.Generator | None,
    n: int | None,
    ideal: bool,
) -> tuple[Subject, Technique, Instrument]:
    """The inputs of n readings, every field an array of n. Raises FieldError where they do not go together."""
    technique = Technique() if technique is None else technique
    instrument = Instrument() if instrument is None else instrument
    if rng is None and not ideal:
        raise FieldError("rng", None, "a numpy.random.Generator, unless ideal=True")
    count = max(subject.size, technique.size, instrument.size) if n is None else n
    if count < 1:
        raise FieldError("n", count, "1 or more readings")
    return subject.spread(count), technique.spread(count), instrument.spread(count)
