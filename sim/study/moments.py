"""Sums over cases that can be put together: counts, means, and products of departures.

Kept are means and sums of squares about them, not plain sums of squares, so that nothing is lost where a mean is large
beside its spread. Put together as in Chan TF, Golub GH, LeVeque RJ. Am Stat 1983;37:242-247, DOI
10.1080/00031305.1983.10483115 (from memory): the departures of the parts' means from the common one are added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Joint:
    """Means of k quantities over n cases, and how they go together, each in its own unit.

    mean: of shape (..., k); product: (..., k, k) sums of products of their departures from the means
    """

    n: int
    mean: np.ndarray
    product: np.ndarray

    @classmethod
    def of(cls, values: np.ndarray) -> Joint:
        """The sums of values of shape (n, ..., k).

        >>> Joint.of(np.array([[1.0], [3.0]])).product
        array([[2.]])
        """
        mean = values.sum(axis=0) / max(len(values), 1)
        away = values - mean
        return cls(len(values), mean, np.einsum("n...i,n...j->...ij", away, away))

    @classmethod
    def merged(cls, parts: Sequence[Joint]) -> Joint:
        """Those of all parts' cases together, of the same shape.

        >>> Joint.merged([Joint.of(np.array([[1.0]])), Joint.of(np.array([[3.0]]))]).product
        array([[2.]])
        """
        n = np.array([part.n for part in parts])
        means = np.stack([part.mean for part in parts])
        mean = np.tensordot(n / max(int(n.sum()), 1), means, 1)
        away = means - mean
        moved = np.einsum("p,p...i,p...j->...ij", n, away, away)
        return cls(int(n.sum()), mean, np.sum([part.product for part in parts], axis=0) + moved)

    def at(self, *place: int) -> Joint:
        """Those at one place of the first axes, means of shape (k,).

        >>> Joint.of(np.array([[[1.0], [5.0]], [[3.0], [5.0]]])).at(0).mean
        array([2.])
        """
        return Joint(self.n, self.mean[place], self.product[place])

    @property
    def sd(self) -> np.ndarray:
        """Standard deviation of each quantity, of shape (..., k); NaN with fewer than two cases."""
        square = np.diagonal(self.product, axis1=-2, axis2=-1)
        return np.sqrt(square / (self.n - 1)) if self.n > 1 else np.full(square.shape, np.nan)


def by_group(values: np.ndarray, where: np.ndarray, groups: int) -> np.ndarray:
    """Sums of values (m, q) in their unit over each group, (groups, q); where: (m,) the group of each."""
    return np.stack([np.bincount(where, column, groups) for column in values.T], axis=1)
