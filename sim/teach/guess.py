"""A guess of the two numbers of a display, and how far guesses were from what the display showed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError
from sim.say import say
from sim.texts import whole

# Wider than anything that a lesson shows, so that the limits give nothing away.
SBP_MMHG, DBP_MMHG = (50, 300), (30, 200)
ALLOWED = (
    f"systolic/diastolic in whole mmHg: systolic from {SBP_MMHG[0]} to {SBP_MMHG[1]}, "
    f"diastolic from {DBP_MMHG[0]} to {DBP_MMHG[1]}, systolic above diastolic"
)


@dataclass(frozen=True)
class Guess:
    """Two numbers [mmHg]. Raises FieldError where they cannot be a reading."""

    sbp: int
    dbp: int

    def __post_init__(self) -> None:
        inside = SBP_MMHG[0] <= self.sbp <= SBP_MMHG[1] and DBP_MMHG[0] <= self.dbp <= DBP_MMHG[1]
        if not inside or self.sbp <= self.dbp:
            raise FieldError("guess", str(self), ALLOWED)

    def __str__(self) -> str:
        return f"{self.sbp}/{self.dbp}"


def guess_of(text: str) -> Guess:
    """The guess that a text says, as "120/80". Raises FieldError where it says none."""
    first, _, second = text.partition("/")
    try:
        pressures = whole(first), whole(second)
    except ValueError:
        raise FieldError("guess", text, ALLOWED) from None
    return Guess(*pressures)


@dataclass(frozen=True)
class Guessed:
    """A guess and the mean display that was guessed, in whole mmHg as the display shows them."""

    guess: Guess
    sbp: int
    dbp: int

    @property
    def away(self) -> tuple[int, int]:
        """Guess minus display, systolic and diastolic [mmHg]."""
        return self.guess.sbp - self.sbp, self.guess.dbp - self.dbp


@dataclass(frozen=True)
class OwnError:
    """Of n guesses, systolic and diastolic each [mmHg].

    distance: mean distance from the display;  lean: mean of guess minus display, above 0 where guesses are too high
    """

    n: int
    distance: tuple[float, float]
    lean: tuple[float, float]


def own_error(guesses: Sequence[Guessed]) -> OwnError | None:
    """How far the guesses were from the display; None without a guess.

    >>> own_error([Guessed(Guess(140, 80), 130, 84), Guessed(Guess(128, 80), 130, 80)])
    OwnError(n=2, distance=(6.0, 2.0), lean=(4.0, -2.0))
    """
    if not guesses:
        return None
    away = np.array([guessed.away for guessed in guesses], dtype=float)
    distance, lean = np.abs(away).mean(axis=0).tolist(), away.mean(axis=0).tolist()
    return OwnError(len(guesses), (distance[0], distance[1]), (lean[0], lean[1]))


def told(error: OwnError) -> str:
    """The error in words.

    >>> print(told(OwnError(2, (6.0, 2.0), (4.0, -2.0))).replace(". ", ".\\n"))
    You guessed the numbers in 2 lessons.
    Mean distance from the display: 6 mmHg systolic, 2 mmHg diastolic.
    On average you guess systolic too high (by 4 mmHg) and diastolic too low (by 2 mmHg).
    """
    count = (
        say("You guessed the numbers in 1 lesson.")
        if error.n == 1
        else say("You guessed the numbers in {lessons} lessons.", lessons=error.n)
    )
    sbp, dbp = (f"{mmhg:.0f}" for mmhg in error.distance)
    distance = say("Mean distance from the display: {sbp} mmHg systolic, {dbp} mmHg diastolic.", sbp=sbp, dbp=dbp)
    systolic, diastolic = (_way(mmhg) for mmhg in error.lean)
    lean = say(
        "On average you guess systolic {systolic} and diastolic {diastolic}.", systolic=systolic, diastolic=diastolic
    )
    return f"{count} {distance} {lean}"


def _way(lean_mmhg: float) -> str:
    """Too high or too low, and by how much; or neither."""
    if round(lean_mmhg) == 0:
        return say("neither too high nor too low")
    mmhg = f"{abs(lean_mmhg):.0f}"
    return say("too high (by {mmhg} mmHg)", mmhg=mmhg) if lean_mmhg > 0 else say("too low (by {mmhg} mmHg)", mmhg=mmhg)
