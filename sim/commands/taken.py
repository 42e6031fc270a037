"""Readings taken for the command line, with what they were taken of and with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sim.cuff.bladder import bladders, choose, fits, name_of, size_cm
from sim.setup import Setup

if TYPE_CHECKING:
    from sim.explain.breakdown import Breakdown
    from sim.results import Pressures, Result


@dataclass(frozen=True)
class Taken:
    """What was asked for and what came of it: n readings of one person."""

    setup: Setup
    seed: int
    ideal: bool
    breakdown: Breakdown

    @property
    def result(self) -> Result:
        """The readings with their truth."""
        return self.breakdown.result

    @property
    def mean(self) -> dict[str, float]:
        """Mean over the readings that have numbers; NaN where none has."""
        reading = self.result.reading
        return {name: _mean(getattr(reading, name)[reading.ok]) for name in ("sbp", "dbp", "map", "pulse_rate")}

    @property
    def bias(self) -> dict[str, float]:
        """The mean reading minus the resting pressure."""
        return {name: self.mean[name] - float(getattr(self.setup.subject, name)) for name in ("sbp", "dbp", "map")}

    @property
    def bladder(self) -> str:
        """The bladder's name, or its size."""
        return str(self.setup.instrument.bladder)

    @property
    def recommended_bladder(self) -> str:
        """What the published table gives for this arm."""
        return str(choose(self.setup.subject.arm_circumference_cm))

    @property
    def bladder_fits(self) -> bool:
        """Whether the bladder's width and length suit the arm, by the table or by the published shares."""
        return bool(fits(self.setup.instrument.bladder, self.setup.subject.arm_circumference_cm))

    @property
    def warnings(self) -> list[str]:
        """What a colleague would remark on the choice of the bladder, in plain words."""
        return [*_beyond_table(float(self.setup.subject.arm_circumference_cm)), *self._bladder_warning()]

    def _bladder_warning(self) -> list[str]:
        width, length = size_cm(self.bladder)
        right = size_cm(self.recommended_bladder)
        if (width, length) == right:
            return []
        arm = float(self.setup.subject.arm_circumference_cm)
        start = (
            f"the table's bladder for an arm of {arm:g} cm is {self.recommended_bladder!r} "
            f"({right[0]:g} x {right[1]:g} cm), not {_named(self.bladder)}{width:g} x {length:g} cm"
        )
        if self.bladder_fits:
            return [start + ", though this one is within the published shares of the arm's circumference"]
        return [start + _misfit(width - right[0], length - right[1])]


def means(pressures: Pressures) -> dict[str, float]:
    """Mean over all readings of each pressure [mmHg]."""
    return {name: _mean(getattr(pressures, name)) for name in ("sbp", "dbp", "map")}


def _named(bladder: str) -> str:
    name = name_of(bladder)
    return f"{name!r}, " if name else ""


def _misfit(wider_cm: float, longer_cm: float) -> str:
    if wider_cm <= 0 and longer_cm <= 0:
        return ": too small a cuff reads high"
    if wider_cm >= 0 and longer_cm >= 0:
        return ": too large a cuff reads low"
    return ": one of its two sides is too small, the other too large"


def _beyond_table(arm_cm: float) -> list[str]:
    smallest, largest = bladders()[0], bladders()[-1]
    if smallest.arm_from_cm <= arm_cm <= largest.arm_to_cm:
        return []
    return [
        f"the table of bladders is for arms of {smallest.arm_from_cm:g} to {largest.arm_to_cm:g} cm; "
        f"an arm of {arm_cm:g} cm takes the nearest size"
    ]


def _mean(values: np.ndarray) -> float:
    return float(values.mean()) if values.size else float("nan")
