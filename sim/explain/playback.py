"""One reading with what went on in the artery under the cuff while it was made: for pictures that move."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.artery import area
from sim.body.subject import Subject
from sim.cuff.empirical import at_skin, lost_mmhg
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.fields import FieldError
from sim.measurement import prepare
from sim.record import Sweep, planned
from sim.results import Estimator, Result
from sim.setup import Setup
from sim.technique import Technique


@dataclass(frozen=True, eq=False)
class Playback:
    """One reading and, at each of its m samples, the artery under the middle of the cuff.

    result: the same that `measure` makes with the same generator
    artery_mmhg: (m,) pressure in the artery, at the cuff's height [mmHg]
    outside_mmhg: (m,) pressure that reaches it from the cuff [mmHg]
    opening: (m,) area of the artery over the largest that it can have, 0 to 1
    """

    result: Result
    artery_mmhg: np.ndarray
    outside_mmhg: np.ndarray
    opening: np.ndarray


def playback(
    subject: Subject | Setup,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator | None = None,
    n: int = 1,
    number: int = 1,
    ideal: bool = False,
    estimator: str | Estimator | None = None,
    average_person: bool = False,
) -> Playback:
    """One reading to play, arrays of shape (m,): of n, the one with this number, counted from 1. The rest is as for
    `breakdown`.

    What reaches the artery is of the pressure that valve or pump drive: what a pulse itself adds is left out.

    >>> played = playback(Subject(), ideal=True)
    >>> played.artery_mmhg.shape == played.opening.shape, bool(played.opening.max() <= 1)
    (True, True)
    """
    estimate = resolved(estimator)
    setup = prepare(subject, technique, instrument, rng=rng, n=n, ideal=ideal)
    if not 1 <= number <= n:
        raise FieldError("number", number, f"from 1 to {n}")
    sweep, chance = planned(setup, None if ideal else rng)
    if average_person:
        chance = chance.of_average_person()
    rows = np.array([number - 1])
    recording, truth = sweep.record(chance)
    recording, truth = recording.take(rows), truth.take(rows)
    result = Result(recording, read(estimate, recording), truth)
    samples, chance = int(recording.samples[0]), chance.take(rows)
    setup = setup.take(rows)
    who, how = setup.subject, setup.technique
    sweep = Sweep(setup, chance.fill)
    beats = sweep.beats(chance)
    artery = beats.pressure(samples, sweep.sampling_hz)[0] + sweep.height_mmhg[0]
    driven = sweep.driven(beats.start_s, samples)
    skin = at_skin(driven, lost_mmhg(how, chance.cloth), who.sbp, who.dbp)
    outside = skin[0] * sweep.transmission.share(skin)[0, :, 0]
    a, b = float(who.artery_a_mmhg[0]), float(who.artery_b_mmhg[0])
    opening = area(artery - outside, a, b, str(who.artery_law[0])) / (a + b)
    return Playback(result, artery, outside, opening)
