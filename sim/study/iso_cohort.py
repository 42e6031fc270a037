"""People distributed as ISO 81060-2 asks, by construction: quotas first, then people who fill them."""

from __future__ import annotations

import numpy as np

from sim.fields import FieldError, generator
from sim.study.cohort import cohort
from sim.study.iso_rules import ARM_RANGE_CM
from sim.study.person import Person

# Fewest people. Chosen: with 40 the smallest cell, 3 %, still has one person; the standard wants 85.
LEAST = 40

# Cells of resting pressure: systolic and diastolic from and below [mmHg], and the share of people in each. Each share
# that the standard asks for is exceeded, and edges stand clear of its own, since readings scatter about rest.
# The margin [mmHg] is assumed: in five cohorts of 85 people no rule was missed with 0, 1.5, 3 or 6 mmHg.
_MARGIN = 3.0
_CELLS = (
    ((0, 100 - _MARGIN), (0, 60 - _MARGIN), 0.08),
    ((100, 140), (0, 60 - _MARGIN), 0.04),
    ((100, 140), (60, 85), 0.48),
    ((100, 140), (85 + _MARGIN, 100), 0.08),
    ((140 + _MARGIN, 160), (60, 85), 0.08),
    ((140 + _MARGIN, 160), (85 + _MARGIN, 100), 0.07),
    ((160 + _MARGIN, 999), (60, 85), 0.03),
    ((160 + _MARGIN, 999), (85 + _MARGIN, 100), 0.04),
    ((160 + _MARGIN, 999), (100 + _MARGIN, 999), 0.10),
)
# Quarters of the cuffs' range of arms, and the share of people in each: the outer ones 20 % at least and the halves 40
# (sim.study.iso_rules), with 3 % to spare (chosen). Of the sexes 30 % at least each: halves.
_QUARTERS = (0.23, 0.27, 0.27, 0.23)
_FEMALE = 0.5
# So many people are drawn at a time, until the cells are full. Chosen for pace; another number draws other people.
_POOL = 4_000


def iso_cohort(n: int, rng: np.random.Generator, arm_range_cm: tuple[float, float] = ARM_RANGE_CM) -> Person:
    """n people of 18 years and more, at least 40, who satisfy the rules of `sim.study.iso_rules`; fields of shape (n,).

    Each is drawn from the population (sim.study.cohort) and kept where a cell of pressure and sex has room, so that
    the rest of a person goes with the pressure. The arm is drawn again, even within the quarter of `arm_range_cm` that
    its quota gives: it hangs together with sex and pressure no more.

    Raises FieldError where n is too small for the quotas.

    >>> people = iso_cohort(40, np.random.default_rng(1))
    >>> int((people.sbp >= 140).sum()) >= 8  # 20 % at least
    True
    """
    if n < LEAST:
        raise FieldError("n", n, f"at least {LEAST} people, to distribute them as the standard asks")
    order, people = generator(rng).spawn(2)
    wanted = {
        (cell, sex): count
        for cell, of_cell in enumerate(_counts(n, [share for *_, share in _CELLS]))
        for sex, count in zip(("female", "male"), _split(of_cell, cell), strict=True)
    }
    found: list[Person] = []
    while any(wanted.values()):
        drawn = cohort(_POOL, people)
        cells = _cell(drawn.sbp, drawn.dbp)
        for (cell, sex), room in wanted.items():
            rows = np.flatnonzero((cells == cell) & (drawn.sex == sex))[:room]
            wanted[cell, sex] -= len(rows)
            if len(rows):
                found.append(drawn.take(rows))
    columns = {name: np.concatenate([getattr(part, name) for part in found]) for name in _varying(found[0])}
    # Who comes when, and whose arm is in which quarter, is left to chance.
    shuffled = order.permutation(n)
    columns = {name: values[shuffled] for name, values in columns.items()}
    return Person(**{**columns, "arm_circumference_cm": _arms(n, order, arm_range_cm)})


def _counts(n: int, shares: list[float]) -> list[int]:
    """Whole numbers of people that add up to n: each share rounded down, the rest to the largest shares."""
    counts = [int(share * n + 1e-9) for share in shares]
    for place in np.argsort(-np.array(shares), kind="stable")[: n - sum(counts)]:
        counts[place] += 1
    return counts


def _split(count: int, cell: int) -> tuple[int, int]:
    """Women and men of a cell; an odd one goes to either in turn."""
    women = int(count * _FEMALE) + (count % 2 if cell % 2 else 0)
    return women, count - women


def _cell(sbp: np.ndarray, dbp: np.ndarray) -> np.ndarray:
    """Index of the cell that each pair of pressures lies in, -1 where in none."""
    cells = np.full(len(sbp), -1)
    for index, ((s_from, s_below), (d_from, d_below), _) in enumerate(_CELLS):
        cells[(sbp >= s_from) & (sbp < s_below) & (dbp >= d_from) & (dbp < d_below)] = index
    return cells


def _arms(n: int, rng: np.random.Generator, arm_range_cm: tuple[float, float]) -> np.ndarray:
    """Arm circumferences [cm], spread evenly over each quarter of the range."""
    low, high = arm_range_cm
    quarter = (high - low) / 4
    places = []
    for which, count in enumerate(_counts(n, list(_QUARTERS))):
        places.append(which + (np.arange(count) + rng.random(count)) / count)
    return low + quarter * rng.permutation(np.concatenate(places))


def _varying(person: Person) -> list[str]:
    return [name for name in person.LIMITS if getattr(person, name).ndim]
