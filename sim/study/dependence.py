"""Error against what differs between people: arm, stiffness, pulse pressure, heart rate, amplitude."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.study.intervals import CONFIDENCE, Estimate, student
from sim.study.moments import Joint
from sim.study.ordered import Ordered, Part

# Parts of the subjects, in order of a quantity. Chosen: fifths are common practice, and of 85 subjects 17 are in each.
PARTS = 5
# So many people are kept one by one. Chosen: 60,000 readings at three each, and a few MB.
MOST_ONE_BY_ONE = 20_000
# Width of the bins for more people, in the quantity's unit. Chosen: a tenth of the last digit that is shown.
_STEPS = {"amplitude_mmhg": 0.001}
_STEP = 0.01


@dataclass(frozen=True)
class Dependence:
    """How the subjects' mean errors go with one quantity.

    label, unit: of the quantity; subjects: how many
    per_sd: change of error [mmHg] per SD of the quantity, on a straight line; slope: per unit of it
    correlation: Pearson's r; parts: fifths of the subjects, whose edges are right to `edges_to` in the quantity's unit
    """

    name: str
    label: str
    unit: str
    subjects: int
    slope: Estimate
    per_sd: Estimate
    correlation: float
    parts: tuple[Part, ...]
    edges_to: float = 0.0


@dataclass(frozen=True, eq=False)
class Along:
    """What is kept of n people's k quantities x, by name, and their q errors y [mmHg].

    joints: over (x, y), (1 + q), of those with a number x; people: (n, k + q) of all, as long as they are few
    bins: then in place of `people`, y in order of each quantity
    """

    joints: dict[str, Joint]
    people: np.ndarray
    bins: dict[str, Ordered]

    @classmethod
    def of(cls, quantities: dict[str, np.ndarray], error_mmhg: np.ndarray) -> Along:
        """That of quantities (n,) and finite errors (n, q), one row a subject."""
        known = {name: np.isfinite(x) for name, x in quantities.items()}
        joints = {name: Joint.of(np.column_stack([x, error_mmhg])[known[name]]) for name, x in quantities.items()}
        return cls(joints, np.column_stack([*quantities.values(), error_mmhg]), {})

    @classmethod
    def merged(cls, parts: Sequence[Along]) -> Along:
        """That of all parts' people together [mmHg]."""
        names = list(parts[0].joints)
        joints = {name: Joint.merged([part.joints[name] for part in parts]) for name in names}
        people = np.concatenate([part.people for part in parts])
        if len(people) <= MOST_ONE_BY_ONE and not any(part.bins for part in parts):
            return cls(joints, people, {})
        rest = cls(joints, people, {})
        before = {name: [part.bins[name] for part in parts if part.bins] for name in names}
        bins = {name: Ordered.binned([*before[name], rest._ordered(name)], step_of(name)) for name in names}
        return cls(joints, people[:0], bins)

    def _ordered(self, name: str) -> Ordered:
        if self.bins:
            return self.bins[name]
        names = list(self.joints)
        x = self.people[:, names.index(name)]
        known = np.isfinite(x)
        return Ordered.of(x[known], self.people[known, len(names) :])

    def dependence(
        self, name: str, label: str, unit: str, kind: int = 0, confidence: float = CONFIDENCE
    ) -> Dependence | None:
        """How the errors of one kind [mmHg] go with a quantity; None where it does not vary or for fewer than 3."""
        joint, ordered = self.joints[name], self._ordered(name)
        n = joint.n
        if n < 3 or float(joint.sd[0]) <= 1e-9 * max(1.0, ordered.largest):
            return None
        spread, sd_y = float(joint.sd[0]), float(joint.sd[1 + kind])
        square, product = float(joint.product[0, 0]), float(joint.product[0, 1 + kind])
        slope = product / square
        left = max(float(joint.product[1 + kind, 1 + kind]) - slope * product, 0.0)
        line = student(slope, float(np.sqrt(left / (n - 2) / square)), n - 2, confidence)
        correlation = slope * spread / sd_y if sd_y > 0 else 0.0
        parts = ordered.parts(PARTS, kind)
        return Dependence(name, label, unit, n, line, line.scaled(spread), correlation, parts, ordered.step)


def step_of(name: str) -> float:
    """Width of the bins of a quantity for very many people, in its unit (cm, mmHg, years ...).

    >>> step_of("heart_rate")
    0.01
    """
    return _STEPS.get(name, _STEP)


def dependence(
    name: str, label: str, unit: str, quantity: np.ndarray, error_mmhg: np.ndarray, confidence: float = CONFIDENCE
) -> Dependence | None:
    """Errors (n,), one a subject, against a quantity (n,); None where it does not vary or there are fewer than 3.

    >>> arm_cm = np.array([25.0, 30.0, 35.0, 40.0])
    >>> found = dependence("arm", "arm", "cm", arm_cm, 0.2 * arm_cm)
    >>> round(found.slope.value, 3), round(found.correlation, 3)
    (0.2, 1.0)
    """
    known = np.isfinite(error_mmhg)
    found = Along.of({name: quantity[known]}, error_mmhg[known, None])
    return found.dependence(name, label, unit, confidence=confidence)
