"""All that a report needs of a study's readings, as sums that can be put together: no table of a large study is needed.

Sums of a part are made from its table (`tally`); those of several parts are put together (`Sums.merged`, `folded`).
Each person is in one part alone. What sums give is what the whole table would give, but for rounding in the last bits;
only where there are very many people, edges of fifths are right to a bin and no more (sim.study.ordered).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, islice

import numpy as np

from sim.fields import FieldError
from sim.study.bland_altman import LIMIT_SDS
from sim.study.components import Layers
from sim.study.dependence import Along
from sim.study.iso_rules import Counted, counted
from sim.study.moments import Joint, by_group
from sim.study.paired import Paired
from sim.study.readings import TRUTHS, Readings

PRESSURES = ("sbp", "dbp")
# What sums need of each reading.
COLUMNS = [
    *("subject", "reading", "estimator", "sbp", "dbp", "sbp_sd", "dbp_sd", "reason"),
    *(f"{stage}_{p}" for stage in TRUTHS for p in PRESSURES),
    *("amplitude_mmhg", "age_years", "sex", "heart_rate", "arm_circumference_cm", "artery_b_mmhg"),
]
# The differences that are counted [mmHg].
WITHIN_MMHG = (5, 10, 15)
# What errors are held against: label and unit by column of Readings; pulse pressure is worked out.
QUANTITIES = {
    "arm_circumference_cm": ("arm circumference", "cm"),
    "artery_b_mmhg": ("artery compliance width (b)", "mmHg"),
    "pulse_pressure_mmhg": ("pulse pressure", "mmHg"),
    "heart_rate": ("heart rate", "per min"),
    "amplitude_mmhg": ("largest pulse in the cuff", "mmHg"),
    "age_years": ("age", "years"),
}
# So many people stand for all in pictures. Chosen: more points only cover each other.
SHOWN = 1500
# So many parts are put together at a time. Chosen: thrice as many take a few MB more and are no faster.
_AT_A_TIME = 32


@dataclass(frozen=True, eq=False)
class Of:
    """Of one estimator's readings. An error's kind, of q, is a truth and a pressure: (truths) x (systolic, diastolic).

    readings, subjects, failed, complete, without_any: how many; reasons: how often each is why there is no number
    lost, within: of each subject the readings without a number, (2,), or with errors within 5, 10 and 15 mmHg,
    (q, 3, 2), and how many there are; covered, told: (q,) errors within 1.96 of the estimator's own SD, of
    how many with one
    every, whole: errors of all readings with numbers, and of subjects with every reading
    along: the subjects' mean errors along each quantity
    shown: (k, q, 2) of some subjects: middle of reading and truth, error [mmHg]
    """

    readings: int
    subjects: int
    failed: int
    complete: int
    without_any: int
    reasons: dict[str, int]
    lost: Joint
    within: Joint
    covered: np.ndarray
    told: np.ndarray
    every: Layers
    whole: Layers
    along: Along
    shown: np.ndarray

    @classmethod
    def merged(cls, parts: Sequence[Of]) -> Of:
        """Those of all parts together [mmHg]."""
        reasons = sum((Counter(part.reasons) for part in parts), Counter())
        return cls(
            **{n: sum(getattr(p, n) for p in parts) for n in
               ("readings", "subjects", "failed", "complete", "without_any", "covered", "told")},
            reasons=dict(reasons),
            lost=Joint.merged([part.lost for part in parts]),
            within=Joint.merged([part.within for part in parts]),
            every=Layers.merged([part.every for part in parts]),
            whole=Layers.merged([part.whole for part in parts]),
            along=Along.merged([part.along for part in parts]),
            shown=np.concatenate([part.shown for part in parts]),
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Sums:
    """Of all estimators' readings, by name; of each pair of them, in order; people: as the standard asks for them.

    truths: what the readings are held against; errors are in mmHg
    """

    truths: tuple[str, ...]
    by_estimator: dict[str, Of]
    pairs: tuple[Paired, ...]
    people: Counted | None

    @classmethod
    def merged(cls, parts: Sequence[Sums]) -> Sums:
        """Those of all parts together [mmHg]."""
        first = parts[0]
        return cls(
            truths=first.truths,
            by_estimator={name: Of.merged([part.by_estimator[name] for part in parts]) for name in first.by_estimator},
            pairs=tuple(Paired.merged(alike) for alike in zip(*(part.pairs for part in parts), strict=True)),
            people=None if first.people is None else Counted.merged([part.people for part in parts if part.people]),
        )

    def kind(self, pressure: str, against: str) -> int:
        """The number of the kind of an error [mmHg]. Raises FieldError on a truth that is not there."""
        if against not in self.truths:
            raise FieldError("against", repr(against), "one of " + ", ".join(self.truths))
        return len(PRESSURES) * self.truths.index(against) + PRESSURES.index(pressure)


def folded(parts: Iterable[Sums]) -> Sums:
    """Sums [mmHg] of all parts together, of which only a few are there at a time; at least one."""
    waiting: Iterator[Sums] = iter(parts)
    so_far: list[Sums] = []
    while some := list(islice(waiting, _AT_A_TIME)):
        so_far = [Sums.merged(so_far + some)]
    return so_far[0]


def spacing(subjects: int) -> int:
    """Of so many subjects every how manieth is shown in pictures, so that there are SHOWN at the most.

    >>> spacing(1500), spacing(1501)
    (1, 2)
    """
    return max(1, -(-subjects // SHOWN))


def tally(readings: Readings, truths: Sequence[str] | None = None, show_every: int | None = None) -> Sums:
    """Sums of readings [mmHg] that hold every reading of their subjects, against these truths, by default all.

    show_every: of which subjects pictures show errors, those whose number it divides. Raises FieldError on an unknown
    truth, and where estimators did not read the same recordings.
    """
    for against in truths or ():
        if against not in TRUTHS:
            raise FieldError("against", repr(against), "one of " + ", ".join(TRUTHS))
    known = tuple(t for t in TRUTHS if f"{t}_sbp" in readings) if truths is None else tuple(truths)
    tables = {name: readings.of(name) for name in readings.estimators}
    first = next(iter(tables.values()))
    shown = spacing(len(np.unique(first["subject"]))) if show_every is None else show_every
    return Sums(
        truths=known,
        by_estimator={name: _of(table, known, shown) for name, table in tables.items()},
        pairs=tuple(_pair(tables, a, b, known) for a, b in combinations(tables, 2)),
        people=_people(first),
    )


def _pair(tables: dict[str, Readings], first: str, second: str, truths: Sequence[str]) -> Paired:
    a, b = tables[first], tables[second]
    return Paired.of(first, second, _errors(a, truths), _errors(b, truths), a, b)


def _errors(readings: Readings, truths: Sequence[str]) -> np.ndarray:
    """(m, q) [mmHg]."""
    return np.stack([readings.error(p, against) for against in truths for p in PRESSURES], axis=1)


def _of(readings: Readings, truths: Sequence[str], show_every: int) -> Of:
    ok, error = readings.ok, _errors(readings, truths)
    subjects, where, planned = np.unique(readings["subject"], return_inverse=True, return_counts=True)
    read = np.bincount(where, ok)
    whole = (read == planned.max(initial=1))[where]
    known = error[ok]
    said, times = np.unique(readings["reason"][~ok].astype(str), return_counts=True)
    covered, told = _covered(readings.take(ok), known, len(truths))
    return Of(
        readings=len(ok),
        subjects=len(subjects),
        failed=int((~ok).sum()),
        complete=int((read == planned.max(initial=1)).sum()),
        without_any=int((read == 0).sum()),
        reasons=dict(zip(said.tolist(), times.tolist(), strict=True)),
        lost=_counted(~ok[:, None], where, planned).at(0),
        within=_counted(ok[:, None, None] & (np.abs(error)[:, :, None] <= WITHIN_MMHG), where, planned),
        covered=covered,
        told=told,
        every=Layers.of(known, readings["subject"][ok]),
        whole=Layers.of(error[whole], readings["subject"][whole]),
        along=_along(readings.take(ok), known),
        shown=_shown(readings.take(ok), known, len(truths), show_every),
    )


def _counted(hit: np.ndarray, where: np.ndarray, planned: np.ndarray) -> Joint:
    """Over subjects, how many readings (m, ...) of each are a hit, of how many planned: (..., 2)."""
    hits = by_group(hit.reshape(len(hit), -1), where, len(planned)).reshape(len(planned), *hit.shape[1:])
    of = np.broadcast_to(planned.reshape(-1, *[1] * (hit.ndim - 1)), hits.shape)
    return Joint.of(np.stack([hits, of], axis=-1).astype(float))


def _covered(readings: Readings, error: np.ndarray, truths: int) -> tuple[np.ndarray, np.ndarray]:
    """Errors (m, q) within 1.96 of the estimator's own standard deviations, and how many have one, (q,) each."""
    none = np.full(readings.rows, np.nan)
    sd = np.stack([readings.get(f"{p}_sd", none) for p in PRESSURES] * truths, axis=1).astype(float)
    return (np.abs(error) <= LIMIT_SDS * sd).sum(axis=0), np.isfinite(sd).sum(axis=0)


