"""What moves the pressure itself while it is measured: responses, never measuring errors.

The figures and their sources are in responses.toml. Responses to several things at once are added; whether they add
in people is not known.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from sim.data import data
from sim.technique import Technique

# Everybody responds as people do on average.
MEAN: Mapping[str, np.ndarray] = MappingProxyType({})


@dataclass(frozen=True)
class Response:
    """One published response: mean and spread between people [mmHg], and where it comes from."""

    label: str
    sbp: float
    dbp: float
    sd_sbp: float
    sd_dbp: float
    source: str
    doi: str
    population: str
    sure: str
    how: str
    record: str = ""
    after_effect_min: float = 0.0
    half_time_sbp_min: float = 0.0
    half_time_dbp_min: float = 0.0
    over_min: float = 0.0
    usual_min: float = 0.0


@lru_cache(maxsize=1)
def responses() -> dict[str, dict[str, Response]]:
    """Every response [mmHg] by field of the technique and option (figures and sources: responses.toml).

    >>> response = responses()["talking"]["conversation"]
    >>> response.sbp > 0, response.doi != ""
    (True, True)
    """
    table = data("sim.body", "responses.toml")
    return {field: {name: Response(**entry) for name, entry in options.items()} for field, options in table.items()}


def response(technique: Technique, draws: Mapping[str, np.ndarray] = MEAN) -> tuple[np.ndarray, np.ndarray]:
    """Change of systolic and diastolic pressure [mmHg], each (n,), by all responses of n readings.

    draws: by field of the technique, (n,) each, how far each person's response to it lies from the mean, in standard
    deviations; a field that is not there gives the mean.

    >>> sbp, dbp = response(Technique(talking="conversation").spread(2))
    >>> sbp.shape, bool((sbp > 0).all())
    ((2,), True)
    """
    sbp, dbp = _rest(technique.rest_min)
    for field, options in responses().items():
        if field == "rest_min":
            continue
        values, drawn = getattr(technique, field), draws.get(field, np.zeros(len(technique.rest_min)))
        for name, r in options.items():
            rows = _chosen(values, name)
            if not rows.any():
                continue
            left = _left(r, technique)[rows] if r.after_effect_min else 1.0
            sbp[rows] += left * (r.sbp + r.sd_sbp * drawn[rows])
            dbp[rows] += left * (r.dbp + r.sd_dbp * drawn[rows])
    return sbp, dbp


def _chosen(values: np.ndarray, name: str) -> np.ndarray:
    return values == name if values.dtype.kind == "U" else values == float(name)


def _left(r: Response, technique: Technique) -> np.ndarray:
    """Share of a talk's response that is left after so many minutes of silence."""
    return np.clip(1 - technique.quiet_min / r.after_effect_min, 0, 1)


def _rest(rest_min: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """What too little rest adds, against the usual time of rest."""
    r = responses()["rest_min"]["curve"]

    def over(fall: float, half_time_min: float) -> np.ndarray:
        whole = fall / (1 - np.exp2(-r.over_min / half_time_min))
        return whole * (np.exp2(-rest_min / half_time_min) - np.exp2(-r.usual_min / half_time_min))

    return over(r.sbp, r.half_time_sbp_min), over(r.dbp, r.half_time_dbp_min)
