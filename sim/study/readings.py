"""Readings of a study as a table: flat columns, one row a reading of one estimator."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from sim.results import is_reading

# Columns of text: kept as Python strings, of which a table holds each once.
TEXT = ("estimator", "reason", "sex", "rhythm", "bladder")
# The truths that a reading can be held against.
TRUTHS = {
    "at_measurement": "the true pressure in the artery at heart level during the reading",
    "at_cuff": "the true pressure in the artery under the cuff during the reading",
    "resting": "the resting pressure",
    "listener": "what two simulated observers with a stethoscope read before and after (sim.study.listener)",
}


class Readings(Mapping[str, np.ndarray]):
    """m readings, a mapping from column to array (m,).

    subject, reading: numbers from 0 of the person and of the reading of that person
    estimator: its name; sbp, dbp, map [mmHg], pulse_rate [beats/min]: NaN where there is none, and then
    reason says why
    resting_sbp, ... at_measurement_dbp, ... at_cuff_map: the truth in its stages [mmHg]
    listener_sbp, listener_dbp: what two observers read before and after (sim.study.listener) [mmHg]
    true_pulse_rate: mean rate of the heart during the reading [beats/min]
    sbp_sd, dbp_sd: how uncertain the estimator holds its numbers [mmHg], NaN where it does not say
    amplitude_mmhg: height of the largest beat that counted
    and what was measured: age_years, sex, heart_rate, rhythm, arm_circumference_cm, bladder, artery_a_mmhg,
    artery_b_mmhg, artery_radius_ratio, artery_scale, form_factor
    """

    def __init__(self, columns: Mapping[str, np.ndarray]) -> None:
        self._columns = {
            name: values.astype(object) if values.dtype.kind in "UT" else values for name, values in columns.items()
        }
        if len({len(values) for values in self._columns.values()}) > 1:
            raise ValueError("columns of different lengths")

    def __getitem__(self, name: str) -> np.ndarray:
        return self._columns[name]

    def __iter__(self) -> Any:
        return iter(self._columns)

    def __len__(self) -> int:
        """How many columns, as a mapping has it; `rows` counts the readings."""
        return len(self._columns)

    @property
    def rows(self) -> int:
        """How many readings."""
        return len(next(iter(self._columns.values()))) if self._columns else 0

    @property
    def estimators(self) -> list[str]:
        """Names of the estimators, in the order in which they come."""
        return list(dict.fromkeys(self["estimator"]))

    @property
    def ok(self) -> np.ndarray:
        """Whether there is a reading, (m,), as `sim.results.is_reading` says."""
        return is_reading(self["sbp"], self["dbp"], self["reason"])

    def take(self, rows: Any) -> Readings:
        """Some of the m readings (a mask, indices or a slice), k rows of them: columns of shape (k,).

        >>> Readings({"sbp": np.array([120.0, 130.0, 140.0])}).take(slice(0, 2)).rows
        2
        """
        return Readings({name: values[rows] for name, values in self.items()})

    def of(self, estimator: str) -> Readings:
        """Those of one estimator, (k,), in order of subject and reading. Raises KeyError where there are none."""
        mine = np.flatnonzero(self["estimator"] == estimator)
        if not len(mine):
            raise KeyError(f"no readings of {estimator!r}, only of {', '.join(self.estimators)}")
        order = np.lexsort((self["reading"][mine], self["subject"][mine]))
        if len(mine) == self.rows and (order[1:] > order[:-1]).all():
            return self  # no copy of a large table that is in order
        return self.take(mine[order])

    def error(self, pressure: str, against: str = "at_measurement") -> np.ndarray:
        """Reading minus truth, (m,) [mmHg], of "sbp", "dbp" or "map"; NaN where there is no reading.

        >>> Readings({"sbp": np.array([125.0]), "at_measurement_sbp": np.array([120.0])}).error("sbp")
        array([5.])
        """
        return self[pressure] - self[f"{against}_{pressure}"]


def joined(parts: Sequence[Readings]) -> Readings:
    """Several tables with the same columns as one: as many rows, (m,), as all of them have together.

    >>> joined([Readings({"sbp": np.array([120.0])}), Readings({"sbp": np.array([130.0])})])["sbp"]
    array([120., 130.])
    """
    return Readings({name: np.concatenate([part[name] for part in parts]) for name in parts[0]})
