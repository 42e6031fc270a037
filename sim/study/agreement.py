"""An estimator scored as ISO 81060-2 scores a device: its readings against the true pressure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.door import name_of
from sim.estimate.named import resolved
from sim.results import Estimator
from sim.study.bland_altman import CONSTANT, VARYING, BlandAltman, limits
from sim.study.components import Components
from sim.study.dependence import Dependence
from sim.study.intervals import Estimate, share_of
from sim.study.moments import Joint
from sim.study.origin import Origin, by_pulse
from sim.study.readings import Readings, joined
from sim.study.repeated_readings import measured, portions
from sim.study.seeds import scoring_generator
from sim.study.standard import TOLERABLE_SHARE, Passing, Tolerable, criteria, passing, sd_limit, tolerable
from sim.study.sums import PRESSURES, QUANTITIES, WITHIN_MMHG, Of, Sums, tally
from sim.technique import Technique

# British Hypertension Society, % of differences within 5, 10 and 15 mmHg; historical. O'Brien E, et al. J Hypertens
# 1993;11 Suppl 2:S43-62 (from memory); figures seen at second hand.
GRADES = {"A": (60, 85, 95), "B": (50, 75, 90), "C": (40, 65, 85)}

# So many people are measured at a time. Chosen for memory (three readings each: 768 rows, some 40 MB).
_PORTION = 256


@dataclass(frozen=True)
class Counts:
    """How many readings there were: all, those without a number by reason, and subjects with every reading."""

    readings: int
    subjects: int
    failed: int
    failed_share: Estimate
    reasons: dict[str, int]
    complete: int
    without_any: int


@dataclass(frozen=True, eq=False)
class Score:
    """One pressure's errors, reading minus truth [mmHg].

    parts: means and spreads of the subjects that gave every reading, as the standard wants them
    criterion_1, criterion_2: whether passed; limit_2: the SD that criterion 2 allows at this mean
    passing: probability that a study of 85 would pass at exactly this performance
    tolerable: probability of a subject's mean error of 10 mmHg or less, and how sure it is enough
    within: share of all readings with errors within 5, 10 and 15 mmHg, those without a number outside; grade: by it
    agreement: Bland-Altman over all readings that have numbers, spread: their two layers
    by: error against what differs between people
    covered: share of the errors within 1.96 of the estimator's own standard deviations, NaN where it gives none
    """

    pressure: str
    parts: Components
    criterion_1: bool
    criterion_2: bool
    limit_2: float
    passing: Passing
    tolerable: Tolerable
    within: dict[int, Estimate]
    grade: str
    agreement: BlandAltman
    spread: Components
    root_mean_square: float
    covered: float
    by: tuple[Dependence, ...]


@dataclass(frozen=True, eq=False)
class Agreement:
    """An estimator's score for systolic and diastolic pressure [mmHg]. `against` names the truth used."""

    estimator: str
    against: str
    origin: Origin
    counts: Counts
    sbp: Score
    dbp: Score

    @property
    def scores(self) -> tuple[Score, Score]:
        """Systolic, diastolic [mmHg]."""
        return self.sbp, self.dbp

    @property
    def complete_share(self) -> float:
        """Share of the subjects that gave every reading."""
        return self.counts.complete / max(self.counts.subjects, 1)

    @property
    def enough_read(self) -> bool:
        """Whether enough subjects gave every reading for the criteria to stand for all of them.

        The universal rule wants a tolerable error in 85 % of the people; an error of somebody who got no number is not
        tolerable. So no more than 15 % may lack one (chosen so; the standard itself leaves such people out).
        """
        return self.complete_share >= TOLERABLE_SHARE

    @property
    def passed(self) -> bool:
        """Whether both criteria hold for both pressures over the subjects that gave every reading, and enough did."""
        return self.enough_read and all(s.criterion_1 and s.criterion_2 for s in self.scores)


