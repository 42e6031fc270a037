"""What moves the pressure itself while it is measured: responses, never measuring errors.

The figures and their sources are in responses.toml.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

import numpy as np

from sim.technique import Technique


@dataclass(frozen=True)
class Response:
    """One published response: mean and spread between people [mmHg], and where it comes from."""

    name: str
    label: str
    sbp: float
    dbp: float
    sd_sbp: float
    sd_dbp: float
    after_effect_min: float
    source: str
    doi: str
    population: str
    sure: str
    how: str


@lru_cache(maxsize=1)
def responses() -> dict[str, Response]:
    """Every response by its name, e.g. "conversation"."""
    text = resources.files("sim.body").joinpath("responses.toml").read_text(encoding="utf-8")
    talking = tomllib.loads(text)["talking"]
    after = talking["after_effect_min"]
    return {name: Response(name=name, after_effect_min=after, **kind) for name, kind in talking["kind"].items()}


def talking_response(technique: Technique, draw: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Change of systolic and diastolic pressure [mmHg], each (n,), by the talk of n readings.

    draw: (n,) how far each person's response lies from the mean, in standard deviations; 0 gives the mean.
    """
    sbp, dbp = np.zeros(len(draw)), np.zeros(len(draw))
    for name in np.unique(technique.talking):
        if name == "no":
            continue
        r = responses()[str(name)]
        rows = technique.talking == name
        left = np.clip(1 - technique.quiet_min[rows] / r.after_effect_min, 0, 1)
        sbp[rows] = left * (r.sbp + r.sd_sbp * draw[rows])
        dbp[rows] = left * (r.dbp + r.sd_dbp * draw[rows])
    return sbp, dbp
