"""The questions of a lesson file: the prediction, the questions afterwards, the fresh case."""

from __future__ import annotations

from collections.abc import Sequence

from sim.setup import Setup
from sim.teach.inputs import read_inputs
from sim.teach.keys import Keys
from sim.teach.parse_shows import read_shows
from sim.teach.parts import GUESS, Case, Check, CheckChoice, Lever, Predict, PredictChoice


def read_predict(keys: Keys, levers: Sequence[Lever] = ()) -> Predict:
    """[predict]: every wrong choice has its reply, and all replies together say what the readings show."""
    question = keys.text("question")
    shows = read_shows(keys.table("shows", "a table [predict.shows]"), levers) if _needed(keys) else None
    choices = []
    for entry in keys.tables("choice", 2, 6):
        text, right = entry.text("text"), entry.flag("right")
        reply = entry.text("reply", "some text, as every wrong choice is answered", optional=right)
        more = [read_shows(table, levers) for table in entry.tables("shows", 0, 4)]
        entry.close()
        choices.append(PredictChoice(text, right, reply, tuple(s for s in more if s is not None)))
    _one_right(keys, choices)
    guess = _guess(keys)
    keys.close()
    return Predict(question, tuple(choices), shows, guess)


def _guess(keys: Keys) -> str:
    """What is asked about the display's two numbers; "" where the file says that a number makes no sense."""
    if "guess" not in keys:
        return GUESS
    if keys.data["guess"] is False:
        keys.flag("guess")
        return ""
    return keys.text("guess", "a question about the display's two numbers, or false")


def _needed(keys: Keys) -> bool:
    """Whether the table `shows` is there; a fault where it is not."""
    if "shows" not in keys:
        keys.fault("shows", "a table that says what the words claim of the readings shown")
        return False
    return True


def read_check(keys: Keys) -> Check:
    """One [[check]]."""
    question, choices = keys.text("question"), _choices(keys)
    keys.close()
    return Check(question, choices)


def read_case(keys: Keys, scenario: Setup | None) -> Case | None:
    """[case]: a person other than the scenario's, and how the reading was taken; None where it is faulty."""
    before = len(keys.faults)
    question, choices = keys.text("question"), _choices(keys)
    shows = read_shows(keys.table("shows")) if _needed(keys) else None
    inputs = read_inputs(keys)
    if inputs is not None and scenario is not None and _same_person(inputs, scenario):
        keys.fault("subject", "another person than the scenario's")
    return None if inputs is None or len(keys.faults) > before else Case(inputs, question, choices, shows)


def _same_person(one: Setup, other: Setup) -> bool:
    return all(value == getattr(other.subject, name) for name, value in vars(one.subject).items())


def _choices(keys: Keys) -> tuple[CheckChoice, ...]:
    choices = []
    for entry in keys.tables("choice", 2, 6):
        text, right = entry.text("text"), entry.flag("right")
        reason = entry.text("reason", "some text, as every answer has its reason")
        entry.close()
        choices.append(CheckChoice(text, right, reason))
    _one_right(keys, choices)
    return tuple(choices)


def _one_right(keys: Keys, choices: Sequence[PredictChoice | CheckChoice]) -> None:
    right = sum(c.right for c in choices)
    if choices and right != 1:
        keys.fault("choice", "exactly one choice with right = true", f"{right}")
    texts = [c.text for c in choices]
    if len(set(texts)) < len(texts):
        keys.fault("choice", "choices that differ", next(t for t in texts if texts.count(t) > 1))
