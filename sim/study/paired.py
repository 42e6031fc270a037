"""What is kept of two estimators' readings of the same recordings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError
from sim.study.moments import Joint, by_group
from sim.study.readings import Readings

# Of each subject: how many readings both gave; sums of errors and of their squares, of the first estimator and of the
# second; mean of the differences of errors and of their sizes.
COUNT, SUM, SQUARE, SUM_2, SQUARE_2, DIFFERENCE, ABSOLUTE = range(7)

# An error that counts as small [mmHg]: the least of the three that `sim.study.sums` counts.
CLOSE_MMHG = 5


@dataclass(frozen=True, eq=False)
class Paired:
    """Of two estimators' readings, with errors of q kinds [mmHg].

    both, first_only, second_only, neither: how many recordings each could read
    failed: of each subject the share without a number, first minus second, (1,)
    close: of each subject the share of all recordings with a small error, first minus second, (q, 1)
    errors: of each subject with readings that both gave what is listed above, (q, 7)
    """

    first: str
    second: str
    both: int
    first_only: int
    second_only: int
    neither: int
    failed: Joint
    close: Joint
    errors: Joint

    @classmethod
    def of(cls, first: str, second: str, error_1: np.ndarray, error_2: np.ndarray, a: Readings, b: Readings) -> Paired:
        """That of two tables in the same order, with errors (m, q) [mmHg] each.

        Raises FieldError where the two did not read the same recordings.
        """
        if a.rows != b.rows or (a["subject"] != b["subject"]).any() or (a["reading"] != b["reading"]).any():
            raise FieldError("second", repr(second), f"an estimator that read the same recordings as {first!r}")
        ok_a, ok_b = a.ok, b.ok
        both = ok_a & ok_b
        failed = (~ok_a).astype(float) - (~ok_b).astype(float)
        small = [ok[:, None] & (np.abs(error) <= CLOSE_MMHG) for ok, error in ((ok_a, error_1), (ok_b, error_2))]
        close = small[0].astype(float) - small[1]
        return cls(
            first,
            second,
            both=int(both.sum()),
            first_only=int((ok_a & ~ok_b).sum()),
            second_only=int((ok_b & ~ok_a).sum()),
            neither=int((~ok_a & ~ok_b).sum()),
            failed=Joint.of(_each(failed[:, None], a["subject"])[1]),
            close=Joint.of(_each(close, a["subject"])[1][:, :, None]),
            errors=Joint.of(_of_subjects(error_1[both], error_2[both], a["subject"][both])),
        )

    @classmethod
    def merged(cls, parts: Sequence[Paired]) -> Paired:
        """That of all parts together [mmHg]."""
        counts = {n: sum(getattr(p, n) for p in parts) for n in ("both", "first_only", "second_only", "neither")}
        failed, close, errors = (
            Joint.merged([getattr(part, name) for part in parts]) for name in ("failed", "close", "errors")
        )
        return cls(parts[0].first, parts[0].second, **counts, failed=failed, close=close, errors=errors)


def _of_subjects(first: np.ndarray, second: np.ndarray, subject: np.ndarray) -> np.ndarray:
    """(n, q, 7) out of errors (m, q) [mmHg]."""
    found = [_each(values, subject) for values in (np.ones(first.shape), first, first**2, second, second**2)]
    means = [_each(values, subject)[1] for values in (first - second, np.abs(first) - np.abs(second))]
    return np.stack([sums for sums, _ in found] + means, axis=2)


def _each(values: np.ndarray, subject: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Each subject's sums and means of values (m, q), (n, q) each."""
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    sums = by_group(values, where, len(counts))
    return sums, sums / np.maximum(counts, 1)[:, None]