def agreement(
    estimator: str | Estimator,
    people: Subject,
    rng: np.random.Generator,
    *,
    readings: int = 3,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    against: str = "at_measurement",
    name: str | None = None,
) -> Agreement:
    """Measure people, n of them with several readings each, with an estimator and score it [mmHg], in this process.

    The mean error of correct technique against the pressure at the measurement is the algorithm's own; choose another
    `against` of TRUTHS to add what the technique did. Raises FieldError on the seeds that calibrate estimators.

    >>> from sim.estimate.fixed_ratio import FixedRatio
    >>> from sim.study.cohort import cohort
    >>> rng = np.random.default_rng(5)
    >>> agreement(FixedRatio(), cohort(40, rng), rng).counts.readings
    120
    """
    found = resolved(estimator)
    seed = scoring_generator(rng)
    n = people.size
    spread = people.spread(n)
    parts = [
        measured(
            spread.take(rows),
            {name or name_of(estimator): found},
            rng,
            readings=readings,
            technique=technique,
            instrument=instrument,
            first_subject=rows.start,
        )
        for rows in portions(n, _PORTION)
    ]
    origin = Origin(seed, f"{n} subjects with {readings} readings each{by_pulse(instrument)}")
    return score(joined(parts), origin, against=against)


def score(
    readings: Readings, origin: Origin, *, estimator: str | None = None, against: str = "at_measurement"
) -> Agreement:
    """Score one estimator's readings [mmHg], the only one's by default. Raises FieldError on an unknown truth."""
    mine = readings if estimator is None and len(readings.estimators) == 1 else readings.of(estimator or "")
    return scored(tally(mine, [against]), mine.estimators[0], origin, against)


def scored(sums: Sums, estimator: str, origin: Origin, against: str = "at_measurement") -> Agreement:
    """The score of one estimator [mmHg] from sums of its readings. Raises FieldError on a truth that is not there."""
    mine = sums.by_estimator[estimator]
    sbp, dbp = (_score(mine, p, sums.kind(p, against), against) for p in PRESSURES)
    return Agreement(estimator=estimator, against=against, origin=origin, counts=_counts(mine), sbp=sbp, dbp=dbp)


def _counts(mine: Of) -> Counts:
    """What became of the readings."""
    return Counts(
        readings=mine.readings,
        subjects=mine.subjects,
        failed=mine.failed,
        failed_share=share_of(mine.lost),
        reasons=dict(sorted(mine.reasons.items(), key=lambda said: (-said[1], said[0]))),
        complete=mine.complete,
        without_any=mine.without_any,
    )


def _score(mine: Of, pressure: str, kind: int, against: str) -> Score:
    parts, every = mine.whole.components(kind), mine.every.components(kind)
    limit = float(sd_limit(parts.mean)) if np.isfinite(parts.mean) else 0.0
    first, second = criteria(parts.mean, parts.sd, parts.sd_of_means)
    within = {w: share_of(mine.within.at(kind, place)) for place, w in enumerate(WITHIN_MMHG)}
    per_subject = round(parts.harmonic) if parts.subjects else 1
    within_sd = parts.within if np.isfinite(parts.within) else 0.0
    told = int(mine.told[kind])
    return Score(
        pressure=pressure,
        parts=parts,
        criterion_1=bool(first),
        criterion_2=bool(second),
        limit_2=limit,
        passing=passing(parts.mean, parts.between, within_sd, readings=per_subject),
        tolerable=tolerable(parts.mean, parts.sd_of_means, parts.subjects),
        within=within,
        grade=_grade(within),
        # A resting pressure is constant in a person; the other truths are of each reading.
        agreement=limits(every, CONSTANT if against == "resting" else VARYING),
        spread=every,
        root_mean_square=_root_mean_square(mine.every.readings, kind),
        covered=float(mine.covered[kind] / told) if told else np.nan,
        by=_dependences(mine, kind),
    )


def _root_mean_square(error: Joint, kind: int) -> float:
    if not error.n:
        return np.nan
    return float(np.sqrt(error.mean[kind, 0] ** 2 + error.product[kind, 0, 0] / error.n))


def _grade(within: dict[int, Estimate]) -> str:
    reached = [100 * within[w].value for w in WITHIN_MMHG]
    return next(
        (name for name, least in GRADES.items() if all(r >= p for r, p in zip(reached, least, strict=True))), "D"
    )


def _dependences(mine: Of, kind: int) -> tuple[Dependence, ...]:
    """The subjects' mean errors against what differs between people."""
    found = (mine.along.dependence(name, *QUANTITIES[name], kind) for name in mine.along.joints)
    return tuple(d for d in found if d is not None)
