"""What is played: the reading as it was taken and, beside it, the same arm with correct technique.

In a lesson about two algorithms it is one recording and, beside it, what the other algorithm makes of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.estimate.named import LABELS
from sim.explain.mistakes import Mistake, mistakes
from sim.fields import Fields, Limit
from sim.teach.inputs import Inputs
from sim.teach.lesson import Lesson


@dataclass(frozen=True, eq=False)
class Side:
    """One reading to play: its title, what is to be said of how it was taken, its inputs, its estimator's name."""

    title: str
    how: str
    inputs: Inputs
    estimator: str = "fixed-ratio"


def sides(lesson: Lesson, inputs: Inputs) -> tuple[Side, ...]:
    """The reading, and what it is set beside: correct technique, or else the lesson's first state; alone if it is that.

    Correct is what the breakdown of a reading calls correct. Where the lesson compares algorithms, the other one's
    reading of the same recording stands beside it.
    """
    subject, technique, instrument = inputs
    found = mistakes(subject.spread(1), technique.spread(1), instrument.spread(1))
    first = lesson.inputs()
    changed = _changed(first, inputs)
    causes = "; ".join(mistake.cause for mistake in found)
    if lesson.compare_with:
        how = causes or "; ".join(changed) or "correct technique"
        other = Side(f"The same recording: {LABELS[lesson.compare_with]}", how, inputs, lesson.compare_with)
        return Side(f"This reading: {LABELS['fixed-ratio']}", how, inputs), other
    if found:
        correct = Side("The same arm, correct technique", "nothing done wrong", _put_right(inputs, found))
        return Side("This reading", causes, inputs), correct
    if changed:
        first_side = Side("As the lesson begins", "; ".join(_changed(inputs, first)), first)
        return Side("This reading", "; ".join(changed), inputs), first_side
    return (Side("This reading", "correct technique", inputs),)


def _put_right(inputs: Inputs, found: list[Mistake]) -> Inputs:
    """The inputs without the mistakes."""
    subject, technique, instrument = inputs
    correct: dict[str, Any] = {mistake.field: mistake.correct[0] for mistake in found}
    of_technique = {name: value for name, value in correct.items() if name in technique.LIMITS}
    of_instrument = {name: value for name, value in correct.items() if name not in of_technique}
    return subject, technique.replace(**of_technique), instrument.replace(**of_instrument)


def _changed(before: Inputs, after: Inputs) -> list[str]:
    """The fields in which the second inputs differ from the first, with their values in the second."""
    return [
        _words(new, name, value)
        for old, new in zip(before, after, strict=True)
        for name, value in vars(new).items()
        if not np.array_equal(value, getattr(old, name))
    ]


def _words(record: Fields, name: str, value: np.ndarray) -> str:
    limit = record.LIMITS.get(name)
    if limit is None:
        return f"{name.replace('_', ' ')} {value}"
    if isinstance(limit, Limit):
        return f"{limit.label[:1].lower()}{limit.label[1:]} {float(value):g} {limit.unit}".rstrip()
    return limit.options[str(value)]
