"""Measured effects without a mechanism: pressure lost between cuff and skin (empirical.toml)."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from sim.data import data
from sim.technique import Technique


@lru_cache(maxsize=1)
def empirical() -> dict[str, Any]:
    """The figures of empirical.toml."""
    return data("sim.cuff", "empirical.toml")


def lost_mmhg(technique: Technique, draws: np.ndarray) -> np.ndarray:
    """Part of the cuff's pressure that does not reach the skin, (n, 2) [mmHg]: at systolic and at diastolic pressure.

    It raises the reading by as much. draws: (n, 2) how sleeve and cuff lie, in standard deviations; 0 gives the mean.
    A sleeve moves both pressures together, by the first draw.

    >>> lost_mmhg(Technique().spread(1), np.zeros((1, 2)))
    array([[0., 0.]])
    """
    under, rolled, crease = (empirical()[name] for name in ("sleeve_scatter", "rolled_sleeve", "elbow_crease"))
    under_sd = under["sd_mmhg"] * np.minimum(technique.sleeve_mm / under["full_at_mm"], 1.0)
    is_rolled, is_crease = technique.sleeve_rolled_up == "yes", technique.elbow_crease == "yes"
    rolled_sd = np.where(is_rolled, rolled["sd_mmhg"], 0.0)
    sleeve = is_rolled * rolled["mean_mmhg"] + np.hypot(under_sd, rolled_sd) * draws[:, 0]
    at_crease = [
        is_crease * (crease[f"{name}_mmhg"] + crease[f"sd_{name}_mmhg"] * draws[:, k])
        for k, name in enumerate(("sbp", "dbp"))
    ]
    return np.stack([sleeve + moved for moved in at_crease], axis=1)


def at_skin(cuff_mmhg: np.ndarray, lost: np.ndarray, sbp: np.ndarray, dbp: np.ndarray) -> np.ndarray:
    """What of the cuff's pressures (n, m) reaches the skin [mmHg], with `lost` (n, 2) at pressures sbp and dbp (n,).

    Between and beyond the two the loss runs straight, but no further than half a pulse pressure.

    >>> at_skin(np.array([[120.0, 100.0, 80.0]]), np.array([[6.0, 2.0]]), np.array([120.0]), np.array([80.0]))
    array([[114.,  96.,  78.]])
    """
    if not lost.any():
        return cuff_mmhg
    place = np.clip((cuff_mmhg - dbp[:, None]) / (sbp - dbp)[:, None], -0.5, 1.5)
    return cuff_mmhg - (lost[:, 1:] + (lost[:, :1] - lost[:, 1:]) * place)
