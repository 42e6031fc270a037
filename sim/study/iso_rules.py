"""How ISO 81060-2 wants the subjects of a study distributed, and whether they are.

Rules as we understand ISO 81060-2; check them against the standard. Those for pressures count the reference readings;
here these are the true pressures at the measurement.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.cuff.bladder import bladders, choose

# Arms for which the cuffs of a usual instrument are made, together [cm] (common practice).
ARM_RANGE_CM = (22.0, 42.0)


@dataclass(frozen=True)
class Rule:
    """One rule: at least this share of readings or subjects must be of that kind.

    >>> print(Rule("women", least=0.3, reached=0.25))
    women: 25.0%, at least 30.0%: not reached
    """

    name: str
    least: float
    reached: float

    @property
    def ok(self) -> bool:
        """Whether the share is reached."""
        return self.reached >= self.least - 1e-12

    def __str__(self) -> str:
        return f"{self.name}: {self.reached:.1%}, at least {self.least:.1%}: {'ok' if self.ok else 'not reached'}"


@dataclass(frozen=True, eq=False)
class Counted:
    """How many readings or subjects are of the kind that each of k rules asks for, (k,), of how many."""

    names: tuple[str, ...]
    least: np.ndarray
    found: np.ndarray
    of: np.ndarray

    @classmethod
    def merged(cls, parts: Sequence[Counted]) -> Counted:
        """Those of all parts together, arrays of shape (k,)."""
        first = parts[0]
        found, of = (np.sum([getattr(part, name) for part in parts], axis=0) for name in ("found", "of"))
        return cls(first.names, first.least, found, of)

    @property
    def rules(self) -> tuple[Rule, ...]:
        """Every rule with the share reached."""
        share = self.found / np.maximum(self.of, 1)
        return tuple(Rule(*row) for row in zip(self.names, self.least.tolist(), share.tolist(), strict=True))


def distribution(
    sbp: np.ndarray,
    dbp: np.ndarray,
    arm_circumference_cm: np.ndarray,
    sex: np.ndarray,
    arm_range_cm: tuple[float, float] = ARM_RANGE_CM,
) -> tuple[Rule, ...]:
    """Every rule with the share reached.

    sbp, dbp: (m,) reference readings [mmHg]; arm_circumference_cm, sex: (n,) of the subjects

    >>> sbp, dbp = np.array([95.0, 120.0, 165.0]), np.array([55.0, 80.0, 105.0])
    >>> rules = distribution(sbp, dbp, np.array([25.0, 30.0, 35.0]), np.array(["female", "female", "male"]))
    >>> str(rules[0])
    'systolic 100 mmHg or less: 33.3%, at least 5.0%: ok'
    """
    return counted(sbp, dbp, arm_circumference_cm, sex, arm_range_cm).rules


def counted(
    sbp: np.ndarray,
    dbp: np.ndarray,
    arm_circumference_cm: np.ndarray,
    sex: np.ndarray,
    arm_range_cm: tuple[float, float] = ARM_RANGE_CM,
) -> Counted:
    """What every rule counts, of the same (m,) readings [mmHg] and (n,) subjects as `distribution`."""
    low, high = arm_range_cm
    quarter = (high - low) / 4
    arm = np.asarray(arm_circumference_cm)
    wanted: list[tuple[str, float, np.ndarray]] = [
        ("systolic 100 mmHg or less", 0.05, sbp <= 100),
        ("systolic 160 mmHg or more", 0.05, sbp >= 160),
        ("systolic 140 mmHg or more", 0.20, sbp >= 140),
        ("diastolic 60 mmHg or less", 0.05, dbp <= 60),
        ("diastolic 100 mmHg or more", 0.05, dbp >= 100),
        ("diastolic 85 mmHg or more", 0.20, dbp >= 85),
        ("women", 0.30, np.asarray(sex) == "female"),
        ("men", 0.30, np.asarray(sex) == "male"),
        (f"arms of {low:g} to {low + 2 * quarter:g} cm", 0.40, (arm >= low) & (arm <= low + 2 * quarter)),
        (f"arms of {low + 2 * quarter:g} to {high:g} cm", 0.40, (arm > low + 2 * quarter) & (arm <= high)),
        (f"arms of {low:g} to {low + quarter:g} cm", 0.20, (arm >= low) & (arm <= low + quarter)),
        (f"arms of {high - quarter:g} to {high:g} cm", 0.20, (arm >= high - quarter) & (arm <= high)),
    ]
    cuffs = [b.name for b in bladders() if b.arm_from_cm < high and b.arm_to_cm > low]
    wanted += [(f"bladder {name!r}", 1 / (2 * len(cuffs)), choose(arm) == name) for name in cuffs]
    return Counted(
        names=tuple(name for name, _, _ in wanted),
        least=np.array([least for _, least, _ in wanted]),
        found=np.array([np.count_nonzero(found) for *_, found in wanted]),
        of=np.array([len(found) for *_, found in wanted]),
    )
