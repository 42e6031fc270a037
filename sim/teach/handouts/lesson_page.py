"""What stands on the page of one lesson for patients. It shows no pressure that the model computed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from sim.say import language, say
from sim.teach import safety
from sim.teach.handouts import words
from sim.teach.handouts.wanted import LINES, Clinic, Picture
from sim.teach.lesson_record import Lesson
from sim.teach.parts import Evidence


def page(lesson: Lesson, pictures: Sequence[Picture], clinic: Clinic) -> dict[str, Any]:
    """The page as plain data, for the typesetter."""
    return {
        "title": lesson.title,
        "language": lesson.language,
        "not_translated": not_translated(lesson),
        "text": runs(lesson.takeaway.text),
        "pictures": [_picture(each) for each in pictures],
        "to_do": say(words.TO_DO),
        "steps": [runs(step) for step in lesson.takeaway.steps],
        "urgent": urgent(clinic),
        "surprise": {"title": say(words.SURPRISE_TITLE), "text": runs(say(words.SURPRISE))},
        "arms": {"title": say(safety.ARMS_TITLE), "text": runs(f"{say(safety.ARMS)} {say(safety.WHICH_ARM)}")},
        "treatment": runs(say(words.TREATMENT)),
        "sources": [
            say(words.ADVICE_SOURCE, source=say(safety.EMERGENCY_SOURCE)),
            say(words.SOURCES) + _sources(lesson),
        ],
        "sources_elsewhere": say(words.SOURCES_ELSEWHERE),
    }


def not_translated(lesson: Lesson) -> str:
    """That a lesson is in English on a page in another language; "" where it is in that one, or somebody's own."""
    return "" if lesson.local or lesson.language == language() else say(words.NOT_TRANSLATED)


def urgent(clinic: Clinic) -> dict[str, Any]:
    """When to get help, and the two numbers to call."""
    return {
        "title": say(safety.EMERGENCY_TITLE),
        "text": [
            runs(f"{say(words.EITHER)} {say(safety.EMERGENCY_SYMPTOMS)} {say(words.WHATEVER)}"),
            runs(say(safety.EMERGENCY_NONE)),
        ],
        "lines": [line(name, clinic) for name in ("emergency", "pregnancy")],
    }


def line(name: str, clinic: Clinic) -> dict[str, str]:
    """What stands before a line, and on it: "" where it is left to be written on."""
    return {"label": say(LINES[name].label), "text": getattr(clinic, name)}


def runs(text: str) -> list[dict[str, Any]]:
    """Text as pieces that are bold or not, without the marks.

    >>> runs("Say **nothing**.")
    [{'text': 'Say ', 'bold': False}, {'text': 'nothing', 'bold': True}, {'text': '.', 'bold': False}]
    """
    pieces = enumerate(re.split(r"\*\*(.+?)\*\*", text))
    return [{"text": piece, "bold": number % 2 == 1} for number, piece in pieces if piece]


def _picture(picture: Picture) -> dict[str, Any]:
    mark = {True: "right", False: "wrong", None: ""}[picture.like_this]
    return {"svg": picture.svg, "words": picture.words, "mark": mark, "ratio": picture.ratio}


def _sources(lesson: Lesson) -> str:
    """Each source that can be looked up, once, in the order of the lesson; the lesson itself has the others."""
    found = dict.fromkeys(_source(each) for each in lesson.evidence if each.doi or each.pmid or each.pmcid)
    return "; ".join([*found, say(words.ALL_IN_LESSON)]) + "."


def _source(evidence: Evidence) -> str:
    return f"{evidence.source}, {evidence.identifier}"
