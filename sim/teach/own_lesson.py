"""A lesson with somebody else in it: an educator's own patient, measured with the clinic's own cuffs.

Levers, prediction and picture are those of the lesson; the person is not, and neither are the sizes on the lever for
the bladder. Published findings, the fresh case and the words stay as they are: they are about the lesson's own people.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sim.cuff.bladder import choose, fits, nearest, printed, size_cm
from sim.fields import FieldError
from sim.say import mark, say
from sim.setup import FIELDS, Setup
from sim.teach.lesson_record import Lesson
from sim.teach.own_patient import OwnPatient
from sim.teach.parts import Lever, Option, Predict, Shows

BLADDER = "instrument.bladder"
_NOT_TOGETHER = mark(
    "Your numbers do not go with this lesson's. {label}, {value}: must be {allowed}. The lesson's own are shown."
)
_OUTSIDE = mark("{lever}: this lesson moves it, {range}. Your {given} lies outside, so the lesson's own {own} stays.")
_NONE_FITS = mark(
    "None of your cuffs fits an arm of {arm:g} cm. The nearest is {nearest}; the guideline's size is {guideline}."
)


@dataclass(frozen=True, eq=False)
class OwnLesson:
    """A lesson with the patient in it, and in sentences what of the patient could not be taken over."""

    lesson: Lesson
    notes: tuple[str, ...] = ()


def with_patient(lesson: Lesson, patient: OwnPatient) -> OwnLesson:
    """The lesson with this patient and these cuffs; the lesson itself where nothing is set, or nothing can be."""
    if not patient.set:
        return OwnLesson(lesson)
    changes, notes = _taken(lesson, patient)
    try:
        scenario = lesson.scenario.replace(**changes)
    except FieldError as error:
        label, allowed = say(FIELDS[error.field].label), _plainly(error.allowed)
        return OwnLesson(lesson, (say(_NOT_TOGETHER, label=label, value=error.value, allowed=allowed),))
    levers = [_moved(lever, changes) for lever in lesson.levers]
    arm = float(scenario.subject.arm_circumference_cm)
    bladder = _bladder(lesson, patient, arm)
    scenario = scenario.replace(bladder=bladder)
    levers = [_sizes(lever, patient, bladder, arm) if lever.field == BLADDER else lever for lever in levers]
    notes += _unfitting(patient, bladder, arm)
    predict = _asked(lesson.predict, lesson.levers, tuple(levers))
    return OwnLesson(replace(lesson, scenario=scenario, levers=tuple(levers), predict=predict), tuple(notes))


def own_person(lesson: Lesson) -> str:
    """Whom the lesson's words are about: its own person, in numbers."""
    who = lesson.scenario.subject
    return say(
        "{sbp:g}/{dbp:g} mmHg, heart rate {rate:g}, arm {arm:g} cm, bladder {bladder}",
        sbp=float(who.sbp),
        dbp=float(who.dbp),
        rate=float(who.heart_rate),
        arm=float(who.arm_circumference_cm),
        bladder=printed(str(_fitted(lesson.scenario))),
    )


def has_numbers(text: str) -> bool:
    """Whether words name a number, which then belongs to the lesson's own person.

    >>> has_numbers("An arm of 38 cm"), has_numbers("The arm is too low")
    (True, False)
    """
    return re.search(r"\d", text) is not None


def _fitted(setup: Setup) -> str:
    return str(setup.fitted().instrument.bladder)


def _taken(lesson: Lesson, patient: OwnPatient) -> tuple[dict[str, Any], list[str]]:
    """The subject's fields as the patient has them, less those for which the lesson's own lever has no place."""
    changes, notes = dict[str, Any](patient.changes), []
    for lever in lesson.levers:
        if lever.group == "subject" and lever.name in changes:
            try:
                lever.check(changes[lever.name])
            except FieldError as error:
                given = changes.pop(lever.name)
                notes.append(
                    say(
                        _OUTSIDE, lever=lever.label, range=_range(error), given=f"{given:.4g}", own=f"{lever.correct:g}"
                    )
                )
    return changes, notes


