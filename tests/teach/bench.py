"""Readings of a lesson's person, for tests that hold a lesson's sentences to the simulation."""

import numpy as np

from sim import breakdown, measure
from sim.teach.lesson import load_all

LESSONS = {lesson.name: lesson for lesson in load_all()[0]}


def case_of(lesson):
    """The lesson's fresh case, which it must have."""
    assert lesson.case is not None
    return lesson.case


def figures(effect):
    """A finding's effect, which must have figures on both sides."""
    assert effect.published is not None
    assert effect.model is not None
    return effect


def by_field(lesson, values):
    """Levers by the last part of their name to levers by field."""
    fields = {lever.name: lever.field for lever in lesson.levers}
    return {fields[name]: value for name, value in values.items()}


def reading(lesson, **values):
    """One ideal result."""
    return measure(*lesson.inputs(by_field(lesson, values)), ideal=True)


def steps(lesson, **values):
    """The contributions of one ideal reading, by field of the inputs."""
    found = breakdown(*lesson.inputs(by_field(lesson, values)), ideal=True)
    return {c.field: c for c in found.contributions}


def ideal(lesson, **values):
    """Systolic and diastolic of an ideal reading."""
    result = measure(*lesson.inputs(by_field(lesson, values)), ideal=True)
    return np.array([result.reading.sbp[0], result.reading.dbp[0]])


def effect(lesson, **values):
    """Systolic and diastolic: levers moved, less correct technique."""
    return ideal(lesson, **values) - ideal(lesson)


def readings(lesson, n, seed, **values):
    """n readings with all that is left to chance."""
    return measure(*lesson.inputs(by_field(lesson, values)), rng=np.random.default_rng(seed), n=n)


def bias(case):
    """Systolic and diastolic of a case's ideal reading, less the pressure at rest."""
    result = measure(*case.inputs, ideal=True)
    return np.array([result.bias.sbp[0], result.bias.dbp[0]])
