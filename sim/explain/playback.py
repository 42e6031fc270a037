"""One reading with what went on in the artery under the cuff while it was made: for pictures that move."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.artery import area
from sim.body.subject import Subject
from sim.cuff.course import course
from sim.cuff.empirical import at_skin, lost_mmhg
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.measurement import prepare
from sim.record import planned
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
    ideal: bool = False,
    estimator: str | Estimator | None = None,
) -> Playback:
    """One reading to play; arguments and errors as for `sim.measure`.

    What reaches the artery is of the pressure that valve or pump drive: what a pulse itself adds is left out.
    """
    estimate = resolved(estimator)
    setup = prepare(subject, technique, instrument, rng=rng, n=1, ideal=ideal)
    sweep, chance = planned(setup, None if ideal else rng)
    recording, truth = sweep.record(chance)
    result = Result(recording, read(estimate, recording), truth)
    samples = int(recording.samples[0])
    artery = sweep.beats(chance).pressure(samples, sweep.sampling_hz)[0] + sweep.height_mmhg[0]
    who, how, device = setup.subject, setup.technique, setup.instrument
    driven = course(sweep.start_mmhg, samples, device, sweep.sampling_hz)
    skin = at_skin(driven, lost_mmhg(how, chance.cloth), who.sbp, who.dbp)
    outside = skin[0] * sweep.transmission.share(skin)[0, :, 0]
    a, b = float(who.artery_a_mmhg[0]), float(who.artery_b_mmhg[0])
    opening = area(artery - outside, a, b, str(who.artery_law[0])) / (a + b)
    return Playback(result, artery, outside, opening)
