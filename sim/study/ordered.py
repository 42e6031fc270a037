"""Many people in order of a quantity: each of them while they are few, bins of them when they are many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Part:
    """One fifth of the subjects, in order of a quantity: its range there, and their mean errors' mean and SD [mmHg]."""

    low: float
    high: float
    subjects: int
    mean: float
    sd: float


@dataclass(frozen=True, eq=False)
class Ordered:
    """q values y for each of n people, in order of a quantity x: b bins, each of one person or of all within a step.

    count: (b,) how many; low, high: (b,) least and greatest x among them
    mean: (b, q) of y; square: (b, q) sum of squares about it
    step: width of a bin, and so how far the edge of a part may lie from where it is; 0 where people are one by one
    """

    count: np.ndarray
    low: np.ndarray
    high: np.ndarray
    mean: np.ndarray
    square: np.ndarray
    step: float = 0.0

    @classmethod
    def of(cls, x: np.ndarray, y: np.ndarray) -> Ordered:
        """People with finite x (n,) and y (n, q), one by one."""
        order = np.argsort(x, kind="stable")
        x, y = x[order], y[order]
        return cls(np.ones(len(x), dtype=np.int64), x, x, y, np.zeros(y.shape))

    @classmethod
    def binned(cls, parts: Sequence[Ordered], step: float) -> Ordered:
        """The people of all parts, all of them within a step of a fixed grid in one bin; parts may be in such bins."""
        names = ("low", "high", "count", "mean", "square")
        low, high, count, mean, square = (np.concatenate([getattr(part, name) for part in parts]) for name in names)
        order = np.argsort(low, kind="stable")
        place = np.floor(low[order] / step)
        first = np.flatnonzero(np.diff(place, prepend=np.nan) != 0)
        where = np.repeat(np.arange(len(first)), np.diff(first, append=len(place)))
        count, mean = count[order], mean[order]
        counts = np.add.reduceat(count, first)
        means = np.add.reduceat(count[:, None] * mean, first) / counts[:, None]
        squares = np.add.reduceat(square[order] + count[:, None] * (mean - means[where]) ** 2, first)
        return cls(counts, low[order][first], np.maximum.reduceat(high[order], first), means, squares, step)

    @property
    def largest(self) -> float:
        """Greatest |x|, in its unit (cm, mmHg ...); 0 where there is nobody."""
        return float(max(np.abs(self.low).max(initial=0), np.abs(self.high).max(initial=0)))

    def parts(self, count: int, kind: int = 0) -> tuple[Part, ...]:
        """So many equal parts of the people, those with the least x first; y of one kind [mmHg], by its number.

        >>> few = Ordered.of(np.array([3.0, 1.0, 2.0, 4.0]), np.array([[30.0], [10.0], [20.0], [40.0]]))
        >>> [part.mean for part in few.parts(2)]
        [15.0, 35.0]
        """
        ends = np.cumsum(self.count)
        each, spare = divmod(int(ends[-1]) if len(ends) else 0, count)
        sizes = [each + (part < spare) for part in range(count)]
        last = np.cumsum(sizes)
        return tuple(self._part(int(b) - n, int(b), ends, kind) for b, n in zip(last, sizes, strict=True) if n)

    def _part(self, first: int, last: int, ends: np.ndarray, kind: int) -> Part:
        """People of ranks `first` to before `last`; of a bin at an edge, as many as belong here, spread evenly."""
        begins = ends - self.count
        bins = slice(int(np.searchsorted(ends, first, "right")), int(np.searchsorted(begins, last)))
        here = np.minimum(ends[bins], last) - np.maximum(begins[bins], first)
        y, n = self.mean[bins, kind], last - first
        mean = float((here * y).sum() / n)
        square = float((here * (y - mean) ** 2 + here / self.count[bins] * self.square[bins, kind]).sum())
        low, high = (self._at(rank, begins, ends) for rank in (first, last - 1))
        return Part(low, high, n, mean, float(np.sqrt(square / (n - 1))) if n > 1 else np.nan)

    def _at(self, rank: int, begins: np.ndarray, ends: np.ndarray) -> float:
        """x of the person of this rank; within a bin as if people lay evenly."""
        place = int(np.searchsorted(ends, rank, "right"))
        share = (rank - begins[place]) / max(int(self.count[place]) - 1, 1)
        return float(self.low[place] + share * (self.high[place] - self.low[place]))
