"""What a technique does to every reading of a person: its bias, apart from what it adds to the scatter.

Measured with the engine. What belongs to a mistake as this person makes it (how strongly they respond to talking, how
the sleeve lies) is the same in all their readings and so a bias; noise, breathing and beats are drawn anew each time.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import numpy as np

from sim.body.subject import Subject
from sim.chance import Chance
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.explain.averaging import Systematic
from sim.explain.mistakes import mistakes
from sim.fields import FieldError, generator
from sim.measurement import prepare
from sim.record import Sweep, planned
from sim.results import Estimator, Reading
from sim.setup import Setup
from sim.study.reference import ARTERY_RADIUS_RATIO, ARTERY_SPREAD, FORM_FACTOR
from sim.technique import Technique

# Readings from which bias and scatter are worked out. Chosen: drawn anew, the bias (of talking, with a sleeve) moves by
# 0.4 mmHg (standard deviation), what readings scatter more by 0.5; with 100 by 0.8 and 0.7, with 400 by 0.2 and 0.3.
READINGS = 200


def systematic(
    subject: Subject | Setup,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator,
    n: int = READINGS,
    estimator: str | Estimator | None = None,
) -> Systematic:
    """Bias and scatter [mmHg] of a technique for one person, from n readings of theirs, or one of each of n people.

    The bias is a steady reading minus the resting pressure; how it differs between the n rows is how people differ in
    it. Scatter is a reading less its steady one, beyond that of correct technique, which the published variation of
    readings already holds. Rows without a reading are left out.

    Raises FieldError where fewer than half have one, and otherwise as `sim.measure`.

    >>> low = systematic(Subject(), Technique(cuff_below_heart_cm=10), rng=np.random.default_rng(1), n=10)
    >>> bool(6 < low.sbp - low.algorithm_sbp < 9)  # the weight of 10 cm of blood is 7.8 mmHg
    True
    """
    estimate = resolved(estimator)
    wrong = prepare(subject, technique, instrument, rng=rng, n=n if subject.size == 1 else None, ideal=False)
    right = corrected(wrong)
    seed = int(rng.integers(2**62))
    found = {}
    for name, setup in (("wrong", wrong), ("right", right)):
        sweep, chance = planned(setup, np.random.default_rng(seed))
        found[name] = _read(sweep, chance, estimate), _read(sweep, sweep.steady(chance), estimate)
    resting = {"sbp": wrong.subject.sbp, "dbp": wrong.subject.dbp}
    ok = np.logical_and.reduce([reading.ok for pair in found.values() for reading in pair])
    if ok.sum() < len(ok) / 2:
        reasons = next(r.reason[~r.ok] for pair in found.values() for r in pair if not r.ok.all())
        raise FieldError("technique", "no reading in most people", f"one that gives readings ({reasons[0]})")
    values: dict[str, float] = {}
    for name in ("sbp", "dbp"):
        (noisy, steady), (noisy_right, steady_right) = (
            tuple(getattr(reading, name)[ok] for reading in found[which]) for which in ("wrong", "right")
        )
        bias = steady - resting[name][ok]
        extra = float((noisy - steady).var() - (noisy_right - steady_right).var())
        values |= {
            name: float(bias.mean()),
            f"person_{name}": float((steady - steady_right).std()),
            f"extra_{name}": sqrt(max(0.0, extra)),
            f"algorithm_{name}": float((steady_right - resting[name][ok]).mean()),
        }
    return Systematic(**values)


def people_like(subject: Subject, n: int, rng: np.random.Generator) -> Subject:
    """n people, fields of shape (n,), with this pressure and this arm, and arteries and pulses of their own.

    >>> people_like(Subject(sbp=130), 3, np.random.default_rng(1)).sbp
    array([130., 130., 130.])
    """
    log_sd = np.sqrt(np.log1p(ARTERY_SPREAD**2))
    low, high = ARTERY_RADIUS_RATIO
    generator(rng)
    fields = {
        "artery_a_mmhg": subject.artery_a_mmhg * rng.lognormal(0, log_sd, n),
        "artery_b_mmhg": subject.artery_b_mmhg * rng.lognormal(0, log_sd, n),
        "artery_radius_ratio": rng.uniform(low, high, n),
        "form_factor": rng.normal(*FORM_FACTOR, n),
    }
    return subject.spread(n).replace(**{name: Subject.LIMITS[name].within(v) for name, v in fields.items()})


def effects(
    subject: Subject,
    technique: Technique,
    instrument: Instrument,
    rng: np.random.Generator,
    only: Sequence[Sequence[str] | None] = (None,),
) -> list[tuple[np.ndarray, np.ndarray]]:
    """What mistakes add to a steady reading of each of n people, systolic and diastolic, (n,) each [mmHg].

    only: one answer for each entry: the fields whose mistakes are made, None for all of them
    NaN where either reading has no numbers.

    >>> below = Technique(cuff_below_heart_cm=10)
    >>> ((sbp, dbp),) = effects(Subject().spread(2), below, Instrument(), np.random.default_rng(1))
    >>> sbp.shape
    (2,)
    """
    setup = prepare(subject, technique, instrument, rng=rng, n=None, ideal=False)
    seed = int(rng.integers(2**62))
    right = _steady(corrected(setup), seed)
    found = []
    for fields in only:
        wrong = _steady(setup if fields is None else corrected(setup, keep=fields), seed)
        found.append((wrong.sbp - right.sbp, wrong.dbp - right.dbp))
    return found


def _steady(setup: Setup, seed: int) -> Reading:
    sweep, chance = planned(setup, np.random.default_rng(seed))
    return _read(sweep, sweep.steady(chance), resolved(None))


def corrected(setup: Setup, keep: Sequence[str] = ()) -> Setup:
    """The same people measured with correct technique, but for the mistakes in `keep`; every field an array of n."""
    return setup.replace(**{m.field: m.correct for m in mistakes(setup) if m.field not in keep})


def _read(sweep: Sweep, chance: Chance, estimate: Estimator) -> Reading:
    return read(estimate, sweep.record(chance)[0])
