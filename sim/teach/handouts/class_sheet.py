"""The questions of some lessons for a class, and on a sheet apart what is right and why."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_lowercase
from typing import Any

from sim.say import say
from sim.teach.choice_order import shown_order
from sim.teach.handouts import words
from sim.teach.handouts.lesson_page import not_translated, runs
from sim.teach.lesson_record import Lesson
from sim.teach.parts import CheckChoice, PredictChoice

ORDER = 1  # the seed of the order of choices: that of a lesson which is opened without another


def sheets(lessons: Sequence[Lesson]) -> dict[str, Any]:
    """Both sheets as plain data. The case at the end of a lesson is left out: it needs what the display shows."""
    parts, number = [], 1
    for lesson in lessons:
        questions = [_question(lesson, number + place, *each) for place, each in enumerate(_asked(lesson))]
        number += len(questions)
        parts.append(
            {
                "title": lesson.title,
                "language": lesson.language,
                "not_translated": not_translated(lesson),
                "questions": questions,
            }
        )
    return {
        "title": say(words.CLASS_TITLE),
        "head": say(words.CLASS_HEAD),
        "lines": [{"label": say(words.NAME), "text": ""}, {"label": say(words.DATE), "text": ""}],
        "answers_title": say(words.ANSWERS_TITLE),
        "answers_head": say(words.ANSWERS_HEAD),
        "parts": parts,
    }


def _asked(lesson: Lesson) -> list[tuple[str, str, Sequence[PredictChoice | CheckChoice]]]:
    """Name, words and choices of each question: the prediction and then the checks."""
    first = ("prediction", lesson.predict.question, lesson.predict.choices)
    return [first, *((f"check-{i}", check.question, check.choices) for i, check in enumerate(lesson.checks))]


def _question(
    lesson: Lesson, number: int, name: str, question: str, choices: Sequence[PredictChoice | CheckChoice]
) -> dict[str, Any]:
    shown = [choices[i] for i in shown_order(lesson.name, name, len(choices), ORDER)]
    place, right = next((i, choice) for i, choice in enumerate(shown) if choice.right)
    return {
        "number": number,
        "question": runs(question),
        "choices": [{"letter": ascii_lowercase[i], "text": runs(choice.text)} for i, choice in enumerate(shown)],
        "letter": ascii_lowercase[place],
        "right": runs(right.text),
        "reason": runs(right.reply if isinstance(right, PredictChoice) else right.reason),
    }
