"""One lesson file looked at as a whole: its keys, and whether its words and its cuff agree with the model."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from sim.cuff.bladder import FITTING_COVERAGE, FITTING_WIDTH_RATIO
from sim.fields import FieldError
from sim.teach.claims import Checked, check
from sim.teach.keys import LessonFault
from sim.teach.lesson import lesson_files, place, read_file
from sim.teach.lesson_record import Lesson
from sim.teach.parse import key_lines

# Words by which a sentence claims something of a reading.
_CLAIMS = re.compile(r"\b(?:high|low|ris|rose|f[ae]ll|same|more|less|wider|alike|add|hid|mmHg)|\d", re.IGNORECASE)


def problems(file: Path) -> list[str]:
    """All that is wrong with one file, a line for each, by its place in the file. Raises OSError where it is not there.

    A file beside the built-in lessons is held to their rules, any other to those for lessons of one's own.
    """
    local = file.resolve().parent != Path(str(place())).resolve()
    taken = built_in_names() if local else []
    lesson, faults = read_file(file, local, taken)
    if lesson is None:
        return [str(fault) for fault in faults]
    lines = key_lines(file.read_bytes().decode("utf-8-sig"))
    try:
        parted = _first_of_scenario([claim for claim in check(lesson) if not claim.holds])
    except FieldError as error:
        return [str(LessonFault(file.name, "scenario", error.allowed, str(error.value), lines.line("scenario"), local))]
    return [_told(lesson, claim, lines.line(claim.key)) for claim in parted]


def built_in_names() -> list[str]:
    """The names that lessons of one's own cannot have."""
    return [file.name.removesuffix(".md") for file in lesson_files(place())]


def _first_of_scenario(parted: list[Checked]) -> list[Checked]:
    """Where a reading with everything right is off, the categories that follow from it say nothing new."""
    scenario = [claim for claim in parted if claim.key == "scenario"]
    return scenario[:1] + [claim for claim in parted if claim.key != "scenario"]


def _told(lesson: Lesson, claim: Checked, line: int) -> str:
    """One claim that does not hold, with the sentence that makes it or a hint at the cuff."""
    said = "".join(f'. The words: "{sentence}"' for sentence in _said(lesson, claim))
    about = f"; {_cuff(lesson)}" if claim.key == "scenario" else said
    where = f"{lesson.name}.md: line {line}: {claim.key}"
    return f"{where}: the words say {claim.claim}; the app shows {claim.shown} ({claim.mean}){about}"


def _cuff(lesson: Lesson) -> str:
    """What may be wrong where a reading with everything right is off."""
    arm_cm = float(lesson.scenario.subject.arm_circumference_cm)
    (thin, wide), (short, long) = ([r * arm_cm for r in ratios] for ratios in (FITTING_WIDTH_RATIO, FITTING_COVERAGE))
    return (
        "the scenario must be measured correctly: a bladder that fits an arm of "
        f"{arm_cm:g} cm is {thin:.0f} to {wide:.0f} cm wide and {short:.0f} to {long:.0f} cm long, "
        f'such as "{(thin + wide) / 2:.1f}x{(short + long) / 2:.0f}"'
    )


def _said(lesson: Lesson, claim: Checked) -> Iterator[str]:
    """The sentence at fault, of the words that the claim stands for."""
    sentences = re.split(r"(?<=[.!?:;])\s+", _words(lesson, claim.key))
    numbers = re.findall(r"\d+", claim.claim)
    said = [s for s in sentences if _CLAIMS.search(s)]
    exact = [s for s in said if any(re.search(rf"\b{number}\b", s) for number in numbers)]
    yield from [s for s in (exact or said or sentences)[:1] if s]


def _words(lesson: Lesson, key: str) -> str:
    """The words that a table of claims stands for."""
    number = int((re.findall(r"\d+", key) or ["1"])[0]) - 1
    if key.startswith("lever"):  # it speaks for all words of the lesson, and of none in particular
        return ""
    if key.startswith("predict, choice"):
        return lesson.predict.choices[number].reply
    if key.startswith("predict"):
        right = next(choice for choice in lesson.predict.choices if choice.right)
        return right.reply or right.text
    return next(choice.reason for choice in lesson.case.choices if choice.right) if lesson.case else ""
