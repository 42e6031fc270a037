"""Draws that stay within the limits of a field: what falls outside is drawn again, so that no one stands on a limit."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.body.subject import Subject
from sim.fields import Limit


def within(name: str, n: int, draw: Callable[[int], np.ndarray]) -> np.ndarray:
    """n values from `draw(k)` within the limits of the field `name`."""
    values = draw(n)
    while (bad := ~allowed(name, values)).any():
        values[bad] = draw(int(bad.sum()))
    return values


def normal(name: str, n: int, rng: np.random.Generator, mean: float, sd: float) -> np.ndarray:
    """n normal values within the limits of the field `name`."""
    return within(name, n, lambda k: rng.normal(mean, sd, k))


def allowed(name: str, values: np.ndarray) -> np.ndarray:
    """Which values the field `name` takes."""
    limit = Subject.LIMITS[name]
    assert isinstance(limit, Limit)
    return (values >= limit.low) & (values <= limit.high)
