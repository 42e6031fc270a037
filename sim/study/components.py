"""Repeated errors of the same people: how much differs between people, how much within them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.study.moments import Joint, by_group


@dataclass(frozen=True)
class Components:
    """Errors with several readings a subject, in two layers [mmHg].

    readings, subjects: how many; harmonic: harmonic mean of the readings a subject
    mean: of all readings; mean_of_subjects: of the subjects' means (the same where all have equally many)
    sd: of all readings about their mean; sd_of_means: of the subjects' means
    within: SD within subjects, pooled; NaN with one reading each
    between: SD between subjects beyond what `within` explains; 0 where the readings give a negative variance
    total: SD of a single reading of a new subject, from both layers
    """

    readings: int
    subjects: int
    harmonic: float
    mean: float
    mean_of_subjects: float
    sd: float
    sd_of_means: float
    within: float
    between: float
    total: float


@dataclass(frozen=True, eq=False)
class Layers:
    """Errors of q kinds [mmHg] with several readings a subject.

    readings, subjects: over all readings, and over the subjects' means, (q, 1) each; within: (q,) sum of squares
    within subjects [mmHg^2]; inverse, square: sums of 1/m and m^2 over subjects with m readings
    """

    readings: Joint
    subjects: Joint
    within: np.ndarray
    inverse: float
    square: float

    @classmethod
    def of(cls, error_mmhg: np.ndarray, subject: np.ndarray) -> Layers:
        """The sums of errors (m, q) by subject (m,), of whom each is in this part alone."""
        _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
        means = by_group(error_mmhg, where, len(counts)) / np.maximum(counts, 1)[:, None]
        left = error_mmhg - means[where]
        return cls(
            readings=Joint.of(error_mmhg[:, :, None]),
            subjects=Joint.of(means[:, :, None]),
            within=(left**2).sum(axis=0),
            inverse=float((1 / counts).sum()),
            square=float((counts.astype(float) ** 2).sum()),
        )

    @classmethod
    def merged(cls, parts: Sequence[Layers]) -> Layers:
        """Those of all parts together [mmHg]; no subject may be in two of them."""
        return cls(
            readings=Joint.merged([part.readings for part in parts]),
            subjects=Joint.merged([part.subjects for part in parts]),
            within=np.sum([part.within for part in parts], axis=0),
            inverse=sum(part.inverse for part in parts),
            square=sum(part.square for part in parts),
        )

    def components(self, kind: int = 0) -> Components:
        """Means and spreads [mmHg] of one kind of error, by its number.

        One-way analysis of variance; Bland JM, Altman DG. J Biopharm Stat 2007;17:571-582, DOI
        10.1080/10543400701329422, where the true value varies (from memory): between-subject variance = (mean square
        between - mean square within) / m0, m0 = ((sum m)^2 - sum m^2) / ((n - 1) sum m).
        """
        many, n = self.readings.n, self.subjects.n
        if many == 0:
            return Components(0, 0, *[np.nan] * 8)
        within = float(self.within[kind])
        within2 = within / (many - n) if many > n else np.nan
        sd_of_means = float(self.subjects.sd[kind, 0])
        if n < 2:
            between2 = np.nan
        elif many == n:
            between2 = sd_of_means**2
        else:
            m0 = (many**2 - self.square) / ((n - 1) * many)
            square_between = (float(self.readings.product[kind, 0, 0]) - within) / (n - 1)
            between2 = max((square_between - within2) / m0, 0.0)
        total2 = between2 + (0.0 if many == n else within2)
        return Components(
            readings=many,
            subjects=n,
            harmonic=n / self.inverse,
            mean=float(self.readings.mean[kind, 0]),
            mean_of_subjects=float(self.subjects.mean[kind, 0]),
            sd=float(self.readings.sd[kind, 0]),
            sd_of_means=sd_of_means,
            within=float(np.sqrt(within2)),
            between=float(np.sqrt(between2)),
            total=float(np.sqrt(total2)),
        )


def components(error_mmhg: np.ndarray, subject: np.ndarray) -> Components:
    """Means and spreads of errors (m,) [mmHg] by subject (m,); subjects may have different numbers of readings.

    >>> found = components(np.array([1.0, 3.0, 5.0, 7.0]), np.array([0, 0, 1, 1]))
    >>> found.mean, round(found.within, 3), round(found.sd_of_means, 3)
    (4.0, 1.414, 2.828)
    """
    return Layers.of(error_mmhg[:, None], subject).components()