def _along(readings: Readings, error: np.ndarray) -> Along:
    """The subjects' mean errors along what differs between people; means over the readings that have numbers."""
    _, where, counts = np.unique(readings["subject"], return_inverse=True, return_counts=True)

    def means(values: np.ndarray) -> np.ndarray:
        return by_group(values.astype(float), where, len(counts)) / counts[:, None]

    known = {**readings, "pulse_pressure_mmhg": readings["at_measurement_sbp"] - readings["at_measurement_dbp"]}
    return Along.of({name: means(known[name][:, None])[:, 0] for name in QUANTITIES if name in known}, means(error))


def _shown(readings: Readings, error: np.ndarray, truths: int, show_every: int) -> np.ndarray:
    """Means over the readings with numbers of those subjects who are shown, (k, q, 2) [mmHg]."""
    some = readings["subject"] % show_every == 0
    _, where, counts = np.unique(readings["subject"][some], return_inverse=True, return_counts=True)
    shown = np.stack([readings[p][some] for p in PRESSURES] * truths, axis=1).astype(float)
    values = (shown - error[some] / 2, error[some])
    return np.stack([by_group(v, where, len(counts)) / counts[:, None] for v in values], axis=2)


def _people(readings: Readings) -> Counted | None:
    if "sex" not in readings:
        return None
    each = readings.take(readings["reading"] == readings["reading"].min())
    pressures = readings["at_measurement_sbp"], readings["at_measurement_dbp"]
    return counted(*pressures, each["arm_circumference_cm"].astype(float), each["sex"])
