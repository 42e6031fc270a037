"""Error against what differs between people: arm, stiffness, pulse pressure, heart rate, amplitude."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.study.intervals import CONFIDENCE, Estimate, student

# Parts of the subjects, in order of a quantity. Chosen: fifths are common practice, and of 85 subjects 17 are in each.
PARTS = 5


@dataclass(frozen=True)
class Part:
    """One fifth of the subjects, in order of a quantity: its range there, and their mean errors' mean and SD [mmHg]."""

    low: float
    high: float
    subjects: int
    mean: float
    sd: float


@dataclass(frozen=True)
class Dependence:
    """How the subjects' mean errors go with one quantity.

    label, unit: of the quantity; subjects: how many
    per_sd: change of error [mmHg] per SD of the quantity, on a straight line; slope: per unit of it
    correlation: Pearson's r; parts: fifths of the subjects
    """

    name: str
    label: str
    unit: str
    subjects: int
    slope: Estimate
    per_sd: Estimate
    correlation: float
    parts: tuple[Part, ...]


def dependence(
    name: str, label: str, unit: str, quantity: np.ndarray, error_mmhg: np.ndarray, confidence: float = CONFIDENCE
) -> Dependence | None:
    """Errors (n,), one a subject, against a quantity (n,); None where it does not vary or there are fewer than 3.

    >>> arm_cm = np.array([25.0, 30.0, 35.0, 40.0])
    >>> found = dependence("arm", "arm", "cm", arm_cm, 0.2 * arm_cm)
    >>> round(found.slope.value, 3), round(found.correlation, 3)
    (0.2, 1.0)
    """
    known = np.isfinite(quantity) & np.isfinite(error_mmhg)
    x, y = quantity[known], error_mmhg[known]
    n = len(x)
    spread = float(x.std(ddof=1)) if n > 1 else 0.0
    if n < 3 or spread <= 1e-9 * max(1.0, float(np.abs(x).max())):
        return None
    away = x - x.mean()
    square = float((away**2).sum())
    slope = float((away * (y - y.mean())).sum() / square)
    left = y - y.mean() - slope * away
    error = float(np.sqrt((left**2).sum() / (n - 2) / square))
    line = student(slope, error, n - 2, confidence)
    sd_y = float(y.std(ddof=1))
    parts = tuple(
        Part(
            low=float(x[rows[0]]),
            high=float(x[rows[-1]]),
            subjects=len(rows),
            mean=float(y[rows].mean()),
            sd=float(y[rows].std(ddof=1)) if len(rows) > 1 else np.nan,
        )
        for rows in np.array_split(np.argsort(x, kind="stable"), PARTS)
        if len(rows)
    )
    correlation = slope * spread / sd_y if sd_y > 0 else 0.0
    return Dependence(name, label, unit, n, line, line.scaled(spread), correlation, parts)
