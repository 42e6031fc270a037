"""Which people a study measures, by name; several names mix. People who move bring a technique of their own."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from sim.fields import FieldError
from sim.study.cohort import cohort
from sim.study.iso_cohort import LEAST, iso_cohort
from sim.study.person import Person
from sim.technique import Technique

# Larger than the arms of most people [cm]: the upper quarter of the range in which the standard looks for people begins
# at 37, and cuffs of a usual instrument end at 42.
_LARGE_ARMS_CM = (37.0, 54.0)
# A low pulse pressure [mmHg]. Chosen: about one in fifteen of the survey's adults has less.
_LOW_PULSE_PRESSURE = 35.0
# How high the movement of people who move is in the cuff [mmHg], and of which kinds. Assumed: at the lower end nearly
# every reading with jolts comes out (0.99), at the upper one 0.29; with a tremor 0.54 and 0.01. A vehicle, the fifth
# kind, is no movement of theirs.
_MOVES_MMHG, _MOVES = (0.5, 4.0), ("jolts", "tremor", "shivering", "arm")
# So many people are drawn at a time, of whom those are kept who are wanted. Chosen for pace.
_POOL = 2_000

PEOPLE = {
    "population": "adults as in a survey (sim.study.cohort)",
    "standard": "adults distributed as ISO 81060-2 asks (sim.study.iso_cohort)",
    "large-arms": f"adults with arms of {_LARGE_ARMS_CM[0]:g} to {_LARGE_ARMS_CM[1]:g} cm",
    "irregular": "adults with atrial fibrillation",
    "early-beats": "adults of whose heartbeats every eighth comes early",
    "low-pulse-pressure": f"adults whose pulse pressure is under {_LOW_PULSE_PRESSURE:g} mmHg",
    "moving": f"adults who move their arm or tremble, {_MOVES_MMHG[0]:g} to {_MOVES_MMHG[1]:g} mmHg high in the cuff",
}
SEPARATOR = ","


def checked(people: str) -> list[str]:
    """The names in a text with commas between them. Raises FieldError where one is none of PEOPLE, or comes twice."""
    names = people.split(SEPARATOR)
    wrong = [name for name in names if name not in PEOPLE]
    if wrong or len(set(names)) < len(names):
        raise FieldError("people", repr(people), "one of " + ", ".join(PEOPLE) + ", or several with commas between")
    return names


def least(people: str) -> int:
    """Fewest people that can be drawn under these names. Raises FieldError as `checked`.

    >>> least("population"), least("standard"), least("population,standard")
    (1, 40, 80)
    """
    names = checked(people)
    return len(names) * (LEAST if "standard" in names else 1)


def draw(people: str, n: int, rng: np.random.Generator) -> Person:
    """n people, in equal parts of each name; fields of shape (n,). Raises FieldError where n is too small.

    >>> mixed = draw("population,large-arms", 10, np.random.default_rng(1))
    >>> bool((mixed.arm_circumference_cm[5:] >= 37).all())
    True
    """
    names = checked(people)
    if n < least(people):
        raise FieldError("subjects", n, f"at least {least(people)} people")
    if len(names) == 1:
        return _DRAWS[names[0]](n, rng)
    return _joined(
        [_DRAWS[name](part.stop - part.start, rng) for name, part in zip(names, _parts(names, n), strict=True)]
    )


def draw_technique(people: str, n: int, rng: np.random.Generator, technique: Technique) -> Technique:
    """How n people of these names are measured, (n,): as `technique` (one for all) says, but that some of them move.

    Nothing is drawn where nobody moves. Raises FieldError as `checked`.

    >>> how = draw_technique("population,moving", 4, np.random.default_rng(1), Technique())
    >>> (how.movement_mmhg > 0).tolist()
    [False, False, True, True]
    """
    names, how = checked(people), technique.spread(n)
    if "moving" not in names:
        return how
    rows = _parts(names, n)[names.index("moving")]
    size_mmhg, kind = how.movement_mmhg.copy(), how.movement.astype(object)
    size_mmhg[rows] = rng.uniform(*_MOVES_MMHG, rows.stop - rows.start)
    kind[rows] = rng.choice(_MOVES, rows.stop - rows.start)
    return how.replace(movement_mmhg=size_mmhg, movement=kind.astype(str))


def _parts(names: list[str], n: int) -> list[slice]:
    """Which of n people are of each name."""
    ends = [n * k // len(names) for k in range(len(names) + 1)]
    return [slice(first, last) for first, last in pairwise(ends)]


def _large_arms(n: int, rng: np.random.Generator) -> Person:
    return cohort(n, rng, arm_cm=_LARGE_ARMS_CM)


def _irregular(n: int, rng: np.random.Generator) -> Person:
    return cohort(n, rng, fibrillation=1.0)


def _early_beats(n: int, rng: np.random.Generator) -> Person:
    return cohort(n, rng, fibrillation=0.0).replace(rhythm=np.full(n, "early-beats"))


def _low_pulse_pressure(n: int, rng: np.random.Generator) -> Person:
    found: list[Person] = []
    while sum(part.size for part in found) < n:
        drawn = cohort(_POOL, rng)
        found.append(drawn.take(np.flatnonzero(drawn.sbp - drawn.dbp < _LOW_PULSE_PRESSURE)))
    return _joined(found).take(np.arange(n))


def _joined(parts: list[Person]) -> Person:
    """People one after another; what all have alike stays one value."""
    varying = [name for name in Person.LIMITS if any(getattr(part, name).ndim for part in parts)]
    spread = [part.spread(part.size) for part in parts]
    return Person(**{name: np.concatenate([getattr(part, name) for part in spread]) for name in varying})


_DRAWS: dict[str, Callable[[int, np.random.Generator], Person]] = {
    "population": cohort,
    "standard": iso_cohort,
    "large-arms": _large_arms,
    "irregular": _irregular,
    "early-beats": _early_beats,
    "low-pulse-pressure": _low_pulse_pressure,
    "moving": cohort,
}
