"""What is played: the reading as it was taken and, beside it, the same arm with correct technique.

In a lesson about two algorithms it is one recording and, beside it, what the other algorithm makes of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.estimate.named import LABELS
from sim.explain.mistakes import Mistake, mistakes
from sim.fields import Limit
from sim.say import say
from sim.setup import FIELDS, Setup
from sim.teach.lesson import Lesson


@dataclass(frozen=True, eq=False)
class Side:
    """One reading to play: its title, what is to be said of how it was taken, its inputs, its estimator's name."""

    title: str
    how: str
    inputs: Setup
    estimator: str = "fixed-ratio"


def sides(lesson: Lesson, inputs: Setup) -> tuple[Side, ...]:
    """The reading, and what it is set beside: correct technique, or else the lesson's first state; alone if it is that.

    Correct is what the breakdown of a reading calls correct. Where the lesson compares algorithms, the other one's
    reading of the same recording stands beside it.
    """
    found = mistakes(inputs.spread(1))
    first = lesson.inputs()
    changed = _changed(first, inputs)
    causes = "; ".join(mistake.cause for mistake in found)
    if lesson.compare_with:
        how = causes or "; ".join(changed) or say("correct technique")
        other = Side(
            say("The same recording: {algorithm}", algorithm=say(LABELS[lesson.compare_with])),
            how,
            inputs,
            lesson.compare_with,
        )
        return Side(say("This reading: {algorithm}", algorithm=say(LABELS["fixed-ratio"])), how, inputs), other
    if found:
        correct = Side(say("The same arm, correct technique"), say("nothing done wrong"), _put_right(inputs, found))
        return Side(say("This reading"), causes, inputs), correct
    if changed:
        first_side = Side(say("As the lesson begins"), "; ".join(_changed(inputs, first)), first)
        return Side(say("This reading"), "; ".join(changed), inputs), first_side
    return (Side(say("This reading"), say("correct technique"), inputs),)


def _put_right(inputs: Setup, found: list[Mistake]) -> Setup:
    """The inputs without the mistakes."""
    return inputs.replace(**{mistake.field: mistake.correct[0] for mistake in found})


def _changed(before: Setup, after: Setup) -> list[str]:
    """The fields in which the second inputs differ from the first, with their values in the second."""
    old = before.values()
    return [_words(name, value) for name, value in after.values().items() if not np.array_equal(value, old[name])]


def _words(name: str, value: np.ndarray) -> str:
    declared = FIELDS[name]
    if isinstance(declared, Limit):
        label = say(declared.label)
        return f"{label[:1].lower()}{label[1:]} {float(value):g} {declared.unit}".rstrip()
    return declared.words(value.item())
