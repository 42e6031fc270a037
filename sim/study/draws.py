"""Draws that stay within the limits of a field: what falls outside is drawn again, so that no one stands on a limit."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.body.subject import Subject
from sim.fields import Limit


def within(name: str, n: int, draw: Callable[[int], np.ndarray]) -> np.ndarray:
    """n values, (n,), from `draw(k)`, which gives k of them, within the limits of the field `name` and in its unit."""
    values = draw(n)
    while (bad := ~allowed(name, values)).any():
        values[bad] = draw(int(bad.sum()))
    return values


def normal(name: str, n: int, rng: np.random.Generator, mean: float, sd: float) -> np.ndarray:
    """n normal values, (n,), within the limits of the field `name`; mean and sd in its unit.

    >>> normal("heart_rate", 3, np.random.default_rng(1), 70.0, 10.0).shape
    (3,)
    """
    return within(name, n, lambda k: rng.normal(mean, sd, k))


def allowed(name: str, values: np.ndarray) -> np.ndarray:
    """Which values (n,), in the field's unit, the field `name` takes.

    >>> allowed("sbp", np.array([50.0, 120.0]))
    array([False,  True])
    """
    limit = Subject.LIMITS[name]
    assert isinstance(limit, Limit)
    return (values >= limit.low) & (values <= limit.high)
