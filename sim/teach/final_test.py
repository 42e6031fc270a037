"""The final test: ten cases in a row that a number gives, the same for everybody, and its result by kind of mistake."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError
from sim.say import mark
from sim.teach.practice_answers import Verdict
from sim.teach.practice_score import Count, tally

FIRST_SEED, LAST_SEED = 1, 9999
# How many cases of each level: from one mistake, or none, to three that partly cancel.
_OF_LEVEL = {1: 4, 2: 3, 3: 3}
CASES = sum(_OF_LEVEL.values())
_STREAM = 81073
NO_CERTIFICATE = mark(
    "This test is training. It is no certificate, and it does not say that anyone may measure patients."
)


@dataclass(frozen=True)
class TestResult:
    """What came of a test.

    answered: cases answered;  mistakes: cases in which exactly the mistakes made were named
    counts: by kind of mistake and of question;  missed, false: names of mistakes, each once
    """

    __test__ = False  # no test of ours, whatever its name

    answered: int
    mistakes: int
    counts: tuple[Count, ...]
    missed: tuple[str, ...]
    false: tuple[str, ...]


def numbers(seed: int) -> tuple[int, ...]:
    """The numbers of the cases of a test, the easier ones first. Raises FieldError."""
    if isinstance(seed, bool) or not isinstance(seed, int) or not FIRST_SEED <= seed <= LAST_SEED:
        raise FieldError("seed", seed, f"a whole number from {FIRST_SEED} to {LAST_SEED}")
    rng = np.random.default_rng([_STREAM, seed])
    drawn = [1000 * level + rng.choice(1000, count, replace=False) for level, count in _OF_LEVEL.items()]
    return tuple(int(number) for number in np.concatenate(drawn))


def finished(seed: int, verdicts: Mapping[int, Verdict]) -> bool:
    """Whether all cases of the test are answered: only then is anything said about the answers."""
    return all(number in verdicts for number in numbers(seed))


def result(seed: int, verdicts: Mapping[int, Verdict]) -> TestResult:
    """The result of a test's cases that are answered; answers to other cases are left out."""
    own = {number: verdicts[number] for number in numbers(seed) if number in verdicts}
    return TestResult(
        answered=len(own),
        mistakes=sum(v.mistakes for v in own.values()),
        counts=tuple(tally(own)),
        missed=_once([v.missed for v in own.values()]),
        false=_once([v.false for v in own.values()]),
    )


def _once(names: Sequence[Sequence[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for each in names for name in each))
