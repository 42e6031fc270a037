"""Whether the readings of a lesson can be taken at all: limits of single fields do not say what goes together."""

from __future__ import annotations

from collections.abc import Iterator

from sim.explain.same_arm import FIRST_SEED, one_recording
from sim.fields import FieldError
from sim.setup import Setup
from sim.teach.lesson_record import Lesson


def not_taken(lesson: Lesson) -> list[tuple[str, FieldError]]:
    """Where in the file the inputs of a reading stand that cannot be taken, and why; one noise-free try of each."""
    found = []
    for key, inputs in _tried(lesson):
        try:
            one_recording(inputs, FIRST_SEED, ideal=True)
        except FieldError as error:
            found.append((key, error))
    return found


def _tried(lesson: Lesson) -> Iterator[tuple[str, Setup]]:
    yield "scenario", lesson.inputs()
    for number, lever in enumerate(lesson.levers, 1):
        yield f"lever {number}, tempting", lesson.inputs({lever.field: lever.tempting})
    yield "lever", lesson.inputs(lesson.tempting)
    if lesson.predict.shows:
        yield "predict, shows", lesson.inputs(lesson.predict.shows.at)
    if lesson.case:
        yield "case", lesson.case.inputs
