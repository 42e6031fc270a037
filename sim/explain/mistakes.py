"""The mistakes in a technique or an instrument: what each is called, of which kind it is, and what is correct."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.responses import responses
from sim.fields import MEASURING_ERROR, RESPONSE, Fields
from sim.say import say
from sim.setup import Setup
from sim.technique import Technique

# What these do falls out differently in every reading: how the cloth lies, when the arm moves.
DRAWN = ("sleeve_mm", "sleeve_rolled_up", "elbow_crease", "movement_mmhg")


@dataclass(frozen=True, eq=False)
class Mistake:
    """One mistake in n readings.

    field: the input that holds it; cause: in words; kind: RESPONSE or MEASURING_ERROR;
    correct: the input's correct values, (n,)
    """

    field: str
    cause: str
    kind: str
    correct: np.ndarray


def mistakes(setup: Setup) -> list[Mistake]:
    """Every mistake that at least one of n readings has; each field of the setup is an array of n.

    >>> [mistake.field for mistake in mistakes(Setup.of(cuff_below_heart_cm=10).spread(1))]
    ['cuff_below_heart_cm']
    """
    found = []
    for record in setup:
        for name, declared in record.LIMITS.items():
            if declared.kind not in (RESPONSE, MEASURING_ERROR):
                continue
            values = getattr(record, name)
            wrong = declared.wrong(values, setup.subject) & _acts(name, setup.technique)
            if wrong.any():
                correct = np.where(wrong, declared.corrected(values, setup.subject), values)
                found.append(Mistake(name, _cause(name, record, wrong), declared.kind, correct))
    return found


def _cause(name: str, record: Fields, wrong: np.ndarray) -> str:
    """The mistake as one would say it; the field's name in words where the readings differ in it."""
    declared, values = record.LIMITS[name], getattr(record, name)
    if np.unique(values[wrong]).size > 1:
        label = say(declared.label)
        return label[0].lower() + label[1:]
    first = int(np.argmax(wrong))
    return declared.mistake(values[first].item(), record.take([first]))


def _acts(name: str, technique: Technique) -> np.ndarray:
    """Whether a field acts at all: talk that has ended long ago changes nothing, and is no mistake."""
    if name != "talking":
        return np.ones(len(technique.talking), dtype=bool)
    after = np.array([responses()[name][k].after_effect_min if k != "no" else 0.0 for k in technique.talking])
    return technique.quiet_min < after