def _range(error: FieldError) -> str:
    return error.allowed.removeprefix("a number ")


def _moved(lever: Lever, changes: Mapping[str, Any]) -> Lever:
    """A lever that moves the person, with the patient's own value as its correct place."""
    if lever.group != "subject" or lever.name not in changes:
        return lever
    return replace(lever, correct=lever.check(changes[lever.name]))


def _bladder(lesson: Lesson, patient: OwnPatient, arm_cm: float) -> str:
    """The bladder of correct technique: of the clinic's the nearest, else the lesson's own where it fits the arm."""
    given = _fitted(lesson.scenario)
    if patient.cuffs:
        return nearest(patient.cuffs, arm_cm)
    same_arm = arm_cm == float(lesson.scenario.subject.arm_circumference_cm)
    if same_arm or bool(fits(np.array([given]), np.array([arm_cm]))[0]):
        return given
    lever = next((lever for lever in lesson.levers if lever.field == BLADDER), None)
    best = nearest([option.value for option in lever.options], arm_cm) if lever else ""
    return best if best and bool(fits(np.array([best]), np.array([arm_cm]))[0]) else str(choose(arm_cm))


def _sizes(lever: Lever, patient: OwnPatient, bladder: str, arm_cm: float) -> Lever:
    """The lever for the bladder with the clinic's sizes, or the lesson's own, and a wrong one to try."""
    options = tuple(Option(name, printed(name)) for name in patient.cuffs) or lever.options
    if bladder not in [option.value for option in options]:
        options = (*options, Option(bladder, printed(bladder)))
    sizes = [option.value for option in options]
    help_ = say("Width × length of the bladder inside the cuff. This arm is {arm:g} cm round.", arm=arm_cm)
    return replace(lever, options=options, correct=bladder, tempting=_wrong(sizes, bladder, lever.tempting), help=help_)


def _wrong(sizes: list[str], right: str, before: str) -> str:
    """A wrong size to try: the lesson's own where it is smaller, else the next smaller one, else the next larger."""
    smaller = [size for size in sizes if _area(size) < _area(right)]
    if before in smaller:
        return before
    larger = [size for size in sizes if _area(size) > _area(right)]
    return max(smaller, key=_area) if smaller else min(larger, key=_area) if larger else right


def _area(size: str) -> float:
    width, length = size_cm(size)
    return width * length


def _unfitting(patient: OwnPatient, bladder: str, arm_cm: float) -> list[str]:
    """What is to be said where none of the clinic's cuffs fits."""
    if not patient.cuffs or patient.cuff_for(arm_cm):
        return []
    return [say(_NONE_FITS, arm=arm_cm, nearest=printed(bladder), guideline=printed(str(choose(arm_cm))))]


def _asked(predict: Predict, before: tuple[Lever, ...], now: tuple[Lever, ...]) -> Predict:
    """The prediction, with the scene of its claims at places that the levers have now."""
    pairs = {old.field: (old, new) for old, new in zip(before, now, strict=True)}

    def placed(shows: Shows) -> Shows:
        return replace(shows, at={field: _place(value, *pairs[field]) for field, value in shows.at.items()})

    choices = tuple(replace(choice, shows=tuple(map(placed, choice.shows))) for choice in predict.choices)
    return replace(predict, choices=choices, shows=placed(predict.shows) if predict.shows else None)


def _place(value: Any, before: Lever, now: Lever) -> Any:
    """Where the lever stands now for a place that it had before: the wrong one stays the wrong one."""
    if value == before.tempting:
        return now.tempting
    if value == before.correct:
        return now.correct
    try:
        return now.check(value)
    except FieldError:
        return now.tempting


def _plainly(allowed: str) -> str:
    return allowed.replace(" sbp,", " the systolic pressure,")
