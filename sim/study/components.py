"""Repeated errors of the same people: how much differs between people, how much within them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np


@dataclass(frozen=True, eq=False)
class Components:
    """Errors with several readings a subject, in two layers [mmHg].

    readings, subjects: how many; harmonic: harmonic mean of the readings a subject
    mean: of all readings; mean_of_subjects: of the subjects' means (the same where all have equally many)
    sd: of all readings about their mean; sd_of_means: of the subjects' means
    within: SD within subjects, pooled; NaN with one reading each
    between: SD between subjects beyond what `within` explains; 0 where the readings give a negative variance
    total: SD of a single reading of a new subject, from both layers; means: (subjects,) their means
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
    means: np.ndarray = field(repr=False)


def components(error_mmhg: np.ndarray, subject: np.ndarray) -> Components:
    """One-way analysis of variance of errors (m,) by subject (m,); subjects may have different numbers of readings.

    Bland JM, Altman DG. J Biopharm Stat 2007;17:571-582, DOI 10.1080/10543400701329422, where the true value varies
    (from memory): between-subject variance = (mean square between - mean square within) / m0,
    m0 = ((sum m)^2 - sum m^2) / ((n - 1) sum m).

    >>> found = components(np.array([1.0, 3.0, 5.0, 7.0]), np.array([0, 0, 1, 1]))
    >>> found.mean, round(found.within, 3), found.means
    (4.0, 1.414, array([2., 6.]))
    """
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    many, n = len(error_mmhg), len(counts)
    if many == 0:
        nan = np.nan
        return Components(0, 0, nan, nan, nan, nan, nan, nan, nan, nan, np.empty(0))
    means = np.bincount(where, error_mmhg) / counts
    left = error_mmhg - means[where]
    grand = float(error_mmhg.mean())
    within2 = float((left**2).sum() / (many - n)) if many > n else np.nan
    sd = float(error_mmhg.std(ddof=1)) if many > 1 else np.nan
    sd_of_means = float(means.std(ddof=1)) if n > 1 else np.nan
    if n < 2:
        between2 = np.nan
    elif many == n:
        between2 = sd_of_means**2
    else:
        m0 = (many**2 - (counts**2).sum()) / ((n - 1) * many)
        square_between = float((counts * (means - grand) ** 2).sum() / (n - 1))
        between2 = max((square_between - within2) / m0, 0.0)
    total2 = between2 + (0.0 if many == n else within2)
    return Components(
        readings=many,
        subjects=n,
        harmonic=float(n / (1 / counts).sum()),
        mean=grand,
        mean_of_subjects=float(means.mean()),
        sd=sd,
        sd_of_means=sd_of_means,
        within=float(np.sqrt(within2)),
        between=float(np.sqrt(between2)),
        total=float(np.sqrt(total2)),
        means=means,
    )
