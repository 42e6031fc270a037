"""Measured effects without a mechanism: pressure lost between cuff and skin (empirical.toml)."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib import resources
from typing import Any

import numpy as np

from sim.technique import Technique


@lru_cache(maxsize=1)
def empirical() -> dict[str, Any]:
    """The figures of empirical.toml."""
    return tomllib.loads(resources.files("sim.cuff").joinpath("empirical.toml").read_text(encoding="utf-8"))


def lost_mmhg(technique: Technique, draw: np.ndarray) -> np.ndarray:
    """Part of the cuff's pressure that a sleeve keeps from the arm, (n,) [mmHg]; it raises the reading by as much.

    draw: (n,) how this sleeve lies, in standard deviations; 0 gives the mean.
    """
    under, rolled = empirical()["sleeve_scatter"], empirical()["rolled_sleeve"]
    under_sd = under["sd_mmhg"] * np.minimum(technique.sleeve_mm / under["full_at_mm"], 1.0)
    is_rolled = technique.sleeve_rolled_up == "yes"
    rolled_sd = np.where(is_rolled, rolled["sd_mmhg"], 0.0)
    return is_rolled * rolled["mean_mmhg"] + np.hypot(under_sd, rolled_sd) * draw
