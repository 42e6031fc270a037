"""Record, then estimate: a reading beside the truth."""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.fields import FieldError, generator, whole
from sim.record import planned
from sim.results import Estimator, Result
from sim.setup import RECORDS, Setup
from sim.technique import Technique


def measure(
    subject: Subject | Setup,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator | None = None,
    n: int | None = None,
    ideal: bool = False,
    estimator: str | Estimator | None = None,
    average_person: bool = False,
) -> Result:
    """n readings of one person, or one of each of n people, with the truth about each; a Setup in place of all three.

    Every field of the inputs may be a scalar or an array of n; n is taken from the longest unless given. All
    chance comes from `rng`; `ideal` switches off noise, breathing, variation from beat to beat, the spread of
    responses between people, a sleeve's scatter and movement, and needs no `rng`. `estimator` is any callable from
    Recording to Reading, or the name of one ("slope", "my_algorithm.py:estimate"), the fixed ratios by default; it
    sees nothing but the recording (`sim.estimate.door.read`). With `average_person` the pressure responds (to talk, to
    cold ...) as people's does on average, in every reading: readings of one person; otherwise each is of another one.

    Pressures of the result are in mmHg, arrays of shape (n,); NaN where there is no reading, and `reason` says why.

    Raises FieldError on inputs that do not go together, EstimatorError where the estimator fails or gives no Reading.

    >>> from sim import Subject, measure
    >>> result = measure(Subject(sbp=[120, 150], dbp=80), rng=np.random.default_rng(1), estimator="slope")
    >>> result.reading.sbp.shape, result.truth.resting.sbp
    ((2,), array([120., 150.]))
    """
    estimate = resolved(estimator)
    setup = prepare(subject, technique, instrument, rng=rng, n=n, ideal=ideal)
    sweep, chance = planned(setup, None if ideal else rng)
    recording, truth = sweep.record(chance.of_average_person() if average_person else chance)
    return Result(recording, read(estimate, recording), truth)


def prepare(
    subject: Subject | Setup,
    technique: Technique | None,
    instrument: Instrument | None,
    *,
    rng: np.random.Generator | None,
    n: int | None,
    ideal: bool,
) -> Setup:
    """The setup of n readings, every field an array of n. Raises FieldError where they do not go together.

    >>> from sim import Subject
    >>> prepare(Subject(sbp=120), None, None, rng=None, n=3, ideal=True).subject.sbp
    array([120., 120., 120.])
    """
    if isinstance(subject, Setup):
        setup = subject
    else:
        setup = Setup(subject, technique or Technique(), instrument or Instrument())
    for given, kind in zip(setup, RECORDS.values(), strict=True):
        _of_kind(given, kind)
    if rng is None and not ideal:
        raise FieldError("rng", None, "a numpy.random.Generator, unless ideal=True")
    if rng is not None:
        generator(rng)
    return setup.spread(setup.size if n is None else whole("n", n, 1))


def _of_kind(given: Any, kind: type) -> None:
    if not isinstance(given, kind):
        raise FieldError(kind.__name__.lower(), type(given).__name__, f"a {kind.__name__}, such as {kind.__name__}()")
