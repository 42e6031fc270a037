"""Where a lesson's words no longer fit: what they claim as data, held to the readings of an educator's own patient."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from sim.say import mark, say
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
            say("it says {claim}; the readings show {shown}", claim=in_words(claim), shown=_shown(shown))
            for claim, shown in zip(self.claims, self.shown, strict=True)
        ]
        told = _LEVER_PARTED if self.lever else _SENTENCE_PARTED
        return say(told, sentence=self.sentence, found=say(". Also, ").join(found))


_LEVER_PARTED = mark("With these numbers what the lesson says of “{sentence}” does not hold: {found}.")
_SENTENCE_PARTED = mark("With these numbers the lesson's sentence “{sentence}” does not hold: {found}.")
_SCATTER = re.compile(r"SD (\S+) instead of (\S+)")
_COUNT = re.compile(r"(\d+) of (\d+)")


def _shown(shown: str) -> str:
    """What the readings show, with its unit, in the language that is spoken."""
    if shown.startswith(("+", MINUS)):
        return f"{shown} mmHg"
    if found := _SCATTER.fullmatch(shown):
        return say("SD {wide} instead of {usual}", wide=found[1], usual=found[2])
    if found := _COUNT.fullmatch(shown):
        return say("{count} of {total}", count=found[1], total=found[2])
    return say(shown)  # the name of a category


_DIFFERS = re.compile(
    r"(.*?(?:systolic|diastolic)) (higher|lower|same|different)(?: by about (\S+))?(?: by (.+))? than (.+)"
)
_CATEGORY = re.compile(r"(.+) (\([a-z0-9-]+\))")
_SAID = {
    "both alike": mark("both numbers move alike"),
    "systolic by more": mark("systolic moves by more than diastolic"),
    "diastolic by more": mark("diastolic moves by more than systolic"),
    f"a mean within {RIGHT_MMHG:g} of the truth": mark("the mean is within {right} mmHg of the resting pressure"),
    "a wider scatter": mark("the readings scatter more widely"),
    "numbers in all of the readings": mark("numbers in all of the readings"),
    "numbers in nearly all of the readings": mark("numbers in nearly all of the readings"),
    "numbers in most of the readings": mark("numbers in most of the readings"),
    "numbers in few of the readings": mark("numbers in few of the readings"),
}
# What is compared, and with what, as claims name them: said in between.
COMPARED = (
    mark("systolic"),
    mark("diastolic"),
    mark("by the second algorithm systolic"),
    mark("by the second algorithm diastolic"),
    mark("the resting pressure"),
    mark("the mean with correct technique"),
    mark("the first algorithm"),
)
_BY = {
    "higher": mark("{what} is about {size} mmHg higher than {other}"),
    "lower": mark("{what} is about {size} mmHg lower than {other}"),
}
_WAYS = {
    "same": mark("{what} is about the same as {other}"),
    "higher": mark("{what} is higher than {other}"),
    "lower": mark("{what} is lower than {other}"),
    "different": mark("{what} is different from {other}"),
}


def in_words(claim: str) -> str:
    """A claim of `sim.teach.claims` as a person would say it.

    >>> in_words("systolic higher by about +9 than the resting pressure")
    'systolic is about 9 mmHg higher than the resting pressure'
    >>> in_words("diastolic different by about +0 than the resting pressure")
    'diastolic is about the same as the resting pressure'
    """
    if claim in _SAID:
        return say(_SAID[claim], right=f"{RIGHT_MMHG:g}")
    if found := _CATEGORY.fullmatch(claim):
        return f"{say(found[1])} {found[2]}"
    found = _DIFFERS.fullmatch(claim)
    if found is None:
        return claim
    what, way, about, ends, other = found.groups()
    size = (about or "").lstrip("+" + MINUS)
    if way == "different" and about:
        way = "same" if size == "0" else "lower" if about.startswith(MINUS) else "higher"
    told = (_BY if size else {}).get(way, _WAYS[way])
    if ends and way != "same":
        told = _bounds(ends)
    return say(told, what=say(what), other=say(other), size=size, **_ends(ends or ""))


def _ends(ends: str) -> dict[str, str]:
    """The bounds in the words of a claim, "" for one that is not there."""
    words = ends.split()
    return {
        name: words[words.index(word) + 1] if word in words else "" for name, word in (("low", "from"), ("high", "to"))
    }


def _bounds(ends: str) -> str:
    given = _ends(ends)
    if not given["low"]:
        return mark("{what} differs from {other} by {high} mmHg at most")
    if not given["high"]:
        return mark("{what} differs from {other} by {low} mmHg at least")
    return mark("{what} differs from {other} by {low} to {high} mmHg")


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
    return say("With correct technique the reading is close to the resting pressure")


def _tempting(lever: Lever) -> str:
    """The lever's wrong place, as it is labelled."""
    if lever.is_choice:
        return next(option.label for option in lever.options if option.value == lever.tempting)
    return FIELDS[lever.name].words(lever.tempting).rpartition(": ")[2]


def _first(text: str) -> str:
    """The first sentence of a reply that says more than yes or no."""
    parts = text.replace("? ", ". ").split(". ")
    return next((part for part in parts if len(part) > 25), text).rstrip(".")
