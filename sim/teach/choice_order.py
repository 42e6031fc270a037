"""In which order the choices of a question are shown: by the seed of the address, the same for all who have it."""

from __future__ import annotations

import numpy as np


def shown_order(lesson: str, question: str, choices: int, seed: int) -> list[int]:
    """The numbers of the author's choices, counted from 0, in the order in which they are shown.

    lesson, question: their names; each question of a lesson has an order of its own

    >>> sorted(shown_order("01-arm-height", "check-0", 4, seed=3))
    [0, 1, 2, 3]
    """
    rng = np.random.default_rng([*f"{question}/{lesson}".encode(), seed])
    return [int(number) for number in rng.permutation(choices)]
