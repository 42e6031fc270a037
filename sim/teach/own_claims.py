"""Where a lesson's words no longer fit: what they claim as data, held to the readings of an educator's own patient."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from sim.setup import FIELDS
from sim.teach.claims import RIGHT_MMHG, Checked, check
from sim.teach.lesson_record import Lesson
from sim.teach.parts import Lever
from sim.texts import MINUS


@dataclass(frozen=True)
class Parted:
    """Words that do not hold.

    sentence: of the lesson, or what it takes for granted, or a lever at its wrong place
    lever: whether it is a lever;  claims, shown: what the words say, and what the readings show
    """

    sentence: str
    lever: bool
    claims: tuple[str, ...]
    shown: tuple[str, ...]

    @property
    def words(self) -> str:
        """The whole in plain words."""
        found = [
            f"it says {in_words(c)}; the readings show {_unit(s)}" for c, s in zip(self.claims, self.shown, strict=True)
        ]
        what = "what the lesson says of" if self.lever else "the lesson's sentence"
        return f"With these numbers {what} “{self.sentence}” does not hold: {'. Also, '.join(found)}."


def _unit(shown: str) -> str:
    return f"{shown} mmHg" if shown.startswith(("+", MINUS)) else shown


_DIFFERS = re.compile(
    r"(.*?(?:systolic|diastolic)) (higher|lower|same|different)(?: by about (\S+))?(?: by (.+))? than (.+)"
)
_SAID = {
    "both alike": "both numbers move alike",
    "systolic by more": "systolic moves by more than diastolic",
    "diastolic by more": "diastolic moves by more than systolic",
    f"a mean within {RIGHT_MMHG:g} of the truth": f"the mean is within {RIGHT_MMHG:g} mmHg of the resting pressure",
    "a wider scatter": "the readings scatter more widely",
}


def in_words(claim: str) -> str:
    """A claim of `sim.teach.claims` as a person would say it.

    >>> in_words("systolic higher by about +9 than the resting pressure")
    'systolic is about 9 mmHg higher than the resting pressure'
    >>> in_words("diastolic different by about +0 than the resting pressure")
    'diastolic is about the same as the resting pressure'
    """
    if claim in _SAID:
        return _SAID[claim]
    found = _DIFFERS.fullmatch(claim)
    if found is None:
        return claim
    what, way, about, ends, other = found.groups()
    size = (about or "").lstrip("+" + MINUS)
    if way == "different" and about:
        way = "same" if size == "0" else "lower" if about.startswith(MINUS) else "higher"
    if way == "same":
        return f"{what} is about the same as {other}"
    if ends:
        most = " at most" if ends.startswith("to ") else ""
        return f"{what} differs from {other} by {ends.removeprefix('to ')} mmHg{most}"
    return f"{what} is {f'about {size} mmHg ' if size else ''}{way} {'than' if way != 'different' else 'from'} {other}"


def parted(lesson: Lesson) -> tuple[Parted, ...]:
    """The sentences of a lesson that its own levers' readings contradict, each with all that is wrong with it.

    The fresh case is left out: it is about somebody else. `lesson` is one `with_patient`.
    """
    found: dict[str, list[Checked]] = {}
    for each in check(replace(lesson, case=None)):
        if not each.holds:
            found.setdefault(sentence(lesson, each.key), []).append(each)
    return tuple(
        Parted(said, wrong[0].key.startswith("lever"), tuple(c.claim for c in wrong), tuple(c.shown for c in wrong))
        for said, wrong in found.items()
    )


def sentence(lesson: Lesson, key: str) -> str:
    """The lesson's words that a claim stands for, by the claim's place in the file."""
    words = key.split()
    if words[0] == "lever":
        lever = lesson.levers[int(words[1].rstrip(",")) - 1]
        return f"{lever.label}: {_tempting(lever)}"
    if words[0] == "predict,":
        if words[1] == "choice":
            return _first(lesson.predict.choices[int(words[2].rstrip(",")) - 1].reply)
        return next((choice.text for choice in lesson.predict.choices if choice.right), lesson.predict.question)
    return "With correct technique the reading is close to the resting pressure"


def _tempting(lever: Lever) -> str:
    """The lever's wrong place, as it is labelled."""
    if lever.is_choice:
        return next(option.label for option in lever.options if option.value == lever.tempting)
    return FIELDS[lever.name].words(lever.tempting).rpartition(": ")[2]


def _first(text: str) -> str:
    """The first sentence of a reply that says more than yes or no."""
    parts = text.replace("? ", ". ").split(". ")
    return next((part for part in parts if len(part) > 25), text).rstrip(".")
