"""A lesson's words held to the readings that the app shows: what is claimed (`shows`), and where words and model part.

The readings are the very ones that everybody sees first: those of `FIRST_SEED`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.estimate.door import read
from sim.explain.categories import categorise, schemes
from sim.explain.same_arm import FIRST_SEED, READINGS, SameArm, same_arm
from sim.results import Pressures
from sim.setup import Setup
from sim.teach.lesson_record import Lesson
from sim.teach.parts import THAN, Claim, Shows
from sim.texts import real_minus

NAMES = {"sbp": "systolic", "dbp": "diastolic"}
# "The same" and "alike" are within this; "higher", "lower" and "more" are beyond it [mmHg].
SAME_MMHG = 1.5
# "About so many" is within this, or within this share of it.
ABOUT_MMHG, ABOUT_SHARE = 2.0, 0.2
# With everything right the mean is no further than this from the truth [mmHg].
RIGHT_MMHG = 3.0
# How many of the readings have numbers, from and to.
NUMBERS = {"all": (1.0, 1.0), "nearly all": (0.9, 1.0), "most": (0.5, 1.0), "few": (0.0, 0.5)}


@dataclass(frozen=True)
class Checked:
    """One claim beside what the app shows.

    key: where it stands in the lesson file;  claim, shown: in words;  mean: display minus truth;  holds: whether so
    """

    lesson: str
    key: str
    claim: str
    shown: str
    mean: str
    holds: bool

    def __str__(self) -> str:
        return f"{self.lesson}.md: {self.key}: the words say {self.claim}; the app shows {self.shown} ({self.mean})"


def check(lesson: Lesson, seed: int = FIRST_SEED, n: int = READINGS) -> list[Checked]:
    """Every claim of a lesson beside the n readings of a seed."""
    made: dict[tuple[Any, ...], SameArm] = {}

    def readings(inputs: Setup) -> SameArm:
        if inputs.key() not in made:
            made[inputs.key()] = same_arm(inputs, seed, n=n)
        return made[inputs.key()]

    right = readings(lesson.inputs())
    found = list(_right(lesson, right))
    for key, shows, inputs in claimed(lesson):
        found += _each(lesson, key, shows, readings(inputs), right)
    return found


def claimed(lesson: Lesson) -> Iterator[tuple[str, Shows, Setup]]:
    """Every table of claims of a lesson: where it stands, what it says, and of which inputs."""
    for number, lever in enumerate(lesson.levers, 1):
        if lever.shows:
            yield f"lever {number}, shows", lever.shows, lesson.inputs({lever.field: lever.tempting})
    if lesson.predict.shows:
        yield "predict, shows", lesson.predict.shows, lesson.inputs(lesson.predict.shows.at)
    for number, choice in enumerate(lesson.predict.choices, 1):
        for shows in choice.shows:
            yield f"predict, choice {number}, shows", shows, lesson.inputs(shows.at)
    if lesson.case and lesson.case.shows:
        yield "case, shows", lesson.case.shows, lesson.case.inputs


def _right(lesson: Lesson, found: SameArm) -> Iterator[Checked]:
    """With everything right the mean is near the truth, and has its category in every scheme."""
    off = _off(found.mean.result.reading.pressures, found.mean.result.truth.resting)
    near = all(abs(value) <= RIGHT_MMHG for value in off.values())
    yield Checked(lesson.name, "scenario", f"a mean within {RIGHT_MMHG:g} of the truth", _pair(off), _pair(off), near)
    for scheme in schemes():
        truth, mean = (
            str(categorise(p.sbp, p.dbp, scheme)[0])
            for p in (found.mean.result.truth.resting, found.mean.result.reading.pressures)
        )
        yield Checked(lesson.name, "scenario", f"{truth} ({scheme})", mean, _pair(off), truth == mean)


def _each(lesson: Lesson, key: str, shows: Shows, found: SameArm, right: SameArm) -> Iterator[Checked]:
    """The claims of one table."""
    mean = found.mean.result
    rest = _off(mean.reading.pressures, mean.truth.resting)
    base = _off(right.mean.result.reading.pressures, right.mean.result.truth.resting)
    off = rest if shows.than == "rest" else {name: rest[name] - base[name] for name in rest}

    def checked(claim: str, shown: str, holds: bool) -> Checked:
        return Checked(lesson.name, key, claim, shown, _pair(rest), holds)

    for name, word in NAMES.items():
        claim = getattr(shows, name)
        if claim is not None:
            yield checked(
                f"{word} {_words(claim)} than {THAN[shows.than]}",
                real_minus(f"{off[name]:+.1f}"),
                holds(claim, off[name]),
            )
    if shows.more:
        apart = abs(off["sbp"]) - abs(off["dbp"]) if shows.more != "alike" else off["sbp"] - off["dbp"]
        so = (
            abs(apart) <= SAME_MMHG if shows.more == "alike" else (apart if shows.more == "sbp" else -apart) > SAME_MMHG
        )
        said = "both alike" if shows.more == "alike" else f"{NAMES[shows.more]} by more"
        yield checked(said, _pair(off), so)
    if shows.scatter:
        wide, usual = (_scatter(each) for each in (found, right))
        yield checked("a wider scatter", f"SD {wide:.1f} instead of {usual:.1f}", wide > 1.15 * usual)
    low, high = NUMBERS[shows.numbers]
    share = found.with_numbers / found.count
    yield checked(
        f"numbers in {shows.numbers} of the readings", f"{found.with_numbers} of {found.count}", low <= share <= high
    )
    yield from _second(lesson, shows, found, checked)


def _second(lesson: Lesson, shows: Shows, found: SameArm, checked: object) -> Iterator[Checked]:
    """Claims of the second algorithm's mean, against the first one's."""
    if not shows.second or not callable(checked):
        return
    second = read(lesson.compare_with, found.every.recording)
    for name, claim in shows.second.items():
        off = float(np.nanmean(getattr(second, name)) - getattr(found.mean.result.reading, name)[0])
        said = f"by the second algorithm {NAMES[name]} {_words(claim)} than {THAN['first']}"
        yield checked(said, real_minus(f"{off:+.1f}"), holds(claim, off))


def holds(claim: Claim, off_mmhg: float) -> bool:
    """Whether a difference [mmHg] is what is claimed of it; False where there is none (NaN)."""
    ways = {
        "": math.isfinite(off_mmhg),
        "higher": off_mmhg > SAME_MMHG,
        "lower": off_mmhg < -SAME_MMHG,
        "same": abs(off_mmhg) <= SAME_MMHG,
    }
    about = claim.about is None or abs(off_mmhg - claim.about) <= max(ABOUT_MMHG, ABOUT_SHARE * abs(claim.about))
    above, below = claim.low is None or off_mmhg >= claim.low, claim.high is None or off_mmhg <= claim.high
    return ways[claim.way] and about and above and below


def _words(claim: Claim) -> str:
    parts = [claim.way or "different"]
    if claim.about is not None:
        parts.append(real_minus(f"by about {claim.about:+g}"))
    if claim.low is not None or claim.high is not None:
        ends = [
            real_minus(f"{word} {end:+g}") for word, end in (("from", claim.low), ("to", claim.high)) if end is not None
        ]
        parts.append("by " + " ".join(ends))
    return " ".join(parts)


def _off(pressures: Pressures, other: Pressures) -> dict[str, float]:
    return {name: float(getattr(pressures, name)[0] - getattr(other, name)[0]) for name in NAMES}


def _scatter(found: SameArm) -> float:
    """How far readings lie apart: root of the sum of both variances [mmHg]."""
    reading, ok = found.every.reading, found.every.reading.ok
    return math.hypot(*(getattr(reading, name)[ok].std(ddof=1) for name in NAMES)) if ok.sum() > 1 else math.nan


def _pair(off: dict[str, float]) -> str:
    return real_minus("/".join(f"{off[name]:+.1f}" for name in NAMES))
