"""An estimator scored as ISO 81060-2 scores a device: its readings against the true pressure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.door import name_of
from sim.estimate.named import resolved
from sim.fields import FieldError
from sim.results import Estimator
from sim.study.bland_altman import LIMIT_SDS, BlandAltman, bland_altman, replicated
from sim.study.components import Components, components
from sim.study.dependence import Dependence, dependence
from sim.study.intervals import Estimate, share
from sim.study.origin import Origin, by_pulse
from sim.study.readings import TRUTHS, Readings, joined
from sim.study.repeated_readings import measured, portions
from sim.study.seeds import scoring_generator
from sim.study.standard import TOLERABLE_SHARE, Passing, Tolerable, criteria, passing, sd_limit, tolerable
from sim.technique import Technique

# The differences that the grades below count [mmHg].
WITHIN_MMHG = (5, 10, 15)
# British Hypertension Society, % of differences within 5, 10 and 15 mmHg; historical. O'Brien E, et al. J Hypertens
# 1993;11 Suppl 2:S43-62 (from memory); figures seen at second hand.
GRADES = {"A": (60, 85, 95), "B": (50, 75, 90), "C": (40, 65, 85)}

# What errors are held against: label and unit by column of Readings; pulse pressure is worked out.
QUANTITIES = {
    "arm_circumference_cm": ("arm circumference", "cm"),
    "artery_b_mmhg": ("artery compliance width (b)", "mmHg"),
    "pulse_pressure_mmhg": ("pulse pressure", "mmHg"),
    "heart_rate": ("heart rate", "per min"),
    "amplitude_mmhg": ("largest pulse in the cuff", "mmHg"),
    "age_years": ("age", "years"),
}
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
    if against not in TRUTHS:
        raise FieldError("against", repr(against), "one of " + ", ".join(TRUTHS))
    mine = readings if estimator is None and len(readings.estimators) == 1 else readings.of(estimator or "")
    counts, complete = _counts(mine)
    return Agreement(
        estimator=mine.estimators[0],
        against=against,
        origin=origin,
        counts=counts,
        sbp=_score(mine, "sbp", against, complete),
        dbp=_score(mine, "dbp", against, complete),
    )


def _counts(readings: Readings) -> tuple[Counts, np.ndarray]:
    """What became of the readings, and a mask (m,) of those whose subject gave every one."""
    ok = readings.ok
    _, where, planned = np.unique(readings["subject"], return_inverse=True, return_counts=True)
    read = np.bincount(where, ok)
    whole = read == planned.max(initial=1)
    said, times = np.unique(readings["reason"][~ok].astype(str), return_counts=True)
    failed = int((~ok).sum())
    counts = Counts(
        readings=len(ok),
        subjects=len(planned),
        failed=failed,
        failed_share=share(~ok, readings["subject"]),
        reasons={str(text): int(count) for text, count in sorted(zip(said, times, strict=True), key=lambda x: -x[1])},
        complete=int(whole.sum()),
        without_any=int((read == 0).sum()),
    )
    return counts, whole[where]


def _score(readings: Readings, pressure: str, against: str, complete: np.ndarray) -> Score:
    error, subject = readings.error(pressure, against), readings["subject"]
    parts = components(error[complete], subject[complete])
    there = readings.ok
    limit = float(sd_limit(parts.mean)) if np.isfinite(parts.mean) else 0.0
    first, second = criteria(parts.mean, parts.sd, parts.sd_of_means)
    known = error[there]
    within = {w: share(there & (np.abs(error) <= w), subject) for w in WITHIN_MMHG}
    per_subject = round(parts.harmonic) if parts.subjects else 1
    within_sd = parts.within if np.isfinite(parts.within) else 0.0
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
        agreement=_agreement(readings.take(there), pressure, against),
        spread=components(known, subject[there]),
        root_mean_square=float(np.sqrt((known**2).mean())) if len(known) else np.nan,
        covered=_covered(known, readings[f"{pressure}_sd"][there]) if f"{pressure}_sd" in readings else np.nan,
        by=_dependences(readings, error, there),
    )


def _covered(error: np.ndarray, sd: np.ndarray) -> float:
    known = np.isfinite(sd)
    return float((np.abs(error[known]) <= LIMIT_SDS * sd[known]).mean()) if known.any() else np.nan


def _agreement(read: Readings, pressure: str, against: str) -> BlandAltman:
    """Readings against a truth of their own each, or against a resting pressure, which is constant in a person."""
    if against != "resting":
        return bland_altman(read.error(pressure, against), read["subject"])
    subjects, first = np.unique(read["subject"], return_index=True)
    return replicated(read[pressure], read["subject"], read[f"resting_{pressure}"][first], subjects)


def _grade(within: dict[int, Estimate]) -> str:
    reached = [100 * within[w].value for w in WITHIN_MMHG]
    return next(
        (name for name, least in GRADES.items() if all(r >= p for r, p in zip(reached, least, strict=True))), "D"
    )


def _dependences(readings: Readings, error: np.ndarray, there: np.ndarray) -> tuple[Dependence, ...]:
    """The subjects' mean errors against what differs between people; means over the readings that have numbers."""
    _, where = np.unique(readings["subject"][there], return_inverse=True)
    count = np.bincount(where)
    found = []
    for name, (label, unit) in QUANTITIES.items():
        if name == "pulse_pressure_mmhg":
            quantity = readings["at_measurement_sbp"] - readings["at_measurement_dbp"]
        elif name in readings:
            quantity = readings[name]
        else:
            continue
        quantity, means = (np.bincount(where, values[there]) / count for values in (quantity.astype(float), error))
        found.append(dependence(name, label, unit, quantity, means))
    return tuple(d for d in found if d is not None)
