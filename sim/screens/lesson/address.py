"""The state of a lesson page as the address holds it: read from the query parameters, and written to them.

A bad parameter falls back to its default and leaves one line that names it, its value and what it may be.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from sim.explain.categories import schemes
from sim.explain.same_arm import FIRST_SEED, READINGS
from sim.fields import FieldError
from sim.say import mark
from sim.screens.lesson_pictures import looks
from sim.teach.guess import Guess, guess_of
from sim.teach.lesson import Lesson
from sim.teach.own_patient import PREFIX

STEPS = {
    "try": mark("Try it"),
    "why": mark("Why, and how we know"),
    "check": mark("Check yourself"),
    "do": mark("What to do"),
}
HIGHEST_SEED = 9999
# Prediction left out: for showing a lesson to others.
NO_PREDICTION = 0
# A parameter's text beyond this length is none that was ever written, and is not repeated in full.
_LONGEST = 40


@dataclass
class State:
    """Where someone is in a lesson.

    predicted: None before the prediction, then the choice counted from 1, or NO_PREDICTION
    guess: of the display's two numbers, None where it was left out
    step: a key of STEPS;  values: lever positions by field;  ideal: chance left out
    seed: of the readings;  reading: which of them is looked at, counted from 1
    order: the seed that the lesson was opened with, by which choices are ordered, also when new readings are taken
    scheme: of the categories;  look: a key of `lesson_pictures.looks(lesson)`
    """

    predicted: int | None = None
    guess: Guess | None = None
    step: str = "try"
    values: dict[str, Any] = field(default_factory=dict)
    seed: int = FIRST_SEED
    order: int = FIRST_SEED
    reading: int = 1
    ideal: bool = False
    scheme: str = ""
    look: str = "steps"


def start(lesson: Lesson, order: int = FIRST_SEED) -> State:
    """The state before the prediction, with the correct technique. order: the seed that it is opened with"""
    return State(values=dict(lesson.correct), scheme=next(iter(schemes())), seed=order, order=order)


def read(parameters: Mapping[str, str], lesson: Lesson) -> tuple[State, list[str]]:
    """The state that query parameters describe, and a line for each parameter that could not be taken."""
    state, problems = start(lesson), []
    levers = {lever.field: lever for lever in lesson.levers}
    takers = _takers(lesson)
    for name, given in parameters.items():
        if name in ("lesson", "lang") or name.startswith(PREFIX):
            continue
        text = given if len(given) <= _LONGEST else given[:_LONGEST] + "…"
        try:
            if name in levers:
                state.values[name] = levers[name].check(text)
            elif name in takers:
                attribute, take = takers[name]
                setattr(state, attribute, take(text))
            else:
                known = ", ".join(["lesson", *takers, *levers])
                problems.append(f"{name[:_LONGEST]} = {text}: this lesson has no such parameter. It has {known}.")
        except FieldError as error:
            problems.append(_sentence(error, state.values.get(name) if name in levers else None))
    if "order" not in parameters:
        state.order = state.seed
    return state, problems


def write(state: State, lesson: Lesson) -> dict[str, str]:
    """The query parameters that `read` turns back into this state; before the prediction only lesson and order."""
    parameters = {"lesson": lesson.name}
    if state.predicted is None:
        return parameters if state.order == FIRST_SEED else parameters | {"seed": str(state.order)}
    parameters["predicted"] = str(state.predicted) if state.predicted else "none"
    parameters |= {name: f"{v:g}" if isinstance(v, float) else str(v) for name, v in state.values.items()}
    parameters |= {"seed": str(state.seed), "chance": "no" if state.ideal else "yes"}
    standard = start(lesson)
    standard.order = state.seed
    extras = {name: getattr(state, name) for name in ("guess", "order", "reading", "step", "scheme", "look")}
    return parameters | {name: str(value) for name, value in extras.items() if value != getattr(standard, name)}


def _takers(lesson: Lesson) -> dict[str, tuple[str, Callable[[str], Any]]]:
    """For each parameter that is no lever: the attribute of the state, and what turns text into its value."""
    guess: dict[str, tuple[str, Callable[[str], Any]]] = {"guess": ("guess", guess_of)} if lesson.predict.guess else {}
    return {
        "predicted": ("predicted", lambda text: _prediction(text, len(lesson.predict.choices))),
        **guess,
        "step": ("step", lambda text: _one_of("step", text, list(STEPS))),
        "seed": ("seed", lambda text: _whole("seed", text, 1, HIGHEST_SEED)),
        "order": ("order", lambda text: _whole("order", text, 1, HIGHEST_SEED)),
        "reading": ("reading", lambda text: _whole("reading", text, 1, READINGS)),
        "chance": ("ideal", lambda text: _one_of("chance", text, ["yes", "no"]) == "no"),
        "scheme": ("scheme", lambda text: _one_of("scheme", text, list(schemes()))),
        "look": ("look", lambda text: _one_of("look", text, list(looks(lesson)))),
    }


def _prediction(text: str, choices: int) -> int:
    if text == "none":
        return NO_PREDICTION
    try:
        return _whole("predicted", text, 1, choices)
    except FieldError as error:
        raise FieldError("predicted", text, error.allowed + ", or none") from None


def _whole(name: str, text: str, low: int, high: int) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 19 or not low <= int(text) <= high:
        raise FieldError(name, text, f"a whole number from {low} to {high}")
    return int(text)


def _one_of(name: str, text: str, allowed: list[str]) -> str:
    if text not in allowed:
        raise FieldError(name, text, "one of " + ", ".join(allowed))
    return text


def _sentence(error: FieldError, used: Any = None) -> str:
    instead = f" {used:g} is" if isinstance(used, float) else f" {used} is" if used is not None else " The default is"
    return f"{error}.{instead} used instead."
