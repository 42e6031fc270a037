"""Rows of one length, a few at a time: what is worked on together, so that no row's result depends on the others."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

# Rows at a time: what fits in the processor's cache.
ROWS = 16


def blocks(samples: np.ndarray) -> Iterator[tuple[np.ndarray, int]]:
    """Indices of at most ROWS rows and their common length, until every row of lengths (n,) has come."""
    for length in np.unique(samples):
        alike = np.flatnonzero(samples == length)
        for first in range(0, len(alike), ROWS):
            yield alike[first : first + ROWS], int(length)
